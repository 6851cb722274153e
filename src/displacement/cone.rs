//! A driver in a box at a drive voltage: how far its cone travels, with the filter out and in.

use std::f64::consts::FRAC_1_SQRT_2;

use super::circuit::{Circuit, Motion};
use super::driver::Driver;
use super::enclosure::Enclosure;
use super::search::{self, Peak};
use crate::filter::{Alignment, Corners};
use crate::quantity::{Hertz, Millimetres, Ohms, Volts, Watts};

/// Travel is looked at up to here; above, no programme moves a cone far.
pub const HIGHEST: Hertz = Hertz::new(200.0);
/// The half-power point of a response is looked for from here to here.
const RESPONSE_BAND: [Hertz; 2] = [Hertz::new(1.0), Hertz::new(500.0)];
/// A corner that was worked out to put the peak on the limit keeps within it, to the last digits of the arithmetic.
const ON_LIMIT: f64 = 1e-9;

/// How hard the driver is driven, and how low.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// The amplifier's power.
    pub power: Watts,
    /// Into this load.
    pub load: Ohms,
    /// The lowest frequency that the programme reaches.
    pub lowest: Hertz,
}

impl Drive {
    /// What the programme reaches where nobody says otherwise: organ, effects and synthesised bass go this low.
    pub const USUAL_LOWEST: Hertz = Hertz::new(10.0);

    /// The drive voltage, rms: sqrt(power x load).
    pub fn voltage(self) -> Volts {
        self.power.voltage_across(self.load)
    }
}

/// A driver in a box, at a drive voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    circuit: Circuit,
    volts: f64,
    lowest: Hertz,
    xmax: f64,
    tuning: Option<Hertz>,
}

/// A filter with its corner, or none.
pub type FilterIn = Option<(Alignment, Hertz)>;

impl Cone {
    /// A driver in a box at a drive.
    pub fn new(driver: &Driver, enclosure: Enclosure, drive: Drive) -> Self {
        Self {
            circuit: Circuit::new(driver, enclosure),
            volts: drive.voltage().volts(),
            lowest: drive.lowest,
            xmax: driver.xmax.mm(),
            tuning: enclosure.tuning(),
        }
    }

    /// What the cone does for one volt.
    pub fn motion(&self, at: Hertz) -> Motion {
        self.circuit.motion(at)
    }

    /// Peak displacement one way.
    pub fn travel(&self, at: Hertz, filter: FilterIn) -> Millimetres {
        Millimetres::new(self.travel_mm(at, filter))
    }

    fn travel_mm(&self, at: Hertz, filter: FilterIn) -> f64 {
        let unfiltered = self.circuit.motion(at).mm_per_volt * self.volts;
        filter.map_or(unfiltered, |(alignment, corner)| unfiltered * alignment.response(at, corner).ratio())
    }

    /// The farthest that the cone travels over the whole programme.
    pub fn peak(&self, filter: FilterIn) -> Peak {
        self.peak_from(self.lowest, filter)
    }

    /// The farthest that the cone travels from the tuning up; `None` without a tuning.
    pub fn peak_above_tuning(&self, filter: FilterIn) -> Option<Peak> {
        let tuning = self.tuning.filter(|tuning| *tuning < HIGHEST)?;
        Some(self.peak_from(if tuning > self.lowest { tuning } else { self.lowest }, filter))
    }

    fn peak_from(&self, low: Hertz, filter: FilterIn) -> Peak {
        search::highest(low, HIGHEST, |at| self.travel_mm(at, filter))
    }

    /// Whether a travel keeps within the linear limit.
    pub fn is_within(&self, travel_mm: f64) -> bool {
        is_within(travel_mm, Millimetres::new(self.xmax))
    }

    /// The highest frequency, at or below the tuning of a vented box, at which the filter out lets the cone past Xmax.
    pub fn passes_xmax_below(&self) -> Option<Hertz> {
        let high = self.tuning.unwrap_or(HIGHEST);
        let travel = |at| self.travel_mm(at, None);
        if high <= self.lowest {
            return None;
        }
        if travel(high) > self.xmax {
            return Some(high);
        }
        search::highest_above(self.xmax, self.lowest, high, travel)
    }

    /// The lowest corner at which the cone keeps within Xmax over the whole programme, up to the tuning of a vented box,
    /// else up to 200 Hz; `None` where no corner does it.
    ///
    /// Where the filter is out and the cone passes Xmax, a tone must be brought down by at least x/Xmax, which takes a
    /// corner at or above one that the response gives in closed form: the lowest safe corner is the highest of those over
    /// the band. A filter with a hump may push tones past Xmax that were within it: each such tone forbids the corners
    /// between its two, and the search moves on to the top of what is forbidden.
    pub fn lowest_safe_corner(&self, alignment: Alignment) -> Option<Hertz> {
        let limit = self.tuning.unwrap_or(HIGHEST);
        let corners = |at: Hertz| {
            let travel = Volts::new(self.travel_mm(at, None));
            alignment.corners_from_volts(at, Volts::new(self.xmax), travel)
        };
        let at_least = |at: Hertz| {
            let over = self.travel_mm(at, None) > self.xmax;
            if over { corners(at).single().map_or(0.0, Hertz::hz) } else { 0.0 }
        };
        // A peak that passes Xmax between two points of the grid only counts too.
        let mut corner = Hertz::new(self.highest_of(at_least).max(at_least(self.peak(None).at)));
        if alignment.has_hump() {
            let filter = |corner: Hertz| Some((alignment, corner));
            while corner <= limit && !self.is_within(self.peak(filter(corner)).value) {
                let forbidden_to = |at: Hertz| match corners(at) {
                    Corners::Two(low, high) if low <= corner && corner < high => high.hz(),
                    _ => 0.0,
                };
                let next = self.highest_of(forbidden_to);
                // A hump too narrow for the grid still moves the search on, by less than any knob can show.
                corner = Hertz::new(next.max(corner.hz() * (1.0 + LEAST_MOVE)));
            }
        }
        (corner <= limit).then_some(corner)
    }

    fn highest_of(&self, f: impl Fn(Hertz) -> f64) -> f64 {
        search::highest(self.lowest, HIGHEST, f).value
    }

    /// Where the response is half-power down at its lower end, the filter included; `None` where it is nowhere flat.
    pub fn half_power(&self, filter: FilterIn) -> Option<Hertz> {
        let [low, high] = RESPONSE_BAND;
        search::highest_rise(FRAC_1_SQRT_2, low, high, |at| {
            let response = self.circuit.motion(at).response;
            filter.map_or(response, |(alignment, corner)| response * alignment.response(at, corner).ratio())
        })
    }

    /// The voltage at which a travel at the present drive would just reach Xmax.
    pub fn voltage_for_xmax(&self, travel: Peak) -> Volts {
        Volts::new(self.volts * self.xmax / travel.value)
    }
}

/// Whether a travel keeps within a limit.
pub(super) fn is_within(travel_mm: f64, limit: Millimetres) -> bool {
    travel_mm <= limit.mm() * (1.0 + ON_LIMIT)
}

/// The least by which the search for a safe corner moves on, as a share.
const LEAST_MOVE: f64 = 1e-6;
