//! The system calls of a session, read off by strace, and the same session with one of them struck.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

use crate::common::{PROGRAM, Shop, outside};
use crate::trial::{Start, Struck, Trial};

/// What a session does with files, or could: what is not called is not struck.
const NAMES: &str = "openat,read,write,lseek,fsync,fdatasync,ftruncate,rename,renameat,renameat2,link,linkat,symlink,symlinkat,mkdir,\
                     mkdirat,rmdir,unlink,unlinkat,chmod,fchmod,fchmodat,flock,statx,newfstatat,getdents64,close,exit_group";

/// One call of a clean run.
#[derive(Debug, Clone)]
pub struct Call {
    /// Its name.
    pub name: String,
    /// The how manieth of that name.
    pub nth: usize,
    /// As strace wrote it, to be shown where it was not survived.
    pub text: String,
    /// What is called of which part of the store; ids, years and random names are left out, so that it is the same in another run.
    pub kind: String,
    /// The how manieth of that kind, and whether none comes after it.
    pub turn: usize,
    pub is_last: bool,
    /// Whether it works on a file or folder of the store.
    pub of_store: bool,
    /// How far the close is.
    pub stage: Stage,
}

/// How far a close is when a call begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd)]
pub enum Stage {
    /// The session is worked on, or the chain is looked for.
    Before,
    /// The folder of records was seen to, and the record is put into it.
    Putting,
    /// The record is in place and lasts.
    Over,
}

impl Call {
    pub fn is_of(&self, names: &[&str]) -> bool {
        names.contains(&self.name.as_str())
    }
}

/// Every call of a clean run from this start, in order; `None` where they cannot be read off here.
pub fn calls(start: Start) -> Option<&'static [Call]> {
    static READ: OnceLock<Option<[Vec<Call>; 2]>> = OnceLock::new();
    let read = READ.get_or_init(|| can_trace().then(|| [Start::New, Start::Used].map(read_off)));
    if !outside::needs("strace", read.is_some()) {
        return None;
    }
    read.as_ref().map(|read| read[usize::from(start == Start::Used)].as_slice())
}

fn can_trace() -> bool {
    outside::runs("strace", &["-f", "--seccomp-bpf", "-o", "/dev/null", "-e", "inject=fsync:error=EIO:when=1", "true"])
}

fn read_off(start: Start) -> Vec<Call> {
    let trial = Trial::new(start);
    let calls = calls_of(&trial.shop, &trial.session());
    trial.ended_well();
    assert!(calls.last().is_some_and(|call| call.stage == Stage::Over), "the record was seen to be put in place");
    calls
}

/// Every call of a command that ends well.
pub fn calls_of(shop: &Shop, command: &Command) -> Vec<Call> {
    let (ran, trace) = traced(shop, command, &["-e", &format!("trace={NAMES}")]);
    assert_eq!(ran.code, Some(0), "{ran:?}");
    calls_in(&shop.store(), &trace)
}

/// The calls of the process itself; the other thread only waits for signals.
fn calls_in(store: &Path, trace: &str) -> Vec<Call> {
    let store = store.display().to_string();
    let process = trace.split_whitespace().next().expect("a process").to_owned();
    let mut calls: Vec<Call> = vec![];
    let (mut stage, mut is_put) = (Stage::Before, false);
    for line in trace.lines() {
        // strace counts each thread by itself.
        let Some(call) = line.strip_prefix(&process).map(str::trim_start) else { continue };
        let Some((name, _)) = call.split_once('(').filter(|_| !call.starts_with(['<', '+', '-'])) else { continue };
        let kind = kind_of(name, call, &store);
        let nth = 1 + calls.iter().filter(|other| other.name == name).count();
        let turn = 1 + calls.iter().filter(|other| other.kind == kind).count();
        let before = stage;
        is_put |= kind == "renameat2 records/YEAR/ID.json";
        match (kind.as_str(), stage) {
            ("fsync records", Stage::Before) => stage = Stage::Putting,
            ("fsync records/YEAR", Stage::Putting) if is_put => stage = Stage::Over,
            _ => {}
        }
        if let Some(other) = calls.iter_mut().rfind(|other| other.kind == kind) {
            other.is_last = false;
        }
        let of_store = call.contains(&store);
        let (name, text) = (name.to_owned(), call.to_owned());
        calls.push(Call { name, nth, text, kind, turn, is_last: true, of_store, stage: before });
    }
    calls
}

/// The name of a call, what it is called for, and the last path of the store in it, without what differs from run to run.
fn kind_of(name: &str, text: &str, store: &str) -> String {
    let mut kind = name.to_owned();
    for (of, flag, word) in [
        ("open", "O_DIRECTORY", " to list"),
        ("open", "O_CREAT", " to make"),
        ("stat", "_NOFOLLOW", " itself"),
        ("stat", ", \"\"", " held"),
    ] {
        if name.contains(of) && text.contains(flag) {
            kind += word;
        }
    }
    let Some((_, path)) = text.rsplit_once(store) else { return kind };
    for part in path.split(['"', '>', '(']).next().unwrap_or_default().split('/').skip(1) {
        let (stem, end) = part.rsplit_once('.').unwrap_or((part, ""));
        let is_year = part.len() == 4 && part.bytes().all(|byte| byte.is_ascii_digit());
        let part = match (stem.len(), end) {
            (36, "json" | "ndjson") => format!("ID.{end}"),
            (7, "part") => "PART".to_owned(),
            _ if is_year => "YEAR".to_owned(),
            _ => part.to_owned(),
        };
        kind += &format!("/{part}");
    }
    kind.replacen('/', " ", 1)
}

/// The session with this call struck in this way.
#[track_caller]
pub fn struck(trial: &Trial, call: &Call, how: &str) -> Struck {
    struck_in(&trial.shop, &trial.session(), call, how)
}

/// A command with this call struck in this way: strace says that it was this one, and that it was struck.
#[track_caller]
pub fn struck_in(shop: &Shop, command: &Command, call: &Call, how: &str) -> Struck {
    let inject = format!("inject={}:{how}:when={}", call.name, call.nth);
    let only = format!("trace={}", call.name);
    let mut options = vec!["-e", &only, "-e", &inject];
    // Stopping at these calls alone is faster; but a signal that is sent at such a stop is lost.
    if !how.starts_with("signal") {
        options.push("--seccomp-bpf");
    }
    let (struck, text) = traced(shop, command, &options);
    let hit = match how {
        "signal=KILL" => text.contains("+++ killed by SIGKILL"),
        "signal=TERM" => text.contains("--- SIGTERM"),
        _ => text.contains("(INJECTED)"),
    };
    assert!(hit, "not struck: {struck:?}");
    let same = calls_in(&shop.store(), &text).into_iter().find(|other| other.nth == call.nth).expect("the call");
    assert_eq!(same.kind, call.kind, "another call was struck: {}", same.text);
    struck
}

/// A command under strace with these options: how it ended, and the calls as strace wrote them.
pub fn traced(shop: &Shop, command: &Command, options: &[&str]) -> (Struck, String) {
    let trace = shop.path().join("trace");
    let mut strace = Command::new("strace");
    strace.args(["-f", "-y", "-s", "8", "-o"]).arg(&trace).args(options).arg(PROGRAM).args(command.get_args());
    strace.env_clear().current_dir(shop.path()).stdin(std::process::Stdio::null());
    strace.envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
    strace.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    let struck = Struck::of(&mut strace);
    (struck, std::fs::read_to_string(&trace).unwrap_or_default())
}
