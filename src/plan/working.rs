//! The working: every formula with its numbers put in, a line each.

use super::inputs::{CornerChoice, Inputs};
use super::made::{Judged, Plan};
use crate::corner::RatioForm;
use crate::filter::{Alignment, Corners, Family};
use crate::meter::{AcceptZone, Tolerance, Verdict};
use crate::quantity::{Hertz, Volts};

/// The working of a plan: corner, true reference, target, window, uncertainty, accept zone.
pub fn planning(plan: &Plan) -> Vec<String> {
    let inputs = &plan.inputs;
    let setting = &plan.setting;
    let corner = inputs.corner.corner();
    let mut lines = vec![];
    match inputs.corner {
        CornerChoice::Rule(tuning, rule) => lines.push(format!(
            "corner       = tuning x {:.4} = {:.3} x {:.4} = {:.3} Hz",
            rule.factor(),
            tuning.hz(),
            rule.factor(),
            corner.hz()
        )),
        CornerChoice::Own(..) => lines.push(format!("corner       = {:.3} Hz, as given", corner.hz())),
    }
    if let Some(mark) = inputs.reference.mark {
        lines.push(response_line("|H| at mark", inputs.alignment, inputs.tone, mark.at));
        let response = inputs.alignment.response(inputs.tone, mark.at);
        lines.push(format!(
            "true ref.    = {:.4} V / {:.5} = {:.4} V",
            inputs.reference.reading.volts.volts(),
            response.ratio(),
            plan.true_reference.volts()
        ));
    }
    lines.push(response_line("|H| at tone", inputs.alignment, inputs.tone, corner));
    let ratio = setting.target.over(plan.true_reference);
    lines.push(format!("dB down      = -20 log10 {ratio:.5} = {:.4} dB", setting.down.db()));
    lines.push(format!(
        "target       = reference x |H| = {:.4} V x {ratio:.5} = {:.4} V",
        plan.true_reference.volts(),
        setting.target.volts()
    ));
    lines.extend(window_lines(plan));
    lines.extend(guard_lines(inputs, setting.target));
    lines.push(match setting.accept {
        AcceptZone::Between(low, high) => format!(
            "accept zone  = {:.4} + U to {:.4} - U = {:.4} to {:.4} V",
            setting.window.low.volts(),
            setting.window.high.volts(),
            low.volts(),
            high.volts()
        ),
        AcceptZone::Empty => "accept zone  = empty: 2 U is wider than the window".to_owned(),
    });
    lines
}

/// The working of one reading: level, corner, verdict.
pub fn judging(plan: &Plan, judged: &Judged) -> Vec<String> {
    let volts = judged.reading.volts.volts();
    let mut lines = vec![format!(
        "dB down      = 20 log10({:.4} / {volts:.4}) = {:.4} dB",
        plan.true_reference.volts(),
        judged.down.db()
    )];
    let ratio = judged.reading.volts.over(plan.true_reference);
    lines.push(format!("r            = {volts:.4} / {:.4} = {ratio:.5}", plan.true_reference.volts()));
    let inverse = inverse(plan.inputs.alignment, plan.inputs.tone, ratio);
    lines.push(match judged.corners {
        Corners::One(corner) => format!("{inverse} = {:.3} Hz", corner.hz()),
        Corners::Two(low, high) => format!("{inverse} = {:.3} Hz or {:.3} Hz", low.hz(), high.hz()),
        Corners::None => "corner       = none: this filter cannot leave that many volts".to_owned(),
    });
    if judged.reading.spread.volts() > 0.0 {
        lines.push(format!("u(spread)    = {:.4} V, added to the meter's", judged.reading.spread.volts()));
    }
    let window = plan.setting.window;
    lines.push(match judged.verdict {
        Verdict::Above => format!("{volts:.4} V > {:.4} V, the window's upper end: above", window.high.volts()),
        Verdict::Below => format!("{volts:.4} V < {:.4} V, the window's lower end: below", window.low.volts()),
        Verdict::Inside | Verdict::Borderline => match judged.accept {
            AcceptZone::Between(low, high) => {
                format!("accept zone of this reading {:.4} to {:.4} V: {}", low.volts(), high.volts(), judged.verdict)
            }
            AcceptZone::Empty => "in the window, but this reading has no accept zone: borderline".to_owned(),
        },
    });
    lines
}

