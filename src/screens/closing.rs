//! The end: putting things back, and the summary.

use std::path::Path;

use super::line::{Emphasis, Line, Screen};
use crate::filter::Alignment;
use crate::meter::Verdict;
use crate::quantity::text::visible;
use crate::quantity::{Percent, show};
use crate::record::{FamilyFrom, Record, STATEMENT};
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
    let outcome = &record.outcome;
    let plan = &record.plan;
    let corner = match (outcome.corner_hz, outcome.corner_uncertainty_hz) {
        (Some(corner), Some(uncertainty)) => {
            format!("corner {:.1} +- {:.1} Hz", corner.hz(), uncertainty.hz().max(0.05))
        }
        (Some(corner), None) => format!("corner {}", show::hertz(corner)),
        (None, _) => "no single corner".to_owned(),
    };
    let emphasis = if outcome.verdict == Verdict::Inside { Emphasis::Good } else { Emphasis::Warn };
    let mut lines =
        screen.paragraph(0, emphasis, &format!("{}: {corner}, {}", visible(&record.job), verdict(outcome.verdict)));
    for warning in &plan.warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    let tolerance = plan.tolerance_percent.map_or_else(
        || plan.tolerance_db.map_or(String::new(), |db| format!("{} dB", db.db())),
        |share: Percent| show::percent(share),
    );
    lines.extend(screen.row("wanted", &format!("{} +- {tolerance}", show::hertz(plan.corner_hz))));
    lines.extend(screen.row("filter", &filter(record)));
    lines.extend(screen.row("tone", &show::tone(plan.setting.tone_hz)));
    let enclosure = &record.enclosure;
    if let (Some(peak), Some(at), Some(xmax)) = (enclosure.peak_mm, enclosure.peak_hz, enclosure.xmax_mm) {
        let past = if enclosure.within_xmax == Some(false) { ", PAST XMAX" } else { "" };
        let (peak, at, xmax) = (show::millimetres(peak), show::hertz(at), show::millimetres(xmax));
        let travels = format!("{peak} at {at}, Xmax {xmax}{past}");
        lines.extend(screen.row("cone travels", &travels));
    }
    if let Some(reason) = &outcome.reason {
        lines.extend(screen.row("reason", &visible(reason)));
    }
    let sweep = match outcome.family_confirmed {
        Some(true) => Some("fits the filter in use best"),
        Some(false) => Some("says that the filter is another"),
        None if outcome.fit.is_some() => Some("cannot tell whether the filter is the one in use"),
        None => None,
    };
    if let Some(sweep) = sweep {
        lines.extend(screen.row("sweep", sweep));
    }
    let signed_by = if record.sign_off.name == record.technician {
        visible(&record.sign_off.name)
    } else {
        format!("{} for {}", visible(&record.sign_off.name), visible(&record.technician))
    };
    lines.extend(screen.row("signed off", &format!("{signed_by}, by name, without a key")));
    lines.extend(screen.row("record", &format!("{} number {}", visible(&record.bench), record.sequence)));
    lines.push(Line::plain(format!("  {}", visible(&path.display().to_string()))));
    lines
}

/// The verdict; above and below speak of the voltage.
fn verdict(verdict: Verdict) -> String {
    let word = verdict.word().to_uppercase();
    match verdict {
        Verdict::Above | Verdict::Below => format!("{word} in volts"),
        Verdict::Inside | Verdict::Borderline => word,
    }
}

fn filter(record: &Record) -> String {
    let filter = match record.filter.q {
        Some(q) => Alignment::second_order(q).to_string(),
        None => format!("{} {}", record.filter.family, record.filter.slope_db_per_octave),
    };
    match record.filter.family_from {
        FamilyFrom::Answer => filter,
        FamilyFrom::Fit => format!("{filter}, found by readings"),
        FamilyFrom::Guess => format!("{filter}, A GUESS: nobody knew the family"),
    }
}
