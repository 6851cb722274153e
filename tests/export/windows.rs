//! The window beside a reading is the one it was judged by, or none.

use cornerset::export::Rows;
use cornerset::record::{ChainLink, Record};
use cornerset::session::{Moment, Opened, Question, State, replay};
use serde_json::{Value, json};

use crate::records::{objects, record, sample_of, samples};

const WINDOW: [&str; 5] = [
    "plan_setting_target_v",
    "plan_setting_low_v",
    "plan_setting_high_v",
    "plan_setting_accept_low_v",
    "plan_setting_accept_high_v",
];

/// The numbers of the readings that have a window.
fn with_window(rows: &[Value]) -> Vec<u64> {
    let has = |row: &&Value| {
        let null = row[WINDOW[0]].is_null();
        assert!(WINDOW[1..3].iter().all(|name| row[*name].is_null() == null), "{row}");
        !null
    };
    rows.iter().filter(has).map(|row| row["number"].as_u64().unwrap()).collect()
}

#[test]
fn readings_before_the_knob_was_set_again_have_none() {
    let rows = objects(Rows::Readings, &[sample_of("Boat 4, both channels")]);
    assert_eq!(rows.len(), 4);
    assert_eq!(with_window(&rows), [3, 4]);
}

#[test]
fn a_struck_reading_has_one_and_says_why_it_was_struck() {
    let rows = objects(Rows::Readings, &[sample_of("Work order 0431, hatchback")]);
    let struck: Vec<(&Value, &Value)> = rows.iter().map(|row| (&row["struck"], &row["strike_reason"])).collect();
    let (yes, no, null, why) = (json!(true), json!(false), Value::Null, json!("decimal point missed"));
    assert_eq!(struck, [(&no, &null), (&yes, &why), (&no, &null), (&no, &null)]);
    assert_eq!(with_window(&rows), [1, 2, 3, 4]);
}

/// Decision rule with a guard band: JCGM 106:2012, ILAC-G8:09/2019 section 4. The verdict in the row, which the session
/// gave, is the one that the window in the row gives; at most it is more careful where the reading says no one corner.
fn assert_judged_by_its_window(rows: &[Value]) -> usize {
    let mut judged = 0;
    for row in rows.iter().filter(|row| !row[WINDOW[0]].is_null()) {
        let number = |name: &str| row[name].as_f64();
        let (volts, low, high) = (number("volts").unwrap(), number(WINDOW[1]).unwrap(), number(WINDOW[2]).unwrap());
        let accepted =
            number(WINDOW[3]).zip(number(WINDOW[4])).is_some_and(|(low, high)| low <= volts && volts <= high);
        let verdict = match () {
            () if volts > high => "above",
            () if volts < low => "below",
            () if accepted && !row["corner_hz"].is_null() => "inside",
            () => "borderline",
        };
        assert_eq!(row["verdict"], verdict, "{row}");
        judged += 1;
    }
    judged
}

#[test]
fn the_verdict_follows_from_the_window_beside_it() {
    assert!(assert_judged_by_its_window(&objects(Rows::Readings, &samples())) >= 10);
}

/// After another tolerance and another reference, only what was read since has a window: that of the last plan.
#[test]
fn readings_of_an_earlier_plan_have_none() {
    let sample = record(&sample_of("Boat 4, both channels"));
    let opened = Opened {
        id: sample.id,
        bench: sample.bench,
        entry: sample.entry,
        practice: false,
        tool: sample.tool,
        at: sample.opened_at,
    };
    let second_reading = sample.log.iter().position(|entry| entry.event() == "accept").unwrap();
    let mut state = replay(opened, sample.log[..second_reading].to_vec()).unwrap();
    let later = [
        (Question::Tolerance, "1 %"),
        (Question::RangeHeld, "yes"),
        (Question::Gain, "yes"),
        (Question::Reference, "7.60"),
        (Question::Reading, "5.90"),
        (Question::Reading, "5.31"),
        (Question::Accept, "yes"),
    ];
    later.iter().for_each(|(question, typed)| answer(&mut state, *question, typed, sample.closed_at));
    while let Some(next) = state.next() {
        let typed = match next {
            Question::Sweep => "done",
            Question::DialMark => "unknown",
            Question::Note => "none",
            Question::SignOff => "R. Example",
            Question::Reason => "no time",
            other => panic!("{other} is asked"),
        };
        answer(&mut state, next, typed, sample.closed_at);
    }
    let record = Record::of(&state, ChainLink { sequence: 1, previous: None }).unwrap();
    let rows = objects(Rows::Readings, &[serde_json::to_value(&record).unwrap()]);
    assert_eq!(with_window(&rows), [3, 4]);
    assert_eq!(rows[2]["plan_setting_high_v"], record.plan.setting.high_v.volts());
    assert_eq!(assert_judged_by_its_window(&rows), 2);
}

fn answer(state: &mut State, question: Question, typed: &str, at: Moment) {
    let entry = state.judge(question, typed, false, at).unwrap_or_else(|refusal| panic!("{question}: {refusal}"));
    state.apply(entry).unwrap_or_else(|refusal| panic!("{question}: {refusal}"));
}
