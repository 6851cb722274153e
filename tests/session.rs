//! The session machine with a scripted operator, a fixed clock and journals that fail: no process, no files.

use std::collections::VecDeque;

use cornerset::quantity::Refusal;
use cornerset::session::{
    Ask, Clock, Desk, EntryMode, Gear, Journal, Known, LogEntry, Memory, Moment, NotKept, Notes, Opened, Operator,
    Question, Reply, State, Stop, replay, run,
};
use proptest::prelude::*;

/// A clock that starts at a fixed moment and moves a second at a time.
struct FixedClock(i64);

impl Clock for FixedClock {
    fn now(&mut self) -> Moment {
        self.0 += 1;
        Moment::new(chrono::DateTime::from_timestamp(1_790_000_000 + self.0, 0).unwrap().fixed_offset())
    }
}

/// Keeps entries in memory until it fails.
struct Kept {
    entries: Vec<LogEntry>,
    room: usize,
}

impl Journal for Kept {
    fn append(&mut self, entry: &LogEntry) -> Result<(), NotKept> {
        if self.entries.len() >= self.room {
            return Err(NotKept("the disk is full".to_owned()));
        }
        self.entries.push(entry.clone());
        Ok(())
    }
}

/// Gives replies in turn, then pauses; writes down what it was asked and what was refused.
#[derive(Default)]
struct Replies {
    replies: VecDeque<Reply>,
    asked: Vec<Ask>,
    refusals: Vec<String>,
    told: usize,
}

impl Replies {
    fn typed(answers: &[&str]) -> Self {
        Self { replies: answers.iter().map(|answer| reply(answer)).collect(), ..Self::default() }
    }
}

/// `.` is the default, `>` ends a list, `<` goes back, `! text` is a note; all else is typed.
fn reply(answer: &str) -> Reply {
    match answer {
        "." => Reply::Default,
        ">" => Reply::Done,
        "<" => Reply::Back(None),
        text => match (text.strip_prefix("! "), text.strip_prefix("< ").and_then(Question::from_word)) {
            (Some(note), _) => Reply::Note(note.to_owned()),
            (_, Some(question)) => Reply::Back(Some(question)),
            _ => Reply::Typed(text.to_owned()),
        },
    }
}

impl Operator for Replies {
    fn reply(&mut self, _state: &State, ask: &Ask, _: &mut dyn Notes) -> Result<Reply, Stop> {
        // As the keyboard does: who knows the driver says so at the tuning.
        if ask.question == Question::Driver && !ask.revisited && ask.known != Known::Before {
            return Ok(Reply::Default);
        }
        self.asked.push(ask.clone());
        Ok(self.replies.pop_front().unwrap_or(Reply::Pause))
    }

    fn refused(&mut self, _ask: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        self.refusals.push(refusal.to_string());
        Ok(())
    }

    fn logged(&mut self, state: &State, entry: &LogEntry) -> Result<(), Stop> {
        assert_eq!(state.log().last(), Some(entry), "the operator hears only of what the state holds");
        self.told += 1;
        Ok(())
    }
}

fn opened() -> Opened {
    Opened {
        id: "01900000-0000-7000-8000-000000000000".to_owned(),
        bench: "bench".to_owned(),
        entry: EntryMode::Keyboard,
        practice: false,
        tool: "test".to_owned(),
        at: FixedClock(0).now(),
    }
}

struct Session {
    state: State,
    operator: Replies,
    kept: Vec<LogEntry>,
    ended: Result<(), Stop>,
}

fn session_with(operator: Replies, room: usize, memory: Option<&Memory>) -> Session {
    let (mut state, mut operator) = (State::new(opened()), operator);
    let mut journal = Kept { entries: vec![], room };
    let mut clock = FixedClock(0);
    let mut desk = Desk { operator: &mut operator, clock: &mut clock, journal: &mut journal, memory };
    let ended = run(&mut state, &mut desk);
    Session { state, operator, kept: journal.entries, ended }
}

fn session(answers: &[&str]) -> Session {
    session_with(Replies::typed(answers), usize::MAX, Some(&Memory::default()))
}

/// Everything up to the caution, all defaults, tuning 36 Hz, Butterworth 24 dB/octave.
const OPENING: [&str; 21] = [
    "Van 12",
    "A. Sample",
    "Amp 2",
    "Meter 3",
    ".",
    ".",
    ".",
    "36",
    "24",
    ".",
    ".",
    ".",
    ".",
    ".",
    ".",
    "understood",
    ".",
    "8.00",
    "6.10",
    "5.66",
    ">",
];

