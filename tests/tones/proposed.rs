//! The checking tones of a plan are those that a session names whose readings come out as they should.

use cornerset::corner::{Reading, Reference};
use cornerset::filter::{Alignment, Family};
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

/// A session up to its sweep, with this filter and corner, set exactly.
fn set(alignment: Alignment, corner: f64, reference: f64) -> State {
    let mut state = State::new(Opened {
        id: "01900000-0000-7000-8000-000000000000".to_owned(),
        bench: "bench".to_owned(),
        entry: EntryMode::Script,
        practice: false,
        tool: "cornerset".to_owned(),
        at: at(),
    });
    let tone = Inputs::default_tone(alignment, Hertz::new(corner));
    let target = reference * alignment.response(tone, Hertz::new(corner)).ratio();
    while let Some(question) = state.next() {
        let typed = match question {
            Question::Slope => alignment.slope().db_per_octave().to_string(),
            Question::Family => alignment.family().word().to_owned(),
            Question::Rule => "own".to_owned(),
            Question::Corner => format!("{corner} Hz"),
            Question::Caution => "understood".to_owned(),
            Question::Reference => format!("{reference} V"),
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

#[test]
fn they_are_what_a_session_names() {
    for alignment in Alignment::candidates().filter(|alignment| alignment.family() != Family::SecondOrder) {
        for (corner, reference) in [(27.0, ASSUMED_REFERENCE.volts()), (41.5, 3.0)] {
            let mut state = set(alignment, corner, reference);
            let mut named = vec![];
            while let Advice::Play(proposal) = state.advice(Question::Sweep) {
                named.push(proposal.tone);
                let volts = reference * alignment.response(proposal.tone, Hertz::new(corner)).ratio();
                answer(&mut state, Question::Sweep, &format!("{}={volts:.9}/{reference}", proposal.tone.hz()));
            }
            let corner = Hertz::new(corner);
            let inputs = Inputs {
                corner: CornerChoice::Own(corner, None),
                alignment,
                reference: Reference { reading: Reading::steady(Volts::new(reference)), mark: None },
                tone: Inputs::default_tone(alignment, corner),
                tolerance: Tolerance::USUAL,
                meter: MeterSpec::USUAL,
                range_held: true,
            };
            assert_eq!(checking_tones(&inputs), named, "{alignment}, {reference} V");
        }
    }
}
