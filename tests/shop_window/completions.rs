//! Completions: each shell reads its script, and bash completes with it what is asked for.

use std::fs;
use std::process::{Command, Stdio};

use crate::common::outside::{needs, runs};
use crate::common::{PROGRAM, Ran, Shop};
use crate::pages::commands;

/// The script for a shell, as a file.
fn script(shop: &Shop, shell: &str) -> String {
    let path = shop.path().join(format!("cornerset.{shell}"));
    let ran = shop.run(&["completions", shell]).expect(0);
    assert!(ran.stderr.is_empty(), "{}", ran.stderr);
    fs::write(&path, &ran.stdout).unwrap();
    path.to_str().unwrap().to_owned()
}

fn accepted(program: &str, arguments: &[&str]) {
    let ran = Ran::of(Command::new(program).args(arguments).stdin(Stdio::null()));
    assert!(ran.code == Some(0) && ran.stdout.is_empty() && ran.stderr.is_empty(), "{program}: {ran:?}");
}

#[test]
fn bash_reads_it() {
    if needs("bash", runs("bash", &["--version"])) {
        accepted("bash", &["-n", &script(&Shop::new(), "bash")]);
    }
}

/// Without SC2207, on how arrays are split: what `compgen` prints is split at blanks, as bash's own manual does it; the words of
/// this program have none.
#[test]
fn shellcheck_finds_nothing() {
    if needs("shellcheck", runs("shellcheck", &["--version"])) {
        accepted("shellcheck", &["-s", "bash", "-e", "SC2207", &script(&Shop::new(), "bash")]);
    }
}

#[test]
fn zsh_reads_it() {
    if needs("zsh", runs("zsh", &["--version"])) {
        accepted("zsh", &["-n", &script(&Shop::new(), "zsh")]);
    }
}

#[test]
fn fish_reads_it() {
    if needs("fish", runs("fish", &["--version"])) {
        accepted("fish", &["--no-execute", &script(&Shop::new(), "fish")]);
    }
}

