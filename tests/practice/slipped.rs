//! Slips of every kind, each made once on purpose, and none found where the session was followed.

use cornerset::learn::{Slip, left, slips};
use cornerset::meter::Verdict;
use cornerset::practice::{Bench, Level, Move};
use cornerset::quantity::{Hertz, show};
use cornerset::session::Question;
use rayon::prelude::*;

use crate::follower::{Check, Follower, followed};

/// Someone who follows the session on a bench that says what it is, up to the reference, and then does what a test says.
struct Learner(Follower);

impl Learner {
    fn on(level: Level, seed: u64) -> Self {
        let mut follower = Follower::new(level, seed, Check::AsAsked);
        follower.prepare();
        Self(follower)
    }

    fn tone(&self) -> Hertz {
        self.0.state.tone().unwrap()
    }

    fn moves(&mut self, moves: &[Move]) -> &mut Self {
        for a_move in moves {
            self.0.make(*a_move);
        }
        self
    }

    fn volts(&self) -> f64 {
        let shown = self.0.bench.shown();
        shown.iter().map(|text| text.parse::<f64>().unwrap()).sum::<f64>() / shown.len() as f64
    }

    fn types(&mut self, question: Question, typed: &str) -> &mut Self {
        assert!(self.0.give(question, typed), "{question}: {typed} {:?}", self.0.refused);
        self
    }

    /// The reference as it is shown, the tone playing, the filter out or at its mark, the volume brought up.
    fn reference(&mut self) -> &mut Self {
        self.reference_set_up();
        let shown = self.0.read();
        self.types(Question::Reference, &shown)
    }

    fn reference_set_up(&mut self) -> &mut Self {
        let tone = self.tone();
        self.0.make(Move::Play(tone));
        self.0.take_out();
        self.0.bring_up();
        self
    }

    /// Turned until what a person would type stands at the target, and typed; then accepted.
    fn turned(&mut self, typed: impl Fn(&Self) -> f64) -> &mut Self {
        let (mut low, mut high) = (0.0, 10.0);
        for _ in 0..14 {
            let dial = (low + high) / 2.0;
            self.moves(&[Move::Turn(dial)]);
            if typed(self) > self.0.state.plan().unwrap().setting.target.volts() { low = dial } else { high = dial }
        }
        let volts = typed(self);
        self.types(Question::Reading, &format!("{volts:.3}")).types(Question::Accept, "yes")
    }

    fn ends(&mut self) -> Vec<Slip> {
        slips(&self.0.state)
    }

    /// The corner that is really there, in per cent of the wanted one.
    fn error(&self) -> f64 {
        let wanted = self.0.state.plan().unwrap().inputs.corner.corner();
        self.0.bench.truth().error(wanted).percent()
    }
}

/// The one slip that is found, as a sentence.
#[track_caller]
fn one(learner: &mut Learner) -> Slip {
    let found = learner.ends();
    let said: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(found.len(), 1, "{said:#?}");
    found[0].clone()
}

/// A slip says this, and the corner without it is near to the wanted one, while the learner's own is not.
#[track_caller]
fn explains(learner: &mut Learner, words: &str) {
    let slip = one(learner);
    let wanted = learner.0.state.plan().unwrap().inputs.corner.corner();
    let without = slip.without.expect("worked out").error_against(wanted).percent();
    assert!(slip.what.contains(words), "{slip}");
    assert!(learner.error().abs() > 1.0, "{slip}: {}", learner.error());
    assert!(without.abs() < 0.6, "{slip}: {without} of {}", learner.error());
    assert!(slip.to_string().contains("most of the error"), "{slip}");
}

const SEED: u64 = 421;

#[test]
fn a_reference_read_with_the_filter_in() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference_set_up().moves(&[Move::Turn(2.0), Move::In]);
    let (shown, volume) = (learner.0.read(), learner.0.bench.volume());
    learner.types(Question::Reference, &shown).turned(Learner::volts);
    // What it would have shown, by the bench itself.
    let mut out = Bench::new(Level::Friendly, SEED);
    for a_move in [Move::Play(learner.tone()), Move::Volume(volume), Move::Out] {
        out.make(a_move).unwrap();
    }
    explains(
        &mut learner,
        &format!("Reference: read with the filter in; out it would have shown {} V.", out.shown()[0]),
    );
}

#[test]
fn a_reference_mistyped() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference_set_up();
    let (shown, typed) = (learner.volts(), learner.volts() + 0.4);
    learner.types(Question::Reference, &format!("{typed:.2}")).moves(&[Move::In]).turned(Learner::volts);
    explains(&mut learner, &format!("Reference: typed {typed:.2} V, the meter showed {shown:.2} V."));
}

