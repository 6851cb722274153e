//! The screens of a box's tuning: what was found, and the dialogue on the way to it.

use cornerset::screens::{self, Line, Screen};
use cornerset::tuning::{Dialogue, Found, Step};

use crate::play::{page, pages};

/// A dialogue after these answers.
fn after(answers: &[&str]) -> Dialogue {
    let mut dialogue = Dialogue::default();
    for answer in answers {
        dialogue.answer(answer).unwrap_or_else(|refusal| panic!("{refusal}"));
    }
    dialogue
}

/// What the answers lead to.
fn found(answers: &[&str]) -> Found {
    match after(answers).step() {
        Step::Take(found) => found,
        step => panic!("{step:?}"),
    }
}

const ROUND: [&str; 7] = ["dimensions", "48", "round", "10.2", "22", "1", "1"];
const SLOTS: [&str; 7] = ["dimensions", "1.7 ft3", "slot", "1.1 in x 11 in", "16 in", "2", "2"];
const HOLE: [&str; 7] = ["dimensions", "14", "round", "10", "1.8", "1", "2"];
/// A box tuned near 30 Hz, behind 47 ohm.
const SWEEP: [&str; 13] = [
    "impedance",
    "understood",
    "47",
    "2",
    "0.001",
    "0.373",
    "0.426",
    "0.166",
    "0.305",
    "0.317",
    "0.169",
    "29.5=0.160",
    "32=0.164",
];
/// The same box on a coarse meter, and a resistor that is too small.
const COARSE: [&str; 20] = [
    "impedance",
    "understood",
    "10",
    "1",
    "0.01",
    "0.47",
    "0.51",
    "0.30",
    "0.42",
    "0.43",
    "0.31",
    "29.5=0.30",
    "27.5=0.30",
    "31.5=0.30",
    "25.5=0.32",
    "34=0.31",
    "29=0.30",
    "30=0.30",
    "33=0.31",
    "26=0.32",
];

#[test]
fn what_was_found() {
    pages("tuning", |screen| {
        let all = |name: &str, found: &Found| {
            page(name, [screens::tuning(found, screen), screens::tuning_taken(found, screen)].concat())
        };
        vec![
            all("a round port", &found(&ROUND)),
            all("two slots", &found(&SLOTS)),
            all("a mere hole", &found(&HOLE)),
            all("a sweep", &found(&SWEEP)),
        ]
    });
}

#[test]
fn accounts_are_short_lines() {
    for answers in [&ROUND[..], &SLOTS, &HOLE, &SWEEP] {
        let account = screens::tuning_account(&found(answers));
        assert!(account.len() <= 400 && account.is_ascii() && account.starts_with("Tuning "), "{account}");
    }
}

/// The question that these answers lead to, with its prompt.
fn asked(answers: &[&str], screen: Screen) -> Vec<Line> {
    let dialogue = after(answers);
    let step = dialogue.step();
    let mut lines = screens::tuning_question(&dialogue, &step, screen);
    lines.push(Line::plain(format!("{}:", screens::tuning_prompt(&step, dialogue.on_enter(), 40))));
    lines
}

fn explained(answers: &[&str], screen: Screen) -> Vec<Line> {
    let dialogue = after(answers);
    screens::tuning_help(&dialogue, &dialogue.step(), screen)
}

/// Every place of the dialogue.
fn places() -> Vec<(&'static str, Vec<&'static str>)> {
    let nothing = ["impedance", "understood", "0.2", "2", "0.001", "1.99", "1.99", "1.99"];
    let sealed = [
        "impedance",
        "understood",
        "47",
        "2",
        "",
        "0.155",
        "0.191",
        "0.314",
        "0.827",
        "0.265",
        "0.166",
        "0.141",
        "0.556",
        "0.417",
        "0.787",
        "0.593",
        "0.133",
        "0.133",
        "0.143",
        "0.137",
        "0.134",
    ];
    let until = |answers: &[&'static str], count: usize| answers[..count].to_vec();
    vec![
        ("method", until(&ROUND, 0)),
        ("volume", until(&ROUND, 1)),
        ("port", until(&ROUND, 2)),
        ("port-diameter", until(&ROUND, 3)),
        ("slot", until(&SLOTS, 3)),
        ("port-length", until(&ROUND, 4)),
        ("ports", until(&ROUND, 5)),
        ("flanged-ends", until(&ROUND, 6)),
        ("take", until(&ROUND, 7)),
        ("caution", until(&SWEEP, 1)),
        ("series-ohm", until(&SWEEP, 2)),
        ("source-v", until(&SWEEP, 3)),
        ("meter-resolution", until(&SWEEP, 4)),
        ("first reading", until(&SWEEP, 5)),
        ("first reading, a source that is hazardous", vec!["impedance", "understood", "47", "40", ""]),
        ("second reading", until(&SWEEP, 6)),
        ("one peak passed", until(&SWEEP, 8)),
        ("two peaks passed", until(&SWEEP, 11)),
        ("take a sweep", until(&SWEEP, 13)),
        ("again, a resistor too small", nothing.to_vec()),
        ("again, one peak", sealed.to_vec()),
    ]
}

#[test]
fn every_question_and_its_explanation() {
    pages("tuning-questions", |screen| {
        let mut all = vec![page("opening", screens::tuning_opening(screen))];
        all.extend(places().iter().map(|(name, answers)| page(name, asked(answers, screen))));
        all.push(page("left", screens::tuning_left(screen)));
        all
    });
    pages("tuning-help", |screen| {
        places().iter().map(|(name, answers)| page(name, explained(answers, screen))).collect()
    });
}

#[test]
fn a_coarse_meter_is_asked_for_more() {
    let mut dialogue = Dialogue::default();
    for answer in COARSE {
        if matches!(dialogue.step(), Step::Take(_)) {
            break;
        }
        dialogue.answer(answer).unwrap_or_else(|refusal| panic!("{refusal}"));
    }
    let Step::Take(found) = dialogue.step() else { panic!("{:?}", dialogue.step()) };
    let lines = screens::tuning(&found, Screen::new(80, true));
    let text: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
    let text = text.join(" ");
    assert!(text.contains("last digit is coarse") && text.contains("times the impedance at the minimum"), "{text}");
}
