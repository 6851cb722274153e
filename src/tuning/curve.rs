//! Readings over tones as a curve: where it turns, and which turns are more than a flickering last digit.

use super::hookup::{Hookup, ToneReading};
use crate::quantity::{Hertz, Volts};

/// Two readings are distinct where they differ by more than so many standard uncertainties of their difference. A turn
/// that is none spoils the whole measurement, one that is missed costs a reading more.
const DISTINCT: f64 = 3.0;

/// One tone of the curve.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub tone: Hertz,
    pub volts: f64,
    /// Standard uncertainty of the volts that another reading would not share, in volts.
    own: f64,
    /// ln of the tone in hertz.
    pub x: f64,
    /// ln of the impedance in ohms.
    pub y: f64,
    /// `own`, as an uncertainty of `y`.
    pub own_y: f64,
    /// Standard uncertainty of `y` that every reading shares.
    pub common_y: f64,
}

/// A way that the curve takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trend {
    Rising,
    Falling,
}

/// Where a curve turns, by index of its points.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Shape {
    /// The first way it takes; `None` where it is flat.
    pub start: Option<Trend>,
    /// Its maxima, with a distinct rise before and a distinct fall after.
    pub peaks: Vec<usize>,
    /// The last way it takes.
    pub end: Option<Trend>,
}

/// Readings in the order of their tones, one a tone.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    pub points: Vec<Point>,
    pub shape: Shape,
}

impl Curve {
    /// Several readings of one tone become their mean.
    pub fn of(hookup: &Hookup, readings: &[ToneReading]) -> Self {
        let mut sorted = readings.to_vec();
        sorted.sort_by(|one, other| one.tone.hz().total_cmp(&other.tone.hz()));
        let points: Vec<Point> =
            sorted.chunk_by(|one, other| one.tone == other.tone).map(|same| Point::mean(hookup, same)).collect();
        let shape = Shape::of(&points);
        Self { points, shape }
    }

    /// The lowest and the highest tone.
    pub fn ends(&self) -> Option<(Hertz, Hertz)> {
        Some((self.points.first()?.tone, self.points.last()?.tone))
    }

    /// Where a peak lies between its neighbours: the vertex of the parabola of ln |Z| over ln f through the three.
    pub fn peak(&self, at: usize) -> Hertz {
        let (Some(before), Some(after)) = (at.checked_sub(1).and_then(|i| self.points.get(i)), self.points.get(at + 1))
        else {
            return self.points[at].tone;
        };
        let top = self.points[at];
        let (left, right) = ((top.y - before.y) / (top.x - before.x), (after.y - top.y) / (after.x - top.x));
        let curvature = (right - left) / (after.x - before.x);
        let vertex = f64::midpoint(before.x, top.x) - left / (2.0 * curvature);
        if curvature < 0.0 { Hertz::new(vertex.clamp(before.x, after.x).exp()) } else { top.tone }
    }
}

impl Point {
    fn mean(hookup: &Hookup, same: &[ToneReading]) -> Self {
        let count = same.len() as f64;
        let volts = same.iter().map(|one| one.reading.volts.volts()).sum::<f64>() / count;
        let squares: f64 = same.iter().map(|one| (one.reading.volts.volts() - volts).powi(2)).sum();
        let spreads: f64 = same.iter().map(|one| one.reading.spread.volts().powi(2)).sum();
        // Type A of the mean (JCGM 100:2008, 4.2.3), beside the spreads that were typed.
        let of_mean = if same.len() > 1 { squares / (count - 1.0) / count } else { 0.0 };
        let own = hookup.last_digit().hypot((of_mean + spreads / (count * count)).sqrt());
        let tone = same[0].tone;
        let per_volt = hookup.relative_per_volt(Volts::new(volts));
        Self {
            tone,
            volts,
            own,
            x: tone.hz().ln(),
            y: hookup.impedance(Volts::new(volts)).ohms().ln(),
            own_y: own * per_volt,
            common_y: hookup.meter.full(Volts::new(volts)).volts() * per_volt,
        }
    }

    fn is_distinct_from(&self, other: &Self) -> bool {
        (self.volts - other.volts).abs() > DISTINCT * self.own.hypot(other.own)
    }
}

impl Shape {
    /// Follows the curve and takes a turn for one once it has gone back by a distinct amount.
    fn of(points: &[Point]) -> Self {
        let mut shape = Self::default();
        // The highest and the lowest point since the last turn.
        let (mut high, mut low) = (0, 0);
        for (at, point) in points.iter().enumerate() {
            if point.volts > points[high].volts {
                high = at;
            }
            if point.volts < points[low].volts {
                low = at;
            }
            let is_distinct = |turn: usize| point.is_distinct_from(&points[turn]);
            if shape.end != Some(Trend::Falling) && high < at && is_distinct(high) {
                if shape.end == Some(Trend::Rising) {
                    shape.peaks.push(high);
                }
                shape.turn(Trend::Falling);
                low = at;
            } else if shape.end != Some(Trend::Rising) && low < at && is_distinct(low) {
                shape.turn(Trend::Rising);
                high = at;
            }
        }
        shape
    }

    fn turn(&mut self, trend: Trend) {
        self.start.get_or_insert(trend);
        self.end = Some(trend);
    }
}
