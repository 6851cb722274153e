//! Every question and every table worked out again by a program that shares nothing with this one: numpy and scipy.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use cornerset::chance::Chance;
use cornerset::learn::{Answer, Exercise, Figures, Lesson, Said};
use cornerset::screens::Screen;
use serde_json::{Value, json};

use crate::common::outside;
use crate::screens::{lessons, text};

/// Every step as `check.py` reads it, and then every question that is asked again.
fn steps() -> Vec<Value> {
    let said = |said: &Said| match said {
        Said::Number(value) => json!(value),
        Said::Word(word) => json!(word),
    };
    let question = |lesson: Lesson, number: usize, exercise: &Exercise, again: bool, shown: String| {
        json!({
            "lesson": lesson.word(),
            "step": number + 1,
            "again": again,
            "given": given(exercise),
            "answer": match exercise.answer {
                Answer::Number { value, .. } => json!(value),
                Answer::Word { right, .. } => json!(right),
            },
            "mistakes": exercise.mistakes.iter().map(|mistake| said(&mistake.gives)).collect::<Vec<_>>(),
            "shown": shown,
        })
    };
    let (mut first, mut again) = (vec![], vec![]);
    for (lesson, steps) in lessons() {
        for (number, step) in steps.iter().enumerate() {
            let shown = text(&(step.shown)(Screen::new(80, true)));
            first.push(question(lesson, number, &step.exercise, false, shown));
            again.push(question(lesson, number, &step.again, true, String::new()));
        }
    }
    first.extend(again);
    first
}

fn given(exercise: &Exercise) -> serde_json::Map<String, Value> {
    let given: serde_json::Map<String, Value> =
        exercise.given.iter().map(|(name, value)| ((*name).to_owned(), json!(value))).collect();
    assert_eq!(given.len(), exercise.given.len(), "each name once");
    given
}

/// A question of a lesson holds its numbers by the names that a drill's has, and the program that works out drills works it
/// out as well.
#[test]
fn questions_are_worked_out_like_those_of_drills() {
    if !scipy_is_here() {
        return;
    }
    let exercises: Vec<Exercise> =
        lessons().flat_map(|(_, steps)| steps).flat_map(|step| [step.exercise, step.again]).collect();
    let lines: String = exercises
        .iter()
        .map(|exercise| format!("{}\n", json!({"form": exercise.form.word(), "given": given(exercise)})))
        .collect();
    let (said, broken, _) = python("tests/reference/drills.py", &lines);
    assert!(broken.is_empty(), "{broken}");
    assert_eq!(said.lines().count(), exercises.len());
    let mut chance = Chance::of(1, 0);
    for (exercise, line) in exercises.iter().zip(said.lines()) {
        let answered: Value = serde_json::from_str(line).unwrap();
        match exercise.answer {
            Answer::Number { value, .. } => {
                let other = answered["answer"].as_f64().unwrap();
                assert!((value / other - 1.0).abs() < 1e-9, "{other} for {exercise:#?}");
            }
            Answer::Word { right, .. } => assert_eq!(answered["answer"], json!(right), "{exercise:#?}"),
        }
        // A filter's family is a name of its own.
        const FAMILIES: [&str; 3] = ["butterworth", "linkwitz_riley", "bessel"];
        let drilled = exercise.form.exercise(Figures::Three, &mut chance);
        for (name, _) in drilled.given.iter().filter(|(name, _)| !FAMILIES.contains(name)) {
            let sealed = ["sealed", "lowest_hz"].contains(name);
            assert!(sealed || exercise.given.iter().any(|(other, _)| other == name), "{name}: {exercise:#?}");
        }
    }
}

/// What `check.py` finds wrong with these; nothing where they are right.
fn found(steps: &[Value]) -> String {
    let lines: String = steps.iter().map(|step| format!("{step}\n")).collect();
    let (said, broken, went_well) = python("tests/lessons/check.py", &lines);
    assert!(broken.is_empty(), "{broken}");
    assert_eq!(went_well, said.is_empty(), "{said}");
    said
}

/// What a script says of these lines, what broke, and whether it ended well.
fn python(script: &str, lines: &str) -> (String, String, bool) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(script);
    let mut child = Command::new("python3")
        .arg("-B")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    (said, String::from_utf8_lossy(&output.stderr).into_owned(), output.status.success())
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
    let last = steps.len() - 1;
    assert_eq!(steps[last - 1]["answer"], json!(1440f64.sqrt()));
    steps[last - 1]["answer"] = json!(38.0);
    let word = steps.iter().position(|step| step["answer"] == json!("borderline")).unwrap();
    steps[word]["answer"] = json!("inside");
    steps.remove(1);
    let found = found(&steps);
    for expected in [
        "('ratio', 1): ['1 dB', '0.891', '7.14 V'], worked out",
        "('ratio', 1): `0.501 x 0.501 = 0.251` does not stand",
        "('ratio', 3): answer 4.61, worked out 4.6",
        "('ratio', 4): mistake 2 5.41, worked out 5.4",
        "('safety', 2, 'again'): answer 38.0, worked out 37.9",
        "('tolerance', 2): answer inside, worked out borderline",
        "('ratio', 2) is missing",
    ] {
        assert!(found.contains(expected), "{expected}: {found}");
    }
    assert_eq!(found.lines().count(), 7, "{found}");
}
