//! Lessons and drills by script: what a class sees, what is kept of a learner, and what is forgotten.

use std::path::PathBuf;

use cornerset::learn::{Drill, Figures, Judgement, Lesson, Progress, Quiz, Skill};
use serde_json::{Value, json};

use crate::common::{Ran, Shop};
use crate::events::Driver;

/// The right answers of a lesson, as a script.
fn right_answers(lesson: Lesson) -> String {
    lesson.steps().iter().map(|step| format!("answer: {}\n", step.exercise.right())).collect()
}

fn lesson(shop: &Shop, lesson: Lesson, script: &str, more: &[&str]) -> Ran {
    let arguments = [&["learn", "lesson", lesson.word(), "--script", "-"], more].concat();
    shop.run_with_input(&arguments, script.as_bytes())
}

fn drill(shop: &Shop, script: &str, more: &[&str]) -> Ran {
    shop.run_with_input(&[&["learn", "drill", "--script", "-"], more].concat(), script.as_bytes())
}

fn of_kind(ran: &Ran, kind: &str) -> Vec<Value> {
    ran.events().into_iter().filter(|event| event["event"] == kind).collect()
}

#[test]
fn every_lesson_is_gone_through_by_its_right_answers() {
    let shop = Shop::new();
    for which in Lesson::ALL {
        let questions = which.steps().len();
        let ran = lesson(&shop, which, &right_answers(which), &["--learner", "B. Learner"]).expect(0);
        assert!(ran.stdout.contains(&format!("{questions} of {questions}")), "{}", ran.stdout);
        assert!(ran.stderr.contains(which.title()), "{}", ran.stderr);
    }
    let progress = shop.run(&["learn", "progress", "--learner", "b. learner", "--json"]).expect(0).json();
    let finished = progress["learners"][0]["lessons"].as_array().unwrap().clone();
    assert_eq!(finished.len(), Lesson::ALL.len());
    assert!(finished.iter().all(|done| done["right_at_once"] == done["questions"]), "{progress}");
}

/// 3 dB down by 10 log is a ratio of 0.501: half the power, not half the volts.
#[test]
fn a_wrong_answer_gets_its_working_and_the_mistake_its_name_and_the_question_comes_again() {
    let shop = Shop::new();
    let step = &Lesson::Ratio.steps()[0].exercise;
    let mistake = &step.mistakes[0];
    let wrong = step.say(&mistake.gives);
    let script = format!("answer: {wrong}\nanswer: show\n");
    let ran = lesson(&shop, Lesson::Ratio, &script, &["--json"]).expect(2);
    assert!(ran.stderr.contains("the script ends before the last question"), "{}", ran.stderr);
    let answers = of_kind(&ran, "answer");
    assert_eq!(answers.len(), 2);
    assert_eq!((&answers[0]["right"], &answers[0]["is_first_try"]), (&json!(false), &json!(true)));
    assert_eq!(answers[0]["mistake"], json!(mistake.name));
    assert_eq!((&answers[1]["is_first_try"], &answers[1]["right"]), (&json!(false), &json!(false)));
    let asked = of_kind(&ran, "question");
    assert_eq!(asked[0]["form"], asked[1]["form"], "the same kind of question");
    assert_ne!(asked[0]["ask"], asked[1]["ask"], "other numbers");
    let flat = ran.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in &step.working {
        assert!(flat.contains(&line.split_whitespace().collect::<Vec<_>>().join(" ")), "{line}\n{}", ran.stderr);
    }
}

