//! Following what a session proposes: the tones that it names find the filter, a label that is wrong is found out and set
//! right, and driver and box put the corner.

use cornerset::filter::{Alignment, Family, Slope};
use cornerset::quantity::Hertz;
use cornerset::record::{ChainLink, Record};
use cornerset::session::{Advice, EntryMode, LogEntry, Memory, Moment, Opened, Question, State, replay};

/// A session, driven answer by answer; every entry goes through judge and apply as it does at the bench.
struct Bench {
    state: State,
}

/// What stands on the bench: a filter with its corner, 8 V with it out, and a meter that shows hundredths.
struct Amplifier {
    filter: Alignment,
    corner: Hertz,
}

impl Amplifier {
    fn reads(&self, tone: Hertz) -> String {
        format!("{:.2}", 8.0 * self.filter.response(tone, self.corner).ratio())
    }
}

fn at() -> Moment {
    Moment::new(chrono::DateTime::from_timestamp(1_790_000_000, 0).unwrap().fixed_offset())
}

fn opened() -> Opened {
    Opened {
        id: "01900000-0000-7000-8000-000000000000".to_owned(),
        bench: "bench".to_owned(),
        entry: EntryMode::Keyboard,
        practice: false,
        tool: "test".to_owned(),
        at: at(),
    }
}

impl Bench {
    fn new() -> Self {
        Self { state: State::new(opened()) }
    }

    fn give(&mut self, question: Question, typed: &str) {
        let entry = self.state.judge(question, typed, false, at()).unwrap_or_else(|refusal| panic!("{refusal}"));
        self.state.apply(entry).unwrap();
    }

    /// Answers from the list, and defaults, up to a question.
    fn until(&mut self, question: Question, answers: &[(Question, &str)]) {
        while let Some(next) = self.state.next().filter(|next| *next != question) {
            let typed = answers.iter().find(|(asked, _)| *asked == next).map(|(_, typed)| (*typed).to_owned());
            let typed = typed.or_else(|| self.state.default_answer(next)).unwrap_or_else(|| panic!("{next}"));
            self.give(next, &typed);
        }
        assert_eq!(self.state.next(), Some(question));
    }

    /// Reads every tone that is proposed; how many.
    fn follow(&mut self, list: Question, amplifier: &Amplifier) -> usize {
        let mut count = 0;
        while let Some(proposal) = self.state.proposal(list) {
            self.give(list, &format!("{}={}/8", proposal.tone.hz(), amplifier.reads(proposal.tone)));
            count += 1;
            assert!(count <= 5, "no end of tones");
        }
        count
    }
}

fn alignment(family: Family, slope: u32) -> Alignment {
    Alignment::new(family, Slope::new(slope).unwrap()).unwrap()
}

const OPENING: [(Question, &str); 5] = [
    (Question::Job, "Van 12"),
    (Question::Technician, "A. Sample"),
    (Question::Tuning, "36"),
    (Question::Caution, "understood"),
    (Question::Reference, "8"),
];

fn with<'a>(more: &[(Question, &'a str)]) -> Vec<(Question, &'a str)> {
    OPENING.iter().chain(more).copied().collect()
}

/// Knobs from well below to well above the wanted corner of 27 Hz, every candidate filter: the named tones are few, and
/// the filter is found, or is among those that the session says are still open.
#[test]
fn the_tones_that_are_named_find_the_filter() {
    let mut tones = vec![];
    let (mut found, mut cases) = (0, 0);
    for filter in Alignment::candidates() {
        for corner in [16.0, 21.5, 27.0, 33.3, 45.0, 60.0] {
            let mut bench = Bench::new();
            bench.until(Question::Explore, &with(&[(Question::Slope, "unknown"), (Question::Family, "unknown")]));
            tones.push(bench.follow(Question::Explore, &Amplifier { filter, corner: Hertz::new(corner) }));
            let fit = bench.state.explored_fit(None).unwrap().unwrap();
            assert!(fit.open().any(|open| open == filter), "{filter} at {corner} Hz is ruled out: {fit:?}");
            let is_near = (fit.corner.hz() / corner - 1.0).abs() < 0.1;
            assert!(is_near || fit.alignment != filter, "{filter} at {corner} Hz is put at {} Hz", fit.corner.hz());
            cases += 1;
            found += usize::from(fit.open().count() == 1);
        }
    }
    tones.sort_unstable();
    assert!(tones[tones.len() / 2] <= 3);
    assert_eq!(found, cases, "filters that stay open");
}