/// fish itself completes with it: `complete --do-complete`, a word a line.
#[test]
fn fish_completes() {
    if !needs("fish", runs("fish", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    let script = script(&shop, "fish");
    let asked = |line: &str| -> Vec<String> {
        let text = format!("source {script}; complete --do-complete '{line}'");
        let ran = Ran::of(Command::new("fish").args(["--no-config", "-c", &text]).env("HOME", shop.path())).expect(0);
        ran.stdout.lines().filter_map(|line| line.split('\t').next().map(str::to_owned)).collect()
    };
    assert_eq!(asked("cornerset targ"), ["targets"]);
    assert_eq!(asked("cornerset targets --rule "), ["half-octave", "octave", "three-quarters"]);
    assert!(asked("cornerset records export --fo").contains(&"--format".to_owned()));
}

/// Elvish and PowerShell are not to be had from Debian: here only that every command is in what they read.
#[test]
fn every_command_is_in_every_script() {
    let shop = Shop::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let text = fs::read_to_string(script(&shop, shell)).unwrap();
        for name in commands().iter().filter_map(|words| words.last()) {
            assert!(text.contains(name.as_str()), "{shell}: {name}");
        }
        let json = shop.run(&["completions", shell, "--json"]).expect(0).json();
        assert_eq!((json["shell"].as_str(), json["script"].as_str()), (Some(shell), Some(text.as_str())));
    }
    let ran = shop.run(&["completions", "csh"]).expect(2);
    assert!(ran.stderr.contains("accepted: bash, zsh, fish, elvish or powershell"), "{}", ran.stderr);
    shop.run(&["completions"]).expect(2);
}

/// The function that the script names is called as bash calls it: COMP_WORDS, COMP_CWORD, then COMPREPLY is read. What it asks
/// of bash itself (`compopt`) works while bash completes only, and is noted here.
fn completed(shop: &Shop, script: &str, words: &[&str]) -> Vec<String> {
    let quoted: Vec<String> = words.iter().map(|word| format!("'{word}'")).collect();
    let last = words.len() - 1;
    let text = format!(
        "source {script}\n\
         compopt() {{ printf '%s\\n' \"$*\"; }}\n\
         [ \"$(complete -p cornerset | grep -c _cornerset)\" = 1 ] || exit 9\n\
         COMP_WORDS=({}); COMP_CWORD={last}\n\
         _cornerset cornerset \"${{COMP_WORDS[COMP_CWORD]}}\" \"${{COMP_WORDS[COMP_CWORD-1]}}\"\n\
         printf '%s\\n' \"${{COMPREPLY[@]}}\"",
        quoted.join(" ")
    );
    let mut command = Command::new("bash");
    command.args(["--norc", "--noprofile", "-c", &text]).current_dir(shop.path()).env("HOME", shop.path());
    let ran = Ran::of(&mut command).expect(0);
    assert!(!ran.stderr.contains("command not found"), "{}", ran.stderr);
    let lines = ran.stdout.lines().filter(|line| !line.is_empty() && *line != "-o filenames");
    let mut words: Vec<String> = lines.map(str::to_owned).collect();
    words.sort();
    words
}

#[test]
fn bash_completes() {
    if !needs("bash", runs("bash", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    let script = script(&shop, "bash");
    for name in ["answers.script", "box.toml", "allowed_signers"] {
        fs::write(shop.path().join(name), "").unwrap();
    }
    for name in ["a-folder", "a-store"] {
        fs::create_dir(shop.path().join(name)).unwrap();
    }
    let asked = |words: &[&str]| completed(&shop, &script, &[&["cornerset"], words].concat());
    // Commands, and those of a command.
    assert_eq!(asked(&["ta"]), ["targets"]);
    assert_eq!(asked(&["records", ""]).iter().filter(|word| !word.starts_with('-')).count(), 6, "and help");
    assert_eq!(asked(&["key", "t"]), ["trust"]);
    // Options.
    assert_eq!(asked(&["targets", "--ref"]), ["--reference", "--reference-mark"]);
    assert_eq!(asked(&["records", "list", "--ver"]), ["--verdict"]);
    assert_eq!(asked(&["set", "--sc"]), ["--script"]);
    // The words that an option takes.
    assert_eq!(asked(&["targets", "--family", ""]), ["bessel", "butterworth", "linkwitz-riley", "second-order"]);
    assert_eq!(asked(&["records", "export", "--format", "p"]), ["parquet"]);
    assert_eq!(asked(&["targets", "--slope", "4"]), ["42", "48"]);
    assert_eq!(asked(&["learn", "bench", "--level", "n"]), ["nasty"]);
    assert_eq!(asked(&["completions", "e"]), ["elvish"]);
    assert_eq!(asked(&["man", "ta"]), ["targets"]);
    assert_eq!(asked(&["man", "records", "l"]), ["learn", "lesson", "list"]);
    // No file where a number, a name or a day is wanted: what was typed stays.
    for words in [
        &["targets", "--reference", "a"][..],
        &["records", "list", "--technician", "a"],
        &["records", "export", "--since", "a"],
        &["key", "trust", "--name", "a"],
        &["learn", "drill", "--count", "a"],
        &["set", "--resume", "a"],
    ] {
        assert_eq!(asked(words), ["-o nospace", "a"], "{words:?}");
    }
    assert!(asked(&["learn", "forget", "--l"]).is_empty(), "which takes its name by itself");
    assert_eq!(asked(&["learn", "drill", "--le"]), ["--learner"]);
    // Files where one is wanted, and folders only where one is.
    let names = ["a-folder", "a-store", "allowed_signers", "answers.script"];
    assert_eq!(asked(&["set", "--script", "a"]), names);
    assert_eq!(asked(&["set", "--key", "b"]), ["box.toml"]);
    assert_eq!(asked(&["audit", "--allowed-signers", "al"]), ["allowed_signers"]);
    assert_eq!(asked(&["excursion", "driver.toml", "-o", "b"]), ["box.toml"]);
    for words in [&["--store", "a"][..], &["man", "-o", "a"], &["audit", "--store", ""]] {
        assert_eq!(asked(words), ["-o plusdirs"], "bash then looks for folders by itself");
    }
    // What is completed is taken: the program itself agrees.
    for family in asked(&["targets", "--family", ""]).iter().filter(|word| *word != "second-order") {
        let arguments = ["targets", "--corner", "27", "--slope", "24", "--reference", "8", "--family", family];
        shop.run(&arguments).expect(0);
    }
}

/// Trap: the generator itself panics on a pipe that nobody reads.
#[test]
fn a_pipe_that_nobody_reads_is_no_fault() {
    if !needs("bash", runs("bash", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    for arguments in ["completions zsh", "completions fish", "man", "man targets"] {
        // `true` is gone long before; both streams are watched.
        let text = format!(
            "set -o pipefail; {{ sleep 0.2; '{PROGRAM}' {arguments}; }} 2>said | true; echo ${{PIPESTATUS[0]}}"
        );
        let ran = Ran::of(Command::new("bash").args(["-c", &text]).current_dir(shop.path())).expect(0);
        assert_eq!(ran.stdout, "0\n", "{arguments}");
        assert_eq!(fs::read_to_string(shop.path().join("said")).unwrap(), "", "{arguments}");
    }
}
