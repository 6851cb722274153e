//! What a high-pass filter does to a tone, and back: from what it did to where its corner is.
//!
//! Everything is built on one quantity, the excess e = 1/|H|^2 - 1, as a function of u = (corner / tone)^2:
//!
//! ```text
//! Butterworth, order n        e = u^n
//! Linkwitz-Riley, order 2m    e = (1 + u^m)^2 - 1
//! Bessel, order n             e = |theta_n|^2 / theta_n(0)^2 - 1     (see the Bessel file)
//! second order of any Q       e = u^2 + (1/Q^2 - 2) u
//! ```
//!
//! The formulas follow from the transfer functions: Butterworth and second order as in Zverev, Handbook of Filter
//! Synthesis (1967); Linkwitz-Riley as two Butterworths in a row, Linkwitz, J. Audio Eng. Soc. 24 (1976).
//! Loss in dB is 10 log10(1 + e), exact even where |H| is so close to 1 that a ratio could not show it.

use std::f64::consts::{FRAC_1_SQRT_2, LN_10};

use super::alignment::{Alignment, Family};
use super::bessel;
use crate::quantity::{Decibels, Hertz, Volts};

/// What a filter does to one tone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// 1/|H|^2 - 1: zero where nothing is taken off, negative on a hump.
    excess: f64,
    /// d ln|H| / d ln corner: by how many per cent the voltage moves when the corner moves by one.
    sensitivity: f64,
}

impl Response {
    /// |H|, the voltage over the voltage with the filter out.
    pub fn ratio(self) -> f64 {
        (1.0 + self.excess).sqrt().recip()
    }

    /// How far down the tone is; negative on a hump.
    pub fn down(self) -> Decibels {
        Decibels::new(10.0 / LN_10 * self.excess.ln_1p())
    }

    /// d ln|H| / d ln corner, below zero wherever a higher corner means fewer volts.
    pub const fn sensitivity(self) -> f64 {
        self.sensitivity
    }
}

/// The corners that one reading allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Corners {
    /// No corner: more volts than this filter can pass, or none at all.
    None,
    /// The usual case.
    One(Hertz),
    /// On the hump of a second-order filter with Q above 0.707: the lower corner first.
    Two(Hertz, Hertz),
}

impl Corners {
    /// The corner, where there is exactly one.
    pub const fn single(self) -> Option<Hertz> {
        match self {
            Self::One(corner) => Some(corner),
            Self::None | Self::Two(..) => None,
        }
    }

    /// All of them, lowest first.
    pub fn all(self) -> Vec<Hertz> {
        match self {
            Self::None => vec![],
            Self::One(corner) => vec![corner],
            Self::Two(low, high) => vec![low, high],
        }
    }

    /// From solutions in u, smallest first, at a tone. A corner too large for a number is no corner.
    fn at(tone: Hertz, solutions: [Option<f64>; 2]) -> Self {
        let corner = |u: f64| Hertz::new(tone.hz() * u.sqrt());
        match solutions.map(|u| u.filter(|u| u.is_finite() && *u > 0.0)) {
            [Some(low), Some(high)] => Self::Two(corner(low), corner(high)),
            [Some(only), None] | [None, Some(only)] => Self::One(corner(only)),
            [None, None] => Self::None,
        }
    }
}

impl Alignment {
    /// What this filter with its corner here does to this tone.
    pub fn response(self, tone: Hertz, corner: Hertz) -> Response {
        let u = (corner.hz() / tone.hz()).powi(2);
        let (excess, slope) = self.excess(u);
        Response { excess, sensitivity: -u * slope / (1.0 + excess) }
    }

    /// 1/|H|^2 for many tones at once, each as u = (corner / tone)^2: the same numbers as [`Alignment::response`], in plain
    /// arithmetic that a processor does for several at a time.
    pub fn inverse_power<const N: usize>(self, u: [f64; N]) -> [f64; N] {
        let order = self.slope().order();
        match self.family() {
            Family::Butterworth => powers(u, order).map(|excess| 1.0 + excess),
            Family::LinkwitzRiley => powers(u, order / 2).map(|one| (1.0 + one) * (1.0 + one)),
            Family::Bessel => u.map(|u| 1.0 + bessel::excess(order, u).0),
            Family::SecondOrder => {
                let linear = self.linear_term().unwrap_or(0.0);
                u.map(|u| 1.0 + u * (u + linear))
            }
        }
    }

    /// The corners that put this tone this far down.
    pub fn corners_from_down(self, tone: Hertz, down: Decibels) -> Corners {
        Corners::at(tone, self.solve((down.db() * LN_10 / 10.0).exp_m1()))
    }

