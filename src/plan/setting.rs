//! The point at which the knob is set: what to play, what the meter should read, how wide it may miss.

use super::inputs::Inputs;
use crate::corner::{COVERAGE, RatioForm, Reading};
use crate::meter::{AcceptZone, Tolerance, Window};
use crate::quantity::{Decibels, Hertz, Volts};

/// What to play, what the meter should read, and how wide it may miss.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The tone that is played.
    pub tone: Hertz,
    /// How far down the tone is once the filter stands right, against the true reference.
    pub down: Decibels,
    /// What the meter then reads.
    pub target: Volts,
    /// Between what it may read.
    pub window: Window,
    /// The window less the guard band.
    pub accept: AcceptZone,
    /// The corner at the window's upper end; `None` where that end passes the reference.
    pub corner_low: Option<Hertz>,
    /// The corner at the window's lower end; `None` where that end passes the reference.
    pub corner_high: Option<Hertz>,
}

impl Inputs {
    /// At the setting tone the gain is common where the range is held.
    pub const fn setting_form(&self) -> RatioForm {
        if self.range_held { RatioForm::CommonGain } else { RatioForm::Full }
    }

    /// Expanded uncertainty of the target at the setting tone: U = 2 target u(ratio), widened by a reading's spread.
    pub fn guard_band(&self, target: Volts, spread: Volts) -> Volts {
        let reading = Reading { volts: target, spread };
        let form = self.setting_form();
        let u = self.reference.ratio_uncertainty(reading, self.alignment, self.tone, self.meter, form);
        target.times(COVERAGE * u)
    }

    /// The volts at the ends of the window at a tone, for a target there.
    pub(super) fn window(&self, tone: Hertz, target: Volts, true_reference: Volts) -> Window {
        match self.tolerance {
            Tolerance::Corner(share) => {
                let at = |factor: f64| {
                    let corner = self.corner.corner().times(factor);
                    true_reference.times(self.alignment.response(tone, corner).ratio())
                };
                Window { low: at(1.0 + share.fraction()), high: at(1.0 - share.fraction()) }
            }
            Tolerance::Level(db) => {
                Window { low: target.times(db.down_ratio()), high: Volts::new(target.volts() / db.down_ratio()) }
            }
        }
    }
}

impl Setting {
    pub(super) fn new(inputs: &Inputs, true_reference: Volts) -> Self {
        let corner = inputs.corner.corner();
        let response = inputs.alignment.response(inputs.tone, corner);
        let target = true_reference.times(response.ratio());
        let window = inputs.window(inputs.tone, target, true_reference);
        let corner_at = |volts: Volts, share: f64| {
            if volts >= true_reference {
                return None;
            }
            match inputs.tolerance {
                Tolerance::Corner(tolerance) => Some(corner.times(1.0 + share * tolerance.fraction())),
                Tolerance::Level(_) => inputs.alignment.corners_from_volts(inputs.tone, volts, true_reference).single(),
            }
        };
        Self {
            tone: inputs.tone,
            down: response.down(),
            target,
            window,
            accept: window.guarded(inputs.guard_band(target, Volts::new(0.0))),
            corner_low: corner_at(window.high, -1.0),
            corner_high: corner_at(window.low, 1.0),
        }
    }
}
