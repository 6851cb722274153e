//! The bench's filter and its meter's droop against scipy.signal, and its output against the numbers that plans are made of.

use std::io::Write;
use std::process::{Command, Stdio};

use cornerset::filter::Alignment;
use cornerset::practice::{Bench, Level, Move, Truth};
use cornerset::quantity::Hertz;
use serde_json::{Value, json};

use crate::common::outside;

const SEEDS: u64 = 60;

/// A bench with a tone, the knob somewhere and the volume up.
struct Played {
    truth: Truth,
    tone: Hertz,
    /// What the meter shows, the middle of what it hunts over; none where it is past its range.
    shown: Option<f64>,
    /// By how many display steps that may be off, by the digits of the specification.
    step: f64,
    digits: f64,
    accuracy: f64,
}

fn played(level: Level, seed: u64, dial: f64, tone: Hertz) -> Played {
    let mut bench = Bench::new(level, seed);
    let tone = bench.sheet().tones.nearest(tone);
    for a_move in [Move::Play(tone), Move::Volume(22), Move::Turn(dial)] {
        bench.make(a_move).unwrap();
    }
    let truth = bench.truth();
    let texts = bench.shown();
    let numbers: Option<Vec<f64>> = texts.iter().map(|text| text.parse().ok()).collect();
    let shown = numbers.map(|numbers| numbers.iter().sum::<f64>() / numbers.len() as f64);
    let decimals = texts[0].split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let print = bench.sheet().meter;
    Played {
        truth,
        tone,
        shown,
        step: 0.1_f64.powi(decimals as i32),
        digits: f64::from(print.spec.digits),
        accuracy: print.spec.accuracy.fraction(),
    }
}

fn everywhere() -> Vec<Played> {
    let mut all = vec![];
    for level in Level::ALL {
        for seed in 1..=SEEDS {
            for (dial, tone) in [(1.0, 16.0), (4.3, 25.0), (6.5, 40.0), (3.0, 100.0)] {
                all.push(played(level, seed, dial, Hertz::new(tone)));
            }
        }
    }
    all
}

/// scipy.signal 1.x: butter, bessel(norm='mag'), freqs and freqs_zpk, through `responses.py`.
fn by_scipy(played: &[Played]) -> Option<Vec<Value>> {
    let is_there = outside::runs("python3", &["-c", "import scipy.signal"]);
    if !outside::needs("python3 with scipy", is_there) {
        return None;
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/practice/responses.py");
    let mut child = Command::new("python3")
        .args(["-B", script])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python starts");
    let lines: String = played
        .iter()
        .map(|played| {
            let Truth { alignment, corner, meter_droop, .. } = played.truth;
            let (family, order) = (alignment.family().word(), alignment.slope().order());
            let (corner, tone, droop) = (corner.hz(), played.tone.hz(), meter_droop.hz());
            format!(
                "{}\n",
                json!({"family": family, "order": order, "q": alignment.q(), "corner": corner, "tone": tone, "droop": droop})
            )
        })
        .collect();
    let mut stdin = child.stdin.take().expect("a pipe");
    let writer = std::thread::spawn(move || stdin.write_all(lines.as_bytes()));
    let output = child.wait_with_output().expect("python ends");
    writer.join().expect("the writer ends").expect("all is written");
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).expect("UTF-8");
    Some(said.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect())
}

#[test]
fn the_output_is_as_scipy_computes_it() {
    let played = everywhere();
    let Some(expected) = by_scipy(&played) else { return };
    assert_eq!(expected.len(), played.len());
    let mut seen: Vec<Alignment> = vec![];
    for (played, expected) in played.iter().zip(&expected) {
        let ratio = played.truth.output.over(played.truth.unfiltered);
        let by_scipy = expected["filter"].as_f64().unwrap();
        assert!((ratio / by_scipy - 1.0).abs() < 1e-9, "{:?}: {ratio} against {by_scipy}", played.truth);
        if !seen.contains(&played.truth.alignment) {
            seen.push(played.truth.alignment);
        }
    }
    assert!(seen.len() >= 12, "filters that were looked at: {seen:?}");
}

/// In every band the specification holds; below it a drooping meter shows as much less as scipy says, and a good deal more
/// than the specification allows on some bench.
#[test]
fn the_meter_droops_as_scipy_computes_it() {
    let played = everywhere();
    let Some(expected) = by_scipy(&played) else { return };
    let mut beyond = 0;
    for (played, expected) in played.iter().zip(&expected) {
        let Some(shown) = played.shown else { continue };
        let drooped = expected["meter"].as_f64().unwrap() * played.truth.output.volts();
        let limit = played.accuracy * drooped * 1.02 + played.digits * played.step;
        assert!((shown - drooped).abs() <= limit, "{shown} against {drooped} +- {limit}");
        beyond += usize::from((shown - played.truth.output.volts()).abs() > limit);
        if played.truth.meter_droop.hz() > 0.0 {
            let at = |hz: f64| (1.0 + (played.truth.meter_droop.hz() / hz).powi(2)).powf(-0.5);
            assert!((0.95..0.985).contains(&at(25.0)), "a few per cent at 25 Hz");
        }
    }
    assert!(beyond > 20, "readings that the specification does not hold for, below its band: {beyond}");
}

/// The numbers that plans are made of say the same.
#[test]
fn the_output_is_what_the_core_computes() {
    for level in Level::ALL {
        for seed in 1..=SEEDS {
            let played = played(level, seed, 4.3, Hertz::new(25.0));
            let ratio = played.truth.alignment.response(played.tone, played.truth.corner).ratio();
            assert!((played.truth.output.over(played.truth.unfiltered) / ratio - 1.0).abs() < 1e-12);
        }
    }
}
