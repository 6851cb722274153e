//! The manual: every command and option is in it, its readers find nothing to complain of, it fits a terminal.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use crate::common::outside::{needs, runs};
use crate::common::{Ran, Shop};
use crate::pages::{Page, commands, plain, written};

const SECTIONS: [&str; 9] =
    ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "EXIT STATUS", "FILES", "ENVIRONMENT", "EXAMPLES", "SEE ALSO"];

fn source(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

#[test]
fn every_command_has_a_page_with_every_section() {
    let shop = Shop::new();
    let pages = written(&shop);
    let mut names: Vec<String> =
        commands().iter().map(|words| [&["cornerset".to_owned()][..], words].concat().join("-")).collect();
    names.sort();
    assert_eq!(pages.iter().map(|page| page.name.clone()).collect::<Vec<_>>(), names);
    assert!(names.len() > 20);
    for page in &pages {
        assert!(page.text.is_ascii(), "{}", page.name);
        for section in SECTIONS {
            assert!(page.section(section).split_whitespace().count() > 1, "{}: {section}", page.name);
        }
    }
}

/// The words of the help, option by option: its name, what stands for its value, and what it does.
#[test]
fn what_the_help_says_of_options_and_commands_is_on_the_page() {
    let shop = Shop::new();
    let mut options = 0;
    for page in written(&shop) {
        let help = shop.run(&page.words().into_iter().chain(["--help"]).collect::<Vec<_>>()).expect(0).stdout;
        let said = page.plain();
        for line in help.lines().filter(|line| is_option(line)) {
            let names = line.trim_start().split("  ").next().unwrap();
            // `--hz <HZ>...` is `--hz HZ...` on the page.
            let names = names.replace(['<', '>'], "");
            assert!(said.contains(&format!(".TP {names} ")), "{}: {names}", page.name);
            options += 1;
        }
        for known in
            commands().iter().filter(|words| words.split_last().is_some_and(|(_, above)| above == page.words()))
        {
            let name = known.last().unwrap();
            assert!(said.contains(&format!(".TP {name} ")), "{}: {name}", page.name);
        }
        // Everything else that the help says, word for word.
        for text in texts(&help) {
            assert!(said.contains(&plain(&text).replace('`', "")), "{}: {text}\n{said}", page.name);
        }
    }
    assert!(options > 150, "{options}");
}

/// A line of a list that begins with an option, and not with a number below nought.
fn is_option(line: &str) -> bool {
    line.starts_with("  ")
        && line
            .trim_start()
            .strip_prefix('-')
            .is_some_and(|rest| rest.starts_with(|next: char| next == '-' || next.is_ascii_alphabetic()))
}

/// What a help screen says in sentences: each paragraph, and what each option does. Not its first one, which is the page's name;
/// nor its commands.
fn texts(help: &str) -> Vec<String> {
    let (mut texts, mut text) = (vec![], String::new());
    let mut is_passed_over = true;
    for line in help.lines().chain([""]) {
        let (is_option, is_heading) = (is_option(line), line.ends_with(':') && !line.starts_with(' '));
        let line = line.trim();
        let term = line.split("  ").next().unwrap();
        let is_term = is_option || line.starts_with('<') || (line.starts_with('[') && term.ends_with([']', '.']));
        if line.is_empty() || is_heading || is_term {
            let ended = std::mem::take(&mut text);
            if !is_passed_over && !ended.is_empty() && !ended.starts_with("Print ") {
                texts.push(ended);
            }
            is_passed_over &= !line.is_empty() && !is_term;
            is_passed_over |= line == "Commands:";
            text = if is_term { line[term.len()..].trim().to_owned() } else { text };
        } else if line.starts_with("Usage:") {
            is_passed_over = true;
        } else {
            text = if text.is_empty() { line.to_owned() } else { format!("{text} {line}") };
        }
    }
    texts
}

/// mandoc(1) names what a page should not hold; `-W style` is the strictest level.
#[test]
fn mandoc_finds_nothing() {
    if !needs("mandoc", runs("mandoc", &["-T", "ascii", "/dev/null"])) {
        return;
    }
    let shop = Shop::new();
    for page in written(&shop) {
        let ran = Ran::of(Command::new("mandoc").args(["-T", "lint", "-W", "style"]).arg(&page.path));
        assert!(ran.code == Some(0) && ran.stdout.is_empty(), "{}{}", ran.stdout, ran.stderr);
        let shown =
            Ran::of(Command::new("mandoc").args(["-T", "ascii", "-O", "width=78"]).arg(&page.path)).expect(0).stdout;
        for line in shown.lines() {
            let width = without_overstrikes(line).chars().count();
            assert!(width <= 80, "{}: {width} columns: {line}", page.name);
        }
    }
    // And it does find what is wrong.
    let wrong = shop.path().join("wrong.1");
    fs::write(&wrong, ".SH NAME\nx\n").unwrap();
    let ran = Ran::of(Command::new("mandoc").args(["-T", "lint", "-W", "style"]).arg(wrong));
    assert!(ran.code != Some(0) && ran.stdout.contains("missing manual title"), "{ran:?}");
}

/// Bold is a letter struck twice, underlined an underscore struck first.
fn without_overstrikes(line: &str) -> String {
    let mut shown: Vec<char> = vec![];
    for character in line.chars() {
        match character {
            '\u{8}' => drop(shown.pop()),
            other => shown.push(other),
        }
    }
    shown.into_iter().collect()
}

/// A default stands once, whether the help says it in words or clap adds it.
#[test]
fn every_default_is_said_once() {
    let mut said = 0;
    for page in written(&Shop::new()) {
        for item in page.section("OPTIONS").split(".TP\n") {
            let count = plain(item).matches("[default: ").count();
            assert!(count <= 1, "{}: {item}", page.name);
            said += count;
        }
    }
    assert!(said > 30, "{said}");
}

/// Two commands that share an option say of it what holds for each.
#[test]
fn shared_options_say_what_holds_for_the_command() {
    let pages = written(&Shop::new());
    let (bench, drill) =
        (by_name(&pages, "cornerset-learn-bench").plain(), by_name(&pages, "cornerset-learn-drill").plain());
    assert!(bench.contains("the same level and number, the same bench") && !bench.contains("the same questions"));
    assert!(bench.contains("[default: none, the name stands alone]") && !bench.contains("the key of whoever signs"));
    assert!(drill.contains("the same number, the same questions"));
    assert!(by_name(&pages, "cornerset-set").plain().contains("[default: the key of whoever signs"));
}

#[test]
fn every_variable_that_the_program_reads_is_named() {
    let shop = Shop::new();
    let pages = written(&shop);
    let said: String = pages.iter().map(|page| plain(page.section("ENVIRONMENT"))).collect();
    let mut read = 0;
    for path in
        ["src/terminal/voice.rs", "src/terminal/passphrase.rs", "src/terminal/player.rs", "src/commands/common.rs"]
    {
        for rest in source(path).split("env::var").skip(1) {
            let name = rest.split('"').nth(1).unwrap();
            assert!(said.contains(name), "{path} reads {name}");
            read += 1;
        }
    }
    assert_eq!(read, 6, "NO_COLOR, TERM, SSH_ASKPASS, SSH_ASKPASS_REQUIRE, PATH, CORNERSET_STORE");
    let elsewhere = ["src/terminal", "src/commands", "src/store"].iter().flat_map(|folder| files_below(folder));
    let count = elsewhere.map(|path| fs::read_to_string(path).unwrap().matches("env::var").count()).sum::<usize>();
    assert_eq!(count, read, "another file reads a variable");
    // TMPDIR has a function of its own in std, and one in the library for temporary files.
    let reading: Vec<_> = ["src/terminal", "src/commands", "src/store"]
        .iter()
        .flat_map(|folder| files_below(folder))
        .filter(|path| {
            let text = fs::read_to_string(path).unwrap();
            let code = text.split("mod tests {").next().unwrap();
            ["temp_dir()", "tempfile::tempfile()", "::tempdir()", "NamedTempFile::new()"]
                .iter()
                .any(|call| code.contains(call))
        })
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(
        reading.iter().map(String::as_str).collect::<BTreeSet<_>>(),
        BTreeSet::from(["folder.rs", "openssh.rs"])
    );
    // The first keeps a tone that is played, the second what ssh-keygen signs.
    for name in ["cornerset", "cornerset-tone", "cornerset-set", "cornerset-learn-bench"] {
        let environment = plain(by_name(&pages, name).section("ENVIRONMENT"));
        assert!(environment.contains(".TP TMPDIR "), "{name}: {environment}");
    }
}

fn files_below(folder: &str) -> Vec<std::path::PathBuf> {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    let mut files = vec![];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() { folders.push(path) } else { files.push(path) }
        }
    }
    files.retain(|path| path.extension().is_some_and(|end| end == "rs"));
    files
}

