//! The point at which the knob is set, and what a reading says against it.

use super::inputs::Inputs;
use super::points::{Point, points};
use super::warnings::warnings;
use crate::corner::{RatioForm, Reading, corner_from_reading};
use crate::filter::Corners;
use crate::meter::{AcceptZone, Tolerance, Verdict, Window};
use crate::quantity::{Decibels, Hertz, Refusal, Volts};

/// Coverage factor of the guard band: U = 2 u.
pub(super) const COVERAGE: f64 = 2.0;

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

/// Inputs and all that follows from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What was given.
    pub inputs: Inputs,
    /// The reference with the filter reckoned out.
    pub true_reference: Volts,
    /// The point at which the knob is set.
    pub setting: Setting,
    /// The dB-down points of the filter once it stands right.
    pub points: Vec<Point>,
    /// What a person should know, a sentence each.
    pub warnings: Vec<String>,
}

/// What a reading says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// The voltage.
    pub reading: Reading,
    /// How far it is below the true reference.
    pub down: Decibels,
    /// Where the corner stands now.
    pub corners: Corners,
    /// Expanded uncertainty of the corner, k = 2.
    pub corner_uncertainty: Option<Hertz>,
    /// The accept zone that this reading was held against, narrower for a span or repeats.
    pub accept: AcceptZone,
    /// The verdict.
    pub verdict: Verdict,
}

impl Plan {
    /// Works out everything.
    ///
    /// # Errors
    /// Where the inputs contradict each other: a mark at or above the corner, a tone on a filter's hump.
    pub fn new(inputs: Inputs) -> Result<Self, Refusal> {
        let corner = inputs.corner.corner();
        if let Some(mark) = inputs.reference.mark {
            Inputs::check_mark(mark.at, corner)?;
        }
        Inputs::check_tone(inputs.alignment, corner, inputs.tone)?;
        let true_reference = inputs.reference.true_volts(inputs.alignment, inputs.tone);
        let mut plan = Self {
            inputs,
            true_reference,
            setting: Setting::new(&inputs, true_reference),
            points: points(&inputs, true_reference),
            warnings: Vec::new(),
        };
        plan.warnings = warnings(&plan);
        Ok(plan)
    }

    /// What this reading at the setting tone says.
    pub fn judge(&self, reading: Reading) -> Judged {
        let inputs = &self.inputs;
        let said = corner_from_reading(
            inputs.alignment,
            inputs.tone,
            reading,
            inputs.reference,
            inputs.tone,
            inputs.meter,
            inputs.setting_form(),
        );
        let accept = self.setting.window.guarded(inputs.guard_band(self.setting.target, reading.spread));
        Judged {
            reading,
            down: reading.volts.down_from(self.true_reference),
            corners: said.corners,
            corner_uncertainty: said.uncertainty,
            accept,
            verdict: self.setting.window.verdict(accept, reading.volts),
        }
    }
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
    fn new(inputs: &Inputs, true_reference: Volts) -> Self {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::corner::Reference;
    use crate::filter::{Alignment, Family, Rule, Slope};
    use crate::meter::MeterSpec;
    use crate::plan::CornerChoice;
    use crate::quantity::Percent;

    fn inputs() -> Inputs {
        Inputs {
            corner: CornerChoice::by_rule(Hertz::new(35.0), Rule::ThreeQuarters).unwrap(),
            alignment: Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap(),
            reference: Reference { reading: Reading::steady(Volts::new(20.0)), mark: None },
            tone: Hertz::new(26.25),
            tolerance: Tolerance::Corner(Percent::new(5.0)),
            meter: MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) },
            range_held: true,
        }
    }

    /// Butterworth 24, 26.25 Hz +-5 %, tone 26.25 Hz, reference 20 V: window 12.70653 to 15.50704 V, guarded with the
    /// common gain 12.74954 to 15.46403 V (computed by a separate reference program; the guard band rule is that of
    /// JCGM 106:2012).
    #[test]
    fn window_and_accept_zone_of_a_35_hz_box() {
        let plan = Plan::new(inputs()).unwrap();
        let setting = &plan.setting;
        let close = |value: Volts, reference: f64| assert!((value.volts() - reference).abs() < 6e-6, "{value:?}");
        close(setting.window.low, 12.706_53);
        close(setting.window.high, 15.507_04);
        close(setting.accept.low().unwrap(), 12.749_54);
        close(setting.accept.high().unwrap(), 15.464_03);
        assert!((setting.corner_low.unwrap().hz() - 26.25 * 0.95).abs() < 1e-12);
        assert!((setting.corner_high.unwrap().hz() - 26.25 * 1.05).abs() < 1e-12);
    }

    /// Wanted corner 26.25 Hz, tone 30 Hz: target ratio 0.862707, 1.2827 dB down (algebra).
    #[test]
    fn the_target_at_a_tone_that_is_not_the_corner() {
        let plan = Plan::new(Inputs { tone: Hertz::new(30.0), ..inputs() }).unwrap();
        assert!((plan.setting.target.over(plan.true_reference) - 0.862_707).abs() < 5e-7);
        assert!((plan.setting.down.db() - 1.2827).abs() < 5e-5);
    }

    #[test]
    fn a_span_narrows_the_accept_zone_of_its_reading() {
        let plan = Plan::new(inputs()).unwrap();
        let target = plan.setting.target;
        let steady = plan.judge(Reading::steady(target));
        let hunting = plan.judge(Reading { volts: target, spread: Volts::new(0.2) });
        assert_eq!(steady.verdict, Verdict::Inside);
        assert!(hunting.accept.low() > steady.accept.low());
        assert!(hunting.corner_uncertainty > steady.corner_uncertainty);
    }
}