/// Set by its label and accepted, then checked at the tones that are named.
fn set_and_swept(label: Alignment, amplifier: &Amplifier) -> Bench {
    let mut bench = Bench::new();
    let (slope, family) = (label.slope().db_per_octave().to_string(), label.family().word());
    bench.until(Question::Reading, &with(&[(Question::Slope, &slope), (Question::Family, family)]));
    bench.give(Question::Reading, &amplifier.reads(Hertz::new(27.0)));
    bench.give(Question::Accept, "yes");
    bench.follow(Question::Sweep, amplifier);
    bench.give(Question::Sweep, "done");
    bench
}

/// Where a knob has to stand so that a filter taken for another one reads the other one's target.
fn set_by_label(label: Alignment, actual: Alignment) -> Amplifier {
    let target = label.response(Hertz::new(27.0), Hertz::new(27.0)).down();
    Amplifier { filter: actual, corner: actual.corners_from_down(Hertz::new(27.0), target).single().unwrap() }
}

/// Every label on every filter, read to 0.01 V without another error: a right label is never denied, a wrong one always
/// found out.
#[test]
fn a_label_is_checked_at_the_tones_that_are_named() {
    let (mut found, mut wrong) = (0, 0);
    for label in Alignment::candidates() {
        for actual in Alignment::candidates() {
            let bench = set_and_swept(label, &set_by_label(label, actual));
            let confirmed = bench.state.sweep().confirmed();
            if label == actual {
                assert_ne!(confirmed, Some(false), "{label} is denied");
                continue;
            }
            wrong += 1;
            found += usize::from(confirmed == Some(false));
        }
    }
    assert_eq!(found, wrong, "wrong labels that pass");
}

/// Labelled Butterworth 24, it is a Linkwitz-Riley 24: by the label the knob ends at 21.7 Hz, a fifth too low (algebra:
/// (sqrt 2 - 1)^(1/4) = 0.8022 of the wanted corner). The session finds out, and sets it right on the same reference.
#[test]
fn a_wrong_label_is_found_out_and_the_knob_set_again() {
    let (label, actual) = (alignment(Family::Butterworth, 24), alignment(Family::LinkwitzRiley, 24));
    let amplifier = set_by_label(label, actual);
    assert!((amplifier.corner.hz() - 27.0 * 0.802_243).abs() < 1e-4);
    let mut bench = set_and_swept(label, &amplifier);
    let fit = bench.state.sweep().fit().unwrap().clone();
    assert_eq!(fit.alignment, actual);
    assert!((fit.corner.hz() - amplifier.corner.hz()).abs() < 0.1);

    assert_eq!(bench.state.next(), Some(Question::SetAgain));
    bench.give(Question::SetAgain, "yes");
    assert_eq!(bench.state.next(), Some(Question::Reading), "back to the knob");
    let plan = bench.state.plan().unwrap();
    assert_eq!(plan.inputs.alignment, actual);
    // 6.02 dB down at the corner (Linkwitz, 1976): half the reference.
    assert!((plan.setting.target.volts() - 4.0).abs() < 1e-12);

    let right = Amplifier { filter: actual, corner: Hertz::new(27.0) };
    bench.give(Question::Reading, &right.reads(Hertz::new(27.0)));
    bench.give(Question::Accept, "yes");
    assert!(bench.follow(Question::Sweep, &right) >= 1);
    bench.give(Question::Sweep, "done");
    assert_eq!(bench.state.sweep().confirmed(), Some(true));
    bench.until(Question::SignOff, &[]);
    bench.give(Question::SignOff, "A. Sample");

    let record = Record::of(&bench.state, ChainLink { sequence: 1, previous: None }).unwrap();
    assert_eq!((record.filter.family, record.outcome.family_confirmed), (Family::LinkwitzRiley, Some(true)));
    assert!((record.outcome.corner_hz.unwrap().hz() - 27.0).abs() < 0.05);
    let again = replay(opened(), bench.state.log().to_vec()).unwrap();
    assert_eq!(again, bench.state, "a session is a function of its log");
}

