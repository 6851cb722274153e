//! The axes of a drawing: round frequencies on a logarithmic one, round steps on one that starts at nought.

use crate::displacement::{Analysis, CurvePoint};
use crate::quantity::{Hertz, Millimetres};

/// The figures of round frequencies, and of round steps.
const ROUND: [f64; 3] = [1.0, 2.0, 5.0];
const ROUND_STEPS: [f64; 4] = [1.0, 2.0, 2.5, 5.0];
/// The figures of the preferred frequencies, thirds of an octave (ISO 266:1997, the series R10).
const PREFERRED: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
/// Fewer round frequencies than this leave an axis without a measure.
const FEWEST: usize = 3;
/// A drawing reaches this many times Xmax at most, so that what happens below Xmax can still be seen.
const MOST_XMAX: f64 = 4.0;

/// Round frequencies from one to another: 10, 20, 50, 100; on a short axis all the preferred ones.
pub fn round_frequencies(low: Hertz, high: Hertz) -> Vec<Hertz> {
    let round = within(&ROUND, low, high);
    if round.len() < FEWEST { preferred_frequencies(low, high) } else { round }
}

/// Frequencies a third of an octave apart from one to another, as ISO 266 rounds them.
pub fn preferred_frequencies(low: Hertz, high: Hertz) -> Vec<Hertz> {
    within(&PREFERRED, low, high)
}

fn within(figures: &[f64], low: Hertz, high: Hertz) -> Vec<Hertz> {
    (-1..=3)
        .flat_map(|decade| figures.iter().map(move |figure| Hertz::new(figure * 10f64.powi(decade))))
        .filter(|frequency| *frequency >= low && *frequency <= high)
        .collect()
}

/// Where a frequency stands on a logarithmic axis: 0 at its low end, 1 at its high one.
pub fn share(frequency: Hertz, low: Hertz, high: Hertz) -> f64 {
    (frequency.hz() / low.hz()).ln() / (high.hz() / low.hz()).ln()
}

/// Steps of an axis that starts at nought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// How much a step is.
    pub size: f64,
    /// How many there are.
    pub count: usize,
}

impl Steps {
    /// The smallest round steps that reach `top` in `most` of them or fewer.
    pub fn to(top: f64, most: usize) -> Self {
        Self::sizes(top, most).next().unwrap_or(Self { size: top, count: 1 })
    }

    /// Every round step that reaches `top` in `most` steps or fewer and in more than one, smallest first.
    pub fn sizes(top: f64, most: usize) -> impl Iterator<Item = Self> {
        let first = (top / most as f64).log10().floor() as i32;
        (first..=first + 2)
            .flat_map(|decade| ROUND_STEPS.map(|figure| figure * 10f64.powi(decade)))
            .map(move |size| Self { size, count: (top / size).ceil() as usize })
            .filter(move |steps| steps.count <= most && steps.count > 1)
    }

    /// Where the last step ends.
    pub fn top(self) -> f64 {
        self.size * self.count as f64
    }
}

/// How high a drawing of an analysis reaches: over its curves, Xmax and Xmech, unless that is far above Xmax.
pub fn reach(analysis: &Analysis, curve: &[CurvePoint]) -> Millimetres {
    const ROOM: f64 = 1.02;
    let driver = &analysis.setup.driver;
    let limits = [Some(driver.xmax), driver.xmech].into_iter().flatten();
    let highest = curve
        .iter()
        .flat_map(|point| [Some(point.unfiltered), point.filtered])
        .flatten()
        .chain(limits)
        .fold(driver.xmax.mm(), |highest, travel| highest.max(travel.mm()));
    Millimetres::new(ROOM * highest.min(MOST_XMAX * driver.xmax.mm()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(low: f64, high: f64) -> Vec<f64> {
        round_frequencies(Hertz::new(low), Hertz::new(high)).into_iter().map(Hertz::hz).collect()
    }

    #[test]
    fn frequencies_are_round_and_enough() {
        assert_eq!(between(10.0, 200.0), [10.0, 20.0, 50.0, 100.0, 200.0]);
        assert_eq!(between(25.0, 200.0), [50.0, 100.0, 200.0]);
        assert_eq!(between(1.0, 200.0), [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0]);
        assert_eq!(between(60.0, 200.0), [63.0, 80.0, 100.0, 125.0, 160.0, 200.0]);
        assert_eq!(between(150.0, 200.0), [160.0, 200.0]);
    }

    #[test]
    fn steps_are_round_and_reach_the_top() {
        let to = |top, most| (Steps::to(top, most).size, Steps::to(top, most).count);
        assert_eq!(to(47.7, 6), (10.0, 5));
        assert_eq!(to(50.0, 5), (10.0, 5));
        assert_eq!(to(50.1, 5), (20.0, 3));
        assert_eq!(to(16.0, 7), (2.5, 7));
        assert_eq!(to(9.0, 6), (2.0, 5));
        assert_eq!(to(0.07, 6), (0.02, 4));
        assert_eq!(to(800.0, 6), (200.0, 4));
    }
}