fn after_opening(more: &[&'static str]) -> Vec<&'static str> {
    OPENING.iter().chain(more).copied().collect()
}

#[test]
fn a_whole_session_asks_in_order_and_keeps_everything() {
    let session = session(&after_opening(&["yes", ">", ".", ".", "A. Sample"]));
    assert_eq!(session.ended, Ok(()), "{:?}", session.operator.refusals);
    let asked: Vec<&str> = session.operator.asked.iter().map(|ask| ask.question.word()).collect();
    assert_eq!(
        asked.join(" "),
        "job technician amplifier meter meter-accuracy meter-digits meter-resolution tuning slope family rule bypass \
         tone tolerance range-held caution gain reference reading reading reading accept sweep dial-mark note \
         sign-off"
    );
    assert_eq!(session.operator.told, session.kept.len());
    assert_eq!(session.state.log(), session.kept);
}

#[test]
fn nothing_is_applied_or_told_that_was_not_kept() {
    let answers = after_opening(&["yes", ">", ".", ".", "A. Sample"]);
    let whole = session(&answers).kept;
    for room in 0..whole.len() {
        let short = session_with(Replies::typed(&answers), room, None);
        assert_eq!(short.ended, Err(Stop::NotKept(NotKept("the disk is full".to_owned()))), "room for {room}");
        assert_eq!(short.kept, whole[..room]);
        assert_eq!(short.state.log(), &whole[..room]);
        assert_eq!(short.operator.told, room);
        assert_eq!(replay(opened(), short.kept), Ok(short.state), "what was kept is where it stands");
    }
}

#[test]
fn going_back_sets_later_answers_aside_and_offers_them_again() {
    let session =
        session(&["Van 12", "A. Sample", "Amp 2", "Meter 3", "0.8", ".", ".", "36", "24", "< tuning", "33", "."]);
    let ask = &session.operator.asked[session.operator.asked.len() - 2];
    assert_eq!((ask.question, ask.default.as_deref()), (Question::Slope, Some("24")));
    assert_eq!(session.state.typed(Question::Tuning).as_deref(), Some("33"));
    assert_eq!(session.state.typed(Question::MeterAccuracy).as_deref(), Some("0.8"), "earlier answers stay");
    let answers = session.kept.iter().filter(|entry| entry.event() == "answer").count();
    assert_eq!(answers, 12, "nothing that was typed is taken out of the log: {answers}");
}

#[test]
fn the_cautions_stay_acknowledged_and_readings_keep_their_numbers_after_going_back() {
    let session =
        session(&after_opening(&["no", "< tuning", "33", ".", ".", ".", ".", ".", ".", ".", ".", "7.9", "6.0"]));
    let cautions = session.kept.iter().filter(|entry| entry.event() == "caution").count();
    assert_eq!(cautions, 1);
    let last = session.state.last_reading().unwrap();
    assert_eq!(last.number, 3, "{:?}", session.operator.refusals);
}

#[test]
fn readings_against_an_earlier_reference_no_longer_count() {
    let session = session(&after_opening(&["< reference", "7.90", ">"]));
    assert!(session.state.last_reading().is_none());
    assert_eq!(session.state.readings().len(), 2);
    assert!(session.operator.refusals[0].contains("at least one reading"), "{:?}", session.operator.refusals);
}

/// Looking back costs nothing: the same answer logs nothing, and the readings still count.
#[test]
fn an_unchanged_answer_to_an_earlier_question_changes_nothing() {
    for look in ["< tuning", "< reference", "< meter", "<"] {
        let before = session(&after_opening(&[])).state;
        let after = session(&after_opening(&[look, "."]));
        assert_eq!(after.kept.len(), before.log().len(), "{look}: nothing is logged");
        assert_eq!(after.state.counting_readings(), Some((1, 2)), "{look}");
        assert_eq!(after.state.plan(), before.plan(), "{look}");
    }
    let typed_again = session(&after_opening(&["< tuning", "36"]));
    assert_eq!(typed_again.state.counting_readings(), Some((1, 2)));
    let changed = session(&after_opening(&["< tuning", "33"]));
    assert_eq!(changed.state.counting_readings(), None);
}

/// A default that the new answer makes impossible is asked for, not taken for ever.
#[test]
fn what_no_longer_fits_is_asked_for_again() {
    let session = session(&after_opening(&["< tuning", "5.5", ".", ".", "own", "12"]));
    let asked: Vec<Question> = session.operator.asked.iter().rev().take(4).map(|ask| ask.question).collect();
    assert!(session.operator.asked.iter().any(|ask| ask.question == Question::Rule && ask.known == Known::No));
    assert_eq!(session.state.corner().unwrap().corner().hz(), 12.0, "{asked:?} {:?}", session.operator.refusals);
}

/// What was the usual answer and is so no longer is asked for: the corner would move with nobody looking.
#[test]
fn a_usual_answer_that_is_another_one_now_is_asked_for() {
    let untuned = ["Van 12", "A. Sample", "Amp 2", "Meter 3", ".", ".", ".", "unknown", "24", ".", ".", "25"];
    let session = session(&[&untuned[..], &["< tuning", "36", ".", "."]].concat());
    assert_eq!(session.state.log().iter().filter(|entry| entry.event() == "answer").count(), 16);
    let asked = |question| session.operator.asked.iter().rfind(|ask| ask.question == question).unwrap();
    let rule = asked(Question::Rule);
    assert_eq!((rule.known, rule.default.as_deref()), (Known::No, Some("three-quarters")));
    assert_eq!(asked(Question::Family).known, Known::Before, "this one is what it was");
}

/// An answer that was typed before an earlier one was changed is taken again as typed, not as a default.
#[test]
fn what_is_taken_again_keeps_whether_it_was_typed() {
    let mut answers = OPENING;
    answers[13] = "2 %";
    let mut answers = answers.to_vec();
    answers.extend(["< tuning", "33"]);
    answers.extend(["."; 7]);
    let session = session(&answers);
    assert_eq!(session.state.typed(Question::Tolerance).as_deref(), Some("2 %"));
    assert!(!session.state.is_default(Question::Tolerance));
    assert!(session.state.is_default(Question::Tone));
}

#[test]
fn gear_without_a_name_is_no_known_gear() {
    let mut answers = OPENING;
    (answers[2], answers[3]) = (".", ".");
    let first = session(&answers);
    let mut memory = Memory::default();
    memory.remember(&first.state, FixedClock(0).now());
    assert_eq!(memory, Memory::default());
}

#[test]
fn a_note_is_taken_at_any_question_and_the_question_is_asked_again() {
    let session = session(&["! the amplifier is warm", "Van 12"]);
    let asked: Vec<Question> = session.operator.asked.iter().map(|ask| ask.question).collect();
    assert_eq!(asked, [Question::Job, Question::Job, Question::Technician]);
    assert_eq!(session.kept[0].event(), "note");
}

#[test]
fn strikes_follow_their_rules() {
    let session = session(&after_opening(&[
        "no",
        "strike 2",
        "strike 9 no such",
        "strike 2 slipped",
        "strike 2 again",
        "strike 1 too",
    ]));
    let refusals = &session.operator.refusals;
    assert!(refusals[0].contains("does not say why"), "{refusals:?}");
    assert!(refusals[1].contains("was not taken"), "{refusals:?}");
    assert!(refusals[2].contains("struck already"), "{refusals:?}");
    assert!(session.state.last_reading().is_none());
}

#[test]
fn what_only_looks_like_the_word_strikes_nothing() {
    // The Kelvin sign becomes a `k` in lower case, and is longer than one.
    let session = session(&after_opening(&["no", "stri\u{212a}e 1 why", "strikeout 1 why", "STRIKE 1 why"]));
    assert_eq!(session.operator.refusals.len(), 2, "{:?}", session.operator.refusals);
    assert!(session.state.readings()[0].struck);
}

/// The page of answers with the family unknown, and these exploring readings.
fn exploring(slope: &'static str, readings: &[&'static str]) -> Vec<&'static str> {
    let mut answers = OPENING[..17].to_vec();
    (answers[8], answers[9]) = (slope, "unknown");
    answers.extend(readings);
    answers
}

