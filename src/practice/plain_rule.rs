//! What the plain rule would have given, and which traps it falls into.

use super::bench::Bench;
use super::knob::DIAL;
use super::parts::Parts;
use crate::filter::Alignment;
use crate::quantity::{Hertz, Percent, Volts, ranges};

/// The plain rule: turned until this share of the reference is left, half of its power.
const HALF_POWER: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// The reference that is brought up with the volume, about: low, and far from the ends of the meter's range.
const REFERENCE: Volts = Volts::new(7.5);

/// Where the plain rule would have left the knob: turned until the meter shows 0.707 of the reference as it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlainRule {
    /// The tone that it would have been done with.
    pub tone: Hertz,
    /// The reference as the meter shows it, with the volume brought to about 7.5 V: the same for everyone on this bench.
    pub reference: Volts,
    /// The display step of the reference.
    pub step: Volts,
    /// Whether the meter changed its range between reference and reading.
    pub range_changed: bool,
    /// The corner that the knob would stand at, really.
    pub corner: Hertz,
    /// What each trap does to the corner, in the order in which they are met: together they make the whole error.
    pub traps: [(Trap, Percent); 5],
}

/// What the plain rule does not know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trap {
    /// The filter is not half a power down at its corner.
    Filter,
    /// The source does not have the tone.
    Tone,
    /// The filter stayed in, at its lowest mark, while the reference was read.
    StayedIn,
    /// The meter changed its range, or rounded.
    Meter,
    /// The knob came to its stop.
    Stop,
}

impl PlainRule {
    /// The error against the corner that is wanted.
    pub const fn error(&self, wanted: Hertz) -> Percent {
        self.corner.error_against(wanted)
    }

    /// What the meter shows where the rule leaves the knob.
    pub const fn goal(&self) -> Volts {
        self.reference.times(HALF_POWER)
    }
}

impl Parts {
    /// The plain rule on these parts: the filter out, or the knob at its lowest mark; the nearest tone; the reference as the
    /// meter shows it; then the knob. Neither backlash nor digits that hunt are held against it.
    pub fn plain_rule(&self, wanted: Hertz) -> PlainRule {
        let tone = self.sheet.tones.nearest(wanted);
        let stops = [0.0, DIAL].map(|dial| self.knob.corner(dial));
        let stayed = if self.sheet.has_switch { 1.0 } else { self.filter.response(tone, stops[0]).ratio() };
        let step = |volume: u32| (self.output(volume).times(stayed).over(REFERENCE).ln()).abs();
        let volume = (0..=ranges::VOLUME_STEP.high as u32).min_by(|one, other| step(*one).total_cmp(&step(*other)));
        let output = self.output(volume.unwrap_or(0));
        let first = self.meter.indicated(output.times(stayed), tone);
        let reference = Volts::new((first.volts.over(first.step)).round() * first.step.volts());
        let goal = reference.times(HALF_POWER);
        let meter_shows =
            |corner: Hertz| self.meter.indicated(output.times(self.filter.response(tone, corner).ratio()), tone);
        let unstopped = turned_down_to(tone, |corner| meter_shows(corner).volts >= goal);
        let corner = Hertz::new(unstopped.hz().clamp(stops[0].hz(), stops[1].hz()));
        let by_filter = half_power_corner(self.filter, wanted, 1.0);
        let by_tone = by_filter.times(tone.hz() / wanted.hz());
        let by_mark = half_power_corner(self.filter, tone, stayed);
        let steps = [
            (Trap::Filter, wanted, by_filter),
            (Trap::Tone, by_filter, by_tone),
            (Trap::StayedIn, by_tone, by_mark),
            (Trap::Meter, by_mark, unstopped),
            (Trap::Stop, unstopped, corner),
        ];
        let traps = steps.map(|(trap, before, after)| (trap, after.error_against(before)));
        let range_changed = meter_shows(unstopped).step != first.step;
        PlainRule { tone, reference, step: first.step, range_changed, corner, traps }
    }
}

/// The corner at which a filter leaves 0.707 of a reference that is this share of the true one.
fn half_power_corner(filter: Alignment, tone: Hertz, reference: f64) -> Hertz {
    turned_down_to(tone, |corner| filter.response(tone, corner).ratio() >= HALF_POWER * reference)
}

/// The highest corner, about a tone, at which enough is left: below it there is enough everywhere, above it nowhere, a hump
/// or none.
pub(super) fn turned_down_to(tone: Hertz, enough: impl Fn(Hertz) -> bool) -> Hertz {
    const SPAN: f64 = 100.0;
    const HALVINGS: usize = 60;
    let (mut low, mut high) = (tone.hz() / SPAN, tone.hz() * SPAN);
    for _ in 0..HALVINGS {
        let middle = (low * high).sqrt();
        if enough(Hertz::new(middle)) { low = middle } else { high = middle }
    }
    Hertz::new(low)
}

impl Bench {
    /// What the plain rule would have given on this bench, for a corner that is wanted.
    pub fn plain_rule(&self, wanted: Hertz) -> PlainRule {
        self.parts().plain_rule(wanted)
    }
}
