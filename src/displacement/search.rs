//! The highest point of a function of frequency: a grid over the whole band, then a refinement of every peak that counts.

use crate::quantity::Hertz;

/// Grid points to the octave. The narrowest peak of a driver in the table of ranges (Q 17) spans more than five of them.
const PER_OCTAVE: f64 = 96.0;
/// Grid peaks this near to the highest one may be the highest once refined.
const CONTENDS: f64 = 0.98;
/// Golden-section steps: from two grid steps down to the last digits that a peak's flat top leaves.
const STEPS: usize = 48;
/// 1 / golden ratio.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where.
    pub at: Hertz,
    /// How high.
    pub value: f64,
}

/// The frequencies of a grid, both ends included, evenly spaced in octaves.
pub fn grid(low: Hertz, high: Hertz, steps: usize) -> impl Iterator<Item = Hertz> {
    let octaves = (high.hz() / low.hz()).log2();
    (0..=steps).map(move |index| match index {
        0 => low,
        _ if index == steps => high,
        _ => low.times((octaves * index as f64 / steps as f64).exp2()),
    })
}

/// How many grid steps a band needs.
pub fn steps(low: Hertz, high: Hertz) -> usize {
    ((high.hz() / low.hz()).log2() * PER_OCTAVE).ceil().max(1.0) as usize
}

/// The highest point of `f` from `low` to `high`.
pub fn highest(low: Hertz, high: Hertz, f: impl Fn(Hertz) -> f64) -> Peak {
    let points: Vec<Peak> = grid(low, high, steps(low, high)).map(|at| Peak { at, value: f(at) }).collect();
    let higher = |one: Peak, other: Peak| if other.value > one.value { other } else { one };
    let Some(best) = points.iter().copied().reduce(higher) else {
        return Peak { at: low, value: f(low) };
    };
    points
        .windows(3)
        .filter(|three| three[1].value >= three[0].value && three[1].value >= three[2].value)
        .filter(|three| three[1].value > best.value * CONTENDS)
        .map(|three| refined(three[0].at, three[2].at, &f))
        .chain(points.windows(2).filter(|two| two[0].value.max(two[1].value) == best.value).map(|two| {
            // A peak beside an end of the band has no grid point on its other side.
            refined(two[0].at, two[1].at, &f)
        }))
        .fold(best, higher)
}

/// The highest point between two frequencies that hold one peak, by golden section.
fn refined(low: Hertz, high: Hertz, f: &impl Fn(Hertz) -> f64) -> Peak {
    let (mut a, mut b) = (low.hz().ln(), high.hz().ln());
    let at = |x: f64| Peak { at: Hertz::new(x.exp()), value: f(Hertz::new(x.exp())) };
    let (mut left, mut right) = (at(b - GOLDEN * (b - a)), at(a + GOLDEN * (b - a)));
    for _ in 0..STEPS {
        if left.value > right.value {
            b = right.at.hz().ln();
            (right, left) = (left, at(b - GOLDEN * (b - a)));
        } else {
            a = left.at.hz().ln();
            (left, right) = (right, at(a + GOLDEN * (b - a)));
        }
    }
    if left.value > right.value { left } else { right }
}

/// The highest frequency in the band at which `f` is above `level`; `None` where it nowhere is.
pub fn highest_above(level: f64, low: Hertz, high: Hertz, f: impl Fn(Hertz) -> f64) -> Option<Hertz> {
    let peak = highest(low, high, &f);
    if peak.value <= level {
        return None;
    }
    let points: Vec<Hertz> = grid(low, high, steps(low, high)).collect();
    let last = points
        .iter()
        .copied()
        .rfind(|at| f(*at) > level)
        .map_or(peak.at, |last| if last > peak.at { last } else { peak.at });
    let beyond = points.into_iter().find(|at| *at > last);
    Some(beyond.map_or(last, |beyond| crossing(last, beyond, |at| f(at) - level)))
}

/// The highest frequency in the band at which `f` rises through `level`; `None` where it nowhere does.
pub fn highest_rise(level: f64, low: Hertz, high: Hertz, f: impl Fn(Hertz) -> f64) -> Option<Hertz> {
    let points: Vec<Peak> = grid(low, high, steps(low, high)).map(|at| Peak { at, value: f(at) }).collect();
    let rise = points.windows(2).rfind(|two| two[0].value < level && two[1].value >= level)?;
    Some(crossing(rise[0].at, rise[1].at, |at| f(at) - level))
}

/// Where `f` changes its sign between two frequencies, by bisection to the last digit.
pub fn crossing(one: Hertz, other: Hertz, f: impl Fn(Hertz) -> f64) -> Hertz {
    let (mut positive, mut negative) = if f(one) > 0.0 { (one, other) } else { (other, one) };
    loop {
        let middle = Hertz::new(f64::midpoint(positive.hz(), negative.hz()));
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
