//! The samples of a sound, from the first to the last.

use super::sound::Sound;
use crate::chance::Chance;

/// The dither of every file is this: the same command makes the same bytes.
const SEED: u64 = 0;

/// Hands out the samples of one channel, block by block.
///
/// Between the tones there is dither alone, no digital zero: a player that mutes itself on digital zero would cut in with a
/// thump before the next tone, and the noise would come and go with the tones.
#[derive(Debug, Clone)]
pub struct Samples<'a> {
    sound: &'a Sound,
    peak: f64,
    at: u64,
    passage: usize,
    chance: Chance,
}

impl<'a> Samples<'a> {
    /// From the first sample on.
    pub fn of(sound: &'a Sound) -> Self {
        Self { sound, peak: sound.peak(), at: 0, passage: 0, chance: Chance::of(SEED, 0) }
    }

    /// Fills a block, or less of it at the end; says how much.
    pub fn fill(&mut self, block: &mut [i32]) -> usize {
        let count = (block.len() as u64).min(self.sound.frames() - self.at) as usize;
        for sample in &mut block[..count] {
            let value = self.next_value();
            *sample = rounded(value + triangular(&mut self.chance));
        }
        count
    }

    /// The next value in steps of the last bit, before dither and rounding.
    fn next_value(&mut self) -> f64 {
        let at = self.at;
        self.at += 1;
        let passages = self.sound.passages();
        if at >= passages[self.passage].ends() && passages.get(self.passage + 1).is_some_and(|next| at >= next.begins) {
            self.passage += 1;
        }
        let passage = &passages[self.passage];
        if at < passage.ends() { self.peak * passage.value(at - passage.begins) } else { 0.0 }
    }
}

/// Within one step of 0, most often near it: the difference of two even chances, taken from the halves of one draw.
fn triangular(chance: &mut Chance) -> f64 {
    const STEP: f64 = 1.0 / (1_u64 << 32) as f64;
    let bits = chance.bits();
    ((bits >> 32) as i64 - (bits & u64::from(u32::MAX)) as i64) as f64 * STEP
}

/// The nearest whole number, halves upwards. Every value is far above the offset's negative, so cutting off rounds down.
fn rounded(value: f64) -> i32 {
    const OFFSET: i32 = 1 << 24;
    (value + (f64::from(OFFSET) + 0.5)) as i32 - OFFSET
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{FullScale, Hertz, Seconds};
    use crate::tone::{Channels, Depth, Format, Rate};

    fn samples(depth: Depth, level: f64, tones: &[f64], seconds: f64) -> Vec<i32> {
        let format = Format { rate: Rate::USUAL, depth, channels: Channels::Mono };
        let tones: Vec<Hertz> = tones.iter().copied().map(Hertz::new).collect();
        let sound = Sound::new(format, FullScale::new(level), &tones, Seconds::new(seconds)).unwrap();
        let mut samples = vec![0; sound.frames() as usize];
        assert_eq!(Samples::of(&sound).fill(&mut samples), samples.len());
        samples
    }

    #[test]
    fn whole_numbers_are_the_nearest() {
        for (value, whole) in
            [(0.49, 0), (0.5, 1), (-0.49, 0), (-0.51, -1), (8_388_606.4, 8_388_606), (-8_388_606.6, -8_388_607)]
        {
            assert_eq!(rounded(value), whole, "{value}");
        }
    }

    /// The loudest tone there is stays below full scale at both depths, and the level is what it says: the peak of a sine at
    /// L dBFS is full scale times 10^(L/20) (AES17, from memory).
    #[test]
    fn levels_and_the_room_above_them() {
        for (depth, level) in
            [(Depth::Sixteen, -0.1), (Depth::TwentyFour, -0.1), (Depth::Sixteen, -6.0), (Depth::TwentyFour, -40.0)]
        {
            // A tone of 420 samples a cycle has samples at its peaks.
            let samples = samples(depth, level, &[105.0], 1.0);
            let most = f64::from(samples.iter().map(|sample| sample.abs()).max().unwrap());
            let peak = f64::from(depth.full_scale()) * 10f64.powf(level / 20.0);
            assert!((most - peak).abs() <= 2.0, "{most} for {peak}");
            assert!(most < f64::from(depth.full_scale()));
        }
    }

    /// Variance of the total error of a triangular dither and its rounding: 1/6 + 1/12 = 1/4 of a step squared, and mean 0,
    /// whatever the value (Lipshitz, Wannamaker and Vanderkooy 1992, from memory).
    #[test]
    fn the_error_has_the_variance_of_triangular_dither_whatever_the_value() {
        const MANY: usize = 200_000;
        let mut chance = Chance::of(1, 0);
        for value in [0.0, 0.25, 0.5, 1234.7, -0.4] {
            let errors: Vec<f64> =
                (0..MANY).map(|_| f64::from(rounded(value + triangular(&mut chance))) - value).collect();
            let mean = errors.iter().sum::<f64>() / MANY as f64;
            let power = errors.iter().map(|error| error * error).sum::<f64>() / MANY as f64;
            assert!(mean.abs() < 5.0 * 0.5 / (MANY as f64).sqrt(), "{value}: {mean}");
            assert!((power - 0.25).abs() < 0.005, "{value}: {power}");
        }
    }

    #[test]
    fn ends_are_near_zero_and_silence_is_dither() {
        let samples = samples(Depth::Sixteen, -0.1, &[27.0, 54.0], 0.5);
        assert!(samples[0].abs() <= 1 && samples[samples.len() - 1].abs() <= 1);
        let silence = &samples[22_050..88_200];
        assert!(silence.iter().all(|sample| sample.abs() <= 1));
        let counts = [-1, 0, 1].map(|value| silence.iter().filter(|sample| **sample == value).count());
        // A triangular dither rounds to -1, 0, 1 with the chances 1/8, 3/4, 1/8.
        for (count, share) in counts.into_iter().zip([0.125, 0.75, 0.125]) {
            assert!((count as f64 / silence.len() as f64 - share).abs() < 0.01, "{counts:?}");
        }
    }

    #[test]
    fn blocks_of_any_size_make_the_same_samples() {
        let format = Format { rate: Rate::USUAL, depth: Depth::Sixteen, channels: Channels::Mono };
        let sound =
            Sound::new(format, FullScale::new(-6.0), &[Hertz::new(27.0), Hertz::new(54.0)], Seconds::new(0.3)).unwrap();
        let whole = samples(Depth::Sixteen, -6.0, &[27.0, 54.0], 0.3);
        let (mut pieces, mut from, mut block) = (Vec::<i32>::new(), Samples::of(&sound), [0; 777]);
        loop {
            let count = from.fill(&mut block);
            pieces.extend(&block[..count]);
            if count < block.len() {
                break;
            }
        }
        assert_eq!(pieces, whole);
    }
}
