//! What is printed on the things of a bench, and the job: all that a person there is told beforehand.

use std::fmt;

use super::source::Tones;
use crate::filter::{Alignment, Family, Rule, Slope};
use crate::meter::MeterSpec;
use crate::quantity::{Hertz, Percent, Volts, show};

/// The job, and what is printed on amplifier, meter and source.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The tuning of the box.
    pub tuning: Hertz,
    /// The amplifier's name.
    pub amplifier: String,
    /// What the amplifier says of its filter.
    pub label: Label,
    /// What is printed round the knob, from one end stop to the other.
    pub prints: Vec<Print>,
    /// How far the lowest of them may be off, by the amplifier's manual; the others may be off by more.
    pub mark_tolerance: Percent,
    /// Whether a switch takes the filter out.
    pub has_switch: bool,
    /// What the meter's manual says.
    pub meter: MeterPrint,
    /// What the source can play.
    pub tones: Tones,
}

impl Sheet {
    /// The corner that the job asks for: three quarters of the tuning.
    pub const fn wanted(&self) -> Hertz {
        Rule::ThreeQuarters.corner(self.tuning)
    }

    /// The print at the lower stop: the mark at which a filter without a switch stands for its reference.
    ///
    /// # Panics
    /// Never: every knob has prints.
    pub fn lowest_mark(&self) -> Print {
        self.prints[0]
    }
}

/// A print at the knob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Print {
    /// Where it stands on the dial, 0 to 10.
    pub dial: f64,
    /// The corner that it promises.
    pub corner: Hertz,
}

/// What an amplifier says of its filter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Label {
    /// The slope.
    pub slope: Slope,
    /// The family; `None` where none is printed.
    pub family: Option<Family>,
    /// The Q of a second-order filter.
    pub q: Option<f64>,
}

impl Label {
    /// A label that says what a filter is, or only its slope.
    pub(super) fn of(filter: Alignment, with_family: bool) -> Self {
        let family = with_family.then(|| filter.family());
        Self { slope: filter.slope(), family, q: filter.q().filter(|_| with_family) }
    }

    /// The filter that is printed; `None` where the family is not.
    pub fn alignment(self) -> Option<Alignment> {
        match self.q {
            Some(q) => Some(Alignment::second_order(q)),
            None => Alignment::new(self.family?, self.slope).ok(),
        }
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.family, self.q) {
            (None, _) => write!(f, "{}, family not printed", self.slope),
            (Some(family), None) => write!(f, "{family}, {}", self.slope),
            (Some(family), Some(q)) => write!(f, "{family}, {}, Q {q}", self.slope),
        }
    }
}

/// What a meter's manual says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterPrint {
    /// The most that the display counts to.
    pub counts: u32,
    /// Share of reading, digits, and the step on the range that the job is done on.
    pub spec: MeterSpec,
    /// Whether it stays on that range; else it changes range by itself.
    pub range_held: bool,
    /// From where ...
    pub band_low: Hertz,
    /// ... to where the specification holds.
    pub band_high: Hertz,
}

impl MeterPrint {
    /// The end of the range that the job is done on.
    pub fn full_scale(self) -> Volts {
        self.spec.resolution.times(f64::from(self.counts))
    }

    /// The specification as a manual writes it: `+-(0.8 % + 3 digits)`.
    pub fn accuracy(self) -> String {
        format!("+-({} + {} digits)", show::percent(self.spec.accuracy), self.spec.digits)
    }
}
