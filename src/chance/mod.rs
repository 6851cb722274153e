//! Chance from a seed: the same seed gives the same numbers on every machine and in every version that keeps this file.
//!
//! ChaCha with eight rounds (`rand_chacha`, whose streams are the same everywhere). What turns its words into numbers is
//! here, because libraries for distributions change theirs from version to version.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Seeds that people are given go up to here: four digits can be told to a class.
pub const MOST_SEED: u64 = 9999;

/// A source of chance that was seeded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chance(ChaCha8Rng);

impl Chance {
    /// The chance of a seed. Streams of one seed know nothing of each other.
    pub fn of(seed: u64, stream: u64) -> Self {
        let mut words = ChaCha8Rng::seed_from_u64(seed);
        words.set_stream(stream);
        Self(words)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// At least 0, below 1, in steps of 2^-53.
    pub fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
        (self.bits() >> 11) as f64 * STEP
    }

    /// At least `low`, below `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number below `count`, which is not 0; each as likely as any other, to within 2^-53.
    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }

    /// One of these, each as likely as any other.
    ///
    /// # Panics
    /// Where there are none.
    pub fn one_of<'a, T>(&mut self, these: &'a [T]) -> &'a T {
        &these[self.below(these.len())]
    }

    /// Within 1 of 0, most often near it: the sum of two even chances, as the spread of two parts is.
    pub fn triangular(&mut self) -> f64 {
        self.unit() - self.unit()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_means_the_same_chance_and_a_stream_another_one() {
        let numbers = |seed, stream| {
            let mut chance = Chance::of(seed, stream);
            [chance.bits(), chance.bits(), chance.bits()]
        };
        assert_eq!(numbers(7, 0), numbers(7, 0));
        assert_ne!(numbers(7, 0), numbers(7, 1));
        assert_ne!(numbers(7, 0), numbers(8, 0));
    }

    /// Means and variances of the even and the triangular distribution (any handbook: 1/2 and 1/12; 0 and 1/6).
    #[test]
    fn numbers_are_spread_as_they_should_be() {
        const MANY: usize = 100_000;
        let mut chance = Chance::of(1, 0);
        let even: Vec<f64> = (0..MANY).map(|_| chance.unit()).collect();
        let triangular: Vec<f64> = (0..MANY).map(|_| chance.triangular()).collect();
        let mean = |numbers: &[f64]| numbers.iter().sum::<f64>() / MANY as f64;
        let variance = |numbers: &[f64]| {
            let centre = mean(numbers);
            numbers.iter().map(|number| (number - centre).powi(2)).sum::<f64>() / MANY as f64
        };
        // Five standard errors of each.
        assert!((mean(&even) - 0.5).abs() < 5.0 * 0.2887 / 316.0, "{}", mean(&even));
        assert!((variance(&even) - 1.0 / 12.0).abs() < 0.002, "{}", variance(&even));
        assert!(mean(&triangular).abs() < 5.0 * 0.4083 / 316.0, "{}", mean(&triangular));
        assert!((variance(&triangular) - 1.0 / 6.0).abs() < 0.003, "{}", variance(&triangular));
        let mut counts = [0_usize; 7];
        for _ in 0..MANY {
            counts[chance.below(7)] += 1;
        }
        assert!(counts.iter().all(|count| count.abs_diff(MANY / 7) < 600), "{counts:?}");
    }
}
