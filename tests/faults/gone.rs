//! The store goes away in mid-session, or may no longer be written to.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use serde_json::Value;

use crate::common::outside;
use crate::full::Small;
use crate::oracle::said;
use crate::strikes::{is_long, strike_all};
use crate::trial::{Start, Struck, Trial};

/// A session that is fed line by line.
pub struct Fed<'a> {
    trial: &'a Trial,
    child: Child,
    lines: Option<ChildStdin>,
    events: BufReader<ChildStdout>,
    stdout: String,
    next: usize,
}

impl<'a> Fed<'a> {
    pub fn start(trial: &'a Trial) -> Self {
        Self::spawn(trial, trial.shop.command())
    }

    /// By this command, to which the session's arguments are added.
    pub fn spawn(trial: &'a Trial, mut command: Command) -> Self {
        let errors = fs::File::create(trial.shop.path().join("stderr")).expect("a file");
        let mut child = command
            .args(["--json", "set", "--script", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(errors)
            .spawn()
            .expect("the program starts");
        let lines = child.stdin.take();
        let events = BufReader::new(child.stdout.take().expect("a pipe"));
        Self { trial, child, lines, events, stdout: String::new(), next: 0 }
    }

    pub fn id(&self) -> String {
        self.child.id().to_string()
    }

    /// Feeds lines up to this one, and waits until each was told of.
    pub fn feed_to(&mut self, end: usize) {
        while self.next < end {
            let (word, answer) = &self.trial.lines[self.next];
            writeln!(self.lines.as_mut().expect("a pipe"), "{word}: {answer}").expect("the program reads");
            self.next += 1;
            loop {
                let mut line = String::new();
                assert!(self.events.read_line(&mut line).expect("events") > 0, "no word of {word}: {answer}");
                let event: Value = serde_json::from_str(&line).expect("an event");
                self.stdout += &line;
                if event.get("at").is_some() && said(&event).is_some_and(|said| said == *answer) {
                    break;
                }
            }
        }
    }

    /// Feeds the rest, as far as the program takes it, and waits for its end.
    pub fn end(mut self) -> Struck {
        let mut lines = self.lines.take().expect("a pipe");
        for (word, answer) in &self.trial.lines[self.next..] {
            let _ = writeln!(lines, "{word}: {answer}");
        }
        drop(lines);
        self.wait()
    }

    /// Waits for the end, the script still open.
    pub fn wait(mut self) -> Struck {
        let mut rest = String::new();
        std::io::Read::read_to_string(&mut self.events, &mut rest).expect("events");
        let mut struck = Struck::from(self.child.wait_with_output().expect("an end"));
        struck.stdout = self.stdout + &rest;
        struck.stderr = fs::read_to_string(self.trial.shop.path().join("stderr")).expect("a file");
        struck
    }
}

/// Lines of the script after which something happens.
pub fn moments(trial: &Trial) -> Vec<usize> {
    let all = trial.lines.len();
    if is_long() { (1..all).collect() } else { vec![1, 9, all - 6, all - 1] }
}

/// Strikes a session that was fed to each of these moments, a first and a later one in turn.
#[track_caller]
pub fn strike_fed(fault: &str, strike: impl Fn(&Trial, Fed<'_>, usize) + Sync) {
    strike_all(fault, &moments(&Trial::new(Start::Used)), |at| {
        let trial = Trial::new(if at % 2 == 0 { Start::New } else { Start::Used });
        let mut fed = Fed::start(&trial);
        fed.feed_to(*at);
        strike(&trial, fed, *at);
    });
}

/// What is moved away in the store; nothing for the store itself.
#[test]
fn the_store_or_a_part_of_it_is_moved_away() {
    for (what, fault) in [("", "the store is moved away"), ("open", "the folder of journals is moved away")] {
        strike_fed(fault, |trial, fed, at| {
            let (here, away) = (trial.shop.store().join(what), trial.shop.path().join("away"));
            fs::rename(&here, &away).expect("moved");
            let struck = fed.end();
            struck.says_what_failed_of(trial, "was removed or replaced", None);
            assert!(!here.exists(), "nothing is made where the store was");
            fs::rename(&away, &here).expect("moved back");
            assert_eq!(struck.told().iter().filter_map(said).count(), at);
            trial.survives(&struck);
        });
    }
}

/// Another store in its place is not written to.
#[test]
fn the_store_is_replaced() {
    strike_fed("the store is replaced by another one", |trial, fed, _| {
        let (here, away) = (trial.shop.store(), trial.shop.path().join("away"));
        fs::rename(&here, &away).expect("moved");
        crate::trial::copy(&away, &here);
        let before = contents(&here);
        let struck = fed.end();
        struck.says_what_failed(trial, "was removed or replaced");
        assert_eq!(contents(&here), before, "the other store is as it was");
        fs::remove_dir_all(&here).expect("removed");
        fs::rename(&away, &here).expect("moved back");
        trial.survives(&struck);
    });
}

/// Deleted, nothing can be there; what can is a message, and no half store in its place.
#[test]
fn the_store_is_deleted() {
    strike_fed("the store is deleted", |trial, fed, _| {
        fs::remove_dir_all(trial.shop.store()).expect("removed");
        let struck = fed.end();
        struck.says_what_failed_of(trial, "was removed or replaced", None);
        assert!(!trial.shop.store().exists());
    });
}

/// Whoever works there may no longer write to its folders.
#[test]
fn the_store_may_no_longer_be_written() {
    let without = "--bounding-set=-dac_override,-dac_read_search";
    let is_root = fs::write("/proc/self/oom_score_adj", "0").is_ok() && outside::runs("setpriv", &[without, "true"]);
    let is_held_back = {
        let folder = tempfile::tempdir().expect("a folder");
        fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o555)).expect("modes");
        let file = folder.path().join("x").display().to_string();
        !if is_root { outside::runs("setpriv", &[without, "touch", &file]) } else { outside::runs("touch", &[&file]) }
    };
    if !outside::allows("setpriv, or another user than root", is_held_back) {
        return;
    }
    strike_all("the store may no longer be written", &moments(&Trial::new(Start::Used)), |at| {
        let trial = Trial::new(Start::New);
        let plain = trial.shop.command();
        let mut command = if is_root { Command::new("setpriv") } else { trial.shop.command() };
        if is_root {
            command.arg(without).arg(crate::common::PROGRAM).env_clear().current_dir(trial.shop.path());
            command.envs(plain.get_envs().filter_map(|(name, value)| Some((name, value?))));
            command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        }
        let mut fed = Fed::spawn(&trial, command);
        fed.feed_to(*at);
        let modes = |mode: u32| {
            for folder in ["", "open"] {
                fs::set_permissions(trial.shop.store().join(folder), fs::Permissions::from_mode(mode)).expect("modes");
            }
        };
        modes(0o555);
        // The journal is open and takes what comes; the record cannot be put anywhere.
        let struck = fed.end();
        struck.says_what_failed(&trial, "permission is denied");
        modes(0o755);
        trial.survives(&struck);
    });
}

/// A disk that comes back read-only: the session is there, and goes on once it is writable.
#[test]
fn the_disk_comes_back_read_only() {
    if !Small::is_possible() {
        return;
    }
    strike_all("killed, and the disk comes back read-only", &moments(&Trial::new(Start::Used)), |at| {
        let trial = Trial::new(Start::New);
        let small = Small::new(trial.shop.path(), 1024).expect("mounted a moment ago");
        trial.move_to(&small.top.join("store"));
        let mut fed = Fed::start(&trial);
        fed.feed_to(*at);
        fed.child.kill().expect("killed");
        let struck = fed.wait();
        let mount = trial.shop.path().join("disk");
        small.remount(&mount, "ro");
        let id = trial.shop.journals()[0].file_stem().expect("a name").to_string_lossy().into_owned();
        for ran in [trial.go_on(&id, *at), trial.shop.script("job: another\n")] {
            assert_eq!(ran.code, Some(3), "{ran:?}");
            assert!(ran.stderr.contains("the disk is read-only; make it writable"), "{ran:?}");
            assert!(ran.stderr.contains(&trial.shop.store().display().to_string()), "{ran:?}");
        }
        small.remount(&mount, "rw");
        trial.survives(&struck);
    });
}

/// Every file of a folder, with what is in it.
fn contents(folder: &Path) -> Vec<(std::path::PathBuf, Vec<u8>)> {
    let mut files: Vec<_> = crate::oracle::all_files(folder)
        .into_iter()
        .map(|path| (path.clone(), fs::read(path).expect("a file")))
        .collect();
    files.sort();
    files
}
