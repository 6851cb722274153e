//! A driver in a box at a drive voltage: how far its cone travels, with the filter out and in.

use super::circuit::{Circuit, Motion};
use super::driver::Driver;
use super::enclosure::Enclosure;
use super::search::{self, Curve, FilterIn, LANES, Peak, Which};
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
#[derive(Debug, Clone, PartialEq)]
pub struct Cone {
    circuit: Circuit,
    volts: f64,
    lowest: Hertz,
    xmax: f64,
    tuning: Option<Hertz>,
    /// Travel for one volt over the programme, and response, with the filter out.
    travel: Curve,
    response: Curve,
}

/// A point of the curves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Where.
    pub at: Hertz,
    /// With the filter out.
    pub unfiltered: Millimetres,
    /// With it in, where there is a corner to draw.
    pub filtered: Option<Millimetres>,
}

impl Cone {
    /// A driver in a box at a drive.
    pub fn new(driver: &Driver, enclosure: Enclosure, drive: Drive) -> Self {
        let circuit = Circuit::new(driver, enclosure);
        let [low, high] = RESPONSE_BAND;
        Self {
            circuit,
            volts: drive.voltage().volts(),
            lowest: drive.lowest,
            xmax: driver.xmax.mm(),
            tuning: enclosure.tuning(),
            travel: Curve::over(&circuit, drive.lowest, HIGHEST, TRAVEL),
            response: Curve::roughly_over(&circuit, low, high, RESPONSE),
        }
    }

    /// What the cone does for one volt.
    pub fn motion(&self, at: Hertz) -> Motion {
        self.circuit.motion(at)
    }

    /// Peak displacement one way.
    pub fn travel(&self, at: Hertz, filter: FilterIn) -> Millimetres {
        Millimetres::new(self.volts * self.for_one_volt(at, filter).sqrt())
    }

    /// Peak displacement one way for one volt, squared.
    fn for_one_volt(&self, at: Hertz, filter: FilterIn) -> f64 {
        self.circuit.motion(at).mm_per_volt_squared() * power(at, filter)
    }

    /// The farthest that the cone travels over the whole programme.
    pub fn peak(&self, filter: FilterIn) -> Peak {
        self.peak_of(&self.travel, filter)
    }

    /// The farthest that the cone travels from the tuning up; `None` without a tuning.
    pub fn peak_above_tuning(&self, filter: FilterIn) -> Option<Peak> {
        let tuning = self.tuning.filter(|tuning| *tuning < HIGHEST)?;
        let low = if tuning > self.lowest { tuning } else { self.lowest };
        Some(self.peak_of(&Curve::over(&self.circuit, low, HIGHEST, TRAVEL), filter))
    }

    fn peak_of(&self, curve: &Curve, filter: FilterIn) -> Peak {
        let peak = curve.highest(&curve.through(filter), |at| self.for_one_volt(at, filter));
        Peak { at: peak.at, value: self.volts * peak.value.sqrt() }
    }

    /// Whether a travel keeps within the linear limit.
    pub fn is_within(&self, travel_mm: f64) -> bool {
        is_within(travel_mm, Millimetres::new(self.xmax))
    }

    /// What the limit is for one volt, squared.
    fn limit_for_one_volt(&self) -> f64 {
        (self.xmax / self.volts).powi(2)
    }