/// A new answer to the family after the knob was set again is believed.
#[test]
fn a_family_that_is_answered_anew_counts_more_than_what_was_found() {
    let (label, actual) = (alignment(Family::Butterworth, 24), alignment(Family::LinkwitzRiley, 24));
    let mut bench = set_and_swept(label, &set_by_label(label, actual));
    bench.give(Question::SetAgain, "yes");
    assert_eq!(bench.state.alignment(), Some(actual));
    // A new tuning sets the answers aside; taken up again they leave what was found alone.
    bench.give(Question::Tuning, "35");
    bench.until(Question::Rule, &[(Question::Slope, "24"), (Question::Family, "butterworth")]);
    assert_eq!(bench.state.alignment(), Some(actual));
    bench.give(Question::Family, "bessel");
    assert_eq!(bench.state.found(), None);
    assert_eq!(bench.state.alignment(), Some(alignment(Family::Bessel, 24)));
    // To name the label again, or another amplifier, takes it back too.
    for (question, typed) in [(Question::Family, "butterworth"), (Question::Amplifier, "Other amp")] {
        let mut bench = set_and_swept(label, &set_by_label(label, actual));
        bench.give(Question::SetAgain, "yes");
        bench.give(question, typed);
        assert_eq!(bench.state.found(), None, "{question}");
    }
}

/// One reading that tells the label apart but leaves several filters open: the plan says so, and nothing is remembered as
/// known for certain.
#[test]
fn a_filter_that_is_found_among_others_is_set_for_with_a_warning() {
    let (label, actual) = (alignment(Family::Butterworth, 24), alignment(Family::LinkwitzRiley, 12));
    let amplifier = set_by_label(label, actual);
    let mut bench = Bench::new();
    bench.until(Question::Reading, &with(&[(Question::Slope, "24")]));
    bench.give(Question::Reading, &amplifier.reads(Hertz::new(27.0)));
    bench.give(Question::Accept, "yes");
    bench.give(Question::Sweep, &format!("40={}/8", amplifier.reads(Hertz::new(40.0))));
    assert!(matches!(bench.state.advice(Question::Sweep), Advice::Play(_)), "one more tone is named");
    bench.give(Question::Sweep, "done");
    bench.give(Question::SetAgain, "yes");
    let others = &bench.state.found().unwrap().others;
    assert!(!others.is_empty());
    let warnings = &bench.state.plan().unwrap().warnings;
    assert!(warnings.iter().any(|warning| warning.contains(&others[0].to_string())), "{warnings:?}");
    let mut memory = Memory::default();
    memory.remember(&bench.state, at());
    assert!(memory.gear.iter().all(|gear| gear.answers[&Question::Family] == "butterworth"), "{memory:?}");
}

