//! The answers against `tests/reference/drills.py`: scipy's filters, brackets in place of inverses, decimal fractions.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};

use cornerset::learn::{Answer, Exercise, Form, Said};
use serde_json::{Map, Value, json};

use crate::asked::many;
use crate::common::outside;

const SEEDS: u64 = 60;

fn question(exercise: &Exercise) -> String {
    let given: Map<String, Value> =
        exercise.given.iter().map(|(name, value)| ((*name).to_owned(), json!(value))).collect();
    assert_eq!(given.len(), exercise.given.len(), "a name twice: {exercise:?}");
    json!({"form": exercise.form.word(), "given": given}).to_string()
}

/// What python3 answers, a line for each question.
fn answered(questions: &str) -> Vec<Value> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/drills.py");
    let mut python = Command::new("python3")
        .args(["-B", script])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = python.stdin.take().unwrap();
    let questions = questions.to_owned();
    let writer = std::thread::spawn(move || {
        // It may stop at a question that it cannot answer.
        let _ = stdin.write_all(questions.as_bytes());
    });
    let output = python.wait_with_output().unwrap();
    writer.join().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

#[test]
fn every_answer_and_known_mistake_is_what_another_route_gives() {
    if !outside::needs("python3 with scipy", outside::runs("python3", &["-c", "import scipy.signal, scipy.optimize"])) {
        return;
    }
    let exercises: Vec<Exercise> = many(SEEDS).collect();
    let questions = exercises.iter().fold(String::new(), |mut text, exercise| {
        writeln!(text, "{}", question(exercise)).unwrap();
        text
    });
    let answers = answered(&questions);
    assert_eq!(answers.len(), exercises.len());
    let mut seen: BTreeMap<(Form, String), usize> = BTreeMap::new();
    for (exercise, answered) in exercises.iter().zip(answers) {
        let answer = &answered["answer"];
        match &exercise.answer {
            Answer::Number { value, .. } => assert!(same(*value, answer), "{answer} for {exercise:#?}"),
            Answer::Word { right, .. } => assert_eq!(*answer, json!(right), "{exercise:#?}"),
        }
        for (words, gives) in answered["mistakes"].as_object().unwrap() {
            let count = seen.entry((exercise.form, words.clone())).or_default();
            for mistake in exercise.mistakes.iter().filter(|mistake| mistake.name.contains(words)) {
                let Said::Number(value) = mistake.gives else { panic!("{mistake:?}") };
                assert!(same(value, gives), "{words}: {gives} for {exercise:#?}");
                *count += 1;
            }
        }
    }
    for (mistake, count) in seen {
        assert!(count > 0, "{mistake:?} is never made");
    }
}

/// Both routes round in binary, and a bracket closes to 1e-13.
fn same(value: f64, elsewhere: &Value) -> bool {
    elsewhere.as_f64().is_some_and(|elsewhere| (value / elsewhere - 1.0).abs() < 1e-9)
}
