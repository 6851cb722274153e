//! What a plan is made of, checked to belong together.

use crate::corner::Reference;
use crate::filter::{Alignment, Rule};
use crate::meter::{MeterSpec, Tolerance};
use crate::quantity::{Hertz, Refusal, ranges, show};

/// Where the wanted corner comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CornerChoice {
    /// A rule of the trade, from the tuning.
    Rule(Hertz, Rule),
    /// A corner of one's own; the tuning where it is known.
    Own(Hertz, Option<Hertz>),
}

impl CornerChoice {
    /// By rule.
    ///
    /// # Errors
    /// Where the rule puts the corner outside the range of corners; the refusal names the tuning.
    pub fn by_rule(tuning: Hertz, rule: Rule) -> Result<Self, Refusal> {
        let corner = rule.corner(tuning);
        if ranges::CORNER.contains(corner.hz()) {
            return Ok(Self::Rule(tuning, rule));
        }
        Err(Refusal::new(
            "tuning",
            show::exact_hertz(tuning),
            format!("puts the {rule} corner at {}", show::exact_hertz(corner)),
            format!("a tuning whose corner is {}, or a corner of your own", ranges::CORNER.accepted()),
        ))
    }

    /// The wanted corner.
    pub const fn corner(self) -> Hertz {
        match self {
            Self::Rule(tuning, rule) => rule.corner(tuning),
            Self::Own(corner, _) => corner,
        }
    }

    /// The tuning, where it is known.
    pub const fn tuning(self) -> Option<Hertz> {
        match self {
            Self::Rule(tuning, _) => Some(tuning),
            Self::Own(_, tuning) => tuning,
        }
    }

    /// The rule, where one was used.
    pub const fn rule(self) -> Option<Rule> {
        match self {
            Self::Rule(_, rule) => Some(rule),
            Self::Own(..) => None,
        }
    }
}

/// Everything that decides what the meter should read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inputs {
    /// The wanted corner and why.
    pub corner: CornerChoice,
    /// The filter.
    pub alignment: Alignment,
    /// The reference voltage as read, and the mark where the filter could not be taken out.
    pub reference: Reference,
    /// The tone that is played; see [`Inputs::default_tone`].
    pub tone: Hertz,
    /// How far off the knob may stand.
    pub tolerance: Tolerance,
    /// The meter.
    pub meter: MeterSpec,
    /// Whether the meter stays on one range from the reference to the reading.
    pub range_held: bool,
}

impl Inputs {
    /// The tone to play where nobody says otherwise: the corner; where the filter has a hump, three quarters of the
    /// corner, or half of it where the hump is so high that a twin corner would still look right.
    pub fn default_tone(alignment: Alignment, corner: Hertz) -> Hertz {
        match alignment.twin_free_below(corner) {
            None => corner,
            Some(limit) => {
                let usual = corner.times(if corner.times(0.75) < limit { 0.75 } else { 0.5 });
                let lowest = Hertz::new(ranges::TONE.low);
                if usual < lowest && lowest < limit { lowest } else { usual }
            }
        }
    }

    /// Refuses a corner so low that no tone lies below the hump of its filter.
    ///
    /// # Errors
    /// Says the lowest corner that has one.
    pub fn check_corner(alignment: Alignment, corner: Hertz) -> Result<(), Refusal> {
        let lowest = Hertz::new(ranges::TONE.low);
        match alignment.twin_free_below(corner) {
            Some(limit) if limit <= lowest => Err(Refusal::new(
                "corner",
                show::exact_hertz(corner),
                format!(
                    "is so low that every tone from {} up is on the hump of a {alignment} filter",
                    show::hertz(lowest)
                ),
                format!("a corner above {}", show::exact_hertz(lowest.times(corner.hz() / limit.hz()))),
            )),
            _ => Ok(()),
        }
    }

    /// Refuses a tone at which the target would not be below the true reference: a twin corner would look right.
    ///
    /// # Errors
    /// Says the highest tone that works.
    pub fn check_tone(alignment: Alignment, corner: Hertz, tone: Hertz) -> Result<(), Refusal> {
        match alignment.twin_free_below(corner) {
            Some(limit) if tone >= limit => Err(Refusal::new(
                "tone",
                show::exact_hertz(tone),
                format!("is on the hump of a {alignment} filter, where two corners give the same reading"),
                format!("a tone below {}", show::exact_hertz(limit)),
            )),
            _ => Ok(()),
        }
    }

    /// Refuses a mark at or above the wanted corner: the knob cannot go that low.
    ///
    /// # Errors
    /// Names both.
    pub fn check_mark(mark: Hertz, corner: Hertz) -> Result<(), Refusal> {
        if mark < corner {
            return Ok(());
        }
        Err(Refusal::new(
            "reference-mark",
            show::exact_hertz(mark),
            format!("is not below the wanted corner of {}: this knob cannot go that low", show::exact_hertz(corner)),
            format!("a mark below {}", show::exact_hertz(corner)),
        ))
    }
}
