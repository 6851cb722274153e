//! What the packages hold.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::common::outside::{needs, runs};
use crate::common::{PROGRAM, Ran, Shop};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap()
}

/// The files of the crate, as cargo lists them.
fn in_the_crate() -> Vec<String> {
    let mut command = Command::new(env!("CARGO"));
    command.args(["package", "--list", "--locked", "--offline", "--allow-dirty"]).current_dir(root());
    Ran::of(&mut command).expect(0).stdout.lines().map(str::to_owned).collect()
}

#[test]
fn the_crate_holds_the_program_and_what_its_readme_names() {
    let files = in_the_crate();
    for file in ["src/main.rs", "src/record/record.schema.json", "LICENSE-MIT", "LICENSE-APACHE", "Cargo.lock"] {
        assert!(files.iter().any(|held| held == file), "{file}");
    }
    for folder in ["tests/", "snapshots/", "benches/", ".ci/"] {
        assert!(!files.iter().any(|held| held.starts_with(folder)), "{folder}");
    }
    let readme = read("README.md");
    let links: Vec<&str> = readme.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
    assert!(links.len() > 4, "{links:?}");
    for link in links {
        assert!(files.iter().any(|held| held == link), "the README leads to {link}");
    }
}

#[test]
fn what_the_debian_package_takes_is_there() {
    let manifest: toml::Table = read("Cargo.toml").parse().unwrap();
    let deb = &manifest["package"]["metadata"]["deb"];
    let assets = deb["assets"].as_array().unwrap();
    for asset in assets {
        let from = asset[0].as_str().unwrap();
        // What lies below target is generated: `.ci/package` fails where it is not.
        let folder = Path::new(from).parent().unwrap();
        assert!(from.starts_with("target/") || from.contains('*') || root().join(from).is_file(), "{from}");
        assert!(from.starts_with("target/") || root().join(folder).is_dir(), "{from}");
    }
    // The pages name these, where the package puts them.
    let placed = |path: &str| {
        let (folder, name) = path.trim_start_matches('/').rsplit_once('/').unwrap();
        assets.iter().any(|asset| {
            asset[0].as_str().unwrap().ends_with(name) && asset[1].as_str().unwrap().trim_end_matches('/') == folder
        })
    };
    let shop = Shop::new();
    let mut named = 0;
    for page in crate::pages::written(&shop) {
        for rest in page.plain().split("/usr/share/doc/").skip(1) {
            let path = format!("/usr/share/doc/{}", rest.split(' ').next().unwrap());
            assert!(placed(&path), "{}: {path}", page.name);
            named += 1;
        }
    }
    assert!(named >= 2);
}

/// Which crates are in the program, by another way than cargo's: what the program itself says, whose debugging information names
/// the source file of every function.
#[test]
fn every_crate_in_the_program_has_its_licence_text() {
    if !needs("python3", runs("python3", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    let file = shop.path().join("licences.txt");
    let mut command = Command::new(root().join(".ci/licences"));
    Ran::of(command.arg(&file).current_dir(root())).expect(0);
    let text = fs::read_to_string(file).unwrap();
    let program = String::from_utf8_lossy(&fs::read(PROGRAM).unwrap()).into_owned();
    let crates: BTreeSet<&str> = program
        .split("/registry/src/")
        .skip(1)
        .filter_map(|rest| rest.split('/').nth(1))
        .filter(|name| name.contains('-') && name.chars().all(|letter| letter.is_ascii_graphic()))
        .collect();
    assert!(crates.len() > 50, "{crates:?}");
    let listed: BTreeSet<String> = text
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .map(|line| line.split_whitespace().take(2).collect::<Vec<_>>().join("-"))
        .collect();
    // Features of a crate that only the crates for tests turn on; cargo turns them on for the program that it builds with tests.
    let by_tests = ["allocator-api2-", "foldhash-"];
    let is_missing = |name: &&&str| !listed.contains(**name) && !by_tests.iter().any(|start| name.starts_with(start));
    let missing: Vec<&&str> = crates.iter().filter(is_missing).collect();
    assert!(missing.is_empty(), "{missing:?}");
    for text_of in ["Mozilla Public License Version 2.0", "UNICODE LICENSE V3", "Version 2.0, January 2004"] {
        assert!(text.contains(text_of), "{text_of}");
    }
}

/// The scripts of the check, by shellcheck, its infos too.
#[test]
fn shellcheck_finds_nothing_in_the_scripts() {
    if needs("shellcheck", runs("shellcheck", &["--version"])) {
        let ran = Ran::of(Command::new("shellcheck").args([".ci/run", ".ci/package"]).current_dir(root()));
        assert!(ran.code == Some(0), "{}", ran.stdout);
    }
}