#[test]
fn a_reading_mistyped() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference().moves(&[Move::In]).turned(|learner| learner.volts() + 0.32);
    explains(&mut learner, "Reading 1: typed ");
}

#[test]
fn a_tone_of_which_another_plays() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    let other = learner.tone().times(0.92);
    learner.reference().moves(&[Move::In, Move::Play(other)]).turned(Learner::volts);
    let (played, wanted) = (show::exact_hertz(other), show::exact_hertz(learner.tone()));
    explains(&mut learner, &format!("Reading 1: read at {played} instead of {wanted}; there it would have shown "));
}

/// The source of a usual bench has no 21.75 Hz, and plays 20 Hz.
#[test]
fn a_tone_that_the_source_does_not_have() {
    let mut learner = Learner::on(Level::Usual, SEED);
    learner.types(Question::Tone, "21.75").0.prepare();
    learner.moves(&[Move::Play(Hertz::new(20.0)), Move::Out]).0.bring_up();
    let shown = learner.0.read();
    learner.types(Question::Reference, &shown).moves(&[Move::In]).turned(Learner::volts);
    explains(&mut learner, "Reading 1: read at 20 Hz instead of 21.75 Hz;");
}

#[test]
fn the_volume_moved_after_the_reference() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference();
    let volume = learner.0.bench.volume();
    learner.moves(&[Move::In, Move::Volume(volume + 1)]).turned(Learner::volts);
    explains(&mut learner, &format!("read at volume {}, where volume {volume} belongs to it", volume + 1));
}

#[test]
fn a_reading_with_the_filter_out() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference().moves(&[Move::Turn(5.0)]);
    let shown = learner.0.read();
    learner.types(Question::Reading, &shown).types(Question::Accept, "yes");
    assert!(one(&mut learner).what.contains("Reading 1: read with the filter out; in it would have shown "));
}

#[test]
fn a_reading_without_a_tone() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.types(Question::Reference, "8").types(Question::Reading, "5.66").types(Question::Accept, "yes");
    let said: Vec<String> = learner.ends().iter().map(ToString::to_string).collect();
    assert!(said.iter().any(|slip| slip.contains("Reference: ") && slip.contains("no tone was playing")), "{said:#?}");
    assert!(said.iter().any(|slip| slip.contains("Reading 1: ") && slip.contains("no tone was playing")), "{said:#?}");
}

#[test]
fn a_reading_typed_after_the_knob_was_turned_on() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.reference().moves(&[Move::In, Move::Turn(2.0)]);
    let shown = learner.0.read();
    learner.moves(&[Move::Turn(2.6)]).types(Question::Reading, &shown).types(Question::Accept, "yes");
    let slip = one(&mut learner);
    assert!(slip.what.contains("which the meter showed with the knob at 2; at 2.6 it showed "), "{slip}");
}

#[test]
fn a_knob_that_does_not_come_back_from_its_mark() {
    let mut learner = Learner::on(Level::Awkward, SEED);
    learner.reference().turned(Learner::volts).moves(&[Move::Turn(0.0)]);
    let found = learner.ends();
    assert!(found[0].what.contains("for the last reading and was left at 0."), "{found:#?}");
    assert!(found[0].without.is_some());
}

#[test]
fn a_reference_not_at_its_mark() {
    let mut learner = Learner::on(Level::Awkward, SEED);
    learner.reference_set_up().moves(&[Move::Turn(2.0)]);
    let shown = learner.0.read();
    learner.types(Question::Reference, &shown).turned(Learner::volts);
    let slip = one(&mut learner);
    assert!(
        slip.what.contains("Reference: read with the knob at 2, not at its mark; there it would have shown "),
        "{slip}"
    );
}

