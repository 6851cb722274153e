//! The plan as a whole, and what a reading says against it.

use super::inputs::Inputs;
use super::points::{Point, points};
use super::setting::Setting;
use super::warnings::warnings;
use crate::corner::{Reading, corner_from_reading};
use crate::filter::Corners;
use crate::meter::{AcceptZone, Verdict};
use crate::quantity::{Decibels, Hertz, Refusal, Volts};

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
        Inputs::check_corner(inputs.alignment, corner)?;
        Inputs::check_tone(inputs.alignment, corner, inputs.tone)?;
        let true_reference = inputs.reference.true_volts(inputs.alignment, inputs.tone);
        let setting = Setting::new(&inputs, true_reference);
        let points = points(&inputs, true_reference);
        let warnings = warnings(&inputs, &setting);
        Ok(Self { inputs, true_reference, setting, points, warnings })
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
            verdict: match self.setting.window.verdict(accept, reading.volts) {
                // A filter that is out reads the reference: no verdict may call that inside.
                Verdict::Inside if said.corners.single().is_none() => Verdict::Borderline,
                verdict => verdict,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::corner::Reference;
    use crate::filter::{Alignment, Family, Rule, Slope};
    use crate::meter::{MeterSpec, Tolerance};
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
