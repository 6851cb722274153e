//! Start-up against an empty process, in one run: `cargo bench --bench start_up`.
//!
//! Three commands in turn, 200 rounds: `true` (the empty process), `cornerset --version`, and a session up to its first
//! question (an empty script: the store is opened, the journal written and synced, the first question asked).

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const ROUNDS: usize = 200;

fn main() {
    let store = tempfile::tempdir().expect("a temporary folder");
    let program = env!("CARGO_BIN_EXE_cornerset");
    let mut times = [vec![], vec![], vec![]];
    for _ in 0..ROUNDS {
        times[0].push(time(Command::new("true")));
        let mut version = Command::new(program);
        version.arg("--version");
        times[1].push(time(version));
        let mut session = Command::new(program);
        session.arg("--store").arg(store.path()).args(["set", "--script", "-"]);
        times[2].push(time(session));
    }
    let [empty, version, session] = times.map(median);
    report(&[("true", empty), ("cornerset --version", version), ("session to its first question", session)], empty);
}

fn time(mut command: Command) -> Duration {
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let start = Instant::now();
    command.status().expect("the command runs");
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

#[expect(clippy::print_stdout, reason = "a bench reports on standard output")]
fn report(rows: &[(&str, Duration)], empty: Duration) {
    for (name, time) in rows {
        let ratio = time.as_secs_f64() / empty.as_secs_f64();
        println!("{name:<32} {:>8.2} ms  {ratio:>6.2} x an empty process", time.as_secs_f64() * 1e3);
    }
}
