//! Corners from readings against the same in scipy, in one run: `cargo bench --bench corner`.
//!
//! A sweep of five pairs, as a meter shows them, fitted with every family and slope; and the corner that one reading of a
//! Bessel filter says, which has no closed form.

use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use cornerset::corner::{Fit, Pair, Reading};
use cornerset::filter::{Alignment, Family, Slope};
use cornerset::meter::MeterSpec;
use cornerset::quantity::{Hertz, Volts};

const ROUNDS: usize = 500;
/// Tone in hertz and what the meter showed in volts, against 8.00 V: Butterworth 24 at 26.4 Hz, read to a hundredth.
const PAIRS: [(f64, f64); 5] = [(18.0, 1.69), (22.0, 3.45), (27.0, 5.90), (36.0, 7.69), (52.0, 7.98)];
const REFERENCE: f64 = 8.0;
/// One reading of a Bessel filter of 24 dB per octave at 27 Hz.
const ONE: f64 = 5.66;

#[expect(clippy::print_stdout, reason = "a bench reports on standard output")]
fn main() {
    let reference = Reading::steady(Volts::new(REFERENCE));
    let pair = |(tone, volts): (f64, f64)| Pair {
        tone: Hertz::new(tone),
        reading: Reading::steady(Volts::new(volts)),
        reference: Some(reference),
    };
    let pairs = PAIRS.map(pair);
    let fitted = || Fit::of(black_box(&pairs), None, None, MeterSpec::USUAL, Alignment::candidates()).expect("a fit");
    let slope = Slope::new(24).expect("a slope");
    let bessel = Alignment::new(Family::Bessel, slope).expect("a filter");
    let one = || bessel.corners_from_volts(Hertz::new(27.0), black_box(Volts::new(ONE)), Volts::new(REFERENCE));
    let fit = median(|| drop(black_box(fitted())));
    let inverse = median(|| {
        black_box(one());
    });
    println!("fit of {} pairs, every family    {:>9.2} us", PAIRS.len(), micros(fit));
    println!("corner of one reading           {:>9.3} us", micros(inverse));
    let Some(scipy) = in_scipy() else {
        println!("scipy is not here: no ratio");
        return;
    };
    let same = |ours: f64, theirs: f64| assert!((ours / theirs - 1.0).abs() < 1e-6, "{ours} against {theirs}");
    same(fitted().corner.hz(), scipy.fit_hz);
    same(one().single().expect("one corner").hz(), scipy.one_hz);
    let row = |name: &str, theirs: f64, ours: Duration| {
        println!("{name:<31} {:>9.1} us   {:>6.0} x", theirs * 1e6, theirs / ours.as_secs_f64());
    };
    row("the same by least_squares", scipy.fit_s, fit);
    row("the same by brentq", scipy.one_s, inverse);
}

fn micros(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}

fn median(mut work: impl FnMut()) -> Duration {
    /// So often in each round: the clock does not see one.
    const TIMES: u32 = 20;
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            (0..TIMES).for_each(|_| work());
            start.elapsed() / TIMES
        })
        .collect();
    times.sort();
    times[ROUNDS / 2]
}

/// What scipy finds, and how long it takes for it.
struct Scipy {
    fit_hz: f64,
    fit_s: f64,
    one_hz: f64,
    one_s: f64,
}

fn in_scipy() -> Option<Scipy> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/corner.py");
    let run = Command::new("python3").arg("-B").arg(script).output().ok().filter(|run| run.status.success())?;
    let said: serde_json::Value = serde_json::from_slice(&run.stdout).ok()?;
    let number = |key: &str| said[key].as_f64();
    Some(Scipy {
        fit_hz: number("fit_hz")?,
        fit_s: number("fit_s")?,
        one_hz: number("one_hz")?,
        one_s: number("one_s")?,
    })
}
