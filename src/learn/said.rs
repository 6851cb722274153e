//! The screens of a drill: the question, what its answer was, the score, the progress.

use super::exercise::{Answer, Exercise, Figures, Judgement};
use super::progress::{IN_A_ROW, Progress, Tries};
use super::quiz::Outcome;
use super::score::{Score, SkillScore, lesson_for};
use super::skill::Skill;
use crate::quantity::ranges::Quantity;
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::screens::{Emphasis, Line, Screen};

/// A question: what it trains, what is asked, what to type. `head` stands before the skill: `3. `.
pub fn exercise_asked(exercise: &Exercise, head: &str, came_back: bool, screen: Screen) -> Vec<Line> {
    let again = if came_back { ", once more" } else { "" };
    let title = format!("{head}{}{again}", exercise.form.skill().named());
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Strong, &title));
    lines.extend(screen.paragraph(2, Emphasis::Plain, &exercise.ask));
    lines.extend(screen.paragraph(2, Emphasis::Faint, &what_to_type(exercise)));
    lines
}

/// What to type, as a sentence.
pub fn what_to_type(exercise: &Exercise) -> String {
    match &exercise.answer {
        Answer::Word { of, .. } => format!("Type {}.", show::list_or(of)),
        Answer::Number { quantity, figures, .. } => {
            let unit = exercise.form.unit_words().first().copied().unwrap_or(quantity.unit());
            let unit = if unit.is_empty() { String::new() } else { format!(" in {unit}") };
            match (quantity, figures) {
                (Quantity::Count, _) => format!("Type a whole number{unit}."),
                (_, Figures::Two) => format!("Type a number{unit}; two figures do."),
                (_, Figures::Three) => format!("Type a number{unit}, to three figures."),
            }
        }
    }
}

/// What an answer was: right, or wrong with what was done where that is known, and the working.
pub fn exercise_judged(exercise: &Exercise, judgement: Judgement, comes_back: bool, screen: Screen) -> Vec<Line> {
    let right = exercise.right();
    let mut lines = vec![];
    match judgement {
        Judgement::Right => lines.extend(screen.paragraph(2, Emphasis::Good, &format!("Right: {right}."))),
        Judgement::Nearly => {
            let text = format!("Nearly: it is {right}; three figures are asked for.");
            lines.extend(screen.paragraph(2, Emphasis::Warn, &text));
        }
        Judgement::Wrong(known) => {
            lines.extend(screen.paragraph(2, Emphasis::Warn, &format!("Wrong: it is {right}.")));
            if let Some(mistake) = known.and_then(|place| exercise.mistakes.get(place)) {
                lines.extend(screen.paragraph(2, Emphasis::Plain, &mistake.name));
            }
        }
        Judgement::Shown => lines.extend(screen.paragraph(2, Emphasis::Plain, &format!("The answer is {right}."))),
    }
    if judgement != Judgement::Right {
        lines.extend(exercise.working.iter().flat_map(|line| working(line, screen)));
    }
    if comes_back {
        let text = match judgement {
            Judgement::Right => "It comes once more later, with other numbers.",
            _ => "A question of this kind comes back.",
        };
        lines.extend(screen.paragraph(2, Emphasis::Faint, text));
    }
    lines
}

/// A line of working. Where it is too wide it goes on below at an equals sign.
fn working(line: &str, screen: Screen) -> Vec<Line> {
    const INDENT: usize = 4;
    let text = line.trim_start();
    let start = INDENT + line.len() - text.len();
    let mut rows: Vec<String> = vec![];
    for (place, part) in text.split(" = ").enumerate() {
        match rows.last_mut() {
            // The first equals sign stays with its name.
            Some(row) if place == 1 || start + row.len() + " = ".len() + part.len() <= screen.width() => {
                row.push_str(" = ");
                row.push_str(part);
            }
            Some(_) => rows.push(format!("  = {part}")),
            None => rows.push(part.to_owned()),
        }
    }
    rows.iter()
        .flat_map(|row| {
            let text = row.trim_start();
            screen.item(&" ".repeat(start + row.len() - text.len()), Emphasis::Plain, text)
        })
        .collect()
}

/// What an answer in a drill was.
pub fn outcome(outcome: &Outcome, screen: Screen) -> Vec<Line> {
    exercise_judged(&outcome.exercise, outcome.judgement, outcome.comes_back, screen)
}

