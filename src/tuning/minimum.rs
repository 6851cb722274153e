//! The least impedance between two peaks, from readings that step and flicker.

use super::budget::within;
use super::curve::Point;
use crate::quantity::{Hertz, Ohms};

/// How far a parabola's vertex may be off for want of curvature, per square of the parabola's reach in ln f. Found by
/// sweeps of simulated boxes (fs 18 to 45 Hz, tuning 0.65 to 1.35 fs, Vas 0.4 to 5 times the box, QL 5 to 20): 95 % of
/// the errors lie within. Own work, no source.
const PER_SQUARE: f64 = 0.7;
/// The reaches that are tried, in ln f, each so much more than the one before.
const REACHES: (f64, f64) = (0.01, 0.7);
const FACTOR: f64 = 1.09;
/// A parabola is one where its curvature is so many times its own standard uncertainty; a display that steps curves by
/// itself.
const CURVED: f64 = 5.0;
/// Tones this far on either side of the minimum, in ln f, show it well.
pub(super) const NEAR: f64 = 0.07;
/// The parabola is laid anew about its own vertex at most so often.
const RECENTRED: usize = 8;

/// The least impedance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Minimum {
    /// Where.
    pub tone: Hertz,
    /// How much.
    pub impedance: Ohms,
    /// Relative standard uncertainty of `tone` from the meter.
    pub meter: f64,
    /// The same from the tones' spacing.
    pub spacing: f64,
    /// d2 ln |Z| / d (ln f)2 there; 0 where the readings do not say.
    pub curvature: f64,
    /// How many tones lie about it, no farther than half as far again as [`NEAR`].
    pub tones_near: usize,
}

impl Minimum {
    /// The minimum of ln |Z| over ln f between two peaks, all points from one peak to the other given, three or more.
    ///
    /// A parabola is fitted by least squares to the points within some reach of the minimum, and laid anew about its
    /// vertex until the same points lie within. A short reach leaves it to the meter's steps, a long one to the shape of
    /// the curve: of many reaches that one is taken whose vertex has the least uncertainty.
    ///
    /// It starts from the middle of all points that show the lowest reading: at coarse steps, many do.
    pub fn between(points: &[Point]) -> Self {
        let floor = Floor::of(points);
        let mut best = floor.minimum();
        let mut reach = REACHES.0;
        while reach <= REACHES.1 {
            if let Some(found) = settle(points, floor.middle, reach)
                && found.standard_uncertainty() < best.standard_uncertainty()
            {
                best = found;
            }
            reach *= FACTOR;
        }
        let is_near = |point: &&Point| (point.x - best.tone.hz().ln()).abs() <= 1.5 * NEAR;
        best.tones_near = points.iter().filter(is_near).count();
        best
    }

    /// Relative standard uncertainty of the tone.
    pub fn standard_uncertainty(&self) -> f64 {
        self.meter.hypot(self.spacing)
    }
}

/// The points that show the lowest reading, to within a last digit.
struct Floor {
    middle: f64,
    lowest: f64,
    /// From the point before the floor to the one after, halved.
    half_width: f64,
}

impl Floor {
    fn of(points: &[Point]) -> Self {
        let lowest = points.iter().fold(points[0], |low, point| if point.y < low.y { *point } else { low });
        // Three standard uncertainties squared are the square of the limit: one step, one spread.
        let on_floor = |point: &&Point| point.y - lowest.y <= 3f64.sqrt() * lowest.own_y;
        let inner = &points[1..points.len() - 1];
        let first = inner.iter().find(on_floor).unwrap_or(&lowest).x;
        let last = inner.iter().rev().find(on_floor).unwrap_or(&lowest).x;
        let before = points.iter().rev().find(|point| point.x < first).map_or(first, |point| point.x);
        let after = points.iter().find(|point| point.x > last).map_or(last, |point| point.x);
        Self { middle: f64::midpoint(first, last), lowest: lowest.y, half_width: (after - before) / 2.0 }
    }

    /// What is known where no parabola can be laid: it lies between the neighbours.
    fn minimum(&self) -> Minimum {
        Minimum {
            tone: Hertz::new(self.middle.exp()),
            impedance: Ohms::new(self.lowest.exp()),
            meter: 0.0,
            spacing: within(self.half_width),
            curvature: 0.0,
            tones_near: 0,
        }
    }
}

/// The parabola of one reach, about its own vertex; `None` where there is none.
fn settle(points: &[Point], start: f64, reach: f64) -> Option<Minimum> {
    let mut centre = start;
    let mut before = None;
    for _ in 0..RECENTRED {
        let range = around(points, centre, reach);
        if before == Some(range) {
            break;
        }
        before = Some(range);
        let taken = &points[range.0..=range.1];
        centre = Parabola::through(taken, centre)?.vertex();
        if !(taken[0].x..=taken[taken.len() - 1].x).contains(&centre) {
            return None;
        }
    }
    let (first, last) = before?;
    Parabola::through(&points[first..=last], centre)?.minimum(&points[first..=last])
}

