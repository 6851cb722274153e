//! Which tone to play next: coarse tones until both peaks are passed, then closer and closer about the minimum.

use super::curve::{Curve, Point, Shape, Trend};
use super::hookup::{Hookup, ToneReading};
use super::impedance::{ImpedanceTuning, NoTuning, near_source};
use super::minimum::{Minimum, NEAR};
use crate::quantity::Hertz;

/// Coarse tones, half an octave apart in whole hertz, over the whole range of tones.
const RUNGS: [f64; 12] = [5.0, 7.0, 10.0, 14.0, 20.0, 28.0, 40.0, 56.0, 80.0, 112.0, 160.0, 200.0];
/// The first tone: below the lower peak of most subwoofer boxes. Common practice, no source.
const FIRST: f64 = 14.0;
/// Where most boxes' upper peaks are passed; one peak alone is looked at more closely from here on.
const USUALLY_PASSED: f64 = 112.0;
/// One peak may be two that stand within a gap of the rungs: gaps wider than this, in ln f, are halved beside it.
const WIDE_GAP: f64 = 0.12;
/// Or the second stands in its flank: a gap wider than this, well above the least reading, across which the curve hardly
/// falls (in d ln |Z| / d ln f; on the flank of one peak it falls by 0.5 to 2). Found by simulated boxes.
const WIDE_SHOULDER: f64 = 0.2;
const SHOULDER_HEIGHT: f64 = 1.25;
const SHOULDER_SLOPE: f64 = 0.5;
/// Tones about the minimum, in ln f from where it seems to be, in the order in which they help.
const CLOSE: [f64; 5] = [0.0, -NEAR, NEAR, -2.0 * NEAR, 2.0 * NEAR];
/// A tone this near to one that was read, in ln f, says nothing new.
const SAME_TONE: f64 = 0.025;
/// The relative standard uncertainty of the minimum at which more tones would not help: what leakage and inductance leave
/// open is several times as much.
const GOOD: f64 = 0.004;
/// From here on tones go by halves of a hertz, below by tenths.
const BY_HALVES: f64 = 25.0;
/// The most tones that are asked for.
pub const MOST_TONES: usize = 30;

/// What comes next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// Another tone.
    Play {
        /// The tone, one that any generator has.
        tone: Hertz,
        /// What it is for.
        why: Why,
    },
    /// The tuning is found.
    Found(ImpedanceTuning),
    /// It cannot be found.
    Refused(NoTuning),
}

/// What a tone is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// To begin with.
    First,
    /// To find or pass a peak above.
    Higher,
    /// To find or pass a peak below.
    Lower,
    /// To see whether one peak is two.
    OnePeak,
    /// To close in on the minimum.
    Minimum,
}

/// The next step after these readings. A tone that was asked for need not be the one that was read.
pub fn next(hookup: &Hookup, readings: &[ToneReading]) -> Next {
    const ENOUGH_TO_TELL: usize = 3;
    const ENOUGH_TO_MOVE: usize = 6;
    let curve = Curve::of(hookup, readings);
    let tones = curve.points.len();
    let refused = || Next::Refused(NoTuning::of(hookup, &curve));
    let is_hopeless = (tones >= ENOUGH_TO_TELL && near_source(hookup, &curve))
        || (tones >= ENOUGH_TO_MOVE && curve.shape.start.is_none())
        || curve.shape.peaks.len() > 2;
    if is_hopeless {
        return refused();
    }
    let proposed = match curve.shape.peaks[..] {
        _ if readings.len() >= MOST_TONES => None,
        [lower, upper] => closer(&curve, lower, upper),
        _ => coarse(&curve),
    };
    match proposed {
        Some((tone, why)) => Next::Play { tone, why },
        None => ImpedanceTuning::of_curve(hookup, &curve).map_or_else(Next::Refused, Next::Found),
    }
}

/// What readings show so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Progress {
    /// Every peak that is passed.
    pub peaks: Vec<Hertz>,
    /// Where the minimum between two peaks seems to be.
    pub minimum: Option<Hertz>,
}

