//! Where to begin a fit: the best of many corners over the whole range, each held against all readings in plain arithmetic
//! that a processor does for several corners at a time.

use std::f64::consts::{FRAC_1_SQRT_2, LN_2, LN_10, SQRT_2};
use std::sync::LazyLock;

use super::fit::Data;
use crate::filter::Alignment;

/// Corners are searched from here ...
const LOW_HZ: f64 = 0.01;
/// ... to here,
const HIGH_HZ: f64 = 100_000.0;
/// in steps of 1/16 of a natural logarithm, half of what the steepest response takes from half power to a quarter.
const STEPS: usize = 258;
/// So many corners are reckoned at once.
const LANES: usize = 8;
/// Nepers of power to decibels: 10 / ln 10.
const POWER_DB: f64 = 10.0 / LN_10;

/// ln of the corner at a step.
fn ln_corner(step: usize) -> f64 {
    let (low, high) = (LOW_HZ.ln(), HIGH_HZ.ln());
    low + (high - low) / STEPS as f64 * step as f64
}

/// The squares of all corners, in lots.
static SQUARED: LazyLock<Vec<[f64; LANES]>> = LazyLock::new(|| {
    let lots = (STEPS + 1).div_ceil(LANES);
    let squared = |step: usize| if step <= STEPS { (2.0 * ln_corner(step)).exp() } else { f64::NAN };
    (0..lots).map(|lot| std::array::from_fn(|lane| squared(lot * LANES + lane))).collect()
});

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
    let points: Vec<(f64, f64)> = data
        .points
        .iter()
        .map(|point| {
            (point.level - data.level_at_mark(alignment, point.reference_tone), point.tone.hz().powi(2).recip())
        })
        .collect();
    let (mut best, mut least) = (0, f64::INFINITY);
    for (lot, corners) in SQUARED.iter().enumerate() {
        let mut squares = [0.0; LANES];
        for (level, per_tone) in &points {
            let losses = ln_1p(alignment.excesses(corners.map(|corner| corner * per_tone)));
            for (sum, loss) in squares.iter_mut().zip(losses) {
                let residual = level + POWER_DB * loss;
                *sum += residual * residual;
            }
        }
        for (lane, sum) in squares.into_iter().enumerate() {
            if sum < least {
                (best, least) = (lot * LANES + lane, sum);
            }
        }
    }
    Start { ln_corner: ln_corner(best), at_end: best == 0 || best == STEPS }
}

/// ln(1 + x) for x above -1, to a part in 10^10: enough to find the step, not the corner.
///
/// 1 + x = 2^k m with m near 1, and ln m = 2 artanh((m - 1) / (m + 1)) as its power series.
fn ln_1p<const N: usize>(x: [f64; N]) -> [f64; N] {
    x.map(|x| {
        let whole = 1.0 + x;
        let bits = whole.to_bits();
        let exponent = (bits >> 52) as i32 - 1023;
        let mantissa = f64::from_bits((bits & ((1 << 52) - 1)) | (1023 << 52));
        let (m, k) = if mantissa > SQRT_2 { (mantissa / 2.0, exponent + 1) } else { (mantissa, exponent) };
        // Near zero the sum above has lost the last digits of x.
        let near = (FRAC_1_SQRT_2..SQRT_2).contains(&whole);
        let s = if near { x / (2.0 + x) } else { (m - 1.0) / (m + 1.0) };
        let square = s * s;
        let series =
            1.0 + square * (1.0 / 3.0 + square * (0.2 + square * (1.0 / 7.0 + square * (1.0 / 9.0 + square / 11.0))));
        f64::from(if near { 0 } else { k }) * LN_2 + 2.0 * s * series
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_logarithm_is_good_enough_to_find_a_step() {
        let mut x: f64 = 1e-18;
        while x < 1e300 {
            for x in [x, -(x.min(0.99))] {
                let [found] = ln_1p([x]);
                assert!((found / x.ln_1p() - 1.0).abs() < 1e-10, "{x}: {found} against {}", x.ln_1p());
            }
            x *= 1.37;
        }
        assert_eq!(ln_1p([0.0]), [0.0]);
    }

    #[test]
    fn the_range_is_searched_from_end_to_end() {
        assert!((ln_corner(0) - LOW_HZ.ln()).abs() < 1e-12 && (ln_corner(STEPS) - HIGH_HZ.ln()).abs() < 1e-12);
        assert!(is_within(3.0) && !is_within(-5.0) && !is_within(12.0));
        let corners: Vec<f64> = SQUARED.iter().flatten().copied().filter(|corner| !corner.is_nan()).collect();
        assert_eq!(corners.len(), STEPS + 1);
        assert!(corners.is_sorted());
    }
}
