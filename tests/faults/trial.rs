//! One session that is struck: its store, its script, what it said.

use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Ran, Shop};

/// Whether the struck session is the first of its store.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// A store with a key and nothing else.
    New,
    /// A store with one record.
    Used,
}

/// A shop in which a session is struck.
pub struct Trial {
    pub shop: Shop,
    pub start: Start,
    pub lines: Vec<(String, String)>,
}

/// What a struck run left behind.
#[derive(Debug)]
pub struct Struck {
    pub code: Option<i32>,
    pub signal: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

/// Twenty readings, one of them struck, a sweep, a note, signed with a key.
pub fn script() -> Lines {
    let mut lines = Lines::required().with("job", "Work order 0731").without("reading");
    for step in 0..20 {
        lines = lines.and("reading", &format!("{:.2}", 7.56 - 0.1 * f64::from(step)));
        if step == 4 {
            lines = lines.and("reading", "strike 2 mistyped");
        }
    }
    lines.and("sweep", "20 = 2.31 / 8.00").and("sweep", "38 = 7.75").and("note", "knob marked with a paint dot")
}

/// The folders and files of a store, each with its mode; a folder has no bytes.
type Files = Vec<(PathBuf, Option<Vec<u8>>, fs::Permissions)>;

/// The stores that trials begin with, made once and held in memory.
fn template(start: Start) -> &'static Files {
    static MADE: OnceLock<[Files; 2]> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let shop = Shop::new();
        shop.run(&["key", "new", "--no-passphrase", "A. Sample"]).expect(0);
        let new = files_of(&shop.store(), Path::new(""));
        shop.script(&Lines::required().with("job", "the one before").text()).expect(0);
        [new, files_of(&shop.store(), Path::new(""))]
    });
    &made[usize::from(start == Start::Used)]
}

fn files_of(root: &Path, folder: &Path) -> Files {
    let modes = |path: &Path| fs::metadata(root.join(path)).expect("it is there").permissions();
    let mut files = vec![(folder.to_owned(), None, modes(folder))];
    for entry in fs::read_dir(root.join(folder)).expect("a folder") {
        let path = folder.join(entry.expect("an entry").file_name());
        if root.join(&path).is_dir() {
            files.extend(files_of(root, &path));
        } else {
            files.push((path.clone(), Some(fs::read(root.join(&path)).expect("a file")), modes(&path)));
        }
    }
    files
}

/// Writes a store as it was.
fn write(files: &Files, root: &Path) {
    for (path, bytes, modes) in files {
        let path = root.join(path);
        match bytes {
            None => fs::create_dir(&path).expect("a folder"),
            Some(bytes) => fs::write(&path, bytes).expect("a file"),
        }
        fs::set_permissions(&path, modes.clone()).expect("modes");
    }
}

/// A folder and all that is in it, with its modes.
pub fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), &target).expect("a copy");
        }
    }
    let modes = fs::metadata(from).expect("a folder").permissions();
    fs::set_permissions(to, modes).expect("modes");
}

impl Trial {
    pub fn new(start: Start) -> Self {
        let trial = Self { shop: Shop::new(), start, lines: script().pairs().to_vec() };
        write(template(start), &trial.shop.store());
        fs::write(trial.shop.path().join("session.script"), script().text()).expect("a script");
        trial
    }

    /// Puts the store elsewhere; a link leads there.
    pub fn move_to(&self, place: &Path) {
        write(template(self.start), place);
        fs::remove_dir_all(self.shop.store()).expect("removed");
        std::os::unix::fs::symlink(place, self.shop.store()).expect("a link");
    }

    /// The session, by a script, told event by event.
    pub fn session(&self) -> Command {
        let mut command = self.shop.command();
        command.args(self.arguments());
        command
    }

    pub fn arguments(&self) -> [&'static str; 4] {
        ["--json", "set", "--script", "session.script"]
    }

    /// Goes on with a session, with the script's lines from here on.
    pub fn go_on(&self, id: &str, from: usize) -> Ran {
        let rest: String = self.lines[from..].iter().map(|(word, answer)| format!("{word}: {answer}\n")).collect();
        self.shop.run_with_input(&["--json", "set", "--resume", id, "--script", "-"], rest.as_bytes())
    }
}

impl Struck {
    pub fn of(command: &mut Command) -> Self {
        command.output().expect("the program runs").into()
    }

    /// The log entries that were told of, in order.
    pub fn told(&self) -> Vec<Value> {
        self.events().into_iter().filter(|event| event.get("at").is_some()).collect()
    }

    /// Every whole event.
    pub fn events(&self) -> Vec<Value> {
        let whole = self.stdout.rfind('\n').map_or("", |end| &self.stdout[..=end]);
        whole.lines().map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}"))).collect()
    }
}

impl From<std::process::Output> for Struck {
    fn from(output: std::process::Output) -> Self {
        Self {
            code: output.status.code(),
            signal: output.status.signal(),
            stdout: String::from_utf8_lossy(&output.stdout).into_owned(),
            stderr: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}
