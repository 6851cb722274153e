//! The lessons as text: snapshots at both widths, and what holds for every screen.

use cornerset::learn::{Answer, Course, Lesson, Quiz, Step};
use cornerset::screens::{Emphasis, Line, Screen};

use crate::common::snapshots;

/// The most lines of a screen at each width.
const MOST: [(usize, usize); 2] = [(80, 20), (60, 28)];

/// Every lesson with its steps.
pub fn lessons() -> impl Iterator<Item = (Lesson, Vec<Step>)> {
    Lesson::ALL.into_iter().map(|lesson| (lesson, lesson.steps()))
}

/// The lines of a screen as one text.
pub fn text(lines: &[Line]) -> String {
    lines.iter().map(|line| format!("{}\n", line.text)).collect()
}

#[test]
fn a_screen_fits_its_window_and_is_plain_text() {
    for (lesson, steps) in lessons() {
        for (number, step) in steps.iter().enumerate() {
            for (width, most) in MOST {
                for plain in [false, true] {
                    let lines = (step.shown)(Screen::new(width, plain));
                    let place =
                        format!("{} {} at {width}, plain {plain}:\n{}", lesson.word(), number + 1, text(&lines));
                    assert!(!lines.is_empty() && lines.len() <= most, "{} lines, {place}", lines.len());
                    // A table that was cut in two has its names twice.
                    let names = lines.windows(2).filter(|pair| {
                        pair[0].text.starts_with("  ")
                            && pair[1].text.len() > 20
                            && pair[1].text.get(..3).is_some_and(|start| start.trim().len() == 1)
                    });
                    let names: Vec<&str> = names.map(|pair| &pair[1].text[..20]).collect();
                    let drawn = |name: &str| !name.contains(char::is_alphabetic) || name.contains(['|', '#', '[']);
                    for (index, name) in names.iter().enumerate() {
                        assert!(drawn(name) || !names[index + 1..].contains(name), "{name} twice, {place}");
                    }
                    for Line { text, .. } in &lines {
                        assert!(text.len() <= width, "too wide: {text}, {place}");
                        assert!(text.is_ascii() && !text.contains(|c: char| c.is_ascii_control()), "{place}");
                        assert_eq!(text.trim_end(), text, "{place}");
                        assert!(!text.contains('!') && !text.contains(" - -"), "{place}");
                    }
                }
            }
        }
    }
}

/// Rows of a window, and columns at which everything fits it; the steps that do not fit at 60 columns.
const ROWS: usize = 24;
const TOO_LONG_AT_60: &[&str] = &[];

/// The screen, the question, what to type and the prompt are seen at once.
#[test]
fn a_step_fits_a_window() {
    for (width, exempt) in [(80, &[][..]), (60, TOO_LONG_AT_60)] {
        let mut too_long = vec![];
        for lesson in Lesson::ALL {
            let mut course = Course::new(lesson);
            for (number, step) in lesson.steps().iter().enumerate() {
                let screen = Screen::new(width, false);
                let shown = course.shown(screen);
                assert!(shown[0].text.is_empty());
                let rows = shown.len() - 1 + course.asked(screen).len() + 1;
                if rows > ROWS {
                    too_long.push(format!("{} {}: {rows}", lesson.word(), number + 1));
                }
                course.answer(&step.exercise.right()).unwrap();
            }
        }
        assert_eq!(too_long, exempt, "at {width}");
    }
}

#[test]
fn a_lesson_says_first_what_for_and_last_what_to_remember() {
    for (lesson, steps) in lessons() {
        assert!((3..=5).contains(&steps.len()), "{}", lesson.word());
        let screen = Screen::new(80, false);
        let shown = |step: &Step| text(&(step.shown)(screen));
        let first = shown(&steps[0]);
        let promise = format!("After this lesson you can {}.", lesson.promise());
        assert!(first.starts_with(&format!("{promise}\n")), "one line: {first}");
        assert!(shown(&steps[steps.len() - 1]).contains("\nRemember: "), "{}", lesson.word());
        for step in &steps[..steps.len() - 1] {
            assert!(!shown(step).contains("Remember"), "{}", lesson.word());
        }
    }
}

