//! The system calls of a session, read off by strace, and the same session with one of them struck.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

use crate::common::{PROGRAM, outside};
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
    /// Whether it works on a file or folder of the store.
    pub of_store: bool,
    /// Whether the record is in place and lasts before this is called.
    pub is_over: bool,
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
    let trace = trial.shop.path().join("trace");
    let ran = run(&trial, &trace, &["-y", "-s", "8", "-e", &format!("trace={NAMES}")]);
    assert_eq!(ran.code, Some(0), "{ran:?}");
    trial.ended_well();
    let calls = calls_in(&trial, &std::fs::read_to_string(&trace).expect("a trace"));
    assert!(calls.last().is_some_and(|call| call.is_over), "the record was seen to be put in place");
    calls
}

/// The calls of the process itself; the other thread only waits for signals.
fn calls_in(trial: &Trial, trace: &str) -> Vec<Call> {
    let store = trial.shop.store().display().to_string();
    let process = trace.split_whitespace().next().expect("a process").to_owned();
    let mut calls: Vec<Call> = vec![];
    let (mut is_put, mut is_over) = (false, false);
    for line in trace.lines() {
        // strace counts each thread by itself.
        let Some(call) = line.strip_prefix(&process).map(str::trim_start) else { continue };
        let Some((name, _)) = call.split_once('(').filter(|_| !call.starts_with(['<', '+', '-'])) else { continue };
        let nth = 1 + calls.iter().filter(|other| other.name == name).count();
        let (kind, of_store) = (kind_of(name, call, &store), call.contains(&store));
        is_put |= kind == "renameat2 records/YEAR/ID.json";
        let is_lasting = is_put && kind == "fsync records/YEAR";
        calls.push(Call { name: name.to_owned(), nth, text: call.to_owned(), kind, of_store, is_over });
        is_over |= is_lasting;
    }
    calls
}

/// The name of a call, what it is called for, and the last path of the store in it, without what differs from run to run.
fn kind_of(name: &str, text: &str, store: &str) -> String {
    let mut kind = name.to_owned();
    for (flag, word) in
        [("O_DIRECTORY", " to list"), ("O_CREAT", " to make"), ("_NOFOLLOW", " itself"), ("_EMPTY_PATH", " held")]
    {
        if text.contains(flag) {
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

/// The session with this call struck in this way: strace says that it was this one, and that it was struck.
#[track_caller]
pub fn struck(trial: &Trial, call: &Call, how: &str) -> Struck {
    let trace = trial.shop.path().join("trace");
    let inject = format!("inject={}:{how}:when={}", call.name, call.nth);
    let only = format!("trace={}", call.name);
    let mut options = vec!["-y", "-s", "8", "-e", &only, "-e", &inject];
    // Stopping at these calls alone is faster; but a signal that is sent at such a stop is lost.
    if !how.starts_with("signal") {
        options.push("--seccomp-bpf");
    }
    let struck = run(trial, &trace, &options);
    let text = std::fs::read_to_string(&trace).unwrap_or_default();
    let hit = match how {
        "signal=KILL" => text.contains("+++ killed by SIGKILL"),
        "signal=TERM" => text.contains("--- SIGTERM"),
        _ => text.contains("(INJECTED)"),
    };
    assert!(hit, "not struck: {struck:?}");
    let same = calls_in(trial, &text).into_iter().find(|other| other.nth == call.nth).expect("the call");
    assert_eq!(same.kind, call.kind, "another call was struck: {}", same.text);
    struck
}

fn run(trial: &Trial, trace: &Path, options: &[&str]) -> Struck {
    let session = trial.session();
    let mut command = Command::new("strace");
    command.args(["-f", "-o"]).arg(trace).args(options).arg(PROGRAM).args(trial.arguments());
    command.env_clear().current_dir(trial.shop.path()).stdin(std::process::Stdio::null());
    for (name, value) in session.get_envs() {
        if let Some(value) = value {
            command.env(name, value);
        }
    }
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    Struck::of(&mut command)
}
