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
    // A README that came with the package names files of the sources: the package has each of them, by its name.
    let readme = read("README.md");
    let links = readme.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    let words = readme.split([' ', '\n', '`', '(', ')', ']', '[']);
    let samples = words.filter(|word| word.starts_with("sample-sessions/"));
    let of_the_sources: BTreeSet<&str> = links.chain(samples).filter(|path| *path != "DEVELOPERS.md").collect();
    assert!(of_the_sources.len() >= 9, "{of_the_sources:?}");
    for path in of_the_sources {
        let (folder, name) = path.rsplit_once('/').unwrap();
        let end = name.rsplit_once('.').map_or("", |(_, end)| end);
        let globs = [path.to_owned(), format!("{folder}/*.{end}"), format!("{path}/*.json")];
        let held = assets.iter().filter(|asset| globs.iter().any(|glob| asset[0].as_str() == Some(glob)));
        assert_eq!(held.count(), 1, "the README names {path}");
    }
    // What the page on scale calls lies beside it.
    for name in ["scale.md", "audit_spark.py", "chain.sql", "trust.md"] {
        let from = format!("src/manual/{name}");
        let to = assets.iter().find(|asset| asset[0].as_str() == Some(&from)).map(|asset| asset[1].as_str().unwrap());
        assert_eq!(to, Some("usr/share/doc/cornerset/"), "{name}");
    }
    // The pages name these, where the package puts them.
    let placed = |path: &str| {
        let (folder, name) = path.trim_start_matches('/').rsplit_once('/').unwrap();
        let end = name.rsplit_once('.').map_or("", |(_, end)| end);
        assets.iter().any(|asset| {
            let from = asset[0].as_str().unwrap();
            let is_held = match from.strip_suffix(&format!("/*.{end}")) {
                Some(sources) => root().join(sources).join(name).is_file(),
                None => from.rsplit('/').next() == Some(name),
            };
            is_held && asset[1].as_str().unwrap().trim_end_matches('/') == folder
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
    // A licence that begins in the words of another one is not taken for it; a sentence is no text; where the source is.
    let parts: Vec<&str> = text.split(&"=".repeat(78)).collect();
    let texts_of = |name: &str| -> Vec<&str> {
        parts[1..].chunks(2).filter(|part| part[0].contains(name)).map(|part| part[1].trim()).collect()
    };
    let of_ryu = texts_of(" ryu-js ");
    assert!(of_ryu.iter().any(|text| text.starts_with("Boost Software License")), "{of_ryu:?}");
    assert!(of_ryu.iter().any(|text| text.contains("Version 2.0, January 2004")), "{of_ryu:?}");
    assert!(parts[1..].chunks(2).all(|part| part[1].trim().lines().count() > 5), "a sentence stands as a text");
    let of_mozilla = parts[0].lines().filter(|line| line.starts_with("  ") && line.contains("MPL")).count();
    let told =
        parts[0].lines().filter(|line| line.starts_with("The source of ") && line.contains(" is at https://")).count();
    assert_eq!((of_mozilla, told), (1, 1), "{}", parts[0]);
    for text_of in ["Mozilla Public License Version 2.0", "UNICODE LICENSE V3", "Version 2.0, January 2004"] {
        assert!(text.contains(text_of), "{text_of}");
    }
}

/// Every shell script of the repository, told by its first line.
fn scripts() -> Vec<PathBuf> {
    let (mut folders, mut found) = (vec![root()], vec![]);
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let (path, kind) = entry.map(|entry| (entry.path(), entry.file_type().unwrap())).unwrap();
            if kind.is_dir() && !["target", ".git"].iter().any(|name| path.ends_with(name)) {
                folders.push(path);
            } else if kind.is_file() {
                let bytes = fs::read(&path).unwrap();
                let first = bytes.split(|byte| *byte == b'\n').next().unwrap();
                if first.starts_with(b"#!") && first.ends_with(b"sh") {
                    found.push(path);
                }
            }
        }
    }
    found
}

/// By shellcheck, its infos too.
#[test]
fn shellcheck_finds_nothing_in_the_scripts() {
    let scripts = scripts();
    for known in
        [".ci/run", ".ci/package", ".ci/scale", ".ci/faults", "benches/run", "benches/counts", "tests/fuzz/run"]
    {
        assert!(scripts.contains(&root().join(known)), "{known}");
    }
    if needs("shellcheck", runs("shellcheck", &["--version"])) {
        let ran = Ran::of(Command::new("shellcheck").args(&scripts).current_dir(root()));
        assert!(ran.code == Some(0), "{}", ran.stdout);
    }
}
