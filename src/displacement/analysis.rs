//! Is the filter needed, which corner protects the cone, what would the rules have done, and what does each cost?

use super::cone::{Cone, CurvePoint, Drive, is_within};
use super::driver::Driver;
use super::enclosure::Enclosure;
use super::search::{FilterIn, Peak};
use crate::filter::{Alignment, Rule};
use crate::quantity::{Decibels, Hertz, Millimetres, Volts};

/// A driver, its box, its drive and the filter.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The driver.
    pub driver: Driver,
    /// What it is mounted in.
    pub enclosure: Enclosure,
    /// How hard it is driven, and how low.
    pub drive: Drive,
    /// The filter.
    pub alignment: Alignment,
    /// Where its corner is, if that is known.
    pub corner: Option<Hertz>,
}

/// What the cone does with the filter out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unfiltered {
    /// The farthest it travels.
    pub peak: Peak,
    /// The highest frequency, at or below the tuning of a vented box, at which it passes Xmax.
    pub over_xmax_below: Option<Hertz>,
    /// Whether it passes Xmech; `None` where that is not known.
    pub within_xmech: Option<bool>,
    /// Where driver and box are half-power down.
    pub half_power: Option<Hertz>,
}

/// What a corner does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The corner.
    pub corner: Hertz,
    /// The farthest that the cone travels.
    pub peak: Peak,
    /// Whether that keeps within Xmax.
    pub within_xmax: bool,
    /// Whether that keeps within Xmech; `None` where that is not known.
    pub within_xmech: Option<bool>,
    /// What the filter takes off at the tuning; `None` without one.
    pub loss_at_tuning: Option<Decibels>,
    /// Where driver, box and filter are half-power down.
    pub half_power: Option<Hertz>,
}

/// The volts at which a travel at this drive would just reach a limit: travel goes with the voltage.
fn most_volts(drive: Volts, limit: Millimetres, travel: Peak) -> Volts {
    drive.times(limit.mm() / travel.value)
}

/// All that is known of a driver in a box.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// What was given.
    pub setup: Setup,
    /// The drive voltage.
    pub drive: Volts,
    /// With the filter out.
    pub unfiltered: Unfiltered,
    /// What each rule's corner does; empty without a tuning.
    pub rules: Vec<(Rule, Choice)>,
    /// The lowest corner that keeps the cone within Xmax; `None` where none is needed or none does it.
    pub lowest_safe: Option<Choice>,
    /// The farthest that the cone travels above the tuning with the three-quarters corner in, where that passes Xmax: the
    /// cure is less drive.
    pub above_tuning: Option<Peak>,
    /// The most volts at which the cone keeps within Xmax: with the three-quarters corner in a vented box, else with the
    /// filter out.
    pub highest_drive: Volts,
    /// The corner that the curve is drawn with.
    pub filtered: Option<Choice>,
}

impl Analysis {
    /// Works out everything but the curve.
    pub fn of(setup: Setup) -> Self {
        let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
        let (alignment, tuning) = (setup.alignment, setup.enclosure.tuning());
        let within_xmech = |peak: Peak| setup.driver.xmech.map(|xmech| is_within(peak.value, xmech));
        let choice = |corner: Hertz| {
            let filter: FilterIn = Some((alignment, corner));
            let peak = cone.peak(filter);
            Choice {
                corner,
                peak,
                within_xmax: cone.is_within(peak.value),
                within_xmech: within_xmech(peak),
                loss_at_tuning: tuning.map(|tuning| alignment.response(tuning, corner).down()),
                half_power: cone.half_power(filter),
            }
        };
        let peak = cone.peak(None);
        let unfiltered = Unfiltered {
            peak,
            over_xmax_below: cone.passes_xmax_below(),
            within_xmech: within_xmech(peak),
            half_power: cone.half_power(None),
        };
        let rules: Vec<(Rule, Choice)> =
            Rule::ALL.into_iter().filter_map(|rule| Some((rule, choice(rule.corner(tuning?))))).collect();
        let needed = !cone.is_within(peak.value);
        let lowest_safe = needed.then(|| cone.lowest_safe_corner(alignment)).flatten().map(choice);
        let three_quarters = rules.iter().find(|(rule, _)| *rule == Rule::ThreeQuarters).map(|(_, choice)| *choice);
        let above_tuning = three_quarters
            .and_then(|usual| cone.peak_above_tuning(Some((alignment, usual.corner))))
            .filter(|peak| !cone.is_within(peak.value));
        let drive = setup.drive.voltage();
        let highest_drive = most_volts(drive, setup.driver.xmax, three_quarters.map_or(peak, |choice| choice.peak));
        let filtered = setup.corner.map(choice).or(lowest_safe).or(three_quarters);
        Self { drive, unfiltered, rules, lowest_safe, above_tuning, highest_drive, filtered, setup }
    }

    /// Whether the filter is needed: with it out, the cone passes Xmax.
    pub fn is_needed(&self) -> bool {
        !is_within(self.unfiltered.peak.value, self.setup.driver.xmax)
    }

    /// The most volts at which a travel at the present drive would keep within Xmax.
    pub fn highest_drive_at(&self, peak: Peak) -> Volts {
        most_volts(self.drive, self.setup.driver.xmax, peak)
    }

    /// The rule's corner, where there is a tuning.
    pub fn by_rule(&self, rule: Rule) -> Option<&Choice> {
        self.rules.iter().find(|(other, _)| *other == rule).map(|(_, choice)| choice)
    }

    /// The curves from the lowest frequency of the programme to 200 Hz, evenly spaced in octaves.
    pub fn curve(&self, steps: usize) -> Vec<CurvePoint> {
        let setup = &self.setup;
        let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
        cone.curve(steps, self.filtered.map(|choice| (setup.alignment, choice.corner)))
    }
}
