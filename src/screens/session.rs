//! The frame of a session: its opening, what is known already, how it stopped, which ones are unfinished.

use super::line::{Emphasis, Line, Screen};
use super::plan::plan;
use super::reading::reading;
use crate::plan::HAZARDOUS;
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::session::{Known, Question, State};

/// The first lines of a session.
pub fn opening(screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::strong("Cornerset: a low-cut corner by test tone and meter")];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "Enter takes what stands in brackets.  ?\u{a0}explain  <\u{a0}back  !\u{a0}note  q\u{a0}pause",
    ));
    lines
}

/// What a resumed session holds.
pub fn recap(state: &State, dropped_bytes: u64, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    let job = state.job().map_or_else(|| "no job yet".to_owned(), visible);
    lines.extend(screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("Taken up again: {job}, {}", show::plural(state.readings().len(), "reading")),
    ));
    if dropped_bytes > 0 {
        let bytes = show::plural(usize::try_from(dropped_bytes).unwrap_or(usize::MAX), "byte");
        lines.extend(screen.paragraph(
            0,
            Emphasis::Warn,
            &format!("The last line of its journal was torn and is dropped ({bytes}): it was never shown as logged."),
        ));
    }
    if let (None, Some((name, _))) = (state.next(), state.signed_off()) {
        let text = format!("Signed off by {}; only the record is left to write.", visible(name));
        lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
        return lines;
    }
    if let Some(made) = state.plan() {
        lines.extend(plan(made, screen));
    }
    if state.last_reading().is_some() {
        lines.push(Line::empty());
        lines.extend(reading(state, Screen::new(screen.width(), true)));
    }
    if let Some(made) = state.plan() {
        let with = if state.mark().is_some() { "the knob at its mark" } else { "the filter out" };
        let text = format!(
            "Is the level as it was? At {} with {with} the meter must read {} again; if it does not, `< reference` takes \
             what it reads now.",
            show::tone(made.inputs.tone),
            show::volts(made.inputs.reference.reading.volts, made.inputs.meter.resolution)
        );
        lines.extend(screen.item("! ", Emphasis::Warn, &text));
    }
    if state.accepted() {
        lines.push(Line::strong("This setting was accepted."));
    }
    lines
}

/// The answers that were taken without asking: those of this session, and those of the last one with this gear. A tone that
/// follows from its corner is left to the plan.
pub fn taken(taken: &[(Question, String, Known)], screen: Screen) -> Vec<Line> {
    let mut lines = vec![];
    for (from, is_before) in [("As before", true), ("As last time with this gear", false)] {
        let of: Vec<&(Question, String, Known)> = taken
            .iter()
            .filter(|(question, _, known)| *question != Question::Tone && (*known == Known::Before) == is_before)
            .collect();
        let items: Vec<String> =
            of.iter().map(|(question, typed, _)| format!("{question} {}", visible(typed))).collect();
        let Some((first, ..)) = of.first() else { continue };
        lines.push(Line::empty());
        lines.extend(screen.paragraph(0, Emphasis::Plain, &format!("{from}: {}.", items.join(", "))));
        let which = if items.len() == 1 { "it" } else { "one of them" };
        lines.extend(screen.paragraph(0, Emphasis::Faint, &format!("`< {first}` goes back to {which}.")));
    }
    lines
}

/// The voltage for the gain, once rated power and load are answered.
pub fn gain_voltage(state: &State, screen: Screen) -> Vec<Line> {
    let text = match (state.rated_power(), state.load()) {
        (Some(power), Some(load)) => {
            let volts = power.voltage_across(load);
            let filter = if state.mark().is_some() { "the filter's knob all the way down" } else { "the filter out" };
            let hazard = if volts > HAZARDOUS { " That is hazardous to touch." } else { "" };
            format!(
                "Gain first, speakers still disconnected: play the tone that the maker's manual names, {filter}, \
                 and turn the gain until the output reads {:.1} V, which is sqrt({} x {}).{hazard} Then bring the level \
                 down for the filter work.",
                volts.volts(),
                show::watts(power),
                show::ohms(load)
            )
        }
        _ => {
            "Gain first, speakers still disconnected: the output voltage for a rated power is sqrt(power x load), from \
              the maker's manual. Then bring the level down for the filter work."
                .to_owned()
        }
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
    lines
}

/// The session stopped before its end, and is kept.
pub fn stopped(state: &State, resume: &str, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    let readings = state.readings().len();
    let held = if readings == 0 { String::new() } else { format!(" with {}", show::plural(readings, "reading")) };
    lines.extend(screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("Stopped. The session is kept{held}; nothing that was logged is lost. Turn the level down."),
    ));
    // One that was left before its first answer is not in the list at the next start.
    let offered =
        if state.job().is_some() { "Start the program again and it is offered, or go on with:" } else { "Go on with:" };
    lines.push(Line::plain(offered));
    lines.push(Line::plain(format!("  {resume}")));
    lines
}

/// Unfinished sessions in a list, each with its number.
pub fn unfinished(sessions: &[Unfinished<'_>], elsewhere: usize, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty(), Line::strong("Not finished:")];
    for (index, session) in sessions.iter().enumerate() {
        let technician = session.technician.map_or_else(String::new, |name| format!(", {}", visible(name)));
        let text = format!(
            "{}{technician}: {}, opened {}",
            visible(session.job),
            show::plural(session.readings, "reading"),
            session.opened
        );
        lines.extend(screen.item(&format!("  {}  ", index + 1), Emphasis::Plain, &text));
    }
    if elsewhere > 0 {
        let text = format!("and {} open in another window", show::plural(elsewhere, "session"));
        lines.extend(screen.paragraph(2, Emphasis::Faint, &text));
    }
    lines.extend(screen.paragraph(
        0,
        Emphasis::Plain,
        "A number takes one up again, Enter the first; `new` starts a new session. `away` and a number moves one out of \
         this list, into the store's folder `away`.",
    ));
    lines
}

/// An unfinished session, as a list shows it.
#[derive(Debug, Clone, Copy)]
pub struct Unfinished<'a> {
    /// Its job.
    pub job: &'a str,
    /// Its technician, where that was answered.
    pub technician: Option<&'a str>,
    /// How many readings it has.
    pub readings: usize,
    /// When it was opened, to the minute.
    pub opened: &'a str,
}
