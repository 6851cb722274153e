//! What is said when an entry is kept.

use super::cone::{chosen_corner_says, need_says};
use super::findings::{explored, swept};
use super::line::{Emphasis, Line, Screen};
use super::plan::{plan, working};
use super::reading::{down_or_up, reading};
use super::session::gain_voltage;
use super::when::told_apart;
use crate::corner::{Reading, Reference, far_above};
use crate::plan::{judging, planning};
use crate::quantity::show;
use crate::session::{LogEntry, PairEntry, Question, State};

/// The screen that follows an entry; empty where the answer speaks for itself.
pub fn news(state: &State, entry: &LogEntry, show_working: bool, screen: Screen) -> Vec<Line> {
    let mut lines = clock_set_back(state, screen);
    lines.extend(said_of(state, entry, show_working, screen));
    lines
}

/// That the last entry is dated before the one before it. Each keeps the time that the clock showed.
fn clock_set_back(state: &State, screen: Screen) -> Vec<Line> {
    let log = state.log();
    let Some((last, earlier)) = log.split_last() else { return vec![] };
    let before = earlier.last().map_or(state.opened().at, LogEntry::at);
    if last.at() >= before {
        return vec![];
    }
    let (dated, before) = told_apart(last.at(), before);
    let text = format!(
        "The clock of this computer was set back: this is dated {dated}, what came before it {before}. The order is kept, and \
         an audit will name it; check the clock."
    );
    screen.item("! ", Emphasis::Warn, &text)
}

fn said_of(state: &State, entry: &LogEntry, show_working: bool, screen: Screen) -> Vec<Line> {
    match entry {
        LogEntry::Answer(answer) => match answer.question {
            Question::Load => gain_voltage(state, screen),
            Question::Driver => need_says(state, screen),
            Question::Tuning if state.tuning().is_some() && state.box_is_closed() => {
                let text =
                    "The box has no port, by what was told of it, and so no tuning: only the rules use this one.";
                screen.item("! ", Emphasis::Warn, text)
            }
            Question::Rule | Question::Corner => chosen_corner_says(state, screen),
            Question::SetAgain if answer.typed.to_lowercase().starts_with('y') => set_again(state, screen),
            Question::Tone => tone_warning(state, screen),
            Question::Explore if state.explored_alone() => {
                [explored(state, screen), chosen_corner_says(state, screen)].concat()
            }
            Question::Sweep => swept(state, screen),
            Question::DialMark => dial_error(state, screen),
            _ => vec![],
        },
        LogEntry::Reference(_) => {
            let mut lines = if state.explored_alone() { vec![] } else { explored(state, screen) };
            if let Some(made) = state.plan() {
                lines.extend(plan(made, screen));
                if show_working {
                    lines.push(Line::empty());
                    lines.extend(working(&planning(made), screen));
                }
            }
            lines
        }
        LogEntry::Reading(_) => {
            let mut lines = reading(state, screen);
            if show_working {
                lines.extend(working_of_last(state, screen));
            }
            lines
        }
        LogEntry::Strike(strike) => {
            let mut lines = vec![Line::empty(), Line::plain(format!("Reading {} is struck.", strike.number))];
            if strike.question == Question::Reading {
                lines.extend(reading(state, screen));
            }
            lines
        }
        LogEntry::Explore(pair) | LogEntry::Sweep(pair) => vec![pair_line(state, pair)],
        LogEntry::Accept(accept) if !accept.accepted => vec![Line::empty(), Line::plain("Back to the knob.")],
        LogEntry::Note(_) => vec![Line { text: "Noted.".to_owned(), emphasis: Emphasis::Faint }],
        LogEntry::Accept(_) | LogEntry::Caution(_) | LogEntry::Pause(_) | LogEntry::Resume(_) => vec![],
    }
}

/// The new plan, for the filter that was found.
fn set_again(state: &State, screen: Screen) -> Vec<Line> {
    let Some(made) = state.plan() else {
        return vec![];
    };
    let mut lines = vec![Line::empty()];
    let text = format!("Back to the knob, for {} as it was found. The reference holds.", made.inputs.alignment);
    lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
    lines.extend(plan(made, screen));
    lines
}

