//! The pages of the manual, as the program writes them.

use std::fs;
use std::path::PathBuf;

use crate::common::Shop;

/// A page: its name without the section, and its text.
pub struct Page {
    pub name: String,
    pub path: PathBuf,
    pub text: String,
}

impl Page {
    /// The command that the page is of, as words.
    pub fn words(&self) -> Vec<&str> {
        self.name.split('-').skip(1).collect()
    }

    /// The text of a section, up to the next one.
    pub fn section(&self, name: &str) -> &str {
        let rest = self.text.split_once(&format!(".SH \"{name}\"\n")).map_or("", |(_, rest)| rest);
        rest.split(".SH ").next().unwrap()
    }

    /// The text without the marks of the macros, and one blank between words.
    pub fn plain(&self) -> String {
        plain(&self.text)
    }
}

/// Text of a page as a reader sees it, but for line ends.
pub fn plain(text: &str) -> String {
    let mut plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (mark, means) in [
        ("\\fB", ""),
        ("\\fI", ""),
        ("\\fR", ""),
        ("\\&", ""),
        ("\\-", "-"),
        ("\\(aq", "'"),
        ("\\(dq", "\""),
        ("\\(ga", "`"),
        ("\\(ha", "^"),
        ("\\(ti", "~"),
        ("\\e", "\\"),
    ] {
        plain = plain.replace(mark, means);
    }
    plain
}

/// Every page, written into a folder of the shop.
pub fn written(shop: &Shop) -> Vec<Page> {
    let folder = shop.path().join("pages");
    shop.run(&["man", "-o", folder.to_str().unwrap()]).expect(0);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort_by_key(|path| path.file_stem().map(ToOwned::to_owned));
    let page = |path: PathBuf| {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        assert_eq!(path.extension().unwrap(), "1", "{path:?}");
        Page { name, text: fs::read_to_string(&path).unwrap(), path }
    };
    paths.into_iter().map(page).collect()
}

/// Every command as the help lists them, each as its words; the program itself first, which is none.
pub fn commands() -> Vec<Vec<String>> {
    let mut found = vec![vec![]];
    let mut next = 0;
    while next < found.len() {
        let words: Vec<String> = found[next].clone();
        let help =
            Shop::new().run(&words.iter().map(String::as_str).chain(["-h"]).collect::<Vec<_>>()).expect(0).stdout;
        let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
        for line in listed.filter(|line| line.starts_with("  ") && !line.starts_with("   ")) {
            let name = line.split_whitespace().next().unwrap();
            if name != "help" {
                found.push(words.iter().cloned().chain([name.to_owned()]).collect());
            }
        }
        next += 1;
    }
    found
}
