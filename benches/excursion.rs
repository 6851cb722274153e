//! A whole excursion analysis against the same computation in numpy and scipy, in one run: `cargo bench --bench excursion`.
//!
//! Driver A of the check values, 60 l tuned to 33 Hz, 40 V, Butterworth 24 dB/octave: a curve of 10,000 points with the
//! filter out and in, three rules, and the search for the lowest safe corner. `excursion.py` does the same with whole
//! arrays (it leaves out the half-power points and the drive that would be safe, which the analysis here includes).

use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use cornerset::displacement::{Analysis, Cone, Fields};

const ROUNDS: usize = 200;
const POINTS: usize = 10_000;
const DRIVER: &str = "fs_hz = 28; qes = 0.42; qms = 6; vas_l = 80; sd_cm2 = 490; re_ohm = 3.4; xmax_mm = 14; \
                      kind = vented; volume_l = 60; tuning_hz = 33; power_w = 400; load_ohm = 4";

#[expect(clippy::print_stdout, reason = "a bench reports on standard output")]
fn main() {
    let setup = Fields::from_line(DRIVER).and_then(|fields| fields.setup()).expect("a driver and a box");
    let whole = median(|| {
        let analysis = Analysis::of(black_box(setup.clone()));
        black_box(analysis.curve(POINTS - 1));
    });
    let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
    let search = median(|| {
        black_box(cone.lowest_safe_corner(black_box(setup.alignment)));
    });
    println!("analysis, 10,000 points          {:>9.1} us", micros(whole));
    println!("search for the lowest corner     {:>9.1} us", micros(search));
    match in_numpy() {
        Some((analysis, corner)) => {
            println!(
                "the same in numpy and scipy      {:>9.1} us   {:>6.1} x",
                analysis * 1e6,
                analysis / whole.as_secs_f64()
            );
            println!(
                "its search (from a ready curve)  {:>9.1} us   {:>6.1} x",
                corner * 1e6,
                corner / search.as_secs_f64()
            );
        }
        None => println!("numpy and scipy are not here: no ratio"),
    }
}

fn micros(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}

fn median(mut work: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[ROUNDS / 2]
}

/// Seconds for the analysis and for the search in it.
fn in_numpy() -> Option<(f64, f64)> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/excursion.py");
    let run = Command::new("python3").arg("-B").arg(script).output().ok().filter(|run| run.status.success())?;
    let said: serde_json::Value = serde_json::from_slice(&run.stdout).ok()?;
    Some((said["analysis_s"].as_f64()?, said["search_s"].as_f64()?))
}
