//! A thousand benches set by the session's advice, beside the plain rule on the same benches.

use cornerset::practice::Level;
use rayon::prelude::*;

use crate::follower::{Check, Ended, follow};

const SEEDS: u64 = 250;

fn quantile(sorted: &[f64], share: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * share).round() as usize]
}

fn sizes(ended: &[Ended], error: impl Fn(&Ended) -> f64) -> [f64; 3] {
    let mut errors: Vec<f64> = ended.iter().map(|ended| error(ended).abs()).collect();
    errors.sort_by(f64::total_cmp);
    [quantile(&errors, 0.5), quantile(&errors, 0.95), quantile(&errors, 1.0)]
}

#[test]
fn followed() {
    for (level, check) in Level::ALL
        .into_iter()
        .map(|level| (level, Check::AsAsked))
        .chain([Level::Awkward, Level::Nasty].map(|level| (level, Check::OwnReferences)))
    {
        let ended: Vec<Ended> = (1..=SEEDS).into_par_iter().map(|seed| follow(level, seed, check)).collect();
        let [m, p, w] = sizes(&ended, |e| e.error);
        let [pm, pp, pw] = sizes(&ended, |e| e.plain);
        let found = ended.iter().filter(|e| e.filter_found).count();
        let readings: f64 = ended.iter().map(|e| e.readings as f64).sum::<f64>() / SEEDS as f64;
        eprintln!(
            "{:9} session {m:.2} {p:.2} {w:.2}  plain {pm:.2} {pp:.2} {pw:.2} readings {readings:.1} found {found}",
            level.word()
        );
        let mut bad: Vec<&Ended> = ended.iter().filter(|e| e.error.abs() > 4.0 || !e.refused.is_empty()).collect();
        bad.sort_by(|a, b| b.error.abs().total_cmp(&a.error.abs()));
        for e in bad.iter().take(12) {
            eprintln!(
                "   {} {:+.1} % found {} {} {:?} turns {} {:?}",
                e.seed, e.error, e.filter_found, e.verdict, e.confirmed, e.turns, e.refused
            );
        }
    }
}

#[test]
fn debug_one() {
    let Ok(which) = std::env::var("SHOW") else { return };
    for one in which.split(' ') {
        let (word, seed) = one.split_once(':').unwrap();
        let level = Level::ALL.into_iter().find(|level| level.word() == word).unwrap();
        let f = crate::follower::followed(
            level,
            seed.parse().unwrap(),
            if std::env::var("OWN").is_ok() { Check::OwnReferences } else { Check::AsAsked },
        );
        let t = f.bench.truth();
        let s = f.bench.sheet();
        let reference = f.state.reference().unwrap();
        eprintln!(
            "== {one} true {} corner {:.2} wanted {:.2} label {} mark {} lowest really {:.2} tones {:?} held {} spec {} set by {} tone {:?} ref {:?}",
            t.alignment,
            t.corner.hz(),
            s.wanted().hz(),
            s.label,
            s.lowest_mark().corner.hz(),
            t.lowest.hz(),
            s.tones,
            s.meter.range_held,
            s.meter.accuracy(),
            f.state.plan().unwrap().inputs.alignment,
            f.state.tone().unwrap(),
            reference.reading.volts
        );
        for entry in f.state.log() {
            match entry {
                cornerset::session::LogEntry::Explore(e) => eprintln!("   explore {}", e.typed),
                cornerset::session::LogEntry::Sweep(e) => eprintln!("   sweep {}", e.typed),
                cornerset::session::LogEntry::Reading(e) => {
                    eprintln!("   reading {} {:?} {}", e.typed, e.corner_hz.map(|c| c.hz()), e.verdict)
                }
                cornerset::session::LogEntry::Answer(e) if e.question == cornerset::session::Question::SetAgain => {
                    eprintln!("   set again {:?}", e.filter)
                }
                _ => {}
            }
        }
        let reference = f.state.reference().map(|r| r.reading);
        if let Some(fit) = f.state.explored_fit(reference) {
            match fit {
                Ok(fit) => eprintln!(
                    "   explored: {} {:.2} rms {:?} open {:?}",
                    fit.alignment,
                    fit.corner.hz(),
                    fit.rms_residual,
                    fit.open().map(|a| a.to_string()).collect::<Vec<_>>()
                ),
                Err(e) => eprintln!("   explored {e}"),
            }
        }
        eprintln!("   advice explore {:?}", f.state.advice(cornerset::session::Question::Explore));
        eprintln!("   advice sweep {:?}", f.state.advice(cornerset::session::Question::Sweep));
        if let Some(fit) = f.state.sweep().fit() {
            eprintln!(
                "   swept: {} {:.2} rms {:?} open {:?}",
                fit.alignment,
                fit.corner.hz(),
                fit.rms_residual,
                fit.open().map(|a| a.to_string()).collect::<Vec<_>>()
            );
        }
        for w in &f.state.plan().unwrap().warnings {
            eprintln!("   warn {w}");
        }
    }
}
