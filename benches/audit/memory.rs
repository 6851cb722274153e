//! The most memory that `cornerset audit --stream` takes over so many lines.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;

/// Its peak, in bytes, with the trust list of this store, read while it waits for more: every line was answered, and its input is still open.
pub fn peak(store: &Path, lines: &Path, count: usize) -> u64 {
    let mut child = Command::new(env!("CARGO_BIN_EXE_cornerset"))
        .arg("--store")
        .arg(store)
        .args(["audit", "--stream", "--allowed-signers"])
        .arg(store.join("allowed_signers"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("an audit");
    let mut input = child.stdin.take().expect("its input");
    let output = BufReader::new(child.stdout.take().expect("its output"));
    let answered = thread::spawn(move || output.split(b'\n').take(count).count());
    let mut written = 0;
    while written < count {
        let file = BufReader::with_capacity(1 << 20, fs::File::open(lines).expect("lines"));
        for line in file.split(b'\n').take(count - written) {
            let mut line = line.expect("a line");
            line.push(b'\n');
            input.write_all(&line).expect("it reads");
            written += 1;
        }
    }
    input.flush().expect("it reads");
    assert_eq!(answered.join().expect("answers"), count);
    let peak = high_water(child.id());
    drop(input);
    // Things stand out in some records.
    assert_eq!(child.wait().expect("it ends").code(), Some(1));
    peak
}

fn high_water(process: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{process}/status")).expect("a process of Linux");
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("its peak");
    line.trim().trim_end_matches("kB").trim().parse::<u64>().expect("a number") * 1024
}
