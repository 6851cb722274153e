//! Runs the program with a deadline, and holds what it says to the rules.

use std::io::{Read, Write};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use cornerset::quantity::text::visible;

use crate::common::Shop;

/// Far longer than any of these runs takes, and still seconds.
const DEADLINE: Duration = Duration::from_secs(10);
/// The longest line of an error: a few sentences with a path and an id, never what was typed in full.
const LONGEST: usize = 900;

/// What a run left behind, as bytes.
#[derive(Debug)]
pub struct Ended {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

/// Runs to the end, or fails at the deadline.
///
/// # Panics
/// Where the run takes too long, panics itself, or shows a character that acts on a terminal.
#[track_caller]
pub fn run(command: &mut Command, input: &[u8]) -> Ended {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    let input = input.to_vec();
    // The program may stop before it has read everything.
    let writer = thread::spawn(move || drop(stdin.write_all(&input)));
    let mut out = child.stdout.take().expect("a pipe");
    let mut err = child.stderr.take().expect("a pipe");
    let reader = |pipe: &mut dyn Read| {
        let mut bytes = Vec::new();
        pipe.read_to_end(&mut bytes).expect("bytes");
        bytes
    };
    let stdout = thread::spawn(move || reader(&mut out));
    let stderr = thread::spawn(move || reader(&mut err));
    let start = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("a status") {
            break status;
        }
        if start.elapsed() > DEADLINE {
            let _ = child.kill();
            panic!("{command:?} does not end");
        }
        thread::sleep(Duration::from_millis(2));
    };
    writer.join().expect("the writer ends");
    let text = |bytes| String::from_utf8(bytes).expect("UTF-8, whatever went in");
    let ended = Ended {
        code: status.code(),
        stdout: text(stdout.join().expect("the reader ends")),
        stderr: text(stderr.join().expect("the reader ends")),
    };
    assert!(!ended.stderr.contains("panicked") && ended.code != Some(101), "{command:?}\n{}", ended.stderr);
    for shown in [&ended.stdout, &ended.stderr] {
        assert_eq!(visible(&shown.replace('\n', "")), shown.replace('\n', ""), "{command:?} shows what acts");
    }
    ended
}

impl Ended {
    /// The sentence of a refusal with this exit code.
    #[track_caller]
    pub fn sentence(&self, code: i32) -> &str {
        assert_eq!(self.code, Some(code), "{self:?}");
        assert_eq!(self.stdout, "", "nothing on standard output");
        let last = self.stderr.lines().last().expect("a sentence");
        assert!(last.starts_with("cornerset: ") && last.chars().count() <= LONGEST, "{last}");
        last
    }

    /// The sentence of a refused value: it names the field and what is accepted, and shows the value, cut short.
    #[track_caller]
    pub fn refuses(&self, field: &str, value: &str) -> &str {
        let sentence = self.sentence(2);
        assert!(sentence.contains(&format!("{field}: ")), "{field} in: {sentence}");
        assert!(sentence.contains("; accepted: "), "{sentence}");
        let shown: String = visible(value.trim()).chars().take(50).collect();
        if shown.is_empty() {
            assert!(sentence.contains(&format!("{field}: nothing ")), "{sentence}");
        } else {
            assert!(sentence.contains(&shown), "{shown} in: {sentence}");
        }
        sentence
    }
}

impl Shop {
    /// Runs with these arguments and nothing on standard input.
    #[track_caller]
    pub fn tries(&self, arguments: &[&str]) -> Ended {
        run(self.command().args(arguments), b"")
    }

    /// Runs a scripted session.
    #[track_caller]
    pub fn plays(&self, script: &[u8]) -> Ended {
        run(self.command().args(["set", "--script", "-"]), script)
    }
}
