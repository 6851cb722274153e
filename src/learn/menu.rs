//! What there is to learn, what was done, and what comes next.

use std::fmt;

use super::lesson::Lesson;
use super::progress::Progress;
use super::skill::Skill;
use crate::practice::Level;
use crate::quantity::{Refusal, show};
use crate::screens::{Emphasis, Line, Screen};

/// Something to learn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// A lesson.
    Lesson(Lesson),
    /// A bench of this level.
    Bench(Level),
    /// The drill.
    Drill,
}

impl Choice {
    /// Everything, in the order in which it is best taken.
    pub fn all() -> impl Iterator<Item = Self> {
        let lessons = Lesson::ALL.into_iter().map(Self::Lesson);
        lessons.chain(Level::ALL.into_iter().map(Self::Bench)).chain([Self::Drill])
    }

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lesson(lesson) => lesson.word(),
            Self::Bench(level) => level.word(),
            Self::Drill => "drill",
        }
    }

    /// What was typed: a number of the list, or a word.
    ///
    /// # Errors
    /// Where the list has no such thing.
    pub fn read(typed: &str) -> Result<Self, Refusal> {
        let typed = typed.trim();
        let number = typed.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let by_number = number.and_then(|index| Self::all().nth(index));
        by_number.or_else(|| Self::all().find(|choice| choice.word().eq_ignore_ascii_case(typed))).ok_or_else(|| {
            let accepted =
                format!("a number from 1 to {}, one of the words beside them, q to leave", Self::all().count());
            Refusal::new("go on with", typed, "is not in this list", accepted)
        })
    }
}

impl fmt::Display for Choice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What comes next, after what is kept of a learner and what was done just now.
pub fn next_choice(progress: &Progress, done: &[Choice]) -> Choice {
    let is_done = |choice: &Choice| {
        done.contains(choice)
            || match choice {
                Choice::Lesson(lesson) => progress.lesson(*lesson).is_some(),
                Choice::Bench(level) => progress.best_on(*level).is_some(),
                Choice::Drill => false,
            }
    };
    Choice::all().find(|choice| !is_done(choice)).unwrap_or(Choice::Drill)
}

/// The list, with what was done.
pub fn menu(progress: &Progress, next: Choice, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty(), Line::strong("Learn to set a low-cut corner, without an amplifier")];
    for (index, choice) in Choice::all().enumerate() {
        match choice {
            Choice::Lesson(Lesson::Ratio) => lines.push(Line::plain("Lessons")),
            Choice::Bench(Level::Friendly) => lines.push(Line::plain("A simulated bench, with the real session")),
            Choice::Drill => lines.push(Line::plain("Questions without end")),
            _ => {}
        }
        let mark = if choice == next { '>' } else { ' ' };
        let done = match choice {
            Choice::Lesson(lesson) => progress
                .lesson(lesson)
                .map(|finished| format!("{} of {} right at once", finished.right_at_once, finished.questions)),
            Choice::Bench(level) => progress.best_on(level).map(|error| format!("corner {} off", show::percent(error))),
            Choice::Drill => holding(progress),
        };
        let about = match choice {
            Choice::Lesson(lesson) => format!("{}, {} min", lesson.title(), lesson.minutes()),
            Choice::Bench(level) => about(level).to_owned(),
            Choice::Drill => "by skill; what was missed comes back".to_owned(),
        };
        let text = done.map_or(about.clone(), |done| format!("{about}; {done}"));
        let emphasis = if choice == next { Emphasis::Strong } else { Emphasis::Plain };
        lines.extend(screen.item(&format!("{mark} {:>2}  {:<10} ", index + 1, choice.word()), emphasis, &text));
    }
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "A number or a word chooses, Enter takes the one marked >, q leaves.",
    ));
    lines
}

/// What `?` says in the list.
pub fn menu_help(screen: Screen) -> Vec<Line> {
    let text = "The lessons explain, a few minutes each; take them in their order, if you are new to it. A bench is set by the \
                real session: it asks, you turn the knob with `turn 4.2`, play a tone with `play 27` and type what the meter \
                shows. The drill asks without end. Nothing here touches a real record.";
    screen.paragraph(0, Emphasis::Plain, text)
}

const fn about(level: Level) -> &'static str {
    match level {
        Level::Friendly => "everything is what its label says",
        Level::Usual => "fixed tones, a dial that is off, perhaps no family",
        Level::Awkward => "a filter that stays in, digits that hunt",
        Level::Nasty => "all of that, and a label that is wrong",
    }
}

/// How many skills hold, where any was asked.
fn holding(progress: &Progress) -> Option<String> {
    let asked = Skill::ALL.into_iter().any(|skill| progress.tries_of(skill).asked > 0);
    let holding = Skill::ALL.into_iter().filter(|skill| progress.holds(*skill)).count();
    asked.then(|| format!("{holding} of {} skills hold", Skill::ALL.len()))
}