/// What these readings show.
pub fn progress(hookup: &Hookup, readings: &[ToneReading]) -> Progress {
    let curve = Curve::of(hookup, readings);
    let minimum = match curve.shape.peaks[..] {
        [lower, upper] => Some(Minimum::between(&curve.points[lower..=upper]).tone),
        _ => None,
    };
    Progress { peaks: curve.shape.peaks.iter().map(|peak| curve.peak(*peak)).collect(), minimum }
}

/// A tone that may show the two peaks; `None` where every one was tried. Upwards until a peak is passed, downwards where the
/// lowest tone stands on a flank; one peak alone is followed to where upper peaks are usually passed, then looked at more
/// closely, then left for the rest of the range.
fn coarse(curve: &Curve) -> Option<(Hertz, Why)> {
    let Some((lowest, highest)) = curve.ends() else {
        return Some((Hertz::new(FIRST), Why::First));
    };
    let Shape { start, peaks, end } = &curve.shape;
    let higher = || RUNGS.iter().find(|rung| **rung > highest.hz()).map(|rung| (Hertz::new(*rung), Why::Higher));
    let lower = || RUNGS.iter().rev().find(|rung| **rung < lowest.hz()).map(|rung| (Hertz::new(*rung), Why::Lower));
    let between = || peaks.first().and_then(|peak| hidden(curve, *peak));
    let has_passed_a_peak = !peaks.is_empty() && *end == Some(Trend::Falling);
    if !has_passed_a_peak && let Some(proposed) = higher() {
        return Some(proposed);
    }
    if *start == Some(Trend::Falling) {
        return lower();
    }
    if highest.hz() < USUALLY_PASSED {
        return higher();
    }
    between().or_else(higher).or_else(lower)
}

/// The middle of a gap in which a second peak may hide: a shoulder of the first one, or the wider gap beside it.
fn hidden(curve: &Curve, peak: usize) -> Option<(Hertz, Why)> {
    let floor = curve.points.iter().fold(f64::INFINITY, |floor, point| floor.min(point.y)) + SHOULDER_HEIGHT.ln();
    let gap = |pair: &[Point]| pair[1].x - pair[0].x;
    let slope = |pair: &[Point]| ((pair[1].y - pair[0].y) / gap(pair)).abs();
    let is_shoulder = |pair: &&[Point]| {
        gap(pair) > WIDE_SHOULDER && slope(pair) < SHOULDER_SLOPE && pair.iter().all(|point| point.y > floor)
    };
    let shoulders = curve.points.windows(2).filter(is_shoulder);
    let beside = [peak - 1, peak].map(|at| &curve.points[at..=at + 1]);
    let wider = if gap(beside[0]) >= gap(beside[1]) { beside[0] } else { beside[1] };
    let pair = shoulders
        .min_by(|one, other| slope(one).total_cmp(&slope(other)))
        .or((gap(wider) > WIDE_GAP).then_some(wider))?;
    Some((round(f64::midpoint(pair[0].x, pair[1].x)), Why::OnePeak))
}

/// A tone near the minimum; `None` where it is known well enough, or no new tone is left.
fn closer(curve: &Curve, lower: usize, upper: usize) -> Option<(Hertz, Why)> {
    let between = &curve.points[lower..=upper];
    let minimum = Minimum::between(between);
    if minimum.standard_uncertainty() <= GOOD {
        return None;
    }
    let is_new = |tone: &Hertz| {
        let x = tone.hz().ln();
        between[0].x < x
            && x < between[between.len() - 1].x
            && between.iter().all(|point| (point.x - x).abs() >= SAME_TONE)
    };
    let tones = CLOSE.into_iter().map(|offset| round(minimum.tone.hz().ln() + offset));
    tones.into_iter().find(is_new).map(|tone| (tone, Why::Minimum))
}

/// The tone of this ln f as it is dialled in.
fn round(x: f64) -> Hertz {
    let hz = x.exp();
    let steps = if hz >= BY_HALVES { 2.0 } else { 10.0 };
    Hertz::new((hz * steps).round() / steps)
}
