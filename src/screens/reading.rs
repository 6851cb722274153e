//! What a reading says: one block, the verdict first.

use super::banner::banner;
use super::gauge::Gauge;
use super::line::{Emphasis, Line, Screen};
use crate::filter::Corners;
use crate::meter::{AcceptZone, Verdict};
use crate::plan::{Judged, Plan};
use crate::quantity::{Decibels, Hertz, Percent, show};
use crate::session::{State, Taken};

/// Columns of the gauge at most.
const GAUGE: usize = 64;
/// What is left is compared with the last turn up to so many times that turn.
const MOST_TURN: f64 = 4.0;
/// A reading this much above the true reference is more likely a slip than a filter.
const SLIP: f64 = 1.2;

/// The block of the last reading that counts; empty where there is none.
pub fn reading(state: &State, screen: Screen) -> Vec<Line> {
    let (Some(plan), Some(taken)) = (state.plan(), state.last_reading()) else {
        return vec![Line::plain("No reading is left.")];
    };
    let judged = &taken.judged;
    let verdict = judged.verdict;
    let emphasis = if verdict == Verdict::Inside { Emphasis::Good } else { Emphasis::Warn };
    let mut lines = vec![];
    let large = if screen.is_plain() { None } else { banner(verdict.word(), screen.width()) };
    match large {
        Some(rows) => {
            lines.push(Line::empty());
            lines.extend(rows.into_iter().map(|text| Line { text, emphasis }));
        }
        None => lines.push(Line { text: verdict.word().to_uppercase(), emphasis }),
    }
    lines.push(Line::empty());
    let slip = slip(plan, taken);
    lines.extend(screen.paragraph(0, Emphasis::Strong, &slip.unwrap_or_else(|| what_to_do(plan, judged))));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &levels(plan, taken)));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &corner(plan, judged)));
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

fn what_to_do(plan: &Plan, judged: &Judged) -> String {
    match judged.verdict {
        Verdict::Above => "TURN THE CORNER UP: too many volts, the corner is too low.".to_owned(),
        Verdict::Below => "TURN THE CORNER DOWN: too few volts, the corner is too high.".to_owned(),
        Verdict::Inside => "LEAVE IT: the reading stands in the accept zone.".to_owned(),
        Verdict::Borderline if judged.accept == AcceptZone::Empty => {
            "AS GOOD AS THIS METER CAN TELL: in the window, where no reading can be sure.".to_owned()
        }
        Verdict::Borderline => {
            let way = if judged.reading.volts > plan.setting.target { "up" } else { "down" };
            format!("A TOUCH {}: in the window, but the meter cannot be sure of it.", way.to_uppercase())
        }
    }
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
fn down_or_up(level: Decibels) -> String {
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
            let off = Percent::new((corner.hz() / wanted.hz() - 1.0) * 100.0);
            let uncertainty =
                judged.corner_uncertainty.map_or(String::new(), |u| format!(" +- {:.1}", u.hz().max(0.05)));
            format!(
                "corner now {:.1}{uncertainty} Hz, wanted {} ({} off)",
                corner.hz(),
                show::hertz(wanted),
                show::signed_percent(off)
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

/// A reading that no filter explains: doubt it before the knob is turned by it.
fn slip(plan: &Plan, taken: &Taken) -> Option<String> {
    let step = plan.inputs.meter.resolution;
    let volts = taken.judged.reading.volts;
    // On a hump more volts than the reference are no slip, as long as some corner leaves them.
    let has_corner = taken.judged.corners != Corners::None;
    if has_corner || volts.over(plan.true_reference) < SLIP {
        return None;
    }
    Some(format!(
        "CHECK THIS READING: {} is well above the reference of {}. Mistyped, another range, the level moved? `strike {} \
         why` strikes it.",
        show::volts(volts, step),
        show::volts(plan.true_reference, step),
        taken.number
    ))
}
