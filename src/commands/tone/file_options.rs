//! How a tone is kept: length, level, rate, depth, channels.

use clap::Args;

use crate::quantity::{FullScale, Hertz, Refusal, Seconds, entry, ranges};
use crate::tone::{Channels, Depth, Format, Rate, Sound};

/// Length, level and format, as the options give them.
#[derive(Debug, Args)]
pub(super) struct FileOptions {
    /// How long each tone lasts, in seconds or with its unit (`5 min`, `1:30`) [default: 60]
    #[arg(long, value_name = "S", default_value = "60", hide_default_value = true, allow_hyphen_values = true)]
    seconds: String,
    /// The level, 0 dBFS being a sine that just reaches full scale [default: -6]
    #[arg(long, value_name = "DBFS", default_value = "-6", hide_default_value = true, allow_hyphen_values = true)]
    level_dbfs: String,
    /// Samples a second: 8000 to 192000 Hz, of the rates in use [default: 44100]
    #[arg(long, value_name = "HZ", default_value = "44100", hide_default_value = true, allow_hyphen_values = true)]
    rate: String,
    /// Bits of a sample, 16 or 24 [default: 16]
    #[arg(long, value_name = "N", default_value = "16", hide_default_value = true, allow_hyphen_values = true)]
    bits: String,
    /// Two channels with the same samples, for a player that takes no mono
    #[arg(long)]
    stereo: bool,
}

/// The same, checked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Checked {
    pub length: Seconds,
    pub level: FullScale,
    pub format: Format,
}

impl FileOptions {
    /// How long each tone lasts.
    fn length(&self) -> Result<Seconds, Refusal> {
        let with_units = |refusal| Refusal {
            accepted: format!("{}, also as 500 ms, 1.5 min, 1:30 or 2 h", ranges::SECONDS.accepted()),
            ..refusal
        };
        entry::parse(&self.seconds, &ranges::SECONDS).map(Seconds::new).map_err(with_units)
    }

    /// Length, level and format.
    ///
    /// # Errors
    /// Where a value is refused.
    pub fn checked(&self) -> Result<Checked, Refusal> {
        let channels = if self.stereo { Channels::Stereo } else { Channels::Mono };
        Ok(Checked {
            length: self.length()?,
            level: FullScale::new(entry::parse(&self.level_dbfs, &ranges::LEVEL_DBFS)?),
            format: Format {
                rate: Rate::new(entry::parse(&self.rate, &ranges::RATE)?, &self.rate)?,
                depth: Depth::parse(&self.bits)?,
                channels,
            },
        })
    }
}

impl Checked {
    /// These tones, kept so.
    ///
    /// # Errors
    /// As [`Sound::new`].
    pub fn sound(self, tones: &[Hertz]) -> Result<Sound, Refusal> {
        Sound::new(self.format, self.level, tones, self.length)
    }
}
