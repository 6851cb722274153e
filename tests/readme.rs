//! The README tells the truth: its session is a real one, its commands run, its table is what the numbers say.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{Ran, Shop};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

/// The fenced blocks of a kind.
fn blocks(kind: &str) -> Vec<String> {
    readme().split(&format!("```{kind}\n")).skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

#[test]
fn the_session_shown_is_the_one_that_the_sample_script_makes() {
    let shop = Shop::new();
    let script = root().join("sample-sessions/plain.script");
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    let ran = shop.run(&["set", "--script", script.to_str().unwrap()]).expect(0);
    for (block, shown) in blocks("text").iter().zip([&ran.stderr, &ran.stdout]) {
        let mut lines = shown.lines();
        for line in block.lines() {
            assert!(lines.any(|shown| shown == line), "not on the screen, or not in this order: {line:?}\n{shown}");
        }
    }
    assert_eq!(blocks("text").len(), 3, "two screens, and how to check a signature, which tests/pages runs");
}

/// The words of a command line, those between quotes together.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('"').enumerate();
    parts
        .flat_map(|(index, part)| match index % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        })
        .collect()
}

#[test]
fn every_command_shown_runs() {
    let mut commands = 0;
    for line in blocks("sh").iter().flat_map(|block| block.lines()) {
        let Some(arguments) = line.strip_prefix("cargo run --release -- ") else {
            assert!(["cargo run --release", "cargo test"].contains(&line), "{line}");
            continue;
        };
        let shop = Shop::new();
        let mut command = shop.command();
        for argument in words(arguments) {
            let argument = argument.as_str();
            let is_file = argument.starts_with("sample-sessions");
            command.arg(if is_file { root().join(argument) } else { Path::new(argument).to_owned() });
        }
        // Without its values `tuning` asks, which takes a person at a terminal.
        Ran::of(&mut command).expect(match arguments {
            "tuning" => 2,
            // Learning too, unless a script answers.
            _ if arguments.starts_with("learn ") || arguments == "learn" => 2,
            // The samples have a setting that was accepted outside, and one record that was tampered with.
            _ if arguments.starts_with("audit ") => 1,
            _ => 0,
        });
        commands += 1;
    }
    assert_eq!(commands, 18);
}

/// What half power really sets, by `cornerset corner` on the reading that each bench would show. The figures of the
/// table are algebra: 27 x 0.80224, 27 x 0.64359, and the inverse of a Butterworth 12 at its 18 Hz mark.
#[test]
fn the_table_is_what_the_program_says() {
    let half_power = 0.5f64.sqrt();
    // The filter at its 18 Hz mark takes 1/sqrt(1 + (18/27)^4) off the reference.
    let stays_in = 8.0 / (1.0f64 + (18.0f64 / 27.0).powi(4)).sqrt();
    let benches = [
        ("butterworth", "24", 8.0, "27.0 Hz"),
        ("linkwitz-riley", "24", 8.0, "21.7 Hz"),
        ("linkwitz-riley", "12", 8.0, "17.4 Hz"),
        ("butterworth", "12", stays_in, "29.3 Hz"),
    ];
    for (family, slope, reference_shown, corner) in benches {
        let shop = Shop::new();
        let pair = format!("27={}", reference_shown * half_power);
        let ran =
            shop.run(&["corner", "--family", family, "--slope", slope, "--reference", "8", &pair, "--json"]).expect(0);
        let hz = ran.json()["corner_hz"].as_f64().unwrap();
        assert_eq!(format!("{hz:.1} Hz"), corner, "{family} {slope}");
        assert!(readme().contains(&format!("| {corner} |")), "{corner}");
    }
}

#[test]
fn the_exit_codes_are_those_of_the_program() {
    use cornerset::commands::Exit;
    let readme = readme();
    for exit in [Exit::Done, Exit::Findings, Exit::Usage, Exit::Storage, Exit::Interrupted] {
        assert!(readme.contains(&format!("{} ", exit.code())), "{exit:?}");
    }
}

#[test]
fn every_file_named_in_the_documents_is_there() {
    let ends = [".rs", ".json", ".script", ".py", ".sh", ".toml"];
    for document in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(document)).unwrap();
        let mut named = 0;
        for word in text.split('`').skip(1).step_by(2) {
            let is_path = word.contains('/') && !word.contains(' ');
            if !is_path || !(word.starts_with("tests/") || ends.iter().any(|end| word.ends_with(end))) {
                continue;
            }
            let word = word.trim_end_matches('*');
            let places = [root().join(word), root().join("src").join(word), root().join(format!("{word}.rs"))];
            assert!(places.iter().any(|place| place.exists()), "{document} names {word}");
            named += 1;
        }
        assert!(named > 0, "{document}");
    }
}
