//! The checking tones of a plan are those that a session names whose readings come out as they should.
//!
//! This holds two parts of the project against each other and nothing outside: it shows that they agree, not that either is right.
//! That the tones tell filters apart rests on the responses and the fit, which `tests/numbers` holds against scipy.

use cornerset::corner::{Mark, Reading, Reference};
use cornerset::filter::Alignment;
use cornerset::meter::{MeterSpec, Tolerance};
use cornerset::plan::{CornerChoice, Inputs};
use cornerset::quantity::{Hertz, Volts};
use cornerset::session::{Advice, EntryMode, Moment, Opened, Question, State};
use cornerset::tone::{ASSUMED_REFERENCE, checking_tones};

fn at() -> Moment {
    Moment::new(chrono::DateTime::parse_from_rfc3339("2026-02-01T08:00:00+00:00").unwrap())
}

fn answer(state: &mut State, question: Question, typed: &str) {
    let entry = state.judge(question, typed, false, at()).unwrap_or_else(|refusal| panic!("{question}: {refusal}"));
    state.apply(entry).unwrap();
}

/// A session up to its sweep, whose knob stands right for this plan.
fn set(inputs: &Inputs) -> State {
    let (alignment, corner) = (inputs.alignment, inputs.corner.corner());
    let mut state = State::new(Opened {
        id: "01900000-0000-7000-8000-000000000000".to_owned(),
        bench: "bench".to_owned(),
        entry: EntryMode::Script,
        practice: false,
        tool: "cornerset".to_owned(),
        at: at(),
    });
    let reference = inputs.reference;
    let target = reference.true_volts(alignment, inputs.tone).volts() * alignment.response(inputs.tone, corner).ratio();
    while let Some(question) = state.next() {
        let typed = match question {
            Question::Slope => alignment.slope().db_per_octave().to_string(),
            Question::Family => alignment.family().word().to_owned(),
            Question::Rule => "own".to_owned(),
            Question::Q => alignment.q().unwrap().to_string(),
            Question::Bypass if reference.mark.is_some() => "no".to_owned(),
            Question::ReferenceMark => format!("{} Hz", reference.mark.unwrap().at.hz()),
            Question::Corner => format!("{} Hz", corner.hz()),
            Question::Caution => "understood".to_owned(),
            Question::Reference => format!("{} V", reference.reading.volts.volts()),
            Question::Reading if state.has_begun(Question::Reading) => {
                answer(&mut state, Question::Accept, "yes");
                continue;
            }
            Question::Reading => format!("{target:.9} V"),
            Question::Sweep => return state,
            Question::Job | Question::Technician => "A".to_owned(),
            Question::Tuning => "unknown".to_owned(),
            other => state.default_answer(other).unwrap_or_default(),
        };
        answer(&mut state, question, &typed);
    }
    panic!("no sweep");
}

fn plan(alignment: Alignment, corner: f64, reference: f64, mark: Option<f64>) -> Inputs {
    let corner = Hertz::new(corner);
    let mark = mark.map(|at| Mark { at: Hertz::new(at), uncertainty: Mark::USUAL_UNCERTAINTY });
    Inputs {
        corner: CornerChoice::Own(corner, None),
        alignment,
        reference: Reference { reading: Reading::steady(Volts::new(reference)), mark },
        tone: Inputs::default_tone(alignment, corner),
        tolerance: Tolerance::USUAL,
        meter: MeterSpec::USUAL,
        range_held: true,
    }
}

/// The tones that the session names, one after the other.
fn named(inputs: &Inputs) -> Vec<Hertz> {
    let mut state = set(inputs);
    let (alignment, reference) = (inputs.alignment, inputs.reference);
    let open = reference.true_volts(alignment, inputs.tone).volts();
    let mut named = vec![];
    while let Advice::Play(proposal) = state.advice(Question::Sweep) {
        named.push(proposal.tone);
        let left = open * alignment.response(proposal.tone, inputs.corner.corner()).ratio();
        let own = if reference.mark.is_none() { format!("/{open}") } else { String::new() };
        answer(&mut state, Question::Sweep, &format!("{}={left:.9}{own}", proposal.tone.hz()));
    }
    named
}

/// Every family and slope, filters with a Q, low references, and filters that stay in.
#[test]
fn they_are_what_a_session_names() {
    let assumed = ASSUMED_REFERENCE.volts();
    for alignment in Alignment::candidates().chain([0.6, 1.3].map(Alignment::second_order)) {
        for (corner, volts, mark) in [(27.0, assumed, None), (41.5, 3.0, None), (30.0, 6.0, Some(12.0))] {
            let inputs = plan(alignment, corner, volts, mark);
            assert_eq!(checking_tones(&inputs), named(&inputs), "{alignment}, {corner} Hz, {volts} V");
        }
    }
}

/// Where a Q is given, the filter of that Q is one of those that are held against the readings: two tones leave another one open
/// beside it, and a third is named. Without it among them there would be two.
#[test]
fn a_filter_with_a_q_is_one_of_those_that_are_told_apart() {
    for (q, mark) in [(0.75, None), (0.577, Some(20.75))] {
        let inputs = plan(Alignment::second_order(q), 41.5, 3.0, mark);
        let tones = checking_tones(&inputs);
        assert_eq!(tones.len(), 3, "{q}: {tones:?}");
        assert_eq!(tones, named(&inputs), "{q}");
    }
}
