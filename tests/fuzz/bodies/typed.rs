//! What a person types: every parser of a quantity, every guided dialogue, and a whole session.

use cornerset::displacement::Dialogue as DriverDialogue;
use cornerset::filter::{Family, Slope};
use cornerset::learn::{Drill, Figures, Progress, Quiz, Skill, what_to_type};
use cornerset::meter::Tolerance;
use cornerset::quantity::Refusal;
use cornerset::quantity::entry::{self, MOST_REPEATS, ToleranceEntry, Typed};
use cornerset::quantity::ranges::{self, Range};
use cornerset::quantity::text::{NAME_MAX, NOTE_MAX, accept_line, short_id, visible};
use cornerset::screens;
use cornerset::session::{Ask, Desk, EntryMode, LogEntry, Notes, Operator, Question, Reply, State, Stop, run as lead};
use cornerset::tuning::{Dialogue as TuningDialogue, Step};

use super::{shown, sitting};

/// So many lines are typed: more than twice what a session takes.
const MOST_LINES: usize = 80;
/// So many of them are read as every quantity there is.
const MOST_QUANTITIES: usize = 6;

/// Lines as they are typed, one after the other.
pub fn run(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let lines: Vec<&str> = text.lines().take(MOST_LINES).collect();
    for line in lines.iter().take(MOST_QUANTITIES) {
        quantities(line);
        words(line);
    }
    tuning(&lines);
    driver(&lines);
    drill(&lines);
    session(&lines, &text);
}

fn refused(refusal: &Refusal, given: &str) {
    let said = refusal.to_string();
    shown::text(&said, given);
    assert!(!refusal.problem.is_empty() && !refusal.accepted.is_empty(), "{said}");
    assert!(said.chars().count() < 1500, "a refusal is a sentence: {said}");
}

fn quantities(line: &str) {
    for range in &ranges::ALL {
        match entry::parse(line, range) {
            Ok(value) => in_range(value, range, line),
            Err(refusal) => refused(&refusal, line),
        }
    }
    for range in [ranges::READING, ranges::REFERENCE] {
        match entry::parse_repeats_or_span(line, &range) {
            Ok(typed) => several(&typed, &range, line),
            Err(refusal) => refused(&refusal, line),
        }
    }
    match entry::parse_tolerance(line) {
        Ok(ToleranceEntry::Percent(share)) => in_range(share.percent(), &ranges::TOLERANCE_PERCENT, line),
        Ok(ToleranceEntry::Decibels(level)) => in_range(level.db(), &ranges::TOLERANCE_DB, line),
        Err(refusal) => refused(&refusal, line),
    }
    assert_eq!(Tolerance::parse(line).is_ok(), entry::parse_tolerance(line).is_ok());
    match entry::parse_slope_number(line, "slope") {
        Ok(slope) => assert!(Slope::new(slope).is_some(), "{slope} dB/octave"),
        Err(refusal) => refused(&refusal, line),
    }
    match entry::split_pair(line, "sweep") {
        Ok((tone, volts, reference)) => {
            for part in [tone, volts].into_iter().chain(reference) {
                assert!(!part.is_empty() && part.trim() == part && line.contains(part));
            }
        }
        Err(refusal) => refused(&refusal, line),
    }
}

/// What is taken lies in its range; written out it is read as the same, with its unit and without.
fn in_range(value: f64, range: &Range, line: &str) {
    assert!(range.contains(value) && value.is_finite(), "{}: `{line}` was taken as {value}", range.field);
    for text in [format!("{value}"), format!("{value} {}", range.quantity.unit())] {
        assert_eq!(entry::parse(&text, range), Ok(value), "{}: `{line}` as `{text}`", range.field);
    }
}

fn several(typed: &Typed, range: &Range, line: &str) {
    let (middle, spread) = (typed.middle(), typed.spread());
    assert!(range.contains(middle), "`{line}` has the middle {middle}");
    assert!(spread.is_finite() && (0.0..=range.high).contains(&spread), "`{line}` has the spread {spread}");
    match typed {
        Typed::One(value) => in_range(*value, range, line),
        Typed::Span { low, high } => {
            assert!(low <= high && low <= &middle && middle <= *high, "`{line}` is from {low} to {high}");
            in_range(*low, range, line);
            in_range(*high, range, line);
        }
        Typed::Repeats(values) => {
            assert!((2..=MOST_REPEATS).contains(&values.len()));
            values.iter().for_each(|value| in_range(*value, range, line));
        }
    }
}

