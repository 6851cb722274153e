//! Learning at a terminal: the list, a lesson with a slip and a mistake, a drill that is left, a bench that is killed and
//! taken up again.

mod common;

use common::pty::{CTRL_C, Window};
use common::{Shop, read_json};
use cornerset::learn::Lesson;
use cornerset::practice::{Bench, Level};

fn window(shop: &Shop) -> Window<'_> {
    Window::new(shop, 80, 24)
}

#[test]
fn the_list_goes_on_where_it_was_left_and_a_lesson_teaches() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&["learn"]);
    terminal.answer("learner", "A. Learner");
    assert_eq!(terminal.at("go on with").as_deref(), Some("ratio"));
    let screen = terminal.screen();
    for word in Lesson::ALL.map(Lesson::word).into_iter().chain(Level::ALL.map(Level::word)) {
        assert!(screen.contains(word), "the whole list fits 24 rows: {word}\n{screen}");
    }
    terminal.answer("go on with", "twelve");
    terminal.prompt();
    assert!(terminal.since_typed().contains("is not in this list"), "{}", terminal.since_typed());
    terminal.answer("go on with", "");

    let steps = Lesson::Ratio.steps();
    let (first, rest) = steps.split_first().expect("a lesson has steps");
    terminal.answer("answer", "?");
    terminal.prompt();
    assert!(terminal.since_typed().contains("`show` gives the answer"), "{}", terminal.since_typed());
    terminal.answer("answer", "some volts");
    terminal.prompt();
    assert!(terminal.since_typed().contains("is not a number"), "a slip is no mistake: {}", terminal.since_typed());
    let mistake = &first.exercise.mistakes[0];
    terminal.answer("answer", &first.exercise.say(&mistake.gives));
    terminal.prompt();
    let told = flat(&terminal.since_typed());
    assert!(told.contains(&flat(&mistake.name)), "{told}");
    assert!(told.contains("Once more, with other numbers:"), "{told}");
    terminal.answer("answer", "SHOW");
    for step in rest {
        terminal.answer("go on", "");
        terminal.answer("answer", &step.exercise.right());
        terminal.prompt();
        assert!(terminal.since_typed().contains("Right: "), "{}", terminal.since_typed());
    }
    terminal.answer("go on", "");
    assert_eq!(terminal.at("go on with").as_deref(), Some("octave"), "the next lesson is offered");
    assert!(terminal.screen().contains(&format!("{} of {} right at once", rest.len(), steps.len())));
    terminal.answer("go on with", "q");
    assert_eq!(terminal.exit(), 0);

    // The next start knows who learns, and goes on there.
    let mut terminal = window(&shop).run(&["learn"]);
    assert_eq!(terminal.at("go on with").as_deref(), Some("octave"));
    assert!(terminal.everything().contains("Learner: A. Learner"), "{}", terminal.everything());
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130);
}

/// Who learnt last is taken for the one who learns; Ctrl-C within a lesson ends the program; without a name nothing is kept,
/// but what was done just now is not offered again.
#[test]
fn the_last_learner_is_taken_and_nobody_keeps_nothing() {
    let shop = Shop::new();
    for name in ["B. Learner", "A. Learner"] {
        let mut terminal = window(&shop).run(&["learn", "drill", "--learner", name]);
        terminal.answer("answer", "show");
        terminal.answer("answer", "q");
        terminal.exit();
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    let mut terminal = window(&shop).run(&["learn"]);
    terminal.at("go on with");
    assert!(terminal.everything().contains("Learner: A. Learner"), "{}", terminal.everything());
    terminal.answer("go on with", "?");
    terminal.prompt();
    assert!(flat(&terminal.since_typed()).contains("The lessons explain"), "{}", terminal.since_typed());
    terminal.answer("go on with", "safety");
    terminal.at("answer");
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130);

    let empty = Shop::new();
    let mut terminal = window(&empty).run(&["learn"]);
    terminal.answer("learner", "?");
    terminal.prompt();
    assert!(flat(&terminal.since_typed()).contains("forgets it"), "{}", terminal.since_typed());
    terminal.answer("learner", "");
    terminal.answer("go on with", "");
    for (index, step) in Lesson::Ratio.steps().iter().enumerate() {
        if index > 0 {
            terminal.answer("go on", "");
        }
        terminal.answer("answer", &step.exercise.right());
    }
    terminal.answer("go on", "");
    assert_eq!(terminal.at("go on with").as_deref(), Some("octave"));
    terminal.answer("go on with", "q");
    assert_eq!(terminal.exit(), 0);
    assert!(!empty.store().join("learners").exists(), "nothing is kept of nobody");
}

