//! What the meter should read: the plan as a page, and its working.

use super::line::{Emphasis, Line, Screen};
use crate::meter::{AcceptZone, MeterSpec, Tolerance, Window};
use crate::plan::{CornerChoice, Plan};
use crate::quantity::{Hertz, Volts, show};

/// The plan on one page: what to play, where to turn, how wide it may miss.
pub fn plan(plan: &Plan, screen: Screen) -> Vec<Line> {
    let inputs = &plan.inputs;
    let setting = &plan.setting;
    let step = inputs.meter.resolution;
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("Corner {} on a {} filter", show::hertz(inputs.corner.corner()), inputs.alignment),
    ));
    if let CornerChoice::Rule(tuning, rule) = inputs.corner {
        lines.extend(
            screen.row("rule", &format!("{rule}: tuning {} x {}", show::hertz(tuning), rounded(rule.factor()))),
        );
    }
    lines.extend(screen.row("play", &show::tone(setting.tone)));
    let reference = show::volts(inputs.reference.reading.volts, step);
    lines.extend(screen.row(
        "reference",
        &match inputs.reference.mark {
            None => reference,
            Some(mark) => format!(
                "{reference} as read with the filter at its {} mark; {} with the filter reckoned out",
                show::hertz(mark.at),
                show::volts(plan.true_reference, step)
            ),
        },
    ));
    lines.extend(screen.row(
        "turn until",
        &format!(
            "{}, which is {} x {:.3}: {} down",
            show::volts(setting.target, step),
            show::volts(plan.true_reference, step),
            setting.target.over(plan.true_reference),
            show::decibels(setting.down)
        ),
    ));
    let corners = (setting.corner_low, setting.corner_high);
    lines.extend(screen.row("window", &window_text(setting.window, inputs.tolerance, corners, step)));
    lines.extend(screen.row("accept", &accept_text(setting.accept, step)));
    lines.extend(screen.row("meter", &meter_text(inputs.meter, inputs.range_held)));
    lines.extend(screen.row("direction", "too many volts: corner up; too few: corner down"));
    for warning in &plan.warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    lines
}

/// Volts of the window, rounded inwards, and the corners at its ends.
pub(super) fn window_text(
    window: Window,
    tolerance: Tolerance,
    (corner_low, corner_high): (Option<Hertz>, Option<Hertz>),
    step: Volts,
) -> String {
    let corners = match (corner_low, corner_high) {
        (Some(low), Some(high)) => format!(", {:.2} to {:.2} Hz", inwards_up(low), inwards_down(high)),
        (None, Some(high)) => format!(", corner up to {:.2} Hz", inwards_down(high)),
        _ => String::new(),
    };
    let named = match tolerance {
        Tolerance::Corner(_) => "corner",
        Tolerance::Level(_) => "level",
    };
    let volts = match inwards(window.low, window.high, step) {
        Some((low, high)) => format!("{low} to {high}"),
        None => format!("narrower than one step of the display, {} V", step.volts()),
    };
    format!("{volts} ({named} +- {}{corners})", tolerance_text(tolerance))
}

/// How far off it may be: `3 %`, `0.5 dB`.
pub(super) fn tolerance_text(tolerance: Tolerance) -> String {
    match tolerance {
        Tolerance::Corner(share) => show::percent(share),
        Tolerance::Level(db) => format!("{} dB", db.db()),
    }
}

/// Two limits rounded inwards to the display's steps; `None` where no step lies between them.
pub(super) fn inwards(low: Volts, high: Volts, step: Volts) -> Option<(String, String)> {
    (show::step_at_or_above(low, step) <= show::step_at_or_below(high, step))
        .then(|| (show::low_limit(low, step), show::high_limit(high, step)))
}

/// Hundredths of a hertz, rounded up; what is a whole hundredth but for the arithmetic stays.
fn inwards_up(frequency: Hertz) -> f64 {
    in_hundredths(frequency, |hundredths| (hundredths - 1e-9).ceil())
}

/// Hundredths of a hertz, rounded down.
fn inwards_down(frequency: Hertz) -> f64 {
    in_hundredths(frequency, |hundredths| (hundredths + 1e-9).floor())
}

/// A frequency rounded in its hundredths; one that only an altered record has is too high to have any.
fn in_hundredths(frequency: Hertz, rounded: fn(f64) -> f64) -> f64 {
    let hundredths = frequency.hz() * 100.0;
    if hundredths.is_finite() { rounded(hundredths) / 100.0 } else { frequency.hz() }
}

/// Volts of the accept zone, rounded inwards.
pub(super) fn accept_text(accept: AcceptZone, step: Volts) -> String {
    match accept {
        AcceptZone::Between(low, high) => match inwards(low, high, step) {
            Some((low, high)) => format!("{low} to {high} (the window less what the meter may be off)"),
            None => "narrower than one step of the display".to_owned(),
        },
        AcceptZone::Empty => "empty: borderline at best".to_owned(),
    }
}

/// The meter's specification, and whether its gain error cancels.
pub(super) fn meter_text(meter: MeterSpec, range_held: bool) -> String {
    let range = if range_held { "range held" } else { "range may change" };
    format!(
        "+-({} + {}), steps of {} V, {range}",
        show::percent(meter.accuracy),
        show::plural(meter.digits as usize, "digit"),
        meter.resolution.volts()
    )
}

fn rounded(factor: f64) -> String {
    let text = format!("{factor:.4}");
    text.trim_end_matches('0').to_owned()
}

/// Working, every line as it stands.
pub fn working(lines: &[String], screen: Screen) -> Vec<Line> {
    let mut page = vec![Line { text: "working:".to_owned(), emphasis: Emphasis::Faint }];
    page.extend(lines.iter().flat_map(|line| match line.split_once("= ") {
        Some((name, formula)) => screen.item(&format!("  {name}= "), Emphasis::Faint, formula),
        None => screen.item("  ", Emphasis::Faint, line),
    }));
    page
}