/// The first and the last point within reach; at least the nearest one that has two neighbours, and these.
fn around(points: &[Point], centre: f64, reach: f64) -> (usize, usize) {
    let first = points.partition_point(|point| point.x < centre - reach);
    let end = points.partition_point(|point| point.x <= centre + reach);
    let above = points.partition_point(|point| point.x < centre).min(points.len() - 1);
    let nearest = if above > 0 && centre - points[above - 1].x < points[above].x - centre { above - 1 } else { above };
    let nearest = nearest.clamp(1, points.len() - 2);
    (first.min(nearest - 1), end.saturating_sub(1).max(nearest + 1))
}

/// y = c0 + c1 t + c2 t2 by least squares, with t = x - centre, and how each coefficient follows each point.
struct Parabola {
    centre: f64,
    coefficients: [f64; 3],
    /// The inverse of the normal equations' matrix.
    inverse: [[f64; 3]; 3],
}

impl Parabola {
    /// `None` where the points leave the curvature open.
    fn through(points: &[Point], centre: f64) -> Option<Self> {
        let mut sums = [0.0; 5];
        let mut products = [0.0; 3];
        for point in points {
            let t = point.x - centre;
            let powers = [1.0, t, t * t, t * t * t, t * t * t * t];
            for (sum, power) in sums.iter_mut().zip(powers) {
                *sum += power;
            }
            for (product, power) in products.iter_mut().zip(powers) {
                *product += power * point.y;
            }
        }
        let inverse = inverse(&sums)?;
        let coefficients = inverse.map(|row| dot(row, products));
        let parabola = Self { centre, coefficients, inverse };
        let curvature_uncertainty =
            points.iter().fold(0.0f64, |sum, point| sum.hypot(parabola.follows(point)[2] * point.own_y));
        (coefficients[2] > 0.0 && coefficients[2] > CURVED * curvature_uncertainty).then_some(parabola)
    }

    /// d coefficient / d y of one point.
    fn follows(&self, point: &Point) -> [f64; 3] {
        let t = point.x - self.centre;
        self.inverse.map(|row| dot(row, [1.0, t, t * t]))
    }

    /// Where it is lowest: centre - c1 / (2 c2).
    fn vertex(&self) -> f64 {
        let [_, slope, curve] = self.coefficients;
        self.centre - slope / (2.0 * curve)
    }

    /// The vertex with its uncertainty (JCGM 100:2008, 5.1.2, and 5.2.2 for what all readings share).
    fn minimum(&self, points: &[Point]) -> Option<Minimum> {
        let [level, slope, curve] = self.coefficients;
        let vertex = self.vertex();
        let (mut own, mut common) = (0.0f64, 0.0);
        for point in points {
            let follows = self.follows(point);
            let moved = (slope * follows[2] / curve - follows[1]) / (2.0 * curve);
            own = own.hypot(moved * point.own_y);
            common += moved * point.common_y;
        }
        let reach = (vertex - points[0].x).max(points[points.len() - 1].x - vertex);
        let minimum = Minimum {
            tone: Hertz::new(vertex.exp()),
            impedance: Ohms::new((level - slope * slope / (4.0 * curve)).exp()),
            meter: own.hypot(common),
            spacing: within(PER_SQUARE * reach * reach),
            curvature: 2.0 * curve,
            tones_near: 0,
        };
        (minimum.tone.hz().is_finite() && minimum.standard_uncertainty().is_finite()).then_some(minimum)
    }
}

fn dot(one: [f64; 3], other: [f64; 3]) -> f64 {
    one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
}

/// The inverse of the matrix of sums s(i + k), by cofactors; `None` where it has none.
fn inverse(s: &[f64; 5]) -> Option<[[f64; 3]; 3]> {
    let cofactors = [
        [s[2] * s[4] - s[3] * s[3], s[2] * s[3] - s[1] * s[4], s[1] * s[3] - s[2] * s[2]],
        [s[2] * s[3] - s[1] * s[4], s[0] * s[4] - s[2] * s[2], s[1] * s[2] - s[0] * s[3]],
        [s[1] * s[3] - s[2] * s[2], s[1] * s[2] - s[0] * s[3], s[0] * s[2] - s[1] * s[1]],
    ];
    let determinant = dot([s[0], s[1], s[2]], cofactors[0]);
    (determinant > 0.0).then(|| cofactors.map(|row| row.map(|cofactor| cofactor / determinant)))
}