#[test]
fn a_drill_of_a_seed_asks_everyone_the_same_and_its_score_says_how_it_went() {
    let more = ["--seed", "42", "--count", "12", "--json"];
    let shop = Shop::new();
    let missed = drill(&shop, &"answer: show\n".repeat(12), &more).expect(1);
    let again = drill(&Shop::new(), &"answer: show\n".repeat(12), &more).expect(1);
    assert_eq!(missed.stdout, again.stdout);
    let score = of_kind(&missed, "score")[0].clone();
    assert_eq!((&score["right"], &score["asked"].as_u64().map(|asked| asked < 12)), (&json!(0), &Some(true)));
    assert_eq!(score["asked"].as_u64().unwrap() + score["came_back"].as_u64().unwrap(), 12, "{score}");

    // The answers that the library's own drill of that seed takes for right.
    let mut own = Drill::new(42, &[], Figures::Two, &Progress::new(""));
    let mut script = String::new();
    for _ in 0..12 {
        let right = own.exercise().unwrap().right();
        script.push_str(&format!("answer: {right}\n"));
        assert_eq!(own.answer(&right).unwrap().judgement, Judgement::Right, "{right}");
    }
    let ran = drill(&Shop::new(), &script, &more).expect(0);
    let score = of_kind(&ran, "score")[0].clone();
    assert_eq!((&score["right"], &score["asked"]), (&json!(12), &json!(12)));
}

#[test]
fn a_skill_alone_is_asked_and_with_a_calculator_three_figures() {
    let more = ["--skill", "octave", "--skill", "ratio", "--calculator", "--count", "10", "--json"];
    let ran = drill(&Shop::new(), &"answer: show\n".repeat(10), &more).expect(1);
    let asked = of_kind(&ran, "question");
    assert_eq!(asked.len(), 10);
    for question in &asked {
        assert!([json!("octave"), json!("ratio")].contains(&question["skill"]), "{question}");
        assert!(question["figures"].is_null() || question["figures"] == 3, "{question}");
    }
}

#[test]
fn what_is_no_answer_stops_a_script_with_its_line() {
    let shop = Shop::new();
    for (script, what) in [
        ("# nothing\nanswer: about half\n", "line 2 of the script: "),
        ("reading: 5.66\n", "line 1 of the script is no answer: `reading`; accepted: `answer: ...`"),
        ("answer 0.7\n", "line 1 of the script has no question"),
    ] {
        let ran = drill(&shop, script, &["--seed", "3", "--skill", "ratio"]).expect(2);
        assert!(ran.stderr.contains(what), "{}", ran.stderr);
    }
    for arguments in [["--seed", "0"], ["--seed", "x"], ["--count", "0"], ["--skill", "volts"], ["--learner", " "]] {
        let ran = drill(&shop, "", &arguments).expect(2);
        assert!(ran.stderr.contains(arguments[0].trim_start_matches("--")), "{}", ran.stderr);
    }
}

#[test]
fn progress_is_kept_by_learner_and_forgotten_on_request() {
    let shop = Shop::new();
    drill(&shop, &"answer: show\n".repeat(3), &["--count", "3", "--learner", "A. Learner"]).expect(1);
    drill(&shop, &"answer: show\n".repeat(3), &["--count", "3"]).expect(1);
    let all = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    assert_eq!(all["learners"].as_array().unwrap().len(), 1, "a script keeps nothing unless it is told whose: {all}");
    let shown = shop.run(&["learn", "progress"]).expect(0);
    assert!(shown.stdout.contains("A. Learner"), "{}", shown.stdout);

    // However it is capitalised, it is the same learner; nobody else's file is touched.
    drill(&shop, "answer: show\n", &["--count", "1", "--learner", "Other"]).expect(1);
    shop.run(&["learn", "forget", "a. LEARNER"]).expect(0);
    let left = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    assert_eq!(left["learners"][0]["learner"], "Other");
    assert_eq!(left["learners"].as_array().unwrap().len(), 1);
    let ran = shop.run(&["learn", "forget", "A. Learner"]).expect(2);
    assert!(ran.stderr.contains("is a name of which nothing is kept"), "{}", ran.stderr);
}

