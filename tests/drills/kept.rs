//! A learner's progress: what holds, what is kept, and what is no progress.

use chrono::DateTime;
use cornerset::learn::{FinishedLesson, Form, KEPT, Progress, Skill, Standing, TriedBench, forms_of};
use cornerset::quantity::Percent;
use cornerset::session::Moment;
use proptest::prelude::*;

use crate::assert_screen;

fn some() -> Progress {
    let at = Moment::new(DateTime::parse_from_rfc3339("2026-03-05T09:30:12+01:00").unwrap());
    let mut progress = Progress::new("A. Sample");
    for right in [false, true, true] {
        progress.note(Form::VoltsOfDown, right);
    }
    progress.note(Form::Hazard, false);
    progress.lessons.push(FinishedLesson { lesson: "ratio".to_owned(), at, questions: 4, right_at_once: 3 });
    progress.benches.push(TriedBench {
        level: "friendly".to_owned(),
        seed: 7,
        corner_error_percent: Some(Percent::new(-1.25)),
        at,
    });
    progress
}

#[test]
fn a_form_holds_after_two_right_first_tries_and_a_skill_when_all_its_forms_do() {
    let mut progress = Progress::new("A. Sample");
    let form = Form::LimitInVolts;
    let mut after = |right| {
        progress.note(form, right);
        progress.standing(form)
    };
    assert_eq!(after(true), Standing::Weak);
    assert_eq!(after(true), Standing::Holds);
    assert_eq!(after(false), Standing::Weak);
    assert_eq!(after(true), Standing::Weak);
    assert_eq!(after(true), Standing::Holds);
    assert_eq!(progress.standing(Form::Verdict), Standing::New);
    assert!(!progress.holds(Skill::Meter));
    for form in forms_of(Skill::Meter).filter(|other| *other != form) {
        assert!(!progress.holds(Skill::Meter));
        progress.note(form, true);
        progress.note(form, true);
    }
    assert!(progress.holds(Skill::Meter));
    assert!(progress.weak().is_empty());
    progress.note(Form::DisplayStep, false);
    assert_eq!(progress.weak(), [Form::DisplayStep]);
    assert!(!progress.holds(Skill::Meter));
}

#[test]
fn the_last_ten_outcomes_are_kept_oldest_first_and_all_are_counted() {
    let mut progress = Progress::new("A. Sample");
    let outcomes: Vec<bool> = (0..25).map(|number| number % 3 == 0).collect();
    for right in &outcomes {
        progress.note(Form::Verdict, *right);
    }
    assert_eq!(progress.last(Form::Verdict), &outcomes[outcomes.len() - KEPT..]);
    let tries = progress.tries(Form::Verdict);
    assert_eq!((tries.asked, tries.right), (25, 9));
    assert_eq!(progress.tries_of(Skill::Window), tries);
}

#[test]
fn progress_is_read_as_it_was_written() {
    let progress = some();
    let text = progress.to_json().unwrap();
    assert_eq!(Progress::from_json(text.as_bytes()), Ok(progress));
    assert!(text.ends_with("}\n"));
    assert_screen!("progress_document", text);
}

#[test]
fn what_is_no_progress_is_refused_and_says_why() {
    let text = some().to_json().unwrap();
    let said = |text: &str| Progress::from_json(text.as_bytes()).unwrap_err().to_string();
    let with = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        said(&text.replacen(from, to, 1))
    };
    assert!(said("").starts_with("it cannot be read as a learner's progress: EOF"));
    assert!(said(&text[..text.len() / 2]).contains("EOF"));
    assert!(said("[1]").starts_with("it cannot be read"));
    assert_eq!(
        with("\"version\": 1", "\"version\": 2, \"new\": 1"),
        "it has version 2, and this program knows version 1 only"
    );
    assert!(with("\"learner\"", "\"points\": 3, \"learner\"").contains("unknown field `points`"));
    assert!(with("\"learner\"", "\"learner\": \"B. Other\", \"learner\"").contains("duplicate field `learner`"));
    assert!(with("volts-of-down", "volts-of-up").contains("an unknown kind of question"));
    let contradicts = "what it says of `volts-of-down` contradicts itself";
    assert_eq!(with("\"asked\": 3", "\"asked\": 4"), contradicts);
    assert_eq!(with("\"right\": 2", "\"right\": 1"), contradicts);
    assert_eq!(with("\"right\": 2", "\"right\": 3"), contradicts);
    assert_eq!(with("\"hazard\"", "\"volts-of-down\""), contradicts);
    let mut infinite = some();
    infinite.benches[0].corner_error_percent = Some(Percent::new(f64::INFINITY));
    assert!(infinite.to_json().is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    /// Any text, and a progress with any part replaced: read or refused, never a panic, and what is read is whole.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in any::<Vec<u8>>(), at in 0usize..700, cut in 0usize..60) {
        let _ = Progress::from_json(&bytes);
        let mut text = some().to_json().unwrap().into_bytes();
        let start = at.min(text.len());
        let end = (start + cut).min(text.len());
        text.splice(start..end, bytes);
        if let Ok(progress) = Progress::from_json(&text) {
            prop_assert_eq!(Progress::from_json(progress.to_json().unwrap().as_bytes()), Ok(progress));
        }
    }
}