    /// The corners that leave this voltage of a reference that was read with the filter out.
    pub fn corners_from_volts(self, tone: Hertz, volts: Volts, reference: Volts) -> Corners {
        let ratio = volts.over(reference);
        Corners::at(tone, self.solve((1.0 - ratio) * (1.0 + ratio) / (ratio * ratio)))
    }

    /// The tone that this filter, its corner here, puts this far down; `None` unless the level is truly down, where
    /// there is exactly one.
    pub fn tone_at_down(self, corner: Hertz, down: Decibels) -> Option<Hertz> {
        if down.db() <= 0.0 {
            return None;
        }
        let inverse = self.corners_from_down(Hertz::new(1.0), down).single()?;
        Some(Hertz::new(corner.hz() / inverse.hz()))
    }

    /// Whether the response rises above the reference anywhere: second order with Q above 1/sqrt 2.
    pub fn has_hump(self) -> bool {
        self.q().is_some_and(|q| q > FRAC_1_SQRT_2)
    }

    /// Below this tone a filter whose corner is here leaves less than the reference, so that one voltage means one
    /// corner; `None` for a filter without a hump, where that holds at every tone.
    pub fn twin_free_below(self, corner: Hertz) -> Option<Hertz> {
        let linear = self.linear_term().filter(|linear| *linear < 0.0)?;
        Some(Hertz::new(corner.hz() / (-linear).sqrt()))
    }

    /// The least excess, at the top of the hump; zero for a filter without one.
    pub fn least_excess(self) -> f64 {
        self.linear_term().filter(|linear| *linear < 0.0).map_or(0.0, |linear| -linear * linear / 4.0)
    }

    /// 1/Q^2 - 2, the factor of u in the excess of a second-order filter.
    fn linear_term(self) -> Option<f64> {
        self.q().map(|q| (q * q).recip() - 2.0)
    }

    /// The excess e(u) and its derivative.
    fn excess(self, u: f64) -> (f64, f64) {
        let order = self.slope().order();
        match self.family() {
            Family::Butterworth => {
                let n = order as i32;
                (u.powi(n), f64::from(order) * u.powi(n - 1))
            }
            Family::LinkwitzRiley => {
                let m = (order / 2) as i32;
                let one = u.powi(m);
                (one * (2.0 + one), 2.0 * (1.0 + one) * f64::from(m) * u.powi(m - 1))
            }
            Family::Bessel => bessel::excess(order, u),
            Family::SecondOrder => {
                let linear = self.linear_term().unwrap_or(0.0);
                (u * (u + linear), 2.0 * u + linear)
            }
        }
    }

    /// Every u above zero with e(u) = `excess`, smallest first.
    fn solve(self, excess: f64) -> [Option<f64>; 2] {
        let order = f64::from(self.slope().order());
        if self.family() == Family::SecondOrder {
            return solve_quadratic(self.linear_term().unwrap_or(0.0), excess);
        }
        if excess.is_nan() || excess <= 0.0 {
            return [None, None];
        }
        let u = match self.family() {
            Family::Butterworth => excess.powf(order.recip()),
            Family::LinkwitzRiley => (excess / ((1.0 + excess).sqrt() + 1.0)).powf(2.0 / order),
            Family::Bessel | Family::SecondOrder => bessel::solve(self.slope().order(), excess),
        };
        [Some(u), None]
    }
}

/// Whole powers, by squaring.
fn powers<const N: usize>(mut base: [f64; N], mut exponent: u32) -> [f64; N] {
    let mut result = [1.0; N];
    while exponent > 0 {
        if exponent % 2 == 1 {
            result = std::array::from_fn(|lane| result[lane] * base[lane]);
        }
        base = base.map(|base| base * base);
        exponent /= 2;
    }
    result
}