    /// The highest frequency, at or below the tuning of a vented box, at which the filter out lets the cone past Xmax.
    pub fn passes_xmax_below(&self) -> Option<Hertz> {
        let high = self.tuning.unwrap_or(HIGHEST);
        if high <= self.lowest {
            return None;
        }
        let (limit, travel) = (self.limit_for_one_volt(), |at| self.for_one_volt(at, None));
        if travel(high) > limit {
            return Some(high);
        }
        let below = Curve::over(&self.circuit, self.lowest, high, TRAVEL);
        below.highest_above(limit, &below.squares, travel)
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
        let corners = |at: Hertz, for_one_volt: f64| {
            let travel = Volts::new(self.volts * for_one_volt.sqrt());
            alignment.corners_from_volts(at, Volts::new(self.xmax), travel)
        };
        let one_volt = self.limit_for_one_volt();
        let at_least = |at: Hertz, for_one_volt: f64| {
            let corner = || corners(at, for_one_volt).single().map_or(0.0, Hertz::hz);
            if for_one_volt > one_volt { corner() } else { 0.0 }
        };
        // A peak that passes Xmax between two points of the grid only counts too.
        let peak = self.peak(None).at;
        let at_peak = at_least(peak, self.for_one_volt(peak, None));
        let mut corner = Hertz::new(self.highest_of(at_least).max(at_peak));
        if alignment.has_hump() {
            let filter = |corner: Hertz| Some((alignment, corner));
            while corner <= limit && !self.is_within(self.peak(filter(corner)).value) {
                let forbidden_to = |at: Hertz, for_one_volt: f64| match corners(at, for_one_volt) {
                    Corners::Two(low, high) if low <= corner && corner < high => high.hz(),
                    Corners::One(least) if for_one_volt > one_volt => least.hz(),
                    _ => 0.0,
                };
                // The tone that passes Xmax farthest forbids this corner, wherever the grid's points lie.
                let worst = self.peak(filter(corner)).at;
                let next = self.highest_of(forbidden_to).max(forbidden_to(worst, self.for_one_volt(worst, None)));
                // Where the last digits hide that, the search still moves on, by less than any knob can show.
                corner = Hertz::new(next.max(corner.hz() * (1.0 + LEAST_MOVE)));
            }
        }
        (corner <= limit).then_some(corner)
    }

    /// The highest value over the programme of what follows from a tone and the travel for one volt, squared.
    fn highest_of(&self, f: impl Fn(Hertz, f64) -> f64) -> f64 {
        let points = self.travel.hz.iter().zip(&self.travel.squares);
        let values: Vec<f64> = points.map(|(hz, square)| f(Hertz::new(*hz), *square)).collect();
        self.travel.highest(&values, |at| f(at, self.for_one_volt(at, None))).value
    }

    /// Where the response is half-power down at its lower end, the filter included; `None` where it is nowhere flat.
    pub fn half_power(&self, filter: FilterIn) -> Option<Hertz> {
        let exact = |at| self.circuit.motion(at).response_squared() * power(at, filter);
        self.response.highest_rise(HALF_POWER, &self.response.through(filter), exact)
    }

    /// Travel from the lowest frequency of the programme to 200 Hz in so many steps, evenly spaced in octaves.
    pub fn curve(&self, steps: usize, filter: FilterIn) -> Vec<CurvePoint> {
        let steps = steps.max(1);
        let mut points = Vec::with_capacity(steps + LANES);
        for tones in search::blocks(self.lowest, HIGHEST, steps) {
            let squares = self.circuit.motions(tones).mm_per_volt_squared;
            let travel = squares.map(|square| Millimetres::new(self.volts * square.sqrt()));
            let left = filter.map(|(alignment, corner)| {
                let inverse = alignment.inverse_power(tones.map(|hz| (corner.hz() / hz) * (corner.hz() / hz)));
                let squares: [f64; LANES] = std::array::from_fn(|lane| squares[lane] / inverse[lane]);
                squares.map(|square| Millimetres::new(self.volts * square.sqrt()))
            });
            points.extend::<[CurvePoint; LANES]>(std::array::from_fn(|lane| CurvePoint {
                at: Hertz::new(tones[lane]),
                unfiltered: travel[lane],
                filtered: left.map(|left| left[lane]),
            }));
        }
        points.truncate(steps + 1);
        points
    }
}

/// What a filter leaves of a tone's power.
fn power(at: Hertz, filter: FilterIn) -> f64 {
    filter.map_or(1.0, |(alignment, corner)| {
        let ratio = corner.hz() / at.hz();
        alignment.inverse_power([ratio * ratio])[0].recip()
    })
}

/// Whether a travel keeps within a limit.
pub(super) fn is_within(travel_mm: f64, limit: Millimetres) -> bool {
    travel_mm <= limit.mm() * (1.0 + ON_LIMIT)
}

/// The least by which the search for a safe corner moves on, as a share.
const LEAST_MOVE: f64 = 1e-6;
/// Half of the power, 3.01 dB down.
const HALF_POWER: f64 = 0.5;
const TRAVEL: Which = |motions| motions.mm_per_volt_squared;
const RESPONSE: Which = |motions| motions.response_squared;