/// How far the print at the knob is off.
fn dial_error(state: &State, screen: Screen) -> Vec<Line> {
    let measured = state.last_reading().and_then(|taken| taken.judged.corners.single());
    let (Some(mark), Some(corner)) = (state.dial_mark(), measured) else {
        return vec![];
    };
    let text = format!(
        "The print says {} where the corner measures {}: {}.",
        show::hertz(mark),
        show::hertz(corner),
        show::signed_percent(mark.error_against(corner))
    );
    screen.paragraph(0, Emphasis::Plain, &text)
}

/// The working of the last reading that counts; before the first one, that of the target.
pub fn all_working(state: &State, screen: Screen) -> Vec<Line> {
    match state.plan() {
        Some(made) if state.last_reading().is_none() => working(&planning(made), screen),
        Some(_) => working_of_last(state, screen),
        None => vec![Line::plain("There is nothing to work out yet.")],
    }
}

fn working_of_last(state: &State, screen: Screen) -> Vec<Line> {
    let (Some(plan), Some(taken)) = (state.plan(), state.last_reading()) else {
        return vec![];
    };
    let mut lines = vec![Line::empty()];
    lines.extend(working(&judging(plan, &taken.judged), screen));
    lines
}

/// A tone that says too little is named as soon as it is chosen.
fn tone_warning(state: &State, screen: Screen) -> Vec<Line> {
    let (Some(filter), Some(corner), Some(tone)) = (state.alignment(), state.corner(), state.tone()) else {
        return vec![];
    };
    far_above(filter, tone, corner.corner())
        .map(|warning| screen.item("! ", Emphasis::Warn, &warning))
        .unwrap_or_default()
}

fn pair_line(state: &State, pair: &PairEntry) -> Line {
    let step = state.meter().unwrap_or(crate::meter::MeterSpec::USUAL).resolution;
    let reference = pair.reference_v.map_or(String::new(), |volts| format!(" of {}", show::volts(volts, step)));
    // As a reading is: from the reference with the filter at its mark reckoned out, once it is known which filter that is.
    let against = match (state.plan(), pair.reference_v) {
        (Some(plan), Some(volts)) => {
            let own = Reference { reading: Reading::steady(volts), ..plan.inputs.reference };
            Some(own.true_volts(plan.inputs.alignment, pair.tone_hz))
        }
        (Some(plan), None) => Some(plan.true_reference),
        (None, reference) => reference,
    };
    let down = against.map_or(String::new(), |volts| format!(", {}", down_or_up(pair.volts.down_from(volts))));
    Line::plain(format!(
        "  {}  {}{reference} at {}{down}",
        pair.number,
        show::volts(pair.volts, step),
        show::tone(pair.tone_hz)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{EntryMode, Moment, NoteEntry, Opened};

    fn said(opened: &str, noted: &str) -> String {
        let moment = |text: &str| -> Moment { serde_json::from_str(&format!("\"{text}\"")).unwrap() };
        let mut state = State::new(Opened {
            id: "0190".to_owned(),
            bench: "a bench".to_owned(),
            entry: EntryMode::Keyboard,
            practice: false,
            tool: "cornerset".to_owned(),
            at: moment(opened),
        });
        let note = LogEntry::Note(NoteEntry { at: moment(noted), question: Question::Job, text: "a note".to_owned() });
        state.apply(note.clone()).unwrap();
        let lines = news(&state, &note, false, Screen::new(80, false));
        lines.iter().map(|line| line.text.trim()).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_clock_that_was_set_back_is_told_with_two_times_that_differ() {
        let at = "2026-03-05T09:30:12.250+01:00";
        assert_eq!(said(at, at), "Noted.");
        for (noted, told) in [
            ("2026-03-05T09:30:10.250+01:00", "dated 2026-03-05 09:30:10, what came before it 2026-03-05 09:30:12."),
            ("2026-03-05T08:30:12.250+01:00", "dated 2026-03-05 08:30, what came before it 2026-03-05 09:30."),
        ] {
            assert!(said(at, noted).contains(told), "{}", said(at, noted));
        }
    }
}