#[test]
fn a_mistyped_reading_in_a_list_can_be_struck() {
    // Linkwitz-Riley 24, corner 31 Hz, one reading mistyped.
    let readings =
        ["16=0.531/8", "24=21.16/8", "strike 2 mistyped", "24=2.116/8", "48=6.816/8", "strike 7 none", ">", "8.00"];
    let session = session(&exploring("unknown", &readings));
    assert_eq!(session.operator.refusals.len(), 1, "{:?}", session.operator.refusals);
    let filter = session.state.plan().unwrap().inputs.alignment;
    assert_eq!(filter.to_string(), "Linkwitz-Riley 24 dB/octave");
    assert_eq!(session.state.explored().len(), 3);
}

/// 48 dB/octave far below its corner: the display stands at nought.
#[test]
fn a_tone_at_which_the_meter_shows_nothing_asks_for_a_higher_one() {
    let readings = ["16=0.00/8", "24=2.116 V/8", "48=6.816/8", ">", "8.00"];
    let session = session(&exploring("unknown", &readings));
    let [refused] = session.operator.refusals.as_slice() else { panic!("{:?}", session.operator.refusals) };
    assert!(refused.contains("where the meter shows nothing, a higher tone"), "{refused}");
    assert_eq!(session.state.explored().len(), 2);
}

