//! What the session says to who follows it on a simulated bench.

use cornerset::practice::{Bench, Level, Move};
use cornerset::quantity::Hertz;
use cornerset::screens::{Screen, help, news, question};
use cornerset::session::{Advice, Ask, Known, LogEntry, Question, State};

use crate::follower::{Check, followed};

fn wide() -> Screen {
    Screen::new(80, false)
}

fn text(lines: &[cornerset::screens::Line]) -> String {
    lines.iter().map(|line| line.text.trim()).collect::<Vec<_>>().join(" ")
}

/// The session as it stood after so many entries.
fn until(state: &State, entries: usize) -> State {
    let mut before = State::new(state.opened().clone());
    for entry in &state.log()[..entries] {
        before.apply(entry.clone()).unwrap();
    }
    before
}

/// Once exploring has told one filter from all others, the check confirms it and tells apart nothing more.
#[test]
fn a_check_after_exploring_confirms() {
    let mut confirmed = 0;
    for seed in 1..=40 {
        let state = followed(Level::Usual, seed, Check::AsAsked).state;
        let first = state.log().iter().position(|entry| matches!(entry, LogEntry::Sweep(_)));
        let Some(before) = first.map(|first| until(&state, first)) else { continue };
        if before.explored().is_empty() || before.advice(Question::Explore) != Advice::Decided {
            continue;
        }
        let ask = Ask { question: Question::Sweep, default: None, known: Known::No, revisited: false };
        let said = text(&question(&before, &ask, wide()));
        assert!(!said.contains("still possible"), "{seed}: {said}");
        confirmed += usize::from(said.contains(&format!("to confirm {}.", before.alignment().unwrap())));
    }
    assert!(confirmed > 5, "{confirmed}");
}

/// A pair of the check is counted from its reference with the filter at its mark reckoned out: the quotient of the responses
/// by the formula of `true_volts`, worked out here from the plan's filter.
#[test]
fn pairs_count_from_the_true_reference() {
    let mut seen = 0;
    for seed in 1..=20 {
        let state = followed(Level::Awkward, seed, Check::OwnReferences).state;
        for (at, entry) in state.log().iter().enumerate() {
            let LogEntry::Sweep(pair) = entry else { continue };
            let (before, Some(reference)) = (until(&state, at + 1), pair.reference_v) else { continue };
            let inputs = before.plan().unwrap().inputs;
            let at_mark = inputs.alignment.response(pair.tone_hz, inputs.reference.mark.unwrap().at).ratio();
            let down = 20.0 * (reference.volts() / at_mark / pair.volts.volts()).log10();
            let said = text(&news(&before, entry, false, wide()));
            let words = if down < 0.0 { format!("{:.2} dB up", -down) } else { format!("{down:.2} dB down") };
            assert!(said.ends_with(&words) && said.chars().count() <= 60, "{said}: {words}");
            seen += 1;
        }
    }
    assert!(seen > 30, "{seen}");
}

/// Nothing is heard at volume 0, whatever plays.
#[test]
fn volume_0_is_silence() {
    for level in Level::ALL {
        let mut bench = Bench::new(level, 7);
        for a_move in [Move::Play(Hertz::new(50.0)), Move::Volume(0)] {
            bench.make(a_move).unwrap();
        }
        assert!(bench.shown().iter().all(|text| text.parse() == Ok(0.0)), "{:?}", bench.shown());
        bench.make(Move::Volume(1)).unwrap();
        assert!(bench.truth().unfiltered.volts() > 0.3, "{}", bench.truth().unfiltered.volts());
    }
}

/// The moves that are named can be made.
#[test]
fn moves_that_are_named_can_be_made() {
    for level in Level::ALL {
        let bench = Bench::new(level, 421);
        let moves = bench.moves();
        let typed: Vec<&str> = moves.split('`').skip(1).step_by(2).collect();
        assert_eq!(typed.len(), if bench.sheet().has_switch { 6 } else { 4 }, "{moves}");
        for typed in typed {
            let mut bench = bench.clone();
            bench.make(Bench::read(typed).unwrap().unwrap()).unwrap_or_else(|refusal| panic!("{refusal}"));
        }
    }
}

/// The help knows both kinds of filter.
#[test]
fn help_speaks_of_filters_that_stay_in() {
    for list in [Question::Explore, Question::Sweep] {
        let said = text(&help(list, wide()));
        assert!(said.contains("with the filter out") && said.contains("down at its mark"), "{said}");
    }
}
