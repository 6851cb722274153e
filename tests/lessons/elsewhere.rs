//! Every question and every table worked out again by a program that shares nothing with this one: numpy and scipy.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use cornerset::learn::{Answer, Said};
use cornerset::screens::Screen;
use serde_json::{Value, json};

use crate::common::outside;
use crate::screens::{lessons, text};

/// Every step as `check.py` reads it.
fn steps() -> Vec<Value> {
    let said = |said: &Said| match said {
        Said::Number(value) => json!(value),
        Said::Word(word) => json!(word),
    };
    lessons()
        .flat_map(|(lesson, steps)| {
            steps.into_iter().enumerate().map(move |(number, step)| {
                let exercise = &step.exercise;
                let given: serde_json::Map<String, Value> =
                    exercise.given.iter().map(|(name, value)| ((*name).to_owned(), json!(value))).collect();
                assert_eq!(given.len(), exercise.given.len(), "each name once");
                json!({
                    "lesson": lesson.word(),
                    "step": number + 1,
                    "given": given,
                    "answer": match exercise.answer {
                        Answer::Number { value, .. } => json!(value),
                        Answer::Word { right, .. } => json!(right),
                    },
                    "mistakes": exercise.mistakes.iter().map(|mistake| said(&mistake.gives)).collect::<Vec<_>>(),
                    "shown": text(&(step.shown)(Screen::new(80, true))),
                })
            })
        })
        .collect()
}

/// What `check.py` finds wrong with these; nothing where they are right.
fn found(steps: &[Value]) -> String {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lessons/check.py");
    let mut child = Command::new("python3")
        .arg("-B")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let lines: String = steps.iter().map(|step| format!("{step}\n")).collect();
    child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    let broken = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(broken.is_empty(), "{broken}");
    assert_eq!(output.status.success(), said.is_empty(), "{said}");
    said
}

fn scipy_is_here() -> bool {
    outside::needs("python3 with scipy", outside::runs("python3", &["-c", "import scipy.signal"]))
}

#[test]
fn answers_mistakes_and_tables_are_as_scipy_works_them_out() {
    if scipy_is_here() {
        let found = found(&steps());
        assert!(found.is_empty(), "{found}");
    }
}

/// The check itself: a wrong answer, a wrong mistake, a wrong figure on a screen and a step that is missing are found.
#[test]
fn what_is_wrong_is_found() {
    if !scipy_is_here() {
        return;
    }
    let mut steps = steps();
    let shown = steps[0]["shown"].as_str().unwrap().replace("7.13 V", "7.14 V").replace("= 0.251", "= 0.252");
    steps[0]["shown"] = json!(shown);
    steps[2]["answer"] = json!(4.61);
    steps[3]["mistakes"][1] = json!(5.41);
    let word = steps.iter().position(|step| step["answer"] == json!("borderline")).unwrap();
    steps[word]["answer"] = json!("inside");
    steps.remove(1);
    let found = found(&steps);
    for expected in [
        "('ratio', 1): ['1 dB', '0.891', '7.14 V'], worked out",
        "('ratio', 1): `0.501 x 0.501 = 0.251` does not stand",
        "('ratio', 3): answer 4.61, worked out 4.6",
        "('ratio', 4): mistake 2 5.41, worked out 5.4",
        "('tolerance', 2): answer inside, worked out borderline",
        "('ratio', 2) is missing",
    ] {
        assert!(found.contains(expected), "{expected}: {found}");
    }
    assert_eq!(found.lines().count(), 6, "{found}");
}
