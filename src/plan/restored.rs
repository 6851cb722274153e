//! The inputs of a plan, read back from what a record keeps of it.

use super::document::PlanDocument;
use super::inputs::{CornerChoice, Inputs};
use crate::corner::{Mark, Reading, Reference};
use crate::filter::{Alignment, Family};
use crate::meter::{MeterSpec, Tolerance};
use crate::quantity::ranges::{self, Range};

impl PlanDocument {
    /// What the plan was made of; `None` where a value is none that a session takes. How far a reference hunted, and a tuning
    /// beside a corner of one's own, are not kept in the plan.
    pub fn inputs(&self) -> Option<Inputs> {
        within(&ranges::REFERENCE, self.reference_v.volts())?;
        within(&ranges::TONE, self.setting.tone_hz.hz())?;
        Some(Inputs {
            corner: self.choice()?,
            alignment: self.alignment()?,
            reference: Reference { reading: Reading::steady(self.reference_v), mark: self.mark()? },
            tone: self.setting.tone_hz,
            tolerance: self.tolerance()?,
            meter: self.meter()?,
            range_held: self.range_held,
        })
    }

    fn choice(&self) -> Option<CornerChoice> {
        within(&ranges::CORNER, self.corner_hz.hz())?;
        match (self.tuning_hz, self.rule) {
            (Some(tuning), Some(rule)) => {
                within(&ranges::TUNING, tuning.hz())?;
                CornerChoice::by_rule(tuning, rule).ok()
            }
            (tuning, _) => Some(CornerChoice::Own(self.corner_hz, tuning)),
        }
    }

    fn alignment(&self) -> Option<Alignment> {
        match (self.family, self.q) {
            (Family::SecondOrder, Some(q)) => within(&ranges::Q, q).map(|()| Alignment::second_order(q)),
            (family, _) => Alignment::new(family, self.slope_db_per_octave).ok(),
        }
    }

    /// The mark where there is one.
    fn mark(&self) -> Option<Option<Mark>> {
        let Some(at) = self.reference_mark_hz else {
            return Some(None);
        };
        within(&ranges::MARK, at.hz())?;
        let uncertainty = self.mark_uncertainty_percent.unwrap_or(Mark::USUAL_UNCERTAINTY);
        within(&ranges::MARK_UNCERTAINTY, uncertainty.percent())?;
        Some(Some(Mark { at, uncertainty }))
    }

    fn tolerance(&self) -> Option<Tolerance> {
        match (self.tolerance_percent, self.tolerance_db) {
            (Some(share), None) => {
                within(&ranges::TOLERANCE_PERCENT, share.percent()).map(|()| Tolerance::Corner(share))
            }
            (None, Some(level)) => within(&ranges::TOLERANCE_DB, level.db()).map(|()| Tolerance::Level(level)),
            _ => None,
        }
    }

    fn meter(&self) -> Option<MeterSpec> {
        within(&ranges::METER_ACCURACY, self.meter_accuracy_percent.percent())?;
        within(&ranges::METER_DIGITS, f64::from(self.meter_digits))?;
        within(&ranges::METER_RESOLUTION, self.meter_resolution_v.volts())?;
        Some(MeterSpec {
            accuracy: self.meter_accuracy_percent,
            digits: self.meter_digits,
            resolution: self.meter_resolution_v,
        })
    }
}

fn within(range: &Range, value: f64) -> Option<()> {
    range.contains(value).then_some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::{Rule, Slope};
    use crate::plan::Plan;
    use crate::quantity::{Decibels, Hertz, Percent, Volts};

    /// Plans that have nothing in common.
    fn plans() -> [Inputs; 3] {
        let lr24 = Alignment::new(Family::LinkwitzRiley, Slope::USUAL).unwrap();
        let usual = Inputs {
            corner: CornerChoice::Rule(Hertz::new(36.4), Rule::ThreeQuarters),
            alignment: lr24,
            reference: Reference { reading: Reading::steady(Volts::new(8.01)), mark: None },
            tone: Hertz::new(26.5),
            tolerance: Tolerance::Level(Decibels::new(0.7)),
            meter: MeterSpec { accuracy: Percent::new(0.8), digits: 4, resolution: Volts::new(0.001) },
            range_held: false,
        };
        let mark = Mark { at: Hertz::new(12.0), uncertainty: Percent::new(8.0) };
        [
            usual,
            Inputs {
                corner: CornerChoice::Own(Hertz::new(31.3), None),
                reference: Reference { mark: Some(mark), ..usual.reference },
                tolerance: Tolerance::Corner(Percent::new(4.5)),
                range_held: true,
                ..usual
            },
            Inputs { alignment: Alignment::second_order(0.9), tone: Hertz::new(20.0), ..usual },
        ]
    }

    #[test]
    fn what_a_record_keeps_is_what_the_plan_was_made_of() {
        for inputs in plans() {
            let document = PlanDocument::from(&Plan::new(inputs).unwrap());
            assert_eq!(document.inputs(), Some(inputs));
        }
    }

    #[test]
    fn a_plan_that_cannot_be_has_no_inputs() {
        let document = PlanDocument::from(&Plan::new(plans()[1]).unwrap());
        let second = PlanDocument::from(&Plan::new(plans()[2]).unwrap());
        let ruled = PlanDocument::from(&Plan::new(plans()[0]).unwrap());
        let hertz = |hz| Some(Hertz::new(hz));
        let share = |percent| Some(Percent::new(percent));
        let mut far = document.clone();
        far.setting.tone_hz = Hertz::new(20_000.0);
        let cannot_be = [
            far,
            PlanDocument { corner_hz: Hertz::new(0.0), ..document.clone() },
            PlanDocument { reference_v: Volts::new(f64::INFINITY), ..document.clone() },
            PlanDocument { reference_mark_hz: hertz(-1.0), ..document.clone() },
            PlanDocument { mark_uncertainty_percent: share(1000.0), ..document.clone() },
            PlanDocument { meter_accuracy_percent: Percent::new(-1.0), ..document.clone() },
            PlanDocument { meter_digits: 100_000, ..document.clone() },
            PlanDocument { meter_resolution_v: Volts::new(0.0), ..document.clone() },
            PlanDocument { tolerance_percent: share(90.0), ..document.clone() },
            PlanDocument { tolerance_percent: None, ..document.clone() },
            PlanDocument { tolerance_db: Some(Decibels::new(1.0)), ..document.clone() },
            PlanDocument { tolerance_percent: None, tolerance_db: Some(Decibels::new(90.0)), ..document },
            PlanDocument { q: Some(100.0), ..second.clone() },
            PlanDocument { q: None, ..second },
            PlanDocument { tuning_hz: hertz(1000.0), ..ruled.clone() },
            PlanDocument { slope_db_per_octave: Slope::new(6).unwrap(), ..ruled },
        ];
        for (place, document) in cannot_be.iter().enumerate() {
            assert_eq!(document.inputs(), None, "{place}");
        }
    }
}
