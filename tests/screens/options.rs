//! `--help` of the program and of every command.

use crate::common::Shop;

#[test]
fn help_of_the_program_and_of_every_command() {
    for (name, arguments) in [
        ("options", &["--help"][..]),
        ("options-short", &["-h"]),
        ("options-set", &["set", "--help"]),
        ("options-targets", &["targets", "--help"]),
        ("options-corner", &["corner", "--help"]),
        ("options-excursion", &["excursion", "--help"]),
        ("options-tuning", &["tuning", "--help"]),
        ("options-tone", &["tone", "--help"]),
        ("options-audit", &["audit", "--help"]),
        ("options-learn", &["learn", "--help"]),
        ("options-learn-lesson", &["learn", "lesson", "--help"]),
        ("options-learn-drill", &["learn", "drill", "--help"]),
        ("options-learn-bench", &["learn", "bench", "--help"]),
        ("options-learn-progress", &["learn", "progress", "--help"]),
        ("options-learn-forget", &["learn", "forget", "--help"]),
        ("options-completions", &["completions", "--help"]),
        ("options-man", &["man", "--help"]),
    ] {
        let ran = Shop::new().run(arguments).expect(0);
        assert!(ran.stderr.is_empty(), "{}", ran.stderr);
        for line in ran.stdout.lines() {
            assert!(line.chars().count() <= 80, "wider than 80 columns: {line}");
        }
        crate::assert_screen!(name, ran.stdout);
    }
}

#[test]
fn the_version() {
    let ran = Shop::new().run(&["--version"]).expect(0);
    assert_eq!(ran.stdout, format!("cornerset {}\n", env!("CARGO_PKG_VERSION")));
}
