//! The screens of drills, at 80 and at 60 columns.

use cornerset::chance::Chance;
use cornerset::learn::{
    self, Drill, Exercise, Figures, FinishedLesson, Form, Judgement, Progress, Quiz, Skill, TriedBench, forms_of,
};
use cornerset::quantity::Percent;
use cornerset::screens::{Line, Screen};
use cornerset::session::Moment;

use crate::asked::many;
use crate::assert_screen;

fn text(lines: &[Line]) -> String {
    lines.iter().map(|line| format!("{}\n", line.text)).collect()
}

/// A question, what its right answer says, and what the first of its mistakes does.
fn whole(exercise: &Exercise, screen: Screen) -> String {
    let judged = |judgement, back| text(&learn::exercise_judged(exercise, judgement, back, screen));
    [
        text(&learn::exercise_asked(exercise, "3. ", false, screen)),
        format!("> {}\n", exercise.right()),
        judged(Judgement::Right, false),
        format!("> {}\n", exercise.say(&exercise.mistakes[0].gives)),
        judged(Judgement::Wrong(Some(0)), true),
        "> show\n".to_owned(),
        judged(Judgement::Shown, true),
    ]
    .concat()
}

#[test]
fn one_question_of_every_form() {
    for skill in Skill::ALL {
        let pages: Vec<String> = forms_of(skill)
            .enumerate()
            .map(|(place, form)| {
                let figures = if place % 2 == 0 { Figures::Two } else { Figures::Three };
                let exercise = form.exercise(figures, &mut Chance::of(501, 0));
                format!("---- {}{}", form.word(), whole(&exercise, Screen::new(80, false)))
            })
            .collect();
        assert_screen!(format!("drill_{}", skill.word()), pages.join("\n"));
    }
}

#[test]
fn on_a_narrow_screen() {
    let forms = [Form::VoltsOfDown, Form::TrueReference, Form::LimitInVolts, Form::WindowEnd, Form::TwoFilters];
    let pages = forms.map(|form| {
        let exercise = form.exercise(Figures::Three, &mut Chance::of(502, 0));
        format!("---- {}{}", form.word(), whole(&exercise, Screen::new(60, false)))
    });
    assert_screen!("drill_narrow", pages.join("\n"));
}

#[test]
fn no_line_is_too_wide_and_none_shouts() {
    for exercise in many(20) {
        for columns in [60, 80] {
            let screen = Screen::new(columns, false);
            for line in whole(&exercise, screen).lines() {
                assert!(line.len() <= columns && line.is_ascii() && !line.contains('!'), "{columns}: {line}");
            }
        }
    }
}

/// What is not right is told apart: nearly, wrong, and shown without an answer; and what comes back says when.
#[test]
fn what_an_answer_was_is_said_for_what_it_is() {
    let exercise = Form::RatioOfDown.exercise(Figures::Three, &mut Chance::of(3, 0));
    let right = exercise.right();
    let said = |judgement, back| text(&learn::exercise_judged(&exercise, judgement, back, Screen::new(80, false)));
    assert_eq!(said(Judgement::Right, false), format!("  Right: {right}.\n"));
    assert_eq!(
        said(Judgement::Right, true),
        format!("  Right: {right}.\n  It comes once more later, with other numbers.\n")
    );
    let nearly = format!("  Nearly: it is {right}; three figures are asked for.\n    volts / reference = ");
    assert!(said(Judgement::Nearly, true).starts_with(&nearly));
    assert!(said(Judgement::Shown, true).starts_with(&format!("  The answer is {right}.\n    volts / reference = ")));
    assert!(!said(Judgement::Shown, true).contains("rong") && said(Judgement::Wrong(None), true).contains("Wrong"));
    for judgement in [Judgement::Nearly, Judgement::Shown, Judgement::Wrong(None)] {
        assert!(said(judgement, true).ends_with("\n  A question of this kind comes back.\n"));
    }
}

/// A name is whatever somebody typed; on a terminal nothing in it acts.
#[test]
fn a_learners_name_is_harmless() {
    let said = text(&learn::progress_said(&Progress::new("A\u{1b}[31m\u{202e}B"), Screen::new(80, false)));
    assert!(said.contains("Progress of A") && !said.contains(['\u{1b}', '\u{202e}']), "{said}");
}

/// A drill with every fourth question missed.
fn drilled() -> Drill {
    let mut drill = Drill::new(17, &[], Figures::Three, &Progress::new("A. Sample"));
    for number in 0..60 {
        let exercise = drill.exercise().unwrap();
        let said = if number % 4 == 2 { exercise.say(&exercise.mistakes[0].gives) } else { exercise.right() };
        drill.answer(&said).unwrap();
    }
    drill
}

#[test]
fn the_score_of_a_drill() {
    let drill = drilled();
    for columns in [80, 60] {
        let said = learn::score_said(drill.score(), drill.progress(), Screen::new(columns, false));
        assert!(said.iter().all(|line| line.text.len() <= columns && line.text.is_ascii()));
        assert_screen!(format!("drill_score_{columns}"), text(&said));
    }
    let nothing = Drill::new(1, &[], Figures::Two, &Progress::new("A. Sample"));
    let said = learn::score_said(nothing.score(), nothing.progress(), Screen::new(80, false));
    assert_eq!(text(&said), "\nScore\n  Nothing was answered.\n");
}

#[test]
fn the_progress_of_a_learner() {
    let at = Moment::new(chrono::DateTime::parse_from_rfc3339("2026-03-05T09:30:12+01:00").unwrap());
    let mut progress = drilled().progress().clone();
    progress.lessons.push(FinishedLesson { lesson: "ratio".to_owned(), at, questions: 4, right_at_once: 3 });
    for (level, error) in [("friendly", Some(1.25)), ("nasty", None)] {
        let corner_error_percent = error.map(Percent::new);
        progress.benches.push(TriedBench { level: level.to_owned(), seed: 7, corner_error_percent, at });
    }
    for columns in [80, 60] {
        let said = learn::progress_said(&progress, Screen::new(columns, false));
        assert!(said.iter().all(|line| line.text.len() <= columns && line.text.is_ascii()));
        assert_screen!(format!("drill_progress_{columns}"), text(&said));
    }
    for form in Form::ALL {
        progress.note(form, true);
        progress.note(form, true);
    }
    let said = text(&learn::progress_said(&progress, Screen::new(80, false)));
    assert!(said.ends_with("\nEvery skill holds. A simulated bench is what comes next.\n"), "{said}");
}