#[test]
fn a_drill_that_is_left_says_how_it_went_and_keeps_it() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&["learn", "drill", "--seed", "7", "--learner", "A. Learner"]);
    terminal.answer("answer", "show");
    terminal.answer("answer", "show");
    terminal.answer("answer", "q");
    assert_eq!(terminal.exit(), 1);
    assert!(terminal.everything().contains("0 of 2"), "{}", terminal.everything());
    let file = std::fs::read_dir(shop.store().join("learners")).unwrap().next().unwrap().unwrap().path();
    let kept = read_json(&file);
    assert_eq!(kept["forms"].as_array().map(Vec::len), Some(2), "{kept}");

    let mut terminal = window(&shop).run(&["learn", "drill", "--seed", "7", "--learner", "A. Learner"]);
    terminal.answer("answer", "show");
    terminal.at("answer");
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130, "what was answered is kept");

    // After the last question too, before the score is on the screen.
    let mut terminal = window(&shop).run(&["learn", "drill", "--seed", "7", "--count", "1"]);
    terminal.answer("answer", "show");
    while terminal.prompt().word == "answer" {
        terminal.type_line("show");
    }
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130);
    assert!(terminal.everything().contains("0 of 1"), "{}", terminal.everything());
}

#[test]
fn a_bench_at_the_keyboard_takes_moves_at_any_prompt_and_stands_when_taken_up_again() {
    let shop = Shop::new();
    let arguments = ["learn", "bench", "--level", "friendly", "--seed", "421", "--learner", "A. Learner"];
    let mut terminal = window(&shop).run(&arguments);
    terminal.at("job");
    assert!(terminal.everything().contains("Practice bench, friendly, seed 421"), "{}", terminal.everything());
    terminal.answer("job", "turn 3.7");
    terminal.prompt();
    assert!(terminal.since_typed().contains("knob at 3.7"), "{}", terminal.since_typed());
    terminal.answer("job", "Turn the lathe off, then practice");
    terminal.answer("technician", "Turn Ersen");
    terminal.answer("amplifier", "turn 11");
    terminal.prompt();
    assert!(
        terminal.since_typed().contains("0 to 10"),
        "a move that fails is no amplifier: {}",
        terminal.since_typed()
    );
    terminal.answer("amplifier", "");
    terminal.answer("meter", "");
    terminal.answer("meter-accuracy", "turn 37");
    terminal.prompt();
    assert!(terminal.since_typed().contains("0 to 10"), "{}", terminal.since_typed());
    terminal.kill();

    let mut terminal = window(&shop).run(&arguments);
    terminal.at("take up");
    assert!(flat(&terminal.everything()).contains("(simulated friendly 421)"), "{}", terminal.everything());
    terminal.answer("take up", "");
    terminal.at("meter-accuracy");
    assert!(terminal.everything().contains("^ 3.7"), "the knob is where it was: {}", terminal.everything());
    let sheet = Bench::new(Level::Friendly, 421).sheet().clone();
    terminal.answer("meter-accuracy", "?");
    terminal.prompt();
    assert!(terminal.since_typed().contains("At the bench: `turn"), "{}", terminal.since_typed());
    terminal.answer("meter-accuracy", "Panel");
    terminal.prompt();
    assert!(terminal.since_typed().contains(&sheet.amplifier), "{}", terminal.since_typed());
    terminal.answer("meter-accuracy", "q");
    assert_eq!(terminal.exit(), 130);
    assert!(
        flat(&terminal.everything()).contains("learn bench --learner 'A. Learner' --resume"),
        "{}",
        terminal.everything()
    );
}

#[test]
fn lessons_and_benches_fit_sixty_columns() {
    let shop = Shop::new();
    let mut terminal = Window::new(&shop, 60, 24).run(&["learn"]);
    terminal.answer("learner", "");
    terminal.answer("go on with", "traps");
    terminal.at("answer");
    terminal.answer("answer", "q");
    terminal.answer("go on with", "awkward");
    terminal.at("job");
    let wide: Vec<String> = terminal.unwrapped().into_iter().filter(|line| line.chars().count() > 60).collect();
    assert!(wide.is_empty(), "{wide:#?}");
}

/// Words with one blank between them.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
