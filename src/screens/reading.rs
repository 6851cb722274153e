//! What a reading says: one block, the verdict first.

use super::banner::banner;
use super::gauge::Gauge;
use super::line::{Emphasis, Line, Screen};
use crate::filter::Corners;
use crate::meter::{AcceptZone, Verdict};
use crate::plan::{Judged, Plan};
use crate::quantity::{Decibels, Hertz, show};
use crate::session::{State, Taken};

/// Columns of the gauge at most.
const GAUGE: usize = 64;
/// Less than this taken off may be nothing at all.
const UNTOUCHED: Decibels = Decibels::new(0.2);
/// Repeats or a span that spread by more than this share were hardly read at one setting of the knob.
const UNSETTLED: f64 = 0.02;
/// What is left is compared with the last turn up to so many times that turn.
const MOST_TURN: f64 = 4.0;
/// A reading this much above the true reference is more likely a slip than a filter.
const SLIP: f64 = 1.05;

/// The block of the last reading that counts; empty where there is none.
pub fn reading(state: &State, screen: Screen) -> Vec<Line> {
    let (Some(plan), Some(taken)) = (state.plan(), state.last_reading()) else {
        return vec![Line::plain("No reading is left.")];
    };
    let judged = &taken.judged;
    let verdict = judged.verdict;
    let emphasis = if verdict == Verdict::Inside { Emphasis::Good } else { Emphasis::Warn };
    let mut lines = vec![];
    let call = call(plan, taken);
    if !screen.is_plain()
        && let Some(rows) = banner(call.large, screen.width())
    {
        lines.push(Line::empty());
        lines.extend(rows.into_iter().map(|text| Line { text, emphasis }));
        lines.push(Line::empty());
    }
    let text = format!("{}: {}", verdict.word().to_uppercase(), call.why);
    lines.extend(screen.paragraph(0, if screen.is_plain() { emphasis } else { Emphasis::Strong }, &text));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &levels(plan, taken)));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &corner(plan, judged)));
    if judged.reading.spread.over(judged.reading.volts) > UNSETTLED {
        let text = "These numbers lie far apart: read again once the display has settled.";
        lines.extend(screen.paragraph(0, Emphasis::Warn, text));
    }
    if let Some(trend) = trend(state, plan) {
        lines.extend(screen.paragraph(0, Emphasis::Plain, &trend));
    }
    if !screen.is_plain() {
        lines.push(Line::empty());
        let gauge = Gauge {
            window: plan.setting.window,
            accept: judged.accept,
            target: plan.setting.target,
            reading: judged.reading.volts,
            step: plan.inputs.meter.resolution,
        };
        lines
            .extend(gauge.lines(GAUGE.min(screen.width() - 2)).into_iter().map(|line| Line::plain(format!(" {line}"))));
    }
    lines
}

/// What to do, in large letters, and why.
struct Call {
    large: &'static str,
    why: String,
}

fn call(plan: &Plan, taken: &Taken) -> Call {
    let judged = &taken.judged;
    let step = plan.inputs.meter.resolution;
    let (reading, reference) = (judged.reading.volts, plan.true_reference);
    let call = |large, why: &str| Call { large, why: why.to_owned() };
    // On a hump more volts than the reference are no slip, as long as some corner leaves them.
    if judged.corners == Corners::None && reading.over(reference) >= SLIP {
        return Call {
            large: "CHECK",
            why: format!(
                "check this reading before you turn. {} is well above the reference of {}. Mistyped, another range, the \
                 level moved? `strike {} why` strikes it.",
                show::volts(reading, step),
                show::volts(reference, step),
                taken.number
            ),
        };
    }
    if judged.corners == Corners::None || (plan.inputs.reference.mark.is_none() && is_untouched(judged)) {
        return call("TURN UP", "turn the corner up; hardly anything is taken off yet. Is the filter switched in?");
    }
    match judged.verdict {
        Verdict::Above => call("TURN UP", "too many volts, the corner is too low: turn the corner up."),
        Verdict::Below => call("TURN DOWN", "too few volts, the corner is too high: turn the corner down."),
        Verdict::Inside => call("LEAVE IT", "the reading stands in the accept zone: leave the knob; Enter goes on."),
        Verdict::Borderline if judged.accept == AcceptZone::Empty => {
            call("LEAVE IT", "in the window, which is as good as this meter can tell: leave the knob; Enter goes on.")
        }
        Verdict::Borderline if is_near(plan, judged) => {
            call("HOLD", "near the target, but the digits hunt too widely to be sure: hold still and type them again.")
        }
        Verdict::Borderline if reading > plan.setting.target => {
            call("A BIT UP", "in the window, but the meter cannot be sure of it: turn the corner up a touch.")
        }
        Verdict::Borderline => {
            call("A BIT DOWN", "in the window, but the meter cannot be sure of it: turn the corner down a touch.")
        }
    }
}