/// Before the command's own name or after it; `forget` takes one name, its own.
#[test]
fn the_learner_is_named_before_the_command_or_after_it() {
    let shop = Shop::new();
    let ask = |before: &[&str], after: &[&str]| {
        let arguments = [&["learn"], before, &["drill", "--script", "-", "--count", "1"], after].concat();
        shop.run_with_input(&arguments, b"answer: show\n").expect(1);
    };
    ask(&["--learner", "One"], &[]);
    ask(&[], &["--learner", "Two"]);
    ask(&["--learner", "Other"], &["--learner", "Three"]);
    let names = || {
        let all = shop.run(&["learn", "progress", "--json"]).expect(0).json();
        let mut names: Vec<String> =
            all["learners"].as_array().unwrap().iter().map(|one| one["learner"].to_string()).collect();
        names.sort();
        names.join(" ")
    };
    assert_eq!(names(), r#""One" "Three" "Two""#);
    let one = shop.run(&["learn", "--learner", "One", "progress", "--json"]).expect(0).json();
    assert_eq!(one["learners"].as_array().map(Vec::len), Some(1), "{one}");
    let ran = shop.run(&["learn", "--learner", "One", "forget", "Two"]).expect(2);
    assert!(ran.stderr.contains("learner: `One` comes with `forget`"), "{}", ran.stderr);
    shop.run(&["learn", "forget", "Two", "--learner", "One"]).expect(2);
    assert_eq!(names(), r#""One" "Three" "Two""#, "nothing is forgotten");
}

#[test]
fn a_damaged_file_of_a_learner_is_reported_and_stays() {
    let shop = Shop::new();
    drill(&shop, "answer: show\n", &["--count", "1", "--learner", "A. Learner"]).expect(1);
    let file = only_file(&shop);
    std::fs::write(&file, "{\"version\":1").unwrap();
    let ran = drill(&shop, "answer: show\n", &["--count", "1", "--learner", "A. Learner"]).expect(3);
    assert!(ran.stderr.contains("a-learner-"), "{}", ran.stderr);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "{\"version\":1", "nothing is written over it");
    let ran = shop.run(&["learn", "progress", "--learner", "A. Learner"]).expect(3);
    assert!(ran.stderr.contains("a-learner-"), "{}", ran.stderr);
    assert!(ran.stderr.contains("cornerset learn forget 'A. Learner'"), "{}", ran.stderr);
    // It is not passed over, and does not hide the others.
    drill(&shop, "answer: show\n", &["--count", "1", "--learner", "Other"]).expect(1);
    let all = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    assert_eq!(all["learners"].as_array().map(Vec::len), Some(1));
    assert!(all["warnings"][0].as_str().unwrap().contains("is damaged"), "{all}");
    let arguments = ["learn", "bench", "--seed", "7", "--script", "-", "--learner", "A. Learner"];
    let ran = shop.run_with_input(&arguments, b"job: Practice\n").expect(3);
    assert!(!ran.stderr.contains("job:"), "found out before the work: {}", ran.stderr);
    shop.run(&["learn", "forget", "A. Learner"]).expect(0);
    assert!(!file.exists());
}

fn only_file(shop: &Shop) -> PathBuf {
    let files: Vec<PathBuf> =
        std::fs::read_dir(shop.store().join("learners")).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(files.len(), 1, "{files:?}");
    files[0].clone()
}

/// Names that make one file name are told apart; nobody's progress is forgotten under another's name.
#[test]
fn no_two_learners_share_a_file_and_names_do_not_act() {
    let shop = Shop::new();
    let names = ["Ann B.", "Ann-B", "a/b", "a b", "Anna (1)", "ANNA-1", "A\u{1b}[31mred\u{202e}"];
    for name in names {
        drill(&shop, "answer: show\n", &["--count", "1", "--learner", name]).expect(1);
    }
    let kept = shop.run(&["learn", "progress"]).expect(0);
    assert_eq!(kept.stdout.matches("Progress of ").count(), names.len(), "{}", kept.stdout);
    assert!(!kept.stdout.contains(['\u{1b}', '\u{202e}']), "{:?}", kept.stdout);
    shop.run(&["learn", "forget", "anna-1"]).expect(0);
    let left = shop.run(&["learn", "progress", "--learner", "Anna (1)", "--json"]).expect(0).json();
    assert_eq!(left["learners"][0]["learner"], "Anna (1)");
}

/// Whatever they did before, a class that is given a seed is asked the same.
#[test]
fn a_seed_asks_the_same_of_learners_who_are_not_alike() {
    let shop = Shop::new();
    drill(&shop, &"answer: show\n".repeat(9), &["--count", "9", "--learner", "A. Learner"]).expect(1);
    let asked = |more: &[&str]| {
        let more = [&["--seed", "77", "--count", "9", "--json"], more].concat();
        of_kind(&drill(&shop, &"answer: show\n".repeat(9), &more).expect(1), "question")
    };
    assert_eq!(asked(&[]), asked(&["--learner", "A. Learner"]));
}

#[test]
fn a_drill_and_a_lesson_say_by_their_status_how_they_went() {
    let shop = Shop::new();
    let mut own = Drill::new(42, &[], Figures::Two, &Progress::new(""));
    let right = own.exercise().unwrap().right();
    own.answer(&right).unwrap();
    let half = format!("answer: {right}\nanswer: show\n");
    drill(&shop, &half, &["--seed", "42", "--count", "2"]).expect(1);
    drill(&shop, &half, &["--seed", "42", "--count", "1"]).expect(0);
    let steps = Lesson::Octave.steps();
    let slip = format!("answer: show\nanswer: show\n{}", right_answers(Lesson::Octave).split_once('\n').unwrap().1);
    let ran = lesson(&shop, Lesson::Octave, &slip, &["--json", "--learner", "A. Learner"]).expect(1);
    let told = of_kind(&ran, "lesson")[0].clone();
    assert_eq!(told["right_at_once"], json!(steps.len() - 1), "a second try is no first one: {told}");
    // And a second try is none in what is kept either.
    let kept = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    let asked: u64 =
        kept["learners"][0]["forms"].as_array().unwrap().iter().map(|form| form["asked"].as_u64().unwrap()).sum();
    assert_eq!(asked, steps.len() as u64, "{kept}");
}

#[test]
fn lines_that_nobody_asked_for_are_said() {
    let script = Shop::new();
    std::fs::write(script.path().join("script"), "answer: show\n\nanswer: show\n").unwrap();
    let from_file = script.run(&["learn", "drill", "--count", "1", "--script", "script"]).expect(1);
    assert!(
        from_file.stderr.contains("line 3 of the script and what follows was not asked for"),
        "{}",
        from_file.stderr
    );
    let long = right_answers(Lesson::Octave) + "answer: 1\n";
    std::fs::write(script.path().join("script"), &long).unwrap();
    let ran = script.run(&["learn", "lesson", "octave", "--script", "script"]).expect(0);
    assert!(ran.stderr.contains("was not asked for"), "{}", ran.stderr);
}

/// What is told of an answer is on disk by then, as a reading is.
#[test]
fn an_answer_that_was_told_is_kept() {
    let shop = Shop::new();
    let arguments = ["learn", "drill", "--seed", "5", "--learner", "A. Learner", "--script", "-", "--json"];
    let mut driver = Driver::start(&shop, &arguments);
    for count in 1..=3 {
        driver.until("question");
        driver.say("answer: show");
        driver.until("answer");
        let kept: Value = serde_json::from_slice(&std::fs::read(only_file(&shop)).unwrap()).unwrap();
        let asked: u64 = kept["forms"].as_array().unwrap().iter().map(|form| form["asked"].as_u64().unwrap()).sum();
        assert_eq!(asked, count, "{kept}");
    }
    driver.end();
}

/// Two windows of one learner: every answer of both is kept.
#[test]
fn two_drills_at_once_keep_every_answer() {
    let shop = Shop::new();
    let script = "answer: show\n".repeat(40);
    std::thread::scope(|scope| {
        for seed in ["1", "2", "3"] {
            let (shop, script) = (&shop, &script);
            scope.spawn(move || {
                drill(shop, script, &["--count", "40", "--seed", seed, "--learner", "A. Learner", "--json"])
            });
        }
    });
    let kept = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    let asked: u64 =
        kept["learners"][0]["forms"].as_array().unwrap().iter().map(|form| form["asked"].as_u64().unwrap()).sum();
    let first: u64 = ["1", "2", "3"]
        .map(|seed| {
            let ran = drill(&Shop::new(), &script, &["--count", "40", "--seed", seed, "--json"]);
            of_kind(&ran, "score")[0]["asked"].as_u64().unwrap()
        })
        .iter()
        .sum();
    assert_eq!(asked, first, "{kept}");
}

#[test]
fn a_name_is_no_name_without_a_letter_or_with_too_many() {
    let long = "n".repeat(81);
    for name in ["...", "", long.as_str()] {
        let ran = drill(&Shop::new(), "answer: show\n", &["--learner", name]).expect(2);
        assert!(ran.stderr.contains("learner: "), "{}", ran.stderr);
    }
    drill(&Shop::new(), "answer: show\n", &["--count", "1", "--learner", &"n".repeat(80)]).expect(1);
}

/// A file that holds another learner than its name says, or a name that nobody can have, hides no other.
#[test]
fn a_file_of_another_name_is_said_and_does_not_stop_others() {
    let shop = Shop::new();
    for name in ["A. Learner", "B. Learner"] {
        drill(&shop, "answer: show\n", &["--count", "1", "--learner", name]).expect(1);
    }
    let folder = shop.store().join("learners");
    let of = |name: &str| {
        let paths = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
        paths.into_iter().find(|path| path.to_string_lossy().contains(name)).unwrap()
    };
    std::fs::copy(of("a-learner"), of("b-learner")).unwrap();
    let all = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    assert_eq!(all["learners"].as_array().map(Vec::len), Some(1), "{all}");
    assert!(all["warnings"][0].as_str().unwrap().contains("is not the file of `A. Learner`"), "{all}");
    let ran = shop.run(&["learn", "progress", "--learner", "B. Learner"]).expect(3);
    assert!(ran.stderr.contains("is not the file of `A. Learner`"), "{}", ran.stderr);
    // Counts that no one reaches are damage, and no end of the program.
    let file = of("a-learner");
    let text = std::fs::read_to_string(&file).unwrap();
    let most = u64::MAX.to_string();
    let hostile = text.replace("\"asked\": 1", &format!("\"asked\": {most}"));
    assert_ne!(hostile, text);
    std::fs::write(&file, hostile).unwrap();
    drill(&shop, "answer: show\n", &["--count", "1", "--learner", "A. Learner"]).expect(3);
}

/// A limit on the size of files is an error of that write, and leaves nothing behind.
#[cfg(unix)]
#[test]
fn a_file_that_may_not_grow_is_said_and_leaves_nothing() {
    let shop = Shop::new();
    drill(&shop, "answer: show\n", &["--count", "1", "--learner", "A. Learner"]).expect(1);
    std::fs::write(shop.path().join("script"), "answer: show\n".repeat(30)).unwrap();
    let limited = "ulimit -f 1; exec \"$0\" learn drill --seed 3 --count 30 --script script --learner 'A. Learner'";
    let store = shop.store();
    let mut shell = std::process::Command::new("sh");
    shell
        .args(["-c", limited, crate::common::PROGRAM])
        .env_clear()
        .env("CORNERSET_STORE", &store)
        .current_dir(shop.path());
    let ran = Ran::of(&mut shell);
    assert_eq!(ran.code, Some(3), "{ran:?}");
    assert!(ran.stderr.contains("learners"), "the file is named: {}", ran.stderr);
    let left = std::fs::read_dir(store.join("learners")).unwrap().count();
    assert_eq!(left, 1, "no half file");
}

#[test]
fn without_a_terminal_learning_says_what_it_needs() {
    for arguments in [&["learn"][..], &["learn", "lesson", "ratio"], &["learn", "drill"], &["learn", "bench"]] {
        let ran = Shop::new().run(arguments).expect(2);
        assert!(ran.stderr.contains("a terminal") && ran.stdout.is_empty(), "{}", ran.stderr);
    }
    let ran = Shop::new().run(&["learn", "lesson", "sums"]).expect(2);
    assert!(ran.stderr.contains("ratio, octave, slope"), "{}", ran.stderr);
    assert!(Skill::ALL.iter().all(|skill| !skill.word().is_empty()));
}