#[test]
fn exploring_that_leaves_the_filter_open_takes_the_slope_that_was_told_and_says_how_far_off_that_can_be() {
    // Two tones above the corner tell next to nothing.
    let readings = ["31=6.3/8", "45=7.8/8", ">", "8.00"];
    let told = session(&exploring("24", &readings));
    let plan = told.state.plan().unwrap();
    assert_eq!(plan.inputs.alignment.slope().db_per_octave(), 24);
    assert!(plan.warnings[0].contains("other filters as well: set as"), "{:?}", plan.warnings);
    assert!(session(&exploring("unknown", &readings)).state.plan().is_some());
}

#[test]
fn what_exploring_found_out_for_certain_is_remembered() {
    let readings = ["16=0.531/8", "24=2.116/8", "48=6.816/8", ">", "8.00"];
    let found = session(&exploring("unknown", &readings));
    let mut memory = Memory::default();
    memory.remember(&found.state, FixedClock(0).now());
    let answers = &memory.gear[0].answers;
    assert_eq!(answers[&Question::Family], "linkwitz-riley");
    assert_eq!(answers[&Question::Slope], "24");
}

#[test]
fn two_tones_that_are_one_tell_nothing() {
    let session = session(&exploring("24", &["20=2.0/8", "20.1=2.02/8", ">"]));
    assert!(session.operator.refusals[0].contains("fits every family"), "{:?}", session.operator.refusals);
}

#[test]
fn a_note_while_looking_back_is_no_answer_to_the_note_question() {
    let session = session(&after_opening(&["yes", ">", "< tuning", "! seen", ".", ".", "kept dry", "A. Sample"]));
    assert_eq!(session.ended, Ok(()), "{:?}", session.operator.asked.last());
    let notes: Vec<&LogEntry> = session.kept.iter().filter(|entry| entry.event() == "note").collect();
    assert_eq!(notes.len(), 2);
}

/// A filter that is out reads the reference: the tolerance reaches there, but no verdict may call that inside.
#[test]
fn the_reference_itself_is_never_inside() {
    let mut answers = OPENING;
    (answers[12], answers[13], answers[18]) = ("32", "3 dB", "8.00");
    let session = session(&answers[..19]);
    let last = session.state.last_reading().unwrap();
    assert!(session.state.plan().unwrap().setting.window.high > last.judged.reading.volts);
    assert_eq!(last.judged.verdict.word(), "borderline");
}

/// Readings around a Butterworth 24 at 27 Hz, up to 2.5 dB off: it fits best, and that confirms nothing.
#[test]
fn a_fit_that_misses_its_readings_confirms_nothing() {
    let confirmed = |readings: &[&'static str]| {
        let sweep = session(&after_opening(&[&["yes"], readings].concat())).state.sweep();
        assert_eq!(sweep.fit().unwrap().alignment.to_string(), "Butterworth 24 dB/octave");
        sweep.confirmed()
    };
    assert_eq!(confirmed(&["18=1.383/8", "22=2.463/8", "34=9.175/8"]), None);
    assert_eq!(confirmed(&["18=1.55/8", "22=3.22/8", "34=7.43/8"]), Some(true));
}

#[test]
fn a_list_has_an_end() {
    let mut answers = OPENING[..18].to_vec();
    answers.extend(["5.66"; 5001]);
    let session = session(&answers);
    assert_eq!(session.state.readings().len(), 5000);
    assert!(session.operator.refusals[0].contains("5000 readings"), "{:?}", session.operator.refusals);
}

#[test]
fn an_unknown_family_without_exploring_is_a_guess_that_says_how_far_off_it_can_be() {
    let mut answers = OPENING;
    answers[9] = "unknown";
    let mut answers = answers.to_vec();
    answers.insert(17, ">");
    let session = session(&answers);
    let warnings = &session.state.plan().unwrap().warnings;
    // Linkwitz-Riley 24 turned to 0.708 on a 27 Hz tone stands at 21.7 Hz (algebra).
    assert!(warnings[0].contains("21.7 Hz (-20 %) if it is Linkwitz-Riley"), "{warnings:?}");
}