/// Told Linkwitz-Riley 24, three quarters of the tuning protects this cone; found out as Butterworth 24 it does not, and that
/// stands in the plan, for the screen and for the record.
#[test]
fn a_corner_that_no_longer_protects_is_named_when_the_knob_is_set_again() {
    let (label, actual) = (alignment(Family::LinkwitzRiley, 24), alignment(Family::Butterworth, 24));
    let mut bench = Bench::new();
    let opening = [(Question::Job, "Van 12"), (Question::Technician, "A. Sample"), (Question::Driver, DRIVER)];
    bench.until(Question::Tuning, &opening);
    let told = [(Question::Slope, "24"), (Question::Family, "linkwitz-riley"), (Question::Rule, "three-quarters")];
    bench.until(Question::Reading, &with(&told));
    let tone = Hertz::new(25.5);
    let down = label.response(tone, tone).down();
    let amplifier = Amplifier { filter: actual, corner: actual.corners_from_down(tone, down).single().unwrap() };
    let says_so = |bench: &Bench| {
        let warnings = &bench.state.plan().unwrap().warnings;
        warnings.iter().any(|warning| warning.contains("does not keep the cone within Xmax"))
    };
    assert!(!says_so(&bench), "it protects as what it is taken for");
    bench.give(Question::Reading, &amplifier.reads(tone));
    bench.give(Question::Accept, "yes");
    bench.follow(Question::Sweep, &amplifier);
    bench.give(Question::Sweep, "done");
    bench.give(Question::SetAgain, "yes");
    assert!(says_so(&bench), "{:?}", bench.state.plan().unwrap().warnings);
}

/// Which filter the knob was set again for stands in the log, and must follow from it.
#[test]
fn the_log_names_the_filter_that_the_knob_is_set_again_for() {
    let (label, actual) = (alignment(Family::Butterworth, 24), alignment(Family::LinkwitzRiley, 24));
    let mut bench = set_and_swept(label, &set_by_label(label, actual));
    bench.give(Question::SetAgain, "yes");
    let mut log = bench.state.log().to_vec();
    let LogEntry::Answer(answer) = log.last_mut().unwrap() else { panic!("an answer") };
    assert_eq!(answer.filter.as_deref(), Some("Linkwitz-Riley 24 dB/octave"));
    answer.filter = Some("Bessel 24 dB/octave".to_owned());
    assert!(replay(opened(), log).is_err(), "another filter than the readings say does not replay");
}

/// Nothing is called enough that is not: a knob so low that two tones say nothing, and readings that rise.
#[test]
fn what_is_not_enough_is_not_called_enough() {
    let mut bench = Bench::new();
    bench.until(Question::Explore, &with(&[(Question::Slope, "unknown"), (Question::Family, "unknown")]));
    bench.give(Question::Explore, "27=7.99/8.00");
    bench.give(Question::Explore, "13.5=7.99/8.00");
    let advice = bench.state.advice(Question::Explore);
    assert!(matches!(advice, Advice::Play(_) | Advice::NoFit | Advice::Open(_)), "{advice:?}");
    let mut bench = Bench::new();
    bench.until(Question::Explore, &with(&[(Question::Slope, "unknown"), (Question::Family, "unknown")]));
    bench.give(Question::Explore, "20=7.0/8.00");
    bench.give(Question::Explore, "40=2.0/8.00");
    assert_eq!(bench.state.advice(Question::Explore), Advice::NoFit);
}

/// A driver and a box of nobody's, driven so that three quarters of the tuning is not enough.
const DRIVER: &str = "fs_hz = 27; qes = 0.46; qms = 5.5; vas_l = 96; sd_cm2 = 510; re_ohm = 3.5; xmax_mm = 12; \
                      kind = vented; volume_l = 78; tuning_hz = 34; power_w = 380; load_ohm = 4";

