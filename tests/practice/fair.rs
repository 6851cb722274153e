//! What is told of a learner is fair: nobody is blamed for what was right, and what was answered otherwise than the job says is
//! named. The expected sentences follow from how each bench is set up here.

use cornerset::learn::{left, slips};
use cornerset::practice::{Level, Move};
use cornerset::quantity::Hertz;
use cornerset::session::{LogEntry, NoteEntry, Question};

use crate::follower::{Check, Follower};

/// What the meter shows, the middle of what hunts.
fn volts(learner: &Follower) -> f64 {
    let shown = learner.bench.shown();
    shown.iter().map(|text| text.parse::<f64>().unwrap()).sum::<f64>() / shown.len() as f64
}

/// Reads the reference where the knob or the switch stands now.
fn read_reference(learner: &mut Follower) {
    learner.bring_up();
    let reference = learner.read();
    assert!(learner.give(Question::Reference, &reference), "{:?}", learner.refused);
}

/// Halves the dial until the meter shows the target, and accepts it.
fn set(learner: &mut Follower) {
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..14 {
        let dial = (low + high) / 2.0;
        learner.make(Move::Turn(dial));
        if volts(learner) > learner.state.plan().unwrap().setting.target.volts() { low = dial } else { high = dial }
    }
    let reading = format!("{:.2}", volts(learner));
    assert!(learner.give(Question::Reading, &reading), "{:?}", learner.refused);
    assert!(learner.give(Question::Accept, "yes"), "{:?}", learner.refused);
}

/// A learner whose reference is read and whose knob is set, these answers given in place of those that the panel prints.
fn answered(level: Level, seed: u64, answers: &[(Question, &str)]) -> Follower {
    let mut learner = Follower::new(level, seed, Check::AsAsked);
    learner.prepare();
    for (question, typed) in answers {
        assert!(learner.give(*question, typed), "{:?}", learner.refused);
    }
    learner.prepare();
    let tone = learner.state.tone().unwrap();
    learner.make(Move::Play(tone));
    learner.take_out();
    read_reference(&mut learner);
    learner.make(Move::In);
    set(&mut learner);
    learner
}

fn told(learner: &Follower) -> Vec<String> {
    slips(&learner.state).iter().map(ToString::to_string).collect()
}

/// Any print can be the mark, not the lowest alone.
#[test]
fn another_print_than_the_lowest_is_a_mark_too() {
    let mut cases = 0;
    for seed in 1..60 {
        let mut learner = Follower::new(Level::Awkward, seed, Check::OwnReferences);
        let print = learner.bench.sheet().prints[1];
        if print.corner.hz() >= 0.9 * learner.bench.sheet().wanted().hz() {
            continue;
        }
        learner.prepare();
        if !learner.give(Question::ReferenceMark, &print.corner.hz().to_string()) {
            continue;
        }
        learner.prepare();
        let tone = learner.state.tone().unwrap();
        learner.make(Move::Play(tone));
        learner.make(Move::Turn(print.dial));
        read_reference(&mut learner);
        set(&mut learner);
        let dial = learner.bench.dial();
        learner.make(Move::Play(Hertz::new(31.5)));
        let reading = learner.read();
        learner.make(Move::Turn(print.dial));
        let reference = learner.read();
        assert!(learner.give(Question::Sweep, &format!("31.5={reading}/{reference}")), "{:?}", learner.refused);
        learner.make(Move::Turn(0.0));
        learner.make(Move::Turn(dial));
        let told = told(&learner);
        assert!(told.iter().all(|slip| !slip.contains("Sweep 1") && !slip.contains("Reference")), "{seed}: {told:?}");
        // Large shares that cancel each other would be invented: no print is off by 15 %, no meter by 5.
        for sentence in left(&learner.state) {
            let shares =
                sentence.split('(').skip(1).map(|share| share.split(' ').next().unwrap().parse::<f64>().unwrap());
            assert!(shares.into_iter().all(|share| share.abs() < 15.0), "{seed}: {sentence}");
        }
        cases += 1;
    }
    assert!(cases >= 3, "{cases}");
}

/// A second-order filter with a Q of 0.7071 is a Butterworth of 12 dB/octave (any handbook).
#[test]
fn another_name_for_the_same_filter_is_no_slip() {
    let seed = (1..60).find(|seed| {
        Follower::new(Level::Friendly, *seed, Check::AsAsked).bench.sheet().label.slope.db_per_octave() == 12
    });
    let answers = [(Question::Family, "second-order"), (Question::Q, "0.7071")];
    let learner = answered(Level::Friendly, seed.unwrap(), &answers);
    assert_eq!(told(&learner), [""; 0]);
}

#[test]
fn a_q_a_rule_a_meter_and_a_corner_of_ones_own_are_named() {
    let seed = (1..400)
        .find(|seed| Follower::new(Level::Usual, *seed, Check::AsAsked).bench.sheet().label.q == Some(1.1))
        .unwrap();
    let learner = answered(Level::Usual, seed, &[(Question::Q, "0.6")]);
    assert!(told(&learner).contains(&"Q: typed 0.6, the label says 1.1.".to_owned()), "{:?}", told(&learner));
    let learner = answered(Level::Friendly, 421, &[(Question::Rule, "octave")]);
    assert_eq!(told(&learner), ["Rule: typed octave, the job says three-quarters."]);
    let learner = answered(Level::Friendly, 421, &[(Question::Rule, "own"), (Question::Corner, "24")]);
    assert_eq!(told(&learner), ["Corner: 24 Hz of your own, the job's is 19.875 Hz."]);
    let learner = answered(Level::Friendly, 421, &[(Question::MeterDigits, "9")]);
    assert_eq!(told(&learner), ["Meter: typed +-(0.5 % + 9 digits), its manual says +-(0.5 % + 2 digits)."]);
}

/// A note that reads like a move and leads elsewhere is one of another version: nothing is said of a bench that is not known.
#[test]
fn nothing_is_told_of_a_bench_of_another_version() {
    let mut learner = answered(Level::Friendly, 421, &[]);
    let text = "bench: turn 7 -> 9.99 V".to_owned();
    let note = NoteEntry { at: learner.state.opened().at, question: Question::Reading, text };
    learner.state.apply(LogEntry::Note(note)).unwrap();
    assert_eq!((told(&learner).len(), left(&learner.state).len()), (0, 0));
}
