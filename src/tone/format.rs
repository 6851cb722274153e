//! How samples are kept: rate, depth, channels, and what that takes on a disk.

use crate::quantity::ranges::{BITS, RATE};
use crate::quantity::show::list_or;
use crate::quantity::{Hertz, Refusal, entry};

/// The largest file that there is: RIFF counts its bytes in 32 bits, and so does the file system of most memory sticks.
pub(super) const LARGEST_FILE: u64 = u32::MAX as u64;

/// What the head takes of a file.
pub(super) const HEAD_BYTES: u64 = 44;

/// Samples a second: one of the rates that players take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate(u32);

impl Rate {
    /// That of a compact disc, which everything plays.
    pub const USUAL: Self = Self(44_100);

    /// Every rate.
    pub const ALL: [Self; 11] = [
        Self(8000),
        Self(11_025),
        Self(16_000),
        Self(22_050),
        Self(32_000),
        Self(44_100),
        Self(48_000),
        Self(88_200),
        Self(96_000),
        Self(176_400),
        Self(192_000),
    ];

    /// The rate of so many samples a second, as it was typed.
    ///
    /// # Errors
    /// Lists the rates.
    pub fn new(per_second: f64, typed: &str) -> Result<Self, Refusal> {
        Self::ALL
            .into_iter()
            .find(|rate| f64::from(rate.0) == per_second)
            .ok_or_else(|| Refusal::new(RATE.field, typed, "is no rate that players take", Self::accepted()))
    }

    /// The rates in words.
    pub fn accepted() -> String {
        format!("{} Hz", list_or(&Self::ALL.map(|rate| rate.0.to_string())))
    }

    /// Samples a second.
    pub const fn per_second(self) -> u32 {
        self.0
    }

    /// Below half the rate a tone is itself; from there on another one, which nobody asked for, comes out.
    pub(super) const fn aliases_from(self) -> Hertz {
        Hertz::new(self.0 as f64 / 2.0)
    }
}

/// Bits of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// That of a compact disc, which everything plays.
    Sixteen,
    /// Steps 256 times as fine.
    TwentyFour,
}

impl Depth {
    /// The depth of so many bits, as it was typed.
    ///
    /// # Errors
    /// Names both.
    pub fn parse(typed: &str) -> Result<Self, Refusal> {
        const ACCEPTED: &str = "16 or 24";
        let bits =
            entry::parse(typed, &BITS).map_err(|refusal| Refusal { accepted: ACCEPTED.to_owned(), ..refusal })?;
        [Self::Sixteen, Self::TwentyFour]
            .into_iter()
            .find(|depth| f64::from(depth.bits()) == bits)
            .ok_or_else(|| Refusal::new(BITS.field, typed, "is no depth that players take", ACCEPTED))
    }

    /// Bits of a sample.
    pub const fn bits(self) -> u16 {
        match self {
            Self::Sixteen => 16,
            Self::TwentyFour => 24,
        }
    }

    /// The highest sample.
    pub const fn full_scale(self) -> i32 {
        (1 << (self.bits() - 1)) - 1
    }
}

/// Channels, which all carry the same samples.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channels {
    /// One.
    Mono,
    /// Two.
    Stereo,
}

impl Channels {
    /// How many.
    pub const fn count(self) -> u16 {
        match self {
            Self::Mono => 1,
            Self::Stereo => 2,
        }
    }

    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mono => "mono",
            Self::Stereo => "stereo",
        }
    }
}

/// Rate, depth and channels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Format {
    /// Samples a second.
    pub rate: Rate,
    /// Bits of a sample.
    pub depth: Depth,
    /// Channels.
    pub channels: Channels,
}

impl Format {
    /// The bytes of one sample of every channel.
    pub(super) fn frame_bytes(self) -> u64 {
        u64::from(self.channels.count()) * u64::from(self.depth.bits() / 8)
    }

    /// The bytes of the samples alone.
    pub fn data_bytes(self, frames: u64) -> u64 {
        frames * self.frame_bytes()
    }

    /// The bytes of a file: its head, the samples, and one more where those are an odd number.
    pub fn file_bytes(self, frames: u64) -> u64 {
        let data = self.data_bytes(frames);
        HEAD_BYTES + data + data % 2
    }
}

impl std::fmt::Display for Format {
    /// `44100 Hz, 16 bit, mono`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} Hz, {} bit, {}", self.rate.0, self.depth.bits(), self.channels.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_and_depths_are_those_in_use() {
        for rate in Rate::ALL {
            let typed = rate.per_second().to_string();
            assert_eq!(Rate::new(entry::parse(&typed, &RATE).unwrap(), &typed), Ok(rate));
        }
        let refused = Rate::new(44_000.0, "44000").unwrap_err().to_string();
        assert!(refused.starts_with("rate: `44000` is no rate that players take; accepted: 8000, 11025,"), "{refused}");
        assert_eq!(Depth::parse("24 bit"), Ok(Depth::TwentyFour));
        let refused = Depth::parse("8").unwrap_err().to_string();
        assert_eq!(refused, "bits: `8` is out of range; accepted: 16 or 24");
        let refused = Depth::parse("20").unwrap_err().to_string();
        assert_eq!(refused, "bits: `20` is no depth that players take; accepted: 16 or 24");
        assert_eq!((Depth::Sixteen.full_scale(), Depth::TwentyFour.full_scale()), (32_767, 8_388_607));
    }

    #[test]
    fn bytes_of_a_file() {
        let disc = Format { rate: Rate::USUAL, depth: Depth::Sixteen, channels: Channels::Stereo };
        // 176,400 bytes a second, as every account of the compact disc has it.
        assert_eq!(disc.file_bytes(44_100), 44 + 176_400);
    }
}