#[test]
fn driver_and_box_put_the_corner() {
    let mut bench = Bench::new();
    let opening = [(Question::Job, "Van 12"), (Question::Technician, "A. Sample"), (Question::Driver, DRIVER)];
    bench.until(Question::Tuning, &opening);
    assert_eq!(bench.state.default_answer(Question::Tuning).as_deref(), Some("34"), "the file's tuning is offered");
    bench.until(Question::Rule, &[(Question::Slope, "24")]);
    let analysis = bench.state.excursion().unwrap();
    let safe = analysis.lowest_safe.unwrap().corner;
    assert!(safe.hz() > 34.0 * 0.75, "{safe:?}");
    assert_eq!(bench.state.default_answer(Question::Rule).as_deref(), Some("own"), "the rule's corner is too low");
    bench.give(Question::Rule, "own");
    let offered = bench.state.default_answer(Question::Corner).unwrap();
    let hz: f64 = offered.trim_end_matches(" Hz").parse().unwrap();
    assert!(hz >= safe.hz() && hz < safe.hz() + 0.1, "{offered} against {safe:?}");
    bench.until(Question::Reading, &OPENING);
    bench.give(Question::Reading, "5.66");
    bench.give(Question::Accept, "yes");
    bench.until(Question::SignOff, &[]);
    bench.give(Question::SignOff, "A. Sample");
    let record = Record::of(&bench.state, ChainLink { sequence: 1, previous: None }).unwrap();
    assert_eq!(record.enclosure.driver.as_deref(), Some(DRIVER));
    assert_eq!(record.enclosure.filter_needed, Some(true));
    assert_eq!(record.enclosure.lowest_safe_corner_hz, Some(safe));
    assert_eq!(replay(opened(), bench.state.log().to_vec()).unwrap(), bench.state);
}

/// The session's tuning counts, whatever the driver file says; a closed box has none.
#[test]
fn the_tuning_that_is_answered_counts() {
    let corner = |tuning: &str| {
        let mut bench = Bench::new();
        let opening = [(Question::Job, "Van 12"), (Question::Technician, "A. Sample"), (Question::Driver, DRIVER)];
        bench.until(Question::Tuning, &opening);
        bench.give(Question::Tuning, tuning);
        bench.until(Question::Rule, &[(Question::Slope, "24")]);
        bench.state.excursion().unwrap().rules[0].1.corner.hz()
    };
    assert!((corner("34") - 25.5).abs() < 1e-9);
    assert!((corner("30.8") - 23.1).abs() < 1e-9);
    let mut bench = Bench::new();
    let sealed = DRIVER.replace("vented", "sealed").replace("tuning_hz = 34; ", "");
    bench.until(
        Question::Tuning,
        &[(Question::Job, "Van 12"), (Question::Technician, "A. Sample"), (Question::Driver, &sealed)],
    );
    assert_eq!(bench.state.default_answer(Question::Tuning).as_deref(), Some("unknown"));
    // A tuning that nobody believes in says nothing of the box.
    let mut bench = Bench::new();
    bench.until(
        Question::Tuning,
        &[(Question::Job, "Van 12"), (Question::Technician, "A. Sample"), (Question::Driver, DRIVER)],
    );
    bench.give(Question::Tuning, "unknown");
    assert!(bench.state.excursion().is_none());
}

#[test]
fn a_driver_that_cannot_be_is_refused() {
    let bench = Bench::new();
    let mut bench_at = bench;
    bench_at.until(Question::Driver, &OPENING);
    for (line, says) in [
        ("fs_hz = 27", "re_ohm"),
        ("fs_hz = 27; fs = 3", "the nearest is fs_hz"),
        (&DRIVER.replace("qes = 0.46", "qes = 0"), "qes"),
        (&DRIVER.replace("volume_l = 78", "volume_l = 0"), "volume_l"),
        ("driver.toml", "`=`"),
        (&format!("{DRIVER}; family = bessel"), "asked for by itself"),
        (&DRIVER.replace("27; qes", "27;\tqes"), "invisible character"),
        (&"x".repeat(3000), "2000"),
    ] {
        let refusal = bench_at.state.judge(Question::Driver, line, false, at()).unwrap_err().to_string();
        assert!(refusal.contains(says), "{refusal}");
    }
}
