//! What a person should know of an analysis, a sentence each, the gravest first.

use super::analysis::Analysis;
use super::enclosure::Enclosure;
use crate::filter::Rule;
use crate::quantity::{Hertz, Millimetres, Volts, show};

impl Analysis {
    /// Warnings.
    pub fn warnings(&self) -> Vec<String> {
        let mut warnings = vec![];
        warnings.extend(self.mechanical_limit());
        warnings.extend(self.less_drive());
        warnings.extend(self.no_corner());
        warnings.extend(self.rule_falls_short());
        warnings.extend(self.hump_of_the_filter());
        warnings
    }

    /// Xmech, which is damage and not only distortion.
    fn mechanical_limit(&self) -> Option<String> {
        let xmech = self.setup.driver.xmech?;
        let limit = show::millimetres(xmech);
        if let Some(choice) = self.filtered.filter(|choice| choice.within_xmech == Some(false)) {
            return Some(format!(
                "PAST THE MECHANICAL LIMIT, filter in or out: with the corner at {} the cone still travels {} at {}, and \
                 Xmech is {limit}. This drive damages the driver.",
                show::hertz(choice.corner),
                travel(choice.peak.value),
                show::hertz(choice.peak.at),
            ));
        }
        (self.unfiltered.within_xmech == Some(false)).then(|| {
            format!(
                "PAST THE MECHANICAL LIMIT with the filter out: {} at {}, and Xmech is {limit}. One low note at this \
                 drive can damage the driver.",
                travel(self.unfiltered.peak.value),
                show::hertz(self.unfiltered.peak.at),
            )
        })
    }

    /// The hump above the tuning: a higher corner is the wrong cure.
    fn less_drive(&self) -> Option<String> {
        let peak = self.above_tuning?;
        Some(format!(
            "The limit is above the tuning: {} at {} even with the three-quarters corner in. A higher corner is the wrong \
             cure there, and a steeper slope takes still less off. The cure is less drive: {}.",
            travel(peak.value),
            show::hertz(peak.at),
            self.at_most(),
        ))
    }

    /// The most drive, in volts and watts.
    pub fn at_most(&self) -> String {
        let load = self.setup.drive.load;
        format!(
            "at most {:.1} V, which is {} into {}",
            floor_to_tenth(self.highest_drive),
            show::watts(self.highest_drive.power_into(load)),
            show::ohms(load)
        )
    }

    /// Needed, but no corner does it.
    fn no_corner(&self) -> Option<String> {
        if !self.is_needed() || self.lowest_safe.is_some() || self.above_tuning.is_some() {
            return None;
        }
        Some(match self.setup.enclosure {
            Enclosure::Vented { tuning, .. } => format!(
                "No corner up to the tuning of {} keeps the cone within Xmax with this filter: a steeper slope, or less \
                 drive ({} with the three-quarters corner).",
                show::hertz(tuning),
                self.at_most(),
            ),
            Enclosure::Sealed { .. } | Enclosure::FreeAir => format!(
                "No corner up to 200 Hz keeps the cone within Xmax with this filter: less drive ({} with the filter out).",
                self.at_most()
            ),
        })
    }

    /// The usual rule's corner, where it is too low.
    fn rule_falls_short(&self) -> Option<String> {
        let usual = self.by_rule(Rule::ThreeQuarters)?;
        if usual.within_xmax || self.above_tuning.is_some() || self.lowest_safe.is_none() {
            return None;
        }
        Some(format!(
            "The three-quarters corner of {} does not protect the cone here: {} at {}.",
            show::hertz(usual.corner),
            travel(usual.peak.value),
            show::hertz(usual.peak.at)
        ))
    }

    /// A filter that itself pushes the cone.
    fn hump_of_the_filter(&self) -> Option<String> {
        let choice = self.filtered.filter(|_| self.setup.alignment.has_hump())?;
        (choice.peak.value > self.unfiltered.peak.value).then(|| {
            format!(
                "The hump of this filter moves the cone farther than no filter does: {} against {}.",
                travel(choice.peak.value),
                travel(self.unfiltered.peak.value)
            )
        })
    }
}

fn travel(mm: f64) -> String {
    show::millimetres(Millimetres::new(mm))
}

/// Rounded down, so that what is shown keeps the cone within its limit.
fn floor_to_tenth(volts: Volts) -> f64 {
    (volts.volts() * 10.0).floor() / 10.0
}

/// A corner rounded up to a tenth, so that what is shown protects.
pub fn up_to_tenth(corner: Hertz) -> Hertz {
    Hertz::new((corner.hz() * 10.0 - 1e-9).ceil() / 10.0)
}