/// |H| with its numbers put in.
fn response_line(label: &str, alignment: Alignment, tone: Hertz, corner: Hertz) -> String {
    let (fc, f) = (corner.hz(), tone.hz());
    let order = alignment.slope().order();
    let formula = match alignment.family() {
        Family::Butterworth => format!("1 / sqrt(1 + ({fc:.3}/{f:.3})^{})", 2 * order),
        Family::LinkwitzRiley => format!("1 / (1 + ({fc:.3}/{f:.3})^{order})"),
        Family::Bessel => format!("|theta_{order}(0) / theta_{order}(j w0 {fc:.3}/{f:.3})|"),
        Family::SecondOrder => {
            let q = alignment.q().unwrap_or(1.0);
            format!("1 / sqrt((1 - ({fc:.3}/{f:.3})^2)^2 + ({fc:.3}/{f:.3})^2 / {q}^2)")
        }
    };
    format!("{label:<12} = {formula} = {:.5}", alignment.response(tone, corner).ratio())
}

/// The inverse with its numbers put in, r being reading over true reference.
fn inverse(alignment: Alignment, tone: Hertz, r: f64) -> String {
    let order = alignment.slope().order();
    let f = tone.hz();
    let formula = match alignment.family() {
        Family::Butterworth => format!("{f:.3} (1/{r:.5}^2 - 1)^(1/{})", 2 * order),
        Family::LinkwitzRiley => format!("{f:.3} (1/{r:.5} - 1)^(1/{order})"),
        Family::Bessel => format!("root of |theta_{order}|^2 = theta_{order}(0)^2 / {r:.5}^2"),
        Family::SecondOrder => format!("{f:.3} sqrt(u), u^2 + (1/Q^2 - 2) u = 1/{r:.5}^2 - 1"),
    };
    format!("corner       = {formula}")
}

fn window_lines(plan: &Plan) -> Vec<String> {
    let setting = &plan.setting;
    let (low, high) = (setting.window.low.volts(), setting.window.high.volts());
    match plan.inputs.tolerance {
        Tolerance::Corner(share) => {
            let corner = plan.inputs.corner.corner();
            vec![format!(
                "window       = volts at {:.3} and {:.3} Hz = {low:.4} to {high:.4} V",
                corner.times(1.0 + share.fraction()).hz(),
                corner.times(1.0 - share.fraction()).hz()
            )]
        }
        Tolerance::Level(db) => {
            vec![format!("window       = target x 10^(-+{}/20) = {low:.4} to {high:.4} V", db.db())]
        }
    }
}

fn guard_lines(inputs: &Inputs, target: Volts) -> Vec<String> {
    let meter = inputs.meter;
    let mut lines = vec![];
    match inputs.setting_form() {
        RatioForm::CommonGain => lines.push(format!(
            "u(V)         = sqrt((d res)^2 / 3 + res^2 / 12) = {:.5} V (gain cancels)",
            meter.common_gain().volts()
        )),
        RatioForm::Full => lines.push(format!(
            "u(V)         = sqrt((p V + d res)^2 / 3 + res^2 / 12) = {:.5} V at target",
            meter.full(target).volts()
        )),
    }
    let mark = inputs.reference.mark_uncertainty(inputs.alignment, inputs.tone);
    if mark > 0.0 {
        lines.push(format!("u(mark)      = |d ln|H| / d ln mark| m / sqrt 3 = {:.3} %", mark * 100.0));
    }
    lines.push(format!(
        "U            = 2 x target x u(ratio) = {:.4} V",
        inputs.guard_band(target, Volts::new(0.0)).volts()
    ));
    lines
}
