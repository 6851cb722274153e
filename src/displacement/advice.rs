//! What a person should know of an analysis, a sentence each, the gravest first.

use super::analysis::Analysis;
use super::cone::is_within;
use super::enclosure::Enclosure;
use super::search::Peak;
use crate::filter::Rule;
use crate::quantity::{Hertz, Millimetres, Volts, show};

impl Analysis {
    /// Warnings: damage first, then what else should be known.
    pub fn warnings(&self) -> Vec<String> {
        self.damage().into_iter().chain(self.cautions()).collect()
    }

    /// What should be known besides damage.
    pub fn cautions(&self) -> Vec<String> {
        let all = [self.less_drive(), self.no_corner(), self.rule_falls_short(), self.hump_of_the_filter()];
        all.into_iter().flatten().collect()
    }

    /// Xmech is passed, which is damage and not only distortion.
    pub fn damage(&self) -> Option<String> {
        let xmech = self.setup.driver.xmech?;
        let limit = show::millimetres(xmech);
        if let Some(choice) = self.filtered.filter(|choice| choice.within_xmech == Some(false)) {
            let (when, still) = match self.unfiltered.within_xmech {
                Some(false) => ("filter in or out", "still "),
                _ => ("with the filter in", ""),
            };
            return Some(format!(
                "PAST THE MECHANICAL LIMIT, {when}: with the corner at {} the cone {still}travels {} at {}, and Xmech is \
                 {limit}. This drive damages the driver.",
                show::hertz(choice.corner),
                self.travel(choice.peak),
                show::hertz(choice.peak.at),
            ));
        }
        (self.unfiltered.within_xmech == Some(false)).then(|| {
            format!(
                "PAST THE MECHANICAL LIMIT with the filter out: {} at {}, and Xmech is {limit}. One low note at this \
                 drive can damage the driver.",
                self.travel(self.unfiltered.peak),
                show::hertz(self.unfiltered.peak.at),
            )
        })
    }

    /// The corner that was given does not keep the cone within Xmax.
    pub fn corner_falls_short(&self) -> Option<String> {
        let given = self.setup.corner;
        let choice = self.filtered.filter(|choice| given == Some(choice.corner) && !choice.within_xmax)?;
        let safe = self.lowest_safe.map_or_else(String::new, |safe| {
            format!("; {} is the lowest corner that does", show::hertz(up_to_tenth(safe.corner)))
        });
        Some(format!(
            "At {} a {} filter does not keep the cone within Xmax, {}: {} at {}{safe}.",
            show::hertz(choice.corner),
            self.setup.alignment,
            show::millimetres(self.setup.driver.xmax),
            self.travel(choice.peak),
            show::hertz(choice.peak.at)
        ))
    }

    /// The hump above the tuning: a higher corner is the wrong cure.
    pub fn less_drive(&self) -> Option<String> {
        let peak = self.above_tuning?;
        let price = match self.lowest_safe.and_then(|safe| Some((safe.corner, safe.loss_at_tuning?))) {
            Some((corner, loss)) => format!(
                " {} does hold the cone, by taking {} off at the tuning.",
                show::hertz(up_to_tenth(corner)),
                show::decibels(loss)
            ),
            None => String::new(),
        };
        // The most drive keeps the cone within Xmax everywhere; below the tuning it may be less than the hump asks for.
        let usual = self.by_rule(Rule::ThreeQuarters).filter(|usual| usual.peak.value > peak.value);
        let below = usual.map_or_else(String::new, |usual| {
            format!(
                "; it is the travel below the tuning, {} at {} with that corner, that sets this",
                self.travel(usual.peak),
                show::hertz(usual.peak.at)
            )
        });
        Some(format!(
            "The limit is above the tuning: {} at {} even with the three-quarters corner in. A higher corner is the wrong \
             cure there, and a steeper slope takes still less off.{price} The cure is less drive: {}{below}.",
            self.travel(peak),
            show::hertz(peak.at),
            self.at_most(),
        ))
    }

    /// How far a peak is, never shown as the very limit that it passes: `13.2 mm`, `over 14 mm`.
    pub fn travel(&self, peak: Peak) -> String {
        let driver = &self.setup.driver;
        let shown = show::millimetres(Millimetres::new(peak.value));
        let hides = |limit: Millimetres| !is_within(peak.value, limit) && show::millimetres(limit) == shown;
        let is_hidden = hides(driver.xmax) || driver.xmech.is_some_and(hides);
        if is_hidden { format!("over {shown}") } else { shown }
    }

    /// The most drive, in volts and watts, rounded down so that what is shown keeps the cone within its limit.
    pub fn at_most(&self) -> String {
        let load = self.setup.drive.load;
        let most = show::step_at_or_below(self.highest_drive, TENTH);
        let watts = show::watts(most.power_into(load));
        format!("at most {}, which is {watts} into {}", show::volts(most, TENTH), show::ohms(load))
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
            self.travel(usual.peak),
            show::hertz(usual.peak.at)
        ))
    }

    /// A filter that itself pushes the cone.
    fn hump_of_the_filter(&self) -> Option<String> {
        let choice = self.filtered.filter(|_| self.setup.alignment.has_hump())?;
        (choice.peak.value > self.unfiltered.peak.value).then(|| {
            format!(
                "The hump of this filter moves the cone farther than no filter does: {} against {}.",
                self.travel(choice.peak),
                self.travel(self.unfiltered.peak)
            )
        })
    }
}

/// The step in which a drive is told.
pub const TENTH: Volts = Volts::new(0.1);

/// A corner rounded up to a tenth, so that what is shown protects.
pub fn up_to_tenth(corner: Hertz) -> Hertz {
    Hertz::new((corner.hz() * 10.0 - 1e-9).ceil() / 10.0)
}
