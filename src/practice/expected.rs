//! What the meter would show if things stood otherwise: the other way round, which corner would make it show something.

use super::bench::Bench;
use super::plain_rule::turned_down_to;
use crate::quantity::{Hertz, Volts, show};

/// How things stand for a look at the meter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The tone.
    pub tone: Hertz,
    /// Where the corner stands; `None` with the filter out.
    pub corner: Option<Hertz>,
    /// The step of the volume.
    pub volume: u32,
}

/// What the meter shows, before its digits hunt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The volts.
    pub volts: Volts,
    /// The display step of its range.
    pub step: Volts,
    /// How far one look, typed to a step, may lie from them.
    pub within: Volts,
    /// Past the end of its range.
    pub overloaded: bool,
}

impl Expected {
    /// Whether these volts are what a person may have read.
    pub const fn is(&self, volts: Volts) -> bool {
        !self.overloaded && (volts.volts() - self.volts.volts()).abs() <= self.within.volts()
    }
}

/// As the display has it: `6.36 V`, or `OL`.
impl std::fmt::Display for Expected {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.overloaded { f.write_str("OL") } else { f.write_str(&show::volts(self.volts, self.step)) }
    }
}

impl Bench {
    /// How things stand now; `None` while no tone plays.
    pub fn standing(&self) -> Option<Standing> {
        let corner = self.is_in().then(|| self.truth().corner);
        Some(Standing { tone: self.tone()?, corner, volume: self.volume() })
    }

    /// What the meter would show if things stood so.
    pub fn expected(&self, standing: Standing) -> Expected {
        let parts = self.parts();
        let left = standing.corner.map_or(1.0, |corner| parts.filter.response(standing.tone, corner).ratio());
        let indicated = parts.meter.indicated(parts.output(standing.volume).times(left), standing.tone);
        // Half a step is rounded, and a step more is no slip.
        let steps = f64::from(parts.meter.hunts) + 1.5 + 1e-6;
        let (volts, step) = (indicated.volts, indicated.step);
        Expected { volts, step, within: step.times(steps), overloaded: indicated.overloaded }
    }

    /// The corner at which the meter would show these volts, with the tone and the volume as they stand there; `None` where
    /// the knob has none such.
    pub fn corner_showing(&self, standing: Standing, volts: Volts) -> Option<Hertz> {
        let shows = |corner: Hertz| self.expected(Standing { corner: Some(corner), ..standing }).volts;
        let corner = turned_down_to(standing.tone, |corner| shows(corner) >= volts);
        let stops = self.parts().knob;
        let [low, high] = [0.0, super::knob::DIAL].map(|dial| stops.corner(dial));
        (low <= corner && corner <= high).then_some(corner)
    }

    /// The corner with the dial turned here from where it stands.
    pub fn corner_at(&self, dial: f64) -> Hertz {
        let mut turned = self.clone();
        // A place that is none leaves it where it is.
        let _ = turned.make(super::moves::Move::Turn(dial));
        turned.truth().corner
    }
}
