//! Where to begin a fit: the best of many corners over the whole range, each held against all readings.
//!
//! What a filter takes off depends on the corner and the tone by their ratio alone. So it is worked out once, in steps of
//! that ratio, and looked up for each reading and each corner: 15 filters at 259 corners would cost thousands of logarithms.

use std::borrow::Cow;
use std::sync::LazyLock;

use super::fit::Data;
use crate::filter::Alignment;
use crate::quantity::Hertz;

/// Corners are searched from here ...
const LOW_HZ: f64 = 0.01;
/// ... to here,
const HIGH_HZ: f64 = 100_000.0;
/// in steps of 1/16 of a natural logarithm, half of what the steepest response takes from half power to a quarter.
const STEPS: usize = 258;
/// Losses are worked out this much finer: a straight line between two is right to 0.04 dB for the steepest filter.
const PHASES: usize = 2;
/// The tones for which losses are worked out; beyond them the nearest stands in, which costs the fit a better start.
const LOWEST_TONE_HZ: f64 = 1.0;
const HIGHEST_TONE_HZ: f64 = 1000.0;

/// A step of ln corner.
fn step() -> f64 {
    (HIGH_HZ / LOW_HZ).ln() / STEPS as f64
}

/// ln of the corner at a step.
fn ln_corner(index: usize) -> f64 {
    LOW_HZ.ln() + step() * index as f64
}

/// Whether a corner, as its logarithm, is one that is searched.
pub(super) fn is_within(ln_corner: f64) -> bool {
    (LOW_HZ.ln()..=HIGH_HZ.ln()).contains(&ln_corner)
}

/// Where a fit begins.
pub(super) struct Start {
    /// ln of the corner, in hertz.
    pub ln_corner: f64,
    /// Whether it is the first or the last that is searched: no corner lies anywhere near the tones.
    pub at_end: bool,
}

/// The corner that leaves the least squares of all that are searched.
pub(super) fn best_start(data: &Data, alignment: Alignment) -> Start {
    let losses = Losses::of(alignment);
    let mut squares = [0.0; STEPS + 1];
    for point in &data.points {
        let level = point.level - data.level_at_mark(alignment, point.reference_tone);
        let (before, after, share) = losses.at_every_corner(point.tone);
        for (sum, (before, after)) in squares.iter_mut().zip(before.iter().zip(after)) {
            let residual = level + before + share * (after - before);
            *sum += residual * residual;
        }
    }
    let (mut best, mut least) = (0, f64::INFINITY);
    for (index, sum) in squares.into_iter().enumerate() {
        if sum < least {
            (best, least) = (index, sum);
        }
    }
    Start { ln_corner: ln_corner(best), at_end: best == 0 || best == STEPS }
}

/// What a filter takes off, in dB, by ln(corner / tone) in even steps: every other one in a list of its own, so that the corners
/// of the search lie side by side whatever the tone is.
#[derive(Clone)]
struct Losses([Vec<f64>; PHASES]);

/// Those of every filter that is always considered.
static OF_CANDIDATES: LazyLock<Vec<(Alignment, Losses)>> =
    LazyLock::new(|| Alignment::candidates().map(|alignment| (alignment, Losses::new(alignment))).collect());

impl Losses {
    fn of(alignment: Alignment) -> Cow<'static, Self> {
        match OF_CANDIDATES.iter().find(|(candidate, _)| *candidate == alignment) {
            Some((_, losses)) => Cow::Borrowed(losses),
            None => Cow::Owned(Self::new(alignment)),
        }
    }

    fn new(alignment: Alignment) -> Self {
        let tones = ((HIGHEST_TONE_HZ / LOWEST_TONE_HZ).ln() / step()).ceil() as usize;
        // One more step at the end, for what lies between the last two.
        let length = STEPS + tones + 2;
        Self(std::array::from_fn(|phase| {
            let ratio = |index: usize| {
                let ln = (index as f64 + phase as f64 / PHASES as f64) * step();
                Hertz::new(LOW_HZ / HIGHEST_TONE_HZ * ln.exp())
            };
            (0..length).map(|index| alignment.response(Hertz::new(1.0), ratio(index)).down().db()).collect()
        }))
    }

    /// For a tone and every corner of the search: the losses before and after it, and how far it lies between them.
    fn at_every_corner(&self, tone: Hertz) -> (&[f64], &[f64], f64) {
        let tone = tone.hz().clamp(LOWEST_TONE_HZ, HIGHEST_TONE_HZ);
        let place = (HIGHEST_TONE_HZ / tone).ln() / step() * PHASES as f64;
        let whole = place as usize;
        let list = |place: usize| {
            let (list, start) = (&self.0[place % PHASES], place / PHASES);
            &list[start..=start + STEPS]
        };
        (list(whole), list(whole + 1), place - whole as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_looked_up_is_what_is_worked_out() {
        for alignment in Alignment::candidates().chain([Alignment::second_order(1.3)]) {
            let losses = Losses::of(alignment);
            for tone in [LOWEST_TONE_HZ, 18.0, 31.4, 200.0, HIGHEST_TONE_HZ].map(Hertz::new) {
                let (before, after, share) = losses.at_every_corner(tone);
                for index in 0..=STEPS {
                    let found = before[index] + share * (after[index] - before[index]);
                    let exact = alignment.response(tone, Hertz::new(ln_corner(index).exp())).down().db();
                    assert!((found - exact).abs() < 0.04, "{alignment} at {tone:?}, step {index}: {found} not {exact}");
                }
            }
        }
    }

    #[test]
    fn the_range_is_searched_from_end_to_end() {
        assert!((ln_corner(0) - LOW_HZ.ln()).abs() < 1e-12 && (ln_corner(STEPS) - HIGH_HZ.ln()).abs() < 1e-12);
        assert!((step() * 16.0 - 1.0).abs() < 0.001);
        assert!(is_within(3.0) && !is_within(-5.0) && !is_within(12.0));
    }
}
