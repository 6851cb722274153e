//! The system calls of a session, read off by strace, and the same session with one of them struck.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

use crate::common::{PROGRAM, outside};
use crate::trial::{Start, Struck, Trial};

/// What a session does with files.
const NAMES: &str = "openat,read,write,lseek,fsync,fdatasync,ftruncate,rename,renameat,renameat2,linkat,mkdir,unlink,unlinkat,flock,\
                     statx,close,exit_group";

/// One call of a clean run.
#[derive(Debug, Clone)]
pub struct Call {
    /// Its name.
    pub name: String,
    /// The how manieth of that name.
    pub nth: usize,
    /// As strace wrote it, to be shown where it was not survived.
    pub text: String,
    /// Whether it works on a file or folder of the store.
    pub of_store: bool,
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
    let text = std::fs::read_to_string(&trace).expect("a trace");
    let store = trial.shop.store().display().to_string();
    let process = text.split_whitespace().next().expect("a process").to_owned();
    let mut calls: Vec<Call> = vec![];
    for line in text.lines() {
        // strace counts each thread by itself; the other one only waits for signals.
        let Some(call) = line.strip_prefix(&process).map(str::trim_start) else { continue };
        let Some((name, _)) = call.split_once('(').filter(|_| !call.starts_with(['<', '+', '-'])) else { continue };
        let nth = 1 + calls.iter().filter(|other| other.name == name).count();
        let of_store = call.contains(&store);
        calls.push(Call { name: name.to_owned(), nth, text: call.to_owned(), of_store });
    }
    calls
}

/// The session with this call struck in this way; whether strace says that it was.
pub fn struck(trial: &Trial, call: &Call, how: &str) -> (Struck, bool) {
    let trace = trial.shop.path().join("trace");
    let inject = format!("inject={}:{how}:when={}", call.name, call.nth);
    let only = format!("trace={}", call.name);
    let mut options = vec!["-e", &only, "-e", &inject];
    // Stopping at these calls alone is faster; but a signal that is sent at such a stop is lost.
    if !how.starts_with("signal") {
        options.push("--seccomp-bpf");
    }
    let struck = run(trial, &trace, &options);
    let text = std::fs::read_to_string(&trace).unwrap_or_default();
    (struck, text.contains("(INJECTED)") || text.contains("+++ killed by"))
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
