//! The end: putting things back, and the summary.

use std::path::Path;

use super::line::{Emphasis, Line, Screen};
use super::record_facts::{cone_travels, filter, place, signed_by, sweep_says, verdict_emphasis, verdict_line, wanted};
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::record::{Record, STATEMENT};
use crate::session::State;

/// The check list before signing off: what must be put back.
pub fn put_back(state: &State, screen: Screen) -> Vec<Line> {
    let filter = match state.mark() {
        None => "The filter is switched in again, and the knob has not moved.",
        Some(_) => "The knob stands where the last reading was taken.",
    };
    let items = [
        "The tone is stopped and the level is all the way down.",
        filter,
        "The meter's leads are off the output, the meter is back on its usual range.",
        "The amplifier is off before speakers are connected again, each with its polarity.",
        "Boost, phase and every other control stand as they should.",
        "The first listen is quiet, with a hand on the level.",
    ];
    let mut lines = vec![Line::empty(), Line::strong("Before you sign: put things back")];
    lines.extend(items.iter().flat_map(|item| screen.item("  [ ] ", Emphasis::Plain, item)));
    lines.push(Line::empty());
    lines.extend(screen.paragraph(0, Emphasis::Plain, &format!("The record will say: {STATEMENT}")));
    lines
}

/// The summary of a finished record.
pub fn summary(record: &Record, path: &Path, screen: Screen) -> Vec<Line> {
    let plan = &record.plan;
    let mut lines = screen.paragraph(0, verdict_emphasis(record), &verdict_line(record));
    for warning in &plan.warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    lines.extend(screen.row("wanted", &wanted(record)));
    lines.extend(screen.row("filter", &filter(record)));
    lines.extend(screen.row("tone", &show::tone(plan.setting.tone_hz)));
    if let Some(travels) = cone_travels(record) {
        lines.extend(screen.row("cone travels", &travels));
    }
    if let Some(reason) = &record.outcome.reason {
        lines.extend(screen.row("reason", &visible(reason)));
    }
    if let Some(sweep) = sweep_says(record) {
        lines.extend(screen.row("sweep", sweep));
    }
    let key = if record.sign_off.signature.is_some() { "with a key" } else { "by name, without a key" };
    lines.extend(screen.row("signed off", &visible(&format!("{}, {key}", signed_by(record)))));
    lines.extend(screen.row("record", &visible(&place(record))));
    lines.push(Line::plain(format!("  {}", visible(&path.display().to_string()))));
    lines
}