fn words(line: &str) {
    for most in [NAME_MAX, NOTE_MAX] {
        match accept_line("name", line, most) {
            Ok(name) => {
                assert_eq!(visible(&name), name);
                assert_eq!(accept_line("name", &name, most).as_ref(), Ok(&name));
                assert!((1..=most).contains(&name.chars().count()));
            }
            Err(refusal) => refused(&refusal, line),
        }
    }
    shown::harmless(&visible(line));
    assert!(line.starts_with(short_id(line)));
    if let Some(family) = Family::from_word(line) {
        assert_eq!(Family::from_word(family.word()), Some(family));
    }
}

/// The guided way to a tuning.
fn tuning(lines: &[&str]) {
    let mut dialogue = TuningDialogue::default();
    for line in lines {
        if *line == "<" {
            dialogue.back();
            continue;
        }
        let step = dialogue.step();
        match dialogue.answer(line) {
            Ok(taken) => {
                if let Some(found) = &taken.found {
                    assert!(ranges::TUNING.contains(found.as_told().hz()), "a tuning of {} Hz", found.as_told().hz());
                }
                if matches!(step, Step::Take(_)) {
                    break;
                }
            }
            Err(refusal) => refused(&refusal, line),
        }
        let screen = shown::screens()[0];
        shown::lines(&screens::tuning_question(&dialogue, &dialogue.step(), screen), line);
    }
}

/// Driver and box, value by value.
fn driver(lines: &[&str]) {
    let mut dialogue = DriverDialogue::of_values();
    for line in lines {
        if *line == "<" {
            dialogue.back();
            continue;
        }
        if dialogue.told().is_some() {
            break;
        }
        match dialogue.answer(line) {
            Ok(taken) => shown::text(&taken, line),
            Err(refusal) => refused(&refusal, line),
        }
    }
    if let Some(told) = dialogue.told() {
        super::driver::run(told.0.as_bytes());
    }
}

/// A drill over every skill.
fn drill(lines: &[&str]) {
    let mut drill = Drill::new(7, &Skill::ALL, Figures::Three, &Progress::new("learner"));
    for line in lines.iter().take(20) {
        if let Some(exercise) = drill.exercise() {
            shown::text(&what_to_type(exercise), line);
        }
        match drill.answer(line) {
            Ok(outcome) => {
                let screen = shown::screens()[0];
                shown::lines(&cornerset::learn::outcome(&outcome, screen), line);
            }
            Err(refusal) => {
                refused(&refusal, line);
                drill.pass();
            }
        }
    }
}

/// Types line by line, whatever is asked. A blank line is Enter; `<` and `.` go back and end a list, `!` begins a note, `>` an
/// answer to another question.
struct Typist<'a> {
    lines: std::slice::Iter<'a, &'a str>,
    given: &'a str,
}

impl Operator for Typist<'_> {
    fn reply(&mut self, state: &State, ask: &Ask, notes: &mut dyn Notes) -> Result<Reply, Stop> {
        shown::lines(&screens::question(state, ask, shown::screens()[0]), self.given);
        shown::text(&screens::prompt(ask, 40), self.given);
        let Some(line) = self.lines.next() else { return Err(Stop::Interrupted) };
        let (first, rest) = line.split_at(line.chars().next().map_or(0, char::len_utf8));
        Ok(match (first, rest) {
            ("", _) => Reply::Default,
            (".", "") => Reply::Done,
            ("<", word) => Reply::Back(Question::from_word(word.trim())),
            ("!", note) => Reply::Note(note.to_owned()),
            ("+", note) if accept_line("note", note, NOTE_MAX).is_ok() => {
                notes.keep(note)?;
                Reply::Default
            }
            (">", other) => match other.split_once(' ') {
                Some((word, answer)) if Question::from_word(word).is_some() => {
                    Reply::TypedFor(Question::from_word(word).unwrap_or(ask.question), answer.to_owned())
                }
                _ => Reply::Pause,
            },
            _ => Reply::Typed((*line).to_owned()),
        })
    }

    fn refused(&mut self, _ask: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        refused(refusal, self.given);
        Ok(())
    }

    fn logged(&mut self, state: &State, entry: &LogEntry) -> Result<(), Stop> {
        for screen in shown::screens() {
            shown::lines(&screens::news(state, entry, true, screen), self.given);
        }
        Ok(())
    }
}

fn session(lines: &[&str], given: &str) {
    let mut state = State::new(sitting::opened("bench", false, EntryMode::Keyboard));
    let mut typist = Typist { lines: lines.iter(), given };
    let (mut clock, mut journal) = (sitting::Ticking::default(), sitting::Held::default());
    let ended =
        lead(&mut state, &mut Desk { operator: &mut typist, clock: &mut clock, journal: &mut journal, memory: None });
    match ended {
        Ok(()) | Err(Stop::Interrupted) => {}
        Err(stop) => panic!("a session in memory stopped: {stop}"),
    }
    assert!(state.log() == journal.0, "what is kept is what is applied");
    sitting::check(&state);
}