/// A pair of the check whose reference was read at another tone, whose tone was not played, and whose knob was moved.
#[test]
fn pairs_of_the_check() {
    let start = || {
        let mut learner = Learner::on(Level::Nasty, SEED);
        learner.reference().turned(Learner::volts);
        let dial = learner.0.bench.dial();
        (learner, dial)
    };
    let tone = Hertz::new(20.0);
    let (mut learner, dial) = start();
    let at_mark = [Move::Play(Hertz::new(63.0)), Move::Turn(0.0)];
    learner.moves(&at_mark);
    let reference = learner.0.read();
    learner.moves(&[Move::Play(tone), Move::Turn(dial)]);
    let volts = learner.0.read();
    learner.types(Question::Sweep, &format!("20={volts}/{reference}"));
    let said = sentences(&mut learner);
    assert!(
        said.iter().any(|slip| slip.contains("Sweep 1 at 20.0 Hz, its reference: read at 63 Hz instead of 20 Hz")),
        "{said:#?}"
    );

    let (mut learner, _) = start();
    let volts = learner.0.read();
    learner.types(Question::Sweep, &format!("20={volts}"));
    let said = sentences(&mut learner);
    assert!(said.iter().any(|slip| slip.contains("Sweep 1 at 20.0 Hz: read at ")), "{said:#?}");

    let (mut learner, dial) = start();
    learner.moves(&[Move::Play(tone), Move::Turn((dial + 1.5).min(10.0))]);
    let volts = learner.0.read();
    learner.types(Question::Sweep, &format!("20={volts}"));
    let said = sentences(&mut learner);
    assert!(said.iter().any(|slip| slip.contains("Sweep 1 at 20.0 Hz: the knob stood at ")), "{said:#?}");
    // Struck out, it counts no longer; the knob stands elsewhere all the same.
    learner.types(Question::Sweep, "strike 1 the knob was moved");
    let said = sentences(&mut learner);
    assert!(
        said.iter().all(|slip| !slip.contains("Sweep")) && said.iter().any(|slip| slip.contains("Knob: ")),
        "{said:#?}"
    );
}

/// While a filter is explored the knob stays, and what was typed is what was shown.
#[test]
fn pairs_that_explore() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.types(Question::Family, "unknown").0.prepare_until(Question::Explore);
    learner.moves(&[Move::Volume(20)]);
    for (hz, dial, more) in [(30.0, 3.0, 0.0), (20.0, 3.4, 0.0), (24.0, 3.0, 0.2)] {
        learner.moves(&[Move::Play(Hertz::new(hz)), Move::Out]);
        let reference = learner.0.read();
        learner.moves(&[Move::In, Move::Turn(dial)]);
        let volts = learner.volts() + more;
        learner.types(Question::Explore, &format!("{hz}={volts:.2}/{reference}"));
    }
    learner.types(Question::Explore, "done").0.prepare();
    learner.reference().moves(&[Move::In]).turned(Learner::volts);
    let said = sentences(&mut learner);
    for words in
        ["Explore 2 at 20.0 Hz: the knob stood at 3.4, for the first tone at 3.", "Explore 3 at 24.0 Hz: typed "]
    {
        assert!(said.iter().any(|slip| slip.contains(words)), "{said:#?}");
    }
    assert!(said.iter().all(|slip| !slip.contains("Explore 1")), "{said:#?}");
}

/// What was answered otherwise than it is printed.
#[test]
fn answers_that_are_not_as_printed() {
    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.types(Question::Slope, "12").0.prepare();
    learner.reference().moves(&[Move::In]).turned(Learner::volts);
    let said = sentences(&mut learner);
    assert!(said.iter().any(|slip| slip == "Slope: typed 12 dB/octave, the label says 24 dB/octave."), "{said:#?}");
    assert!(left(&learner.0.state)[0].contains("Set for Butterworth 12 dB/octave, which it is not"));

    let mut learner = Learner::on(Level::Friendly, SEED);
    learner.types(Question::Tuning, "30").0.prepare();
    learner.reference().moves(&[Move::In]).turned(Learner::volts);
    let said = sentences(&mut learner);
    assert!(said.iter().any(|slip| slip.contains("Tuning: typed 30.0 Hz, the job says 26.5 Hz")), "{said:#?}");
}

fn sentences(learner: &mut Learner) -> Vec<String> {
    learner.ends().iter().map(ToString::to_string).collect()
}

/// Who follows the session makes no slip, on a thousand benches; what is left of an error is told where it is worth a word.
#[test]
fn none_where_the_session_was_followed() {
    let asked = Level::ALL.map(|level| (level, Check::AsAsked));
    let own = [Level::Awkward, Level::Nasty].map(|level| (level, Check::OwnReferences));
    for (level, check) in asked.into_iter().chain(own) {
        let wrong: Vec<String> = (1..=250_u64)
            .into_par_iter()
            .filter_map(|seed| {
                let follower = followed(level, seed, check);
                let found = slips(&follower.state);
                let wanted = follower.bench.sheet().wanted();
                let off = follower.bench.truth().error(wanted).percent().abs();
                let is_told = off < 1.0
                    || !left(&follower.state).is_empty()
                    || follower.state.last_reading().is_none_or(|taken| taken.judged.verdict == Verdict::Above);
                let said: Vec<String> = found.iter().map(ToString::to_string).collect();
                (!found.is_empty() || !is_told).then(|| format!("{level:?} {check:?} {seed}, {off:.2} %: {said:?}"))
            })
            .collect();
        assert!(wrong.is_empty(), "{} of 250: {wrong:#?}", wrong.len());
    }
}
