//! What one file holds: its format, its level, its tones.

use super::format::{Format, LARGEST_FILE};
use super::passage::{GAP, Passage};
use super::room::longest;
use crate::quantity::{FullScale, Hertz, Refusal, Seconds, ranges, show};

/// The most that dither and rounding add to a sample: one step, and half a step.
const ADDED: f64 = 1.5;

/// Tones one after the other, each beginning on a whole second, with silence between.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    format: Format,
    level: FullScale,
    passages: Vec<Passage>,
}

impl Sound {
    /// These tones, each this long.
    ///
    /// # Errors
    /// Where a tone would alias, a sample would reach full scale, or the file would be larger than there are any.
    pub fn new(format: Format, level: FullScale, tones: &[Hertz], length: Seconds) -> Result<Self, Refusal> {
        for tone in tones {
            check_alias(*tone, format)?;
        }
        let most = f64::from(format.depth.full_scale() - 1);
        if peak(format, level) + ADDED > most {
            let given = show::full_scale(level);
            return Err(Refusal::new(ranges::LEVEL_DBFS.field, given, "would clip", ranges::LEVEL_DBFS.accepted()));
        }
        let rate = f64::from(format.rate.per_second());
        // At least as many as a fade has two ends.
        let samples = ((length.seconds() * rate).round() as u64).max(8);
        let apart = (samples as f64 / rate + GAP.seconds()).ceil() as u64 * u64::from(format.rate.per_second());
        let passages =
            tones.iter().zip(0_u64..).map(|(tone, place)| Passage::new(*tone, place * apart, samples, format.rate));
        let sound = Self { format, level, passages: passages.collect() };
        sound.check_size(length)?;
        Ok(sound)
    }

    fn check_size(&self, length: Seconds) -> Result<(), Refusal> {
        if self.file_bytes() <= LARGEST_FILE {
            return Ok(());
        }
        let works = longest(&[self.passages.len()], LARGEST_FILE, self.format)
            .map_or_else(|| "fewer tones or rounds".to_owned(), |seconds| format!("up to {seconds} s in this format"));
        let (given, size) = (show::seconds(length), show::bytes(self.file_bytes()));
        let each = match self.passages.len() {
            1 => String::new(),
            several => format!("for each of {several} tones "),
        };
        let problem = format!("{each}makes {size}, and no WAV file holds more than 4 GiB");
        Err(Refusal::new(ranges::SECONDS.field, given, problem, works))
    }

    /// The format.
    pub const fn format(&self) -> Format {
        self.format
    }

    /// The level of every tone.
    pub const fn level(&self) -> FullScale {
        self.level
    }

    /// The tones.
    pub fn passages(&self) -> &[Passage] {
        &self.passages
    }

    /// When a passage begins.
    pub fn begins(&self, passage: &Passage) -> Seconds {
        self.time(passage.begins)
    }

    /// How long a passage is.
    pub fn lasts(&self, passage: &Passage) -> Seconds {
        self.time(passage.samples)
    }

    /// How long all of it is.
    pub fn length(&self) -> Seconds {
        self.time(self.frames())
    }

    fn time(&self, frames: u64) -> Seconds {
        Seconds::new(frames as f64 / f64::from(self.format.rate.per_second()))
    }

    /// The samples of one channel.
    pub fn frames(&self) -> u64 {
        self.passages.last().map_or(0, Passage::ends)
    }

    /// How large its file is.
    pub fn file_bytes(&self) -> u64 {
        self.format.file_bytes(self.frames())
    }

    /// The peak of a tone in steps of the last bit.
    pub(super) fn peak(&self) -> f64 {
        peak(self.format, self.level)
    }
}

/// The peak of a sine at this level, in steps of the last bit.
fn peak(format: Format, level: FullScale) -> f64 {
    f64::from(format.depth.full_scale()) * level.share_of_full_scale()
}

/// Refuses a tone that would come out as another one.
fn check_alias(tone: Hertz, format: Format) -> Result<(), Refusal> {
    let limit = format.rate.aliases_from();
    if tone < limit {
        return Ok(());
    }
    Err(Refusal::new(
        "hz",
        show::exact_hertz(tone),
        format!("would come out as another tone at {} samples a second", format.rate.per_second()),
        format!("a tone below {}, or a higher rate", show::exact_hertz(limit)),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tone::{Channels, Depth, Rate};

    const DISC: Format = Format { rate: Rate::USUAL, depth: Depth::Sixteen, channels: Channels::Mono };

    fn sound(tones: &[f64], seconds: f64) -> Result<Sound, Refusal> {
        let tones: Vec<Hertz> = tones.iter().copied().map(Hertz::new).collect();
        Sound::new(DISC, FullScale::new(-6.0), &tones, Seconds::new(seconds))
    }

    #[test]
    fn every_tone_begins_on_a_whole_second() {
        for (seconds, begins) in [(60.0, [0.0, 61.0, 122.0]), (2.5, [0.0, 4.0, 8.0]), (0.1, [0.0, 2.0, 4.0])] {
            let sound = sound(&[27.0, 54.0, 20.0], seconds).unwrap();
            let at: Vec<f64> = sound.passages().iter().map(|passage| sound.begins(passage).seconds()).collect();
            assert_eq!(at, begins);
            assert!((sound.length().seconds() - begins[2] - seconds).abs() < 1e-4);
        }
    }

    #[test]
    fn what_would_alias_or_clip_is_refused() {
        let refused = sound(&[22_050.0], 1.0).unwrap_err().to_string();
        assert_eq!(
            refused,
            "hz: `22050 Hz` would come out as another tone at 44100 samples a second; accepted: a tone below 22050 Hz, or a \
             higher rate"
        );
        assert!(sound(&[22_049.0], 1.0).is_ok());
        for level in [0.0, -0.0001, 6.0] {
            let refused = Sound::new(DISC, FullScale::new(level), &[Hertz::new(27.0)], Seconds::new(1.0)).unwrap_err();
            assert_eq!(refused.problem, "would clip", "{level}");
        }
    }

    /// 4 GiB less a byte hold 2^31 - 23 samples of two bytes behind a head of 44 bytes: 48695 s at 44.1 kHz.
    #[test]
    fn what_no_file_holds_is_refused_with_what_works() {
        let refused = sound(&[27.0; 2], 30_000.0).unwrap_err();
        assert_eq!(refused.accepted, "up to 24347 s in this format");
        assert!(sound(&[27.0; 2], 24_347.0).is_ok());
        assert!(sound(&[27.0; 2], 24_348.0).is_err());
        assert!(sound(&[27.0], 36_000.0).is_ok());
        assert_eq!(sound(&[27.0; 60], 3000.0).unwrap_err().accepted, "up to 810 s in this format");
        assert!(sound(&[27.0; 60], 810.0).is_ok() && sound(&[27.0; 60], 811.0).is_err());
    }
}