#[test]
fn one_exploring_tone_tells_nothing_and_is_refused() {
    let mut answers = OPENING.to_vec();
    answers[9] = "unknown";
    answers.insert(17, "20=2.0/8.0");
    answers.insert(18, ">");
    let session = session(&answers);
    assert!(
        session.operator.refusals[0].contains("one tone, which fits every family"),
        "{:?}",
        session.operator.refusals
    );
}

#[test]
fn known_gear_is_its_technicians_and_the_filter_its_amplifiers() {
    let first = session(&after_opening(&["yes", ">", ".", ".", "A. Sample"]));
    let mut memory = Memory::default();
    memory.remember(&first.state, FixedClock(0).now());
    let known = |technician: &'static str, amplifier: &'static str| {
        let operator = Replies::typed(&["Van 13", technician, amplifier, ".", ".", ".", ".", "33", "."]);
        let session = session_with(operator, usize::MAX, Some(&memory));
        session
            .operator
            .asked
            .into_iter()
            .filter(|ask| ask.known != Known::No)
            .map(|ask| ask.question)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        known("a. sample", "AMP 2"),
        [
            Question::Meter,
            Question::MeterAccuracy,
            Question::MeterDigits,
            Question::MeterResolution,
            Question::Slope,
            Question::Family
        ]
    );
    assert_eq!(known("B. Sample", "Amp 2"), [Question::Slope, Question::Family]);
    assert_eq!(known("B. Sample", "Amp 3"), []);
}

#[test]
fn a_remembered_answer_that_would_be_refused_is_not_offered() {
    let gear = Gear {
        at: FixedClock(0).now(),
        technician: "A. Sample".to_owned(),
        amplifier: "Amp 2".to_owned(),
        meter: "Meter 3".to_owned(),
        answers: [(Question::Slope, "25".to_owned()), (Question::MeterDigits, "many".to_owned())].into(),
    };
    let memory = Memory { gear: vec![gear] };
    let operator = Replies::typed(&["Van 13", "A. Sample", "Amp 2", "Meter 3", ".", ".", ".", "33"]);
    let session = session_with(operator, usize::MAX, Some(&memory));
    let default = |question| {
        let ask = session.operator.asked.iter().find(|ask| ask.question == question).unwrap();
        ask.default.clone()
    };
    assert_eq!(default(Question::MeterDigits).as_deref(), Some("5"));
    assert_eq!(default(Question::Slope), None);
}

#[test]
fn a_log_that_was_changed_does_not_replay() {
    let whole = session(&after_opening(&["yes", ">", ".", ".", "A. Sample"])).kept;
    let reading = whole.iter().position(|entry| entry.event() == "reading").unwrap();
    let mut changed = whole.clone();
    if let LogEntry::Reading(entry) = &mut changed[reading] {
        entry.typed = "5.70".to_owned();
    }
    assert_eq!(replay(opened(), changed).unwrap_err().entry, reading + 1);
    let mut dropped = whole.clone();
    dropped.remove(reading);
    assert_eq!(replay(opened(), dropped).unwrap_err().entry, reading + 1, "the numbers no longer follow");
    let mut swapped = whole;
    swapped.swap(7, 8);
    assert!(replay(opened(), swapped).is_err());
}

