//! A curve over a band of frequencies, and its highest points: evenly spaced in octaves, then refined where it counts.
//!
//! Curves are kept in squares (of travel, of response): the circuit gives them without a root, and where a square is
//! highest so is what it is the square of.

use std::f64::consts::SQRT_2;

use super::circuit::{Circuit, Motions};
use crate::filter::Alignment;
use crate::quantity::Hertz;

/// Grid points to the octave. The narrowest peak of a driver in the table of ranges (Q 17) spans more than five of them.
const PER_OCTAVE: f64 = 96.0;
/// The same for a response, of which only the rise through half power is looked for.
const PER_OCTAVE_OF_RESPONSE: f64 = 32.0;
/// About the tuning of a box that hardly leaks, port and box may resonate by themselves, more narrowly than any driver does:
/// so many points there, in half an octave to either side. They find a peak of Q 1000; a box has losses enough for less.
const PER_OCTAVE_AT_TUNING: f64 = 3000.0;
const ABOUT_TUNING: f64 = SQRT_2;
/// Grid peaks this near to the highest one, in squares, may be the highest once refined.
const CONTENDS: f64 = 0.96;
/// Golden-section steps: from two grid steps down to the last digits that a peak's flat top leaves.
const STEPS: usize = 38;
/// 1 / golden ratio.
const GOLDEN: f64 = 0.618_033_988_749_894_9;
/// Frequencies that are worked out together.
pub(super) const LANES: usize = 8;

/// A filter with its corner, or none.
pub type FilterIn = Option<(Alignment, Hertz)>;

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where.
    pub at: Hertz,
    /// How high.
    pub value: f64,
}

/// A curve with the filter out, in squares.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    pub hz: Vec<f64>,
    pub squares: Vec<f64>,
}

/// Which square of a circuit's motion.
pub(super) type Which = fn(Motions<LANES>) -> [f64; LANES];

impl Curve {
    /// From `low` to `high`, fine enough to miss no peak.
    pub fn over(circuit: &Circuit, low: Hertz, high: Hertz, which: Which) -> Self {
        Self::with(circuit, [low, high], PER_OCTAVE, which)
    }

    /// The same, fine enough to see where a response rises for good.
    pub fn roughly_over(circuit: &Circuit, low: Hertz, high: Hertz, which: Which) -> Self {
        Self::with(circuit, [low, high], PER_OCTAVE_OF_RESPONSE, which)
    }

    fn with(circuit: &Circuit, [low, high]: [Hertz; 2], per_octave: f64, which: Which) -> Self {
        let mut curve = Self { hz: vec![], squares: vec![] };
        let [from, to] = match circuit.rings_at() {
            Some(tuning) => [tuning.times(1.0 / ABOUT_TUNING), tuning.times(ABOUT_TUNING)],
            None => [high, high],
        };
        let within = |hz: Hertz| Hertz::new(hz.hz().clamp(low.hz(), high.hz()));
        for (low, high, per_octave) in [
            (low, within(from), per_octave),
            (within(from), within(to), PER_OCTAVE_AT_TUNING),
            (within(to), high, per_octave),
        ] {
            if low < high || curve.hz.is_empty() {
                curve.add(circuit, low, high, per_octave, which);
            }
        }
        curve
    }

    /// Goes on from `low`, where the curve may end already, to `high`.
    fn add(&mut self, circuit: &Circuit, low: Hertz, high: Hertz, per_octave: f64, which: Which) {
        let steps = ((high.hz() / low.hz()).log2() * per_octave).ceil().max(1.0) as usize;
        self.hz.pop();
        self.squares.pop();
        let end = self.hz.len() + steps + 1;
        self.hz.reserve(steps + LANES);
        self.squares.reserve(steps + LANES);
        for tones in blocks(low, high, steps) {
            self.hz.extend(tones);
            self.squares.extend(which(circuit.motions(tones)));
        }
        self.hz.truncate(end);
        self.squares.truncate(end);
    }

    /// The squares with a filter in.
    pub fn through(&self, filter: FilterIn) -> Vec<f64> {
        let Some((alignment, corner)) = filter else {
            return self.squares.clone();
        };
        let mut squares = Vec::with_capacity(self.squares.len() + LANES);
        for (hz, unfiltered) in self.hz.chunks(LANES).zip(self.squares.chunks(LANES)) {
            let at = |values: &[f64], lane: usize| values.get(lane).copied().unwrap_or(1.0);
            let u: [f64; LANES] = std::array::from_fn(|lane| {
                let ratio = corner.hz() / at(hz, lane);
                ratio * ratio
            });
            let inverse = alignment.inverse_power(u);
            squares.extend::<[f64; LANES]>(std::array::from_fn(|lane| at(unfiltered, lane) / inverse[lane]));
        }
        squares.truncate(self.squares.len());
        squares
    }

