//! The dB-down points of the filter once it stands right: for each, the tone that is that far down, and the volts there.

use super::inputs::Inputs;
use crate::corner::{COVERAGE, RatioForm, Reading};
use crate::meter::{AcceptZone, Window};
use crate::quantity::{Decibels, Hertz, Volts, ranges};

/// The levels for which a point is given.
pub const DOWN_POINTS: [Decibels; 7] = [
    Decibels::new(1.0),
    Decibels::new(3.0),
    Decibels::new(6.0),
    Decibels::new(10.0),
    Decibels::new(12.0),
    Decibels::new(20.0),
    Decibels::new(24.0),
];

/// A point is left out where its target is fewer display steps than this: the last digit would decide.
pub const MIN_STEPS: f64 = 20.0;

/// One dB-down point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// How far down.
    pub down: Decibels,
    /// The tone that is this far down.
    pub tone: Hertz,
    /// What the meter reads there.
    pub target: Volts,
    /// Between what it may read.
    pub window: Window,
    /// The window less the guard band, the meter's gain error included: another tone than the reference's.
    pub accept: AcceptZone,
}

/// Every point whose tone is in range and whose target the meter can show.
pub(super) fn points(inputs: &Inputs, true_reference: Volts) -> Vec<Point> {
    DOWN_POINTS.into_iter().filter_map(|down| point(inputs, true_reference, down)).collect()
}

fn point(inputs: &Inputs, true_reference: Volts, down: Decibels) -> Option<Point> {
    let tone = inputs.alignment.tone_at_down(inputs.corner.corner(), down)?;
    let target = true_reference.times(down.down_ratio());
    if !ranges::TONE.contains(tone.hz()) || target.over(inputs.meter.resolution) < MIN_STEPS {
        return None;
    }
    let window = inputs.window(tone, target, true_reference);
    // The reference was read at the setting tone: its mark counts there.
    let u = Reading::steady(target)
        .relative_uncertainty(inputs.meter, RatioForm::Full)
        .hypot(inputs.reference.reading.relative_uncertainty(inputs.meter, RatioForm::Full))
        .hypot(inputs.reference.mark_uncertainty(inputs.alignment, inputs.tone));
    Some(Point { down, tone, target, window, accept: window.guarded(target.times(COVERAGE * u)) })
}