/// What might be typed at a question: good answers, and what is none.
fn answers_for(question: Question) -> &'static [&'static str] {
    match question {
        Question::Tuning => &["36", "33 Hz", "5.5", "unknown", "4 kHz", "nan"],
        Question::Slope => &["24", "12", "48 dB/octave", "unknown", "25"],
        Question::Family => &["butterworth", "linkwitz-riley", "bessel", "second-order", "unknown", "b"],
        Question::Q => &["0.9", "1.2", "0.5", "17"],
        Question::Rule => &["three-quarters", "octave", "own"],
        Question::Corner => &["27", "24,5", "1 kHz"],
        Question::Bypass | Question::RangeHeld | Question::Gain | Question::ReferenceConfirmed | Question::Accept => {
            &["yes", "no", "perhaps"]
        }
        Question::ReferenceMark => &["12", "9 Hz", "180"],
        Question::MarkUncertainty => &["5", "10 %"],
        Question::Tone => &["27", "22", "31.5"],
        Question::Tolerance => &["3", "0.5 dB", "10 %", "30 %"],
        Question::Caution => &["understood", "yes"],
        Question::RatedPower => &["450 W", "unknown"],
        Question::Load => &["2 ohm", "unknown"],
        Question::Explore => &["16=0.5/8.0", "24=2.1/8.0", "48=7/8", "none", "27=3"],
        Question::Reference => &["8.00", "7.96..8.04", "45", "0"],
        Question::Reading => &["6.1", "5.66", "5.6..5.7", "5.61 5.64 5.66", "9", "strike 1 slip", "strike 2 slip", "x"],
        Question::Sweep => &["20=2.2", "38=7.7/8.1", "none"],
        Question::MeterAccuracy => &["1", "0 %"],
        Question::MeterDigits => &["5", "0", "2.5"],
        Question::MeterResolution => &["0.01", "1 mV"],
        _ => &["A. Sample", "", "\u{1b}[31m"],
    }
}

/// An operator who does anything, as numbers decide.
struct Anything {
    choices: VecDeque<u16>,
    /// How many answers were taken without asking, which must come to an end.
    taken: u32,
}

impl Operator for Anything {
    fn reply(&mut self, _state: &State, ask: &Ask, _: &mut dyn Notes) -> Result<Reply, Stop> {
        if ask.known != Known::No {
            self.taken += 1;
            assert!(self.taken < 10_000, "{ask:?} is taken for ever");
            return Ok(Reply::Default);
        }
        let Some(choice) = self.choices.pop_front() else {
            return Ok(Reply::Pause);
        };
        let pick = usize::from(choice / 16);
        Ok(match choice % 16 {
            0 => Reply::Back(None),
            1 => Reply::Back(Some(Question::ALL[pick % Question::ALL.len()])),
            2 => Reply::Note("a note".to_owned()),
            3 | 4 => Reply::Done,
            5..=8 => Reply::Default,
            _ => {
                let answers = answers_for(ask.question);
                Reply::Typed(answers[pick % answers.len()].to_owned())
            }
        })
    }

    fn refused(&mut self, _ask: &Ask, _refusal: &Refusal) -> Result<(), Stop> {
        Ok(())
    }

    fn logged(&mut self, _state: &State, _entry: &LogEntry) -> Result<(), Stop> {
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    /// Any sequence of answers, strikes, notes and steps back replays to the same state, from any point on.
    #[test]
    fn anything_that_was_done_replays_to_the_same_state(choices in prop::collection::vec(any::<u16>(), 0..160)) {
        let mut state = State::new(opened());
        let mut operator = Anything { choices: choices.into(), taken: 0 };
        let mut journal = Kept { entries: vec![], room: usize::MAX };
        let mut clock = FixedClock(0);
        let memory = Memory::default();
        let mut desk = Desk { operator: &mut operator, clock: &mut clock, journal: &mut journal, memory: Some(&memory) };
        let _ = run(&mut state, &mut desk);
        prop_assert_eq!(state.log(), journal.entries.as_slice());
        let again = replay(opened(), journal.entries);
        prop_assert_eq!(again.as_ref(), Ok(&state));
        prop_assert_eq!(again.unwrap().next(), state.next());
    }
}

/// Known gear whose family is not the usual one: a new tuning takes again what is in force, and asks nothing of the driver
/// that nobody told.
#[test]
fn going_back_past_known_gear_keeps_what_is_known() {
    let gear = Gear {
        at: FixedClock(0).now(),
        technician: "A. Sample".to_owned(),
        amplifier: "Amp 9".to_owned(),
        meter: "Meter 3".to_owned(),
        answers: [(Question::Slope, "24".to_owned()), (Question::Family, "linkwitz-riley".to_owned())].into(),
    };
    let memory = Memory { gear: vec![gear] };
    let mut answers = vec!["Van 13", "A. Sample", "Amp 9", ".", ".", ".", ".", "36", ".", ".", "."];
    answers.extend(["< tuning", "33", ".", ".", "."]);
    let session = session_with(Replies::typed(&answers), usize::MAX, Some(&memory));
    assert_eq!(session.state.typed(Question::Tuning).as_deref(), Some("33"));
    assert_eq!(session.state.typed(Question::Family).as_deref(), Some("linkwitz-riley"));
    let driver_asked = session.operator.asked.iter().any(|ask| ask.question == Question::Driver);
    assert!(!driver_asked, "nobody told of a driver");
}
