//! The house holds: folders import from floors below only, and only the rooms above the line touch the outside.

use std::fs;
use std::path::{Path, PathBuf};

/// Ground floor to roof, as the table in DEVELOPERS.md has it.
const FLOORS: [&str; 22] = [
    "quantity",
    "chance",
    "filter",
    "meter",
    "corner",
    "displacement",
    "tuning",
    "plan",
    "tone",
    "practice",
    "session",
    "signature",
    "record",
    "audit",
    "screens",
    "learn",
    "pages",
    "store",
    "export",
    "terminal",
    "commands",
    "manual",
];

/// The first room above the line.
const LINE: &str = "store";

/// What only rooms above the line may touch.
const OUTSIDE: [&str; 16] = [
    "std::path::absolute",
    "tempfile::",
    "directories::",
    "signal_hook::",
    "std::fs",
    "std::env",
    "std::io",
    "std::process",
    "std::thread",
    "std::net",
    "std::time",
    "Local::now",
    "Utc::now",
    "console::",
    "dialoguer::",
    "indicatif::",
];

/// The traits of `std::io`, where a library has them for what is written to memory.
fn is_in_memory(path: &Path, word: &str) -> bool {
    word == "std::io" && path.ends_with("record/sorted.rs")
}

fn sources(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut found = vec![];
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            found.push((path, text));
        }
    }
    found
}

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The part of a file that is not its tests.
fn code(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap()
}

#[test]
fn every_folder_stands_on_a_floor_and_imports_from_below_only() {
    let mut folders: Vec<String> = fs::read_dir(src())
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    folders.sort();
    let mut floors = FLOORS.map(str::to_owned).to_vec();
    floors.sort();
    assert_eq!(folders, floors);
    let mut upwards = vec![];
    for (floor, room) in FLOORS.iter().enumerate() {
        for (path, text) in sources(&src().join(room)) {
            for above in &FLOORS[floor + 1..] {
                if text.contains(&format!("crate::{above}")) {
                    upwards.push(format!("{} imports from {above}", path.display()));
                }
            }
        }
    }
    assert!(upwards.is_empty(), "{upwards:#?}");
}

/// The other tests look for whole paths, so no import may be written in a way that hides one.
#[test]
fn imports_are_written_out() {
    for (path, text) in sources(&src()) {
        for hidden in ["super::super", "crate::{", "std::{", "extern crate", "#[path"] {
            assert!(!text.contains(hidden), "{}: {hidden}", path.display());
        }
    }
}

#[test]
fn below_the_line_nothing_touches_the_outside() {
    let line = FLOORS.iter().position(|room| *room == LINE).unwrap();
    let mut touches = vec![];
    for room in &FLOORS[..line] {
        for (path, text) in sources(&src().join(room)) {
            touches.extend(
                OUTSIDE
                    .iter()
                    .filter(|word| code(&text).contains(**word) && !is_in_memory(&path, word))
                    .map(|word| format!("{}: {word}", path.display())),
            );
        }
    }
    assert!(touches.is_empty(), "{touches:#?}");
}

#[test]
fn only_the_terminal_and_the_commands_print() {
    for (path, text) in sources(&src()) {
        let above =
            path.strip_prefix(src()).is_ok_and(|path| path.starts_with("terminal") || path.starts_with("commands"));
        for word in ["println!", "eprintln!", "io::stdout", "io::stderr"] {
            assert!(above || !code(&text).contains(word), "{}: {word}", path.display());
        }
    }
}

#[test]
fn no_file_is_longer_than_one_idea() {
    for (path, text) in sources(&src()) {
        let lines = code(&text).lines().count();
        assert!(lines <= 420, "{} has {lines} lines", path.display());
    }
}

#[test]
fn the_table_of_floors_in_the_map_is_the_one_that_holds() {
    let map = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    let table: Vec<&str> = map
        .lines()
        .skip_while(|line| !line.starts_with("| folder |"))
        .take_while(|line| line.starts_with('|'))
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|line| line.split('`').next())
        .collect();
    assert_eq!(table, FLOORS);
}