/// Whether so little is taken off that the filter may not be in at all.
fn is_untouched(judged: &Judged) -> bool {
    judged.verdict == Verdict::Above && judged.down < UNTOUCHED
}

/// Whether a reading is nearer to the target than the guard band is wide: then no turn helps.
fn is_near(plan: &Plan, judged: &Judged) -> bool {
    let off = (judged.reading.volts.volts() - plan.setting.target.volts()).abs();
    off < plan.inputs.guard_band(plan.setting.target, judged.reading.spread).volts()
}

fn levels(plan: &Plan, taken: &Taken) -> String {
    let step = plan.inputs.meter.resolution;
    format!(
        "reading {}: {} at {}, {}; target {}, {}",
        taken.number,
        show::volts(taken.judged.reading.volts, step),
        show::tone(plan.inputs.tone),
        down_or_up(taken.judged.down),
        show::volts(plan.setting.target, step),
        down_or_up(plan.setting.down)
    )
}

/// A level below the reference is down, one above it is up.
pub(super) fn down_or_up(level: Decibels) -> String {
    if level.db() < 0.0 {
        format!("{} up", show::decibels(Decibels::new(-level.db())))
    } else {
        format!("{} down", show::decibels(level))
    }
}

fn corner(plan: &Plan, judged: &Judged) -> String {
    let wanted = plan.inputs.corner.corner();
    match judged.corners {
        Corners::One(corner) => {
            let off = (corner.hz() / wanted.hz() - 1.0) * 100.0;
            let uncertainty =
                judged.corner_uncertainty.map_or(String::new(), |u| format!(" +- {:.1}", u.hz().max(0.05)));
            format!(
                "corner now {:.1}{uncertainty} Hz, wanted {} ({:+.2} % off)",
                corner.hz(),
                show::hertz(wanted),
                off + 0.0
            )
        }
        Corners::Two(low, high) => format!(
            "corner now {} or {}: this reading cannot tell which; wanted {}",
            show::hertz(low),
            show::hertz(high),
            show::hertz(wanted)
        ),
        Corners::None => format!(
            "corner now: none, a {} filter leaves no such voltage of a reference of {}; wanted {}",
            plan.inputs.alignment,
            show::volts(plan.true_reference, plan.inputs.meter.resolution),
            show::hertz(wanted)
        ),
    }
}

/// How the last turn of the knob compares with what is left, as if the dial were even in octaves.
fn trend(state: &State, plan: &Plan) -> Option<String> {
    let last = state.last_reading()?;
    let corner = |taken: &Taken| taken.judged.corners.single();
    let wanted = plan.inputs.corner.corner();
    let off = |corner: Hertz| (wanted.hz() / corner.hz()).ln();
    let (left, before) = (off(corner(last)?), off(corner(state.reading_before_last()?)?));
    if last.judged.verdict == Verdict::Inside {
        return None;
    }
    let turned = before - left;
    let share = left / turned;
    if left * before > 0.0 && left.abs() > before.abs() {
        Some("That was the wrong way: farther off than the reading before.".to_owned())
    } else if !(-MOST_TURN..=MOST_TURN).contains(&share) {
        None
    } else if share < 0.0 {
        Some(format!("That went past it: go back by about {:.0} % of that turn.", -share * 100.0))
    } else {
        let left = if share < 1.0 { format!("{:.0} %", share * 100.0) } else { format!("{share:.1} times") };
        Some(format!("The right way: about {left} of that turn is left."))
    }
}