    /// The highest point of these values over the curve's frequencies; between them `exact` is what they are.
    pub fn highest(&self, values: &[f64], exact: impl Fn(Hertz) -> f64) -> Peak {
        let point = |index: usize| Peak { at: Hertz::new(self.hz[index]), value: values[index] };
        let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let last = values.len() - 1;
        let rises_to = |from: usize, to: usize| values[to] >= values[from];
        (0..=last)
            .filter(|at| values[*at] >= highest * CONTENDS)
            .filter(|at| (*at == 0 || rises_to(at - 1, *at)) && (*at == last || rises_to(at + 1, *at)))
            .map(|at| {
                let (before, after) = (self.hz[at.saturating_sub(1)], self.hz[(at + 1).min(last)]);
                let peak = refined(before, after, &exact);
                if peak.value > values[at] { peak } else { point(at) }
            })
            .reduce(|one, other| if other.value > one.value { other } else { one })
            .unwrap_or_else(|| point(0))
    }

    /// The highest frequency at which `exact` passes `level`; `None` where it nowhere does.
    pub fn highest_above(&self, level: f64, values: &[f64], exact: impl Fn(Hertz) -> f64) -> Option<Hertz> {
        let peak = self.highest(values, &exact);
        if peak.value <= level {
            return None;
        }
        // The peak may pass between two points of the grid only.
        let on_grid = values.iter().rposition(|value| *value > level).map_or(0.0, |last| self.hz[last]);
        let last = on_grid.max(peak.at.hz());
        let beyond = self.hz.iter().copied().find(|hz| *hz > last);
        let crossing = |beyond| crossing(last, beyond, |hz| exact(Hertz::new(hz)) - level);
        Some(Hertz::new(beyond.map_or(last, crossing)))
    }

    /// The highest frequency at which `exact` rises through `level`; `None` where it nowhere does.
    pub fn highest_rise(&self, level: f64, values: &[f64], exact: impl Fn(Hertz) -> f64) -> Option<Hertz> {
        let at = values.windows(2).rposition(|two| two[0] < level && two[1] >= level)?;
        Some(Hertz::new(crossing(self.hz[at], self.hz[at + 1], |hz| exact(Hertz::new(hz)) - level)))
    }
}

/// Frequencies from `low` to `high`, both included, in so many steps of the same ratio, a block at a time; what is left of
/// the last block is `high` again.
pub(super) fn blocks(low: Hertz, high: Hertz, steps: usize) -> impl Iterator<Item = [f64; LANES]> {
    let step = (high.hz() / low.hz()).ln() / steps as f64;
    let ratios: [f64; LANES] = std::array::from_fn(|lane| (step * lane as f64).exp());
    (0..=steps).step_by(LANES).map(move |first| {
        let lowest = low.hz() * (step * first as f64).exp();
        if first + LANES <= steps {
            ratios.map(|ratio| lowest * ratio)
        } else {
            std::array::from_fn(|lane| if first + lane < steps { lowest * ratios[lane] } else { high.hz() })
        }
    })
}

/// The highest point between two frequencies that hold one peak, by golden section.
fn refined(low: f64, high: f64, exact: &impl Fn(Hertz) -> f64) -> Peak {
    let (mut a, mut b) = (low, high);
    let at = |hz: f64| Peak { at: Hertz::new(hz), value: exact(Hertz::new(hz)) };
    let (mut left, mut right) = (at(b - GOLDEN * (b - a)), at(a + GOLDEN * (b - a)));
    for _ in 0..STEPS {
        if left.value > right.value {
            b = right.at.hz();
            (right, left) = (left, at(b - GOLDEN * (b - a)));
        } else {
            a = left.at.hz();
            (left, right) = (right, at(a + GOLDEN * (b - a)));
        }
    }
    if left.value > right.value { left } else { right }
}

/// Where `f` changes its sign between two frequencies, by bisection to the last digit, on the side above zero.
fn crossing(one: f64, other: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut positive, mut negative) = if f(one) > 0.0 { (one, other) } else { (other, one) };
    loop {
        let middle = f64::midpoint(positive, negative);
        if middle == positive || middle == negative {
            return positive;
        }
        if f(middle) > 0.0 {
            positive = middle;
        } else {
            negative = middle;
        }
    }
}