/// The table in the head of `src/store/mod.rs` is what the store is made of.
#[test]
fn every_file_of_a_store_is_named() {
    let shop = Shop::new();
    let pages = written(&shop);
    let said = plain(pages.iter().find(|page| page.name == "cornerset").unwrap().section("FILES"));
    let rows: Vec<String> = source("src/store/mod.rs")
        .lines()
        .filter_map(|line| line.strip_prefix("//! | `")?.split('`').next().map(str::to_owned))
        .collect();
    assert!(rows.len() > 8, "{rows:?}");
    for row in rows {
        assert!(said.contains(&row), "{row}");
    }
}

#[test]
fn every_other_page_that_is_named_is_there() {
    let shop = Shop::new();
    let pages = written(&shop);
    for page in &pages {
        let said = page.plain();
        for named in said.split("(1)").map(|text| text.rsplit([' ', '.', ',']).next().unwrap_or_default()) {
            let is_ours = named.starts_with("cornerset");
            assert!(!is_ours || pages.iter().any(|other| other.name == named), "{}: {named}", page.name);
        }
    }
}

#[test]
fn a_page_by_its_command_or_all_into_a_folder() {
    let shop = Shop::new();
    let pages = written(&shop);
    for page in &pages {
        let ran = shop.run(&[&["man"][..], &page.words()].concat()).expect(0);
        assert_eq!(ran.stdout, page.text, "{}", page.name);
    }
    let quoted = shop.run(&["man", "records list", "--json"]).expect(0).json();
    assert_eq!(quoted["page"], "cornerset-records-list.1");
    assert_eq!(quoted["text"], by_name(&pages, "cornerset-records-list").text);
    let json = shop.run(&["man", "-o", "again", "--json"]).expect(0).json();
    assert_eq!(json["pages"].as_array().unwrap().len(), pages.len());
    assert!(Path::new(json["pages"][0].as_str().unwrap()).is_absolute());
}

fn by_name<'a>(pages: &'a [Page], name: &str) -> &'a Page {
    pages.iter().find(|page| page.name == name).unwrap()
}

#[test]
fn nothing_is_written_where_it_does_not_belong() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    fs::write(shop.path().join("file"), "mine").unwrap();
    fs::create_dir_all(shop.store().join("records")).unwrap();
    let inside = shop.store().join("records");
    for folder in [inside.to_str().unwrap(), "file", "file/pages"] {
        let ran = shop.run(&["man", "-o", folder]).expect(3);
        assert!(ran.stderr.starts_with("cornerset: ") && ran.stdout.is_empty(), "{ran:?}");
    }
    assert_eq!(fs::read_dir(inside).unwrap().count(), 0);
    assert_eq!(fs::read_to_string(shop.path().join("file")).unwrap(), "mine");
    let ran = shop.run(&["man", "records", "sing"]).expect(2);
    assert!(ran.stderr.contains("`records sing`"), "{}", ran.stderr);
    shop.run(&["man", "targets", "-o", "pages"]).expect(2);
    shop.run(&["man", "help"]).expect(2);
}