/// The positive solutions of u^2 + linear u - excess = 0, smallest first, without cancellation.
fn solve_quadratic(linear: f64, excess: f64) -> [Option<f64>; 2] {
    let discriminant = linear * linear + 4.0 * excess;
    if discriminant.is_nan() || discriminant < 0.0 {
        return [None, None];
    }
    let root = discriminant.sqrt();
    if excess > 0.0 {
        let u = if linear >= 0.0 { 2.0 * excess / (linear + root) } else { (root - linear) / 2.0 };
        return [Some(u), None];
    }
    if linear >= 0.0 {
        return [None, None];
    }
    let high = (root - linear) / 2.0;
    let low = -excess / high;
    if low > 0.0 && low < high { [Some(low), Some(high)] } else { [Some(high), None] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::Slope;

    fn alignment(family: Family, slope: u32) -> Alignment {
        Alignment::new(family, Slope::new(slope).unwrap()).unwrap()
    }

    fn loss(alignment: Alignment, x: f64) -> f64 {
        alignment.response(Hertz::new(27.0 * x), Hertz::new(27.0)).down().db()
    }

    /// A voltage says the same as a level.
    #[test]
    fn volts_and_level_give_the_same_corner() {
        for candidate in Alignment::candidates() {
            let tone = Hertz::new(31.0);
            let response = candidate.response(tone, Hertz::new(27.0));
            let reference = Volts::new(8.0);
            let from_volts = candidate.corners_from_volts(tone, reference.times(response.ratio()), reference);
            let corner = from_volts.single().unwrap().hz();
            assert!((corner / 27.0 - 1.0).abs() < 1e-12, "{candidate}: {corner}");
        }
    }

    #[test]
    fn many_tones_at_once_are_the_same_as_one_by_one() {
        let tones = [5.0, 13.0, 26.0, 27.0, 61.0, 200.0];
        for filter in Alignment::candidates().chain([Alignment::second_order(1.4)]) {
            let at_once = filter.inverse_power(tones.map(|tone: f64| (27.0 / tone).powi(2)));
            for (tone, at_once) in tones.into_iter().zip(at_once) {
                let ratio = filter.response(Hertz::new(tone), Hertz::new(27.0)).ratio();
                assert!((at_once * ratio * ratio - 1.0).abs() < 1e-13, "{filter} at {tone} Hz");
            }
        }
    }

    #[test]
    fn the_sensitivity_is_the_slope_of_the_level() {
        let tone = Hertz::new(22.0);
        for alignment in Alignment::candidates().chain([Alignment::second_order(0.9)]) {
            let at = |corner: f64| alignment.response(tone, Hertz::new(corner)).ratio().ln();
            let step = 1e-5;
            let numeric = (at(27.0 * (1.0 + step)) - at(27.0 * (1.0 - step))) / (2.0 * step);
            let sensitivity = alignment.response(tone, Hertz::new(27.0)).sensitivity();
            assert!((sensitivity - numeric).abs() < 1e-8, "{alignment}: {sensitivity} against {numeric}");
        }
    }

    /// Q 0.707 is Butterworth, Q 0.5 is Linkwitz-Riley, Q 1/sqrt 3 is Bessel (phase-normalised): Zverev, Handbook of
    /// Filter Synthesis, 1967 (from memory).
    #[test]
    fn second_order_sections_meet_the_named_families() {
        for x in [0.4, 0.9, 1.0, 1.7] {
            let butterworth = loss(alignment(Family::Butterworth, 12), x);
            assert!((loss(Alignment::second_order(FRAC_1_SQRT_2), x) - butterworth).abs() < 1e-12);
            let linkwitz_riley = loss(alignment(Family::LinkwitzRiley, 12), x);
            assert!((loss(Alignment::second_order(0.5), x) - linkwitz_riley).abs() < 1e-12);
        }
    }

    #[test]
    fn a_reading_on_the_hump_allows_two_corners_and_both_are_right() {
        let filter = Alignment::second_order(1.2);
        let tone = Hertz::new(40.0);
        let Corners::Two(low, high) = filter.corners_from_down(tone, Decibels::new(-1.0)) else {
            panic!("expected two corners");
        };
        assert!(low < high);
        for corner in [low, high] {
            assert!((filter.response(tone, corner).down().db() + 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn no_corner_above_the_hump_at_the_reference_or_at_zero() {
        let tone = Hertz::new(27.0);
        let reference = Volts::new(8.0);
        let butterworth = alignment(Family::Butterworth, 24);
        for volts in [0.0, 8.0, 8.01] {
            assert_eq!(butterworth.corners_from_volts(tone, Volts::new(volts), reference), Corners::None);
        }
        let hump = Alignment::second_order(1.0);
        assert!(matches!(hump.corners_from_volts(tone, reference, reference), Corners::One(_)));
        assert_eq!(hump.corners_from_volts(tone, Volts::new(9.5), reference), Corners::None);
    }

    #[test]
    fn the_twin_free_limit_is_where_the_response_passes_the_reference() {
        let filter = Alignment::second_order(1.0);
        let limit = filter.twin_free_below(Hertz::new(27.0)).unwrap();
        assert!(filter.response(limit, Hertz::new(27.0)).down().db().abs() < 1e-12);
        assert_eq!(alignment(Family::Butterworth, 12).twin_free_below(Hertz::new(27.0)), None);
    }
}
