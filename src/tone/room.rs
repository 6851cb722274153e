//! Whether files go onto a disk, and what would.

use super::format::{Channels, Depth, Format, HEAD_BYTES, Rate};
use super::passage::GAP;
use super::sound::Sound;
use crate::quantity::{Refusal, ranges, show};

/// So much of a disk stays free: a full one troubles whatever else is written to it.
const SPARE: u64 = 16 * 1024 * 1024;

/// The smallest format that everything plays.
const SMALLEST: Format = Format { rate: Rate::USUAL, depth: Depth::Sixteen, channels: Channels::Mono };

/// Refuses sounds whose files a disk with so many free bytes has no room for.
///
/// # Errors
/// Says how long each tone may be.
pub fn check_room(sounds: &[&Sound], free: u64) -> Result<(), Refusal> {
    let Some(first) = sounds.first() else {
        return Ok(());
    };
    let total: u64 = sounds.iter().map(|sound| sound.file_bytes()).sum();
    if total.saturating_add(SPARE) <= free {
        return Ok(());
    }
    let counts: Vec<usize> = sounds.iter().map(|sound| sound.passages().len()).collect();
    let longest = |format| longest(&counts, free.saturating_sub(SPARE), format);
    let here = longest(first.format());
    let there = longest(SMALLEST).filter(|seconds| Some(*seconds) > here);
    let works: Vec<String> = [
        here.map(|seconds| format!("up to {seconds} s in this format")),
        there.map(|seconds| format!("up to {seconds} s at {SMALLEST}")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let works = if works.is_empty() { "a disk with more room".to_owned() } else { show::list_or(&works) };
    let lasts = first.passages().first().map_or_else(String::new, |passage| show::seconds(first.lasts(passage)));
    let problem = format!(
        "makes {}, the disk has {} free, and {} of it are left alone",
        show::bytes(total),
        show::bytes(free),
        show::bytes(SPARE.min(free))
    );
    Err(Refusal::new(ranges::SECONDS.field, lasts, problem, works))
}

/// The whole seconds that each tone of files with so many tones may last, so that all files together have at most so many
/// bytes; `None` where not one second does.
pub(super) fn longest(counts: &[usize], bytes: u64, format: Format) -> Option<u64> {
    let (files, tones) = (counts.len() as u64, counts.iter().sum::<usize>() as u64);
    // Three bytes a sample may come to an odd number, which takes one more.
    let around = HEAD_BYTES + format.frame_bytes() % 2;
    let seconds = bytes.checked_sub(files * around)? / (format.frame_bytes() * u64::from(format.rate.per_second()));
    // After every tone but the last of a file there is a second of silence.
    let gap = GAP.seconds() as u64;
    ((seconds + files * gap) / tones.max(1)).checked_sub(gap).filter(|each| *each > 0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::{FullScale, Hertz, Seconds};

    fn sound(format: Format, tones: usize, seconds: u64) -> Sound {
        let tones = vec![Hertz::new(27.0); tones];
        Sound::new(format, FullScale::new(-6.0), &tones, Seconds::new(seconds as f64)).unwrap()
    }

    #[test]
    fn a_refusal_says_what_goes() {
        let fine = Format { rate: Rate::ALL[8], depth: Depth::TwentyFour, channels: Channels::Stereo };
        let long = sound(fine, 1, 60);
        assert_eq!(check_room(&[&long], long.file_bytes() + SPARE), Ok(()));
        let refused = check_room(&[&long], SPARE + 10_000_000).unwrap_err().to_string();
        assert_eq!(
            refused,
            "seconds: `60 s` makes 34.6 MB, the disk has 26.8 MB free, and 16.8 MB of it are left alone; accepted: up to 17 s in \
             this format or up to 113 s at 44100 Hz, 16 bit, mono"
        );
        // One offer where the format is the smallest already, or smaller than that.
        for (rate, works) in [(Rate::USUAL, "113"), (Rate::ALL[0], "624")] {
            let long = sound(Format { rate, ..SMALLEST }, 1, 6000);
            let refused = check_room(&[&long], SPARE + 10_000_000).unwrap_err();
            assert_eq!(refused.accepted, format!("up to {works} s in this format"));
        }
        let refused = check_room(&[&long], 1000).unwrap_err().to_string();
        assert!(refused.ends_with("; accepted: a disk with more room"), "{refused}");
    }

    proptest! {
        #[test]
        fn the_longest_goes_and_a_second_more_does_not(
            counts in prop::collection::vec(1usize..6, 1..5),
            bytes in 1_000_000u64..200_000_000,
        ) {
            let free = bytes + SPARE;
            let of = |seconds: u64| -> Vec<Sound> { counts.iter().map(|count| sound(SMALLEST, *count, seconds)).collect() };
            let goes = |seconds: u64| check_room(&of(seconds).iter().collect::<Vec<_>>(), free).is_ok();
            match longest(&counts, bytes, SMALLEST) {
                Some(seconds) => prop_assert!(goes(seconds) && !goes(seconds + 1)),
                None => prop_assert!(!goes(1)),
            }
        }
    }
}
