//! One harness for every test that runs the program: a cleared environment, an empty home, a store of its own.

#![allow(dead_code, reason = "each test file uses a part of the harness")]

pub mod audits;
pub mod browser;
pub mod lines;
pub mod outside;
pub mod pty;
pub mod samples;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// The program under test.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_cornerset");

/// A shop of its own: home, store, working folder.
pub struct Shop {
    folder: TempDir,
}

/// What a run left behind.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl Shop {
    pub fn new() -> Self {
        Self { folder: TempDir::new().expect("a temporary folder") }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    pub fn store(&self) -> PathBuf {
        self.path().join("store")
    }

    /// A command with nothing of this machine in its environment.
    pub fn command(&self) -> Command {
        let mut command = Command::new(PROGRAM);
        command
            .env_clear()
            .env("HOME", self.path())
            .env("TZ", "UTC")
            .env("CORNERSET_STORE", self.store())
            .current_dir(self.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(self.command().args(arguments))
    }

    /// Runs with this on standard input.
    pub fn run_with_input(&self, arguments: &[&str], input: &[u8]) -> Ran {
        let mut child = self.command().args(arguments).stdin(Stdio::piped()).spawn().expect("the program starts");
        let mut stdin = child.stdin.take().expect("a pipe");
        let input = input.to_vec();
        let writer = std::thread::spawn(move || {
            // The program may stop before it has read everything.
            let _ = stdin.write_all(&input);
        });
        let output = child.wait_with_output().expect("the program ends");
        writer.join().expect("the writer ends");
        Ran::from(output)
    }

    /// Runs a scripted session.
    pub fn script(&self, script: &str) -> Ran {
        self.run_with_input(&["set", "--script", "-"], script.as_bytes())
    }

    /// Every record in the store, by path.
    pub fn records(&self) -> Vec<PathBuf> {
        let mut paths: Vec<PathBuf> = walk(&self.store().join("records"));
        paths.sort();
        paths
    }

    /// The only record, as JSON.
    pub fn record(&self) -> serde_json::Value {
        let records = self.records();
        assert_eq!(records.len(), 1, "{records:?}");
        read_json(&records[0])
    }

    /// The journals of open sessions.
    pub fn journals(&self) -> Vec<PathBuf> {
        walk(&self.store().join("open"))
    }
}

impl Ran {
    pub fn of(command: &mut Command) -> Self {
        Self::from(command.output().expect("the program runs"))
    }

    /// The one JSON document on standard output.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// Every event on standard output.
    pub fn events(&self) -> Vec<serde_json::Value> {
        self.stdout.lines().map(|line| serde_json::from_str(line).expect("a JSON event a line")).collect()
    }

    #[track_caller]
    pub fn expect(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "stdout:\n{}\nstderr:\n{}", self.stdout, self.stderr);
        self
    }
}

impl From<std::process::Output> for Ran {
    fn from(output: std::process::Output) -> Self {
        Self {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).expect("UTF-8 on standard output"),
            stderr: String::from_utf8(output.stderr).expect("UTF-8 on standard error"),
        }
    }
}

pub fn read_json(path: &Path) -> serde_json::Value {
    serde_json::from_slice(&std::fs::read(path).expect("a file")).expect("JSON")
}

/// The ids of a shop's open sessions, in the order in which they were opened.
pub fn walk_ids(shop: &Shop) -> Vec<String> {
    let mut ids: Vec<String> =
        shop.journals().iter().filter_map(|path| path.file_stem()?.to_str().map(str::to_owned)).collect();
    ids.sort();
    ids
}

fn walk(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return vec![];
    };
    entries
        .map(|entry| entry.expect("an entry").path())
        .flat_map(|path| if path.is_dir() { walk(&path) } else { vec![path] })
        .collect()
}

/// Snapshots live in `snapshots/`, whichever test file holds a text against them.
pub fn snapshots() -> insta::Settings {
    let mut settings = insta::Settings::new();
    settings.set_snapshot_path(concat!(env!("CARGO_MANIFEST_DIR"), "/snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_description("a screen of the program; made by the tests, not by hand");
    settings
}

/// Compares a text with `snapshots/NAME.snap`; ids, times and paths of the run are taken out first.
#[macro_export]
macro_rules! assert_screen {
    ($name:expr, $text:expr) => {{
        let mut settings = $crate::common::snapshots();
        settings.add_filter(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}", "[id]");
        settings.add_filter(r"/\S*/(store|records)/", "[folder]/$1/");
        settings.add_filter(r"\d{4}-\d{2}-\d{2} \d{2}:\d{2}", "[time]");
        settings.add_filter(r"bench-[0-9a-z]{6}", "[bench]");
        settings.add_filter(r"records/\d{4}/", "records/[year]/");
        settings.bind(|| insta::assert_snapshot!($name, $text));
    }};
}