/// The score of a drill: by skill and in all, the mistakes that were made, what to do next.
pub fn score_said(score: &Score, progress: &Progress, screen: Screen) -> Vec<Line> {
    let all = score.all();
    let mut lines = vec![Line::empty(), Line::strong("Score")];
    if all.first.asked + all.back.asked == 0 {
        lines.extend(screen.paragraph(2, Emphasis::Plain, "Nothing was answered."));
        return lines;
    }
    let row = |name: &str, score: SkillScore, holds: String| [name.to_owned(), of(score.first), of(score.back), holds];
    let mut rows = vec![["skill", "first try", "after a miss", KINDS].map(str::to_owned)];
    rows.extend(score.skills().map(|(skill, score)| row(&name(skill, screen), score, held(progress, skill))));
    rows.push(row("all", all, String::new()));
    lines.extend(table(&rows));
    lines.extend(screen.paragraph(2, Emphasis::Faint, &what_holds()));
    let mistakes = score.mistakes();
    if !mistakes.is_empty() {
        lines.extend([Line::empty(), Line::strong("Mistakes that were made")]);
        for (name, count) in mistakes {
            lines.extend(screen.item(&format!("  {count} x  "), Emphasis::Plain, name));
        }
    }
    lines.push(Line::empty());
    lines.extend(screen.paragraph(0, Emphasis::Plain, &next(score.next(progress))));
    lines
}

/// A learner's progress: by skill, and what to do next.
pub fn progress_said(progress: &Progress, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Strong, &format!("Progress of {}", visible(&progress.learner))));
    let mut rows = vec![["skill", "right", "asked", KINDS].map(str::to_owned)];
    rows.extend(Skill::ALL.map(|skill| {
        let tries = progress.tries_of(skill);
        [name(skill, screen), tries.right.to_string(), tries.asked.to_string(), held(progress, skill)]
    }));
    lines.extend(table(&rows));
    lines.extend(screen.paragraph(2, Emphasis::Faint, &what_holds()));
    if !progress.lessons.is_empty() {
        lines.extend([Line::empty(), Line::strong("Lessons finished")]);
        for finished in &progress.lessons {
            let text = format!(
                "{} of {} right at once, {}",
                finished.right_at_once,
                show::plural(finished.questions, "question"),
                finished.at.minute()
            );
            lines.extend(screen.row(&finished.lesson, &text));
        }
    }
    if !progress.benches.is_empty() {
        lines.extend([Line::empty(), Line::strong("Benches tried")]);
        for bench in &progress.benches {
            let error = bench.corner_error_percent.map_or_else(
                || "no corner was left".to_owned(),
                |error| format!("corner {} off", show::signed_percent(error)),
            );
            let text = format!("seed {}: {error}, {}", bench.seed, bench.at.minute());
            lines.extend(screen.row(&bench.level, &text));
        }
    }
    let weakest = Skill::ALL.into_iter().find(|skill| !progress.holds(*skill));
    lines.push(Line::empty());
    lines.extend(screen.paragraph(0, Emphasis::Plain, &next(weakest)));
    lines
}

fn next(skill: Option<Skill>) -> String {
    skill.map_or_else(
        || "Every skill holds. A simulated bench is what comes next.".to_owned(),
        |skill| {
            let lesson = lesson_for(skill);
            format!("Next: {}. The lesson for it is `{}`, {}.", skill.named(), lesson.word(), lesson.title())
        },
    )
}

/// How many were right; nothing where nothing was asked.
fn of(tries: Tries) -> String {
    if tries.asked == 0 { "-".to_owned() } else { format!("{} of {} right", tries.right, tries.asked) }
}

/// What stands over the kinds of question of a skill that hold.
const KINDS: &str = "kinds that hold";

/// What holding means.
fn what_holds() -> String {
    format!("A kind of question holds when its last {IN_A_ROW} first tries were right, a skill when all its kinds do.")
}

/// A skill in a table: on a narrow screen its word alone.
fn name(skill: Skill, screen: Screen) -> String {
    const WIDE: usize = 76;
    if screen.width() >= WIDE { skill.named() } else { skill.word().to_owned() }
}

/// How many of a skill's kinds of question hold.
fn held(progress: &Progress, skill: Skill) -> String {
    let (held, all) = (progress.held(skill).len(), progress.counted(skill));
    if held == all { "all".to_owned() } else { format!("{held} of {all}") }
}

/// Names to the left, the rest to the right; the first row is the heading.
fn table<const N: usize>(rows: &[[String; N]]) -> Vec<Line> {
    let width = |column: usize| rows.iter().map(|row| row[column].len()).max().unwrap_or(0);
    let line = |row: &[String; N]| {
        let cells = row.iter().enumerate().map(|(column, cell)| match column {
            0 => format!("{cell:<0$}", width(0)),
            _ => format!("{cell:>0$}", width(column)),
        });
        format!("  {}", cells.collect::<Vec<_>>().join("  ")).trim_end().to_owned()
    };
    let emphasis = |place: usize| if place == 0 { Emphasis::Strong } else { Emphasis::Plain };
    rows.iter().enumerate().map(|(place, row)| Line { text: line(row), emphasis: emphasis(place) }).collect()
}