#[test]
fn a_lesson_is_found_by_its_word() {
    for lesson in Lesson::ALL {
        assert_eq!(Lesson::from_word(lesson.word()), Some(lesson));
        assert_eq!(Lesson::from_word(&format!(" {} ", lesson.word().to_uppercase())), Some(lesson));
    }
    assert_eq!(Lesson::from_word("lesson"), None);
}

/// The issue promises half an hour for all of them.
#[test]
fn all_lessons_take_little_more_than_half_an_hour() {
    let minutes: Vec<usize> = Lesson::ALL.into_iter().map(Lesson::minutes).collect();
    assert!(minutes.iter().all(|minutes| (2..=6).contains(minutes)), "{minutes:?}");
    let all: usize = minutes.iter().sum();
    assert!((30..=40).contains(&all), "{minutes:?}");
}

/// Words as another hand would count them: by blanks, with a letter of the alphabet in each.
#[test]
fn words_are_counted() {
    let screen = Screen::new(80, true);
    for (_, steps) in lessons() {
        for step in steps {
            let said = format!("{} {}", text(&(step.shown)(screen)), step.exercise.ask);
            let words = said.split([' ', '\n']).filter(|word| word.bytes().any(|b| b.is_ascii_alphabetic())).count();
            assert_eq!(step.words(screen), words);
        }
    }
}

/// A lesson as it is taken: screens, questions, the right answers, the workings, the mistakes.
fn page(lesson: Lesson, screen: Screen) -> String {
    let mut page = format!("{}: {}, {} minutes\n", lesson.word(), lesson.title(), lesson.minutes());
    for (number, step) in lesson.steps().iter().enumerate() {
        page.push_str(&format!("\n== {} {}\n{}", lesson.word(), number + 1, text(&(step.shown)(screen))));
        let wrapped = |mark: &str, words: &str| text(&screen.item(mark, Emphasis::Plain, words));
        for (name, exercise) in [("question", &step.exercise), ("again", &step.again)] {
            page.push_str(&format!("-- {name} ({})\n", exercise.form.word()));
            page.push_str(&wrapped("", &exercise.ask));
            if let Answer::Word { of, .. } = exercise.answer {
                page.push_str(&wrapped("words: ", &of.join(", ")));
            }
            page.push_str(&wrapped("right: ", &exercise.right()));
            for line in &exercise.working {
                page.push_str(&wrapped("working: ", line));
            }
            for mistake in &exercise.mistakes {
                let gives = exercise.say(&mistake.gives);
                page.push_str(&wrapped(&format!("{gives:>10}: "), &mistake.name));
            }
        }
    }
    page
}

#[test]
fn every_lesson_as_text() {
    for lesson in Lesson::ALL {
        for (width, _) in MOST {
            let page = page(lesson, Screen::new(width, false));
            snapshots().bind(|| insta::assert_snapshot!(format!("lesson-{}-{width}", lesson.word()), page));
        }
    }
}

/// A plain screen has no drawings; the screens that differ are those with a drawing on them.
#[test]
fn drawings_have_a_plain_form() {
    let mut page = String::new();
    let mut drawn = 0;
    for (lesson, steps) in lessons() {
        for (number, step) in steps.iter().enumerate() {
            let [drawing, plain] = [false, true].map(|plain| text(&(step.shown)(Screen::new(80, plain))));
            if drawing != plain {
                drawn += 1;
                assert!(!plain.contains("##") && !plain.contains("---"), "{plain}");
                page.push_str(&format!("== {} {}\n{plain}", lesson.word(), number + 1));
            }
        }
    }
    assert!(drawn >= 8, "{drawn}");
    snapshots().bind(|| insta::assert_snapshot!("lessons-plain-80", page));
}
