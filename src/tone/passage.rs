//! One tone within a file: where it begins and ends, its phase and its fades.

use std::f64::consts::{PI, TAU};

use super::format::Rate;
use crate::quantity::{Hertz, Seconds};

/// How long a tone takes to rise and to fall: so slow that nothing clicks, so short that nobody waits.
const FADE: Seconds = Seconds::new(0.05);
/// A fade takes at most this share of a short tone.
const FADE_SHARE: f64 = 0.25;
/// At least so much silence between two tones of a file; the next one begins on the next whole second.
pub(super) const GAP: Seconds = Seconds::new(1.0);

/// A tone from one sample to another.
///
/// # How exact its phase is
/// The phase of sample n is the fraction of n x (tone / rate) cycles. Both operations round once, to a share of 2^-53 each, so
/// the count of cycles is off by at most 2^-52 of itself, and taking the fraction adds nothing. An hour of 200 Hz, at 192 kHz
/// or any other rate, is 720,000 cycles: 1.6e-10 of a cycle. The longest that the ranges take, ten hours of 200 Hz, is off
/// by 1.6e-9 of a cycle at its end. A sum of steps would be off by the rounding of every step, and by more the longer it ran.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// The tone.
    pub tone: Hertz,
    /// Its first sample.
    pub begins: u64,
    /// How many samples it has.
    pub samples: u64,
    /// Cycles from one sample to the next.
    step: f64,
    /// Samples over which it rises, and falls.
    fade: u64,
}

impl Passage {
    /// A tone of so many samples.
    pub(super) fn new(tone: Hertz, begins: u64, samples: u64, rate: Rate) -> Self {
        let per_second = f64::from(rate.per_second());
        let fade = (FADE.seconds() * per_second).min(samples as f64 * FADE_SHARE).round() as u64;
        Self { tone, begins, samples, step: tone.hz() / per_second, fade }
    }

    /// The sample after its last one.
    pub(super) const fn ends(&self) -> u64 {
        self.begins + self.samples
    }

    /// The fraction of a cycle at its sample `n`, which it counts from its own beginning.
    pub fn phase(&self, n: u64) -> f64 {
        let cycles = n as f64 * self.step;
        cycles - (cycles as i64 as f64)
    }

    /// How much of the level there is at its sample `n`: a raised cosine from 0 at the first one, and the same backwards to 0
    /// at the last.
    pub fn gain(&self, n: u64) -> f64 {
        let from_end = n.min(self.samples - 1 - n);
        if from_end >= self.fade { 1.0 } else { (1.0 - (PI * from_end as f64 / self.fade as f64).cos()) / 2.0 }
    }

    /// Its value at its sample `n`, where 1 is its peak.
    pub(super) fn value(&self, n: u64) -> f64 {
        self.gain(n) * (TAU * self.phase(n)).sin()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The phase by whole numbers: a tone is m x 2^e Hz exactly, so n x tone / rate leaves an exact remainder.
    fn exact_phase(tone: f64, n: u64, rate: u32) -> f64 {
        let bits = tone.to_bits();
        let (mantissa, exponent) = ((bits & ((1 << 52) - 1)) | (1 << 52), ((bits >> 52) as i32) - 1075);
        assert!((-60..0).contains(&exponent));
        let cycle = u128::from(rate) << -exponent;
        let within = u128::from(mantissa) * u128::from(n) % cycle;
        within as f64 / cycle as f64
    }

    proptest! {
        /// To the last sample of an hour at 192 kHz, a thousandth of what is promised.
        #[test]
        fn the_phase_is_that_of_whole_numbers(
            hz in 5.0f64..=200.0,
            rate in prop::sample::select(Rate::ALL.to_vec()),
            share in 0.0f64..=1.0,
        ) {
            let samples = u64::from(rate.per_second()) * 3600;
            let n = (share * (samples - 1) as f64) as u64;
            let passage = Passage::new(Hertz::new(hz), 0, samples, rate);
            let off = (passage.phase(n) - exact_phase(hz, n, rate.per_second()) + 0.5).rem_euclid(1.0) - 0.5;
            prop_assert!(off.abs() < 1e-9, "{} cycles", off);
        }

        #[test]
        fn fades_rise_and_fall_without_a_step(samples in 800u64..20_000) {
            let passage = Passage::new(Hertz::new(27.0), 0, samples, Rate::USUAL);
            let gains: Vec<f64> = (0..samples).map(|n| passage.gain(n)).collect();
            prop_assert_eq!((gains[0], gains[gains.len() - 1]), (0.0, 0.0));
            prop_assert!(gains.iter().zip(gains.iter().rev()).all(|(one, other)| one == other), "the same backwards");
            let (rise, _) = gains.split_at(gains.len() / 2);
            prop_assert!(rise.is_sorted());
            prop_assert_eq!(rise[rise.len() - 1], 1.0);
            // The steepest place of a raised cosine has a slope of pi / 2 over its length.
            let most = PI / 2.0 / (samples as f64 * 0.25).min(0.05 * 44_100.0).round() + 1e-12;
            prop_assert!(gains.windows(2).all(|pair| (pair[1] - pair[0]).abs() <= most));
        }
    }
}
