//! The files of a plan: one for every tone, and one with all of them.

use super::format::Format;
use super::names::{ALL_TONES, file_name};
use super::of_plan::{PlanTone, Purpose};
use super::sound::Sound;
use crate::quantity::{FullScale, Hertz, Refusal, Seconds};

/// A file: its name, what it holds, and what each of its tones is for.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// The name, without a folder.
    pub name: String,
    /// The tones.
    pub sound: Sound,
    /// For each tone; empty for a tone that was asked for by itself.
    pub purposes: Vec<Vec<Purpose>>,
}

/// A file for every tone, in their order, and one with all of them, one after the other.
///
/// # Errors
/// As [`Sound::new`].
pub fn tracks_of(tones: &[PlanTone], format: Format, level: FullScale, length: Seconds) -> Result<Vec<Track>, Refusal> {
    let track = |name: String, tones: &[PlanTone]| {
        let hertz: Vec<Hertz> = tones.iter().map(|tone| tone.tone).collect();
        let sound = Sound::new(format, level, &hertz, length)?;
        Ok(Track { name, sound, purposes: tones.iter().map(|tone| tone.purposes.clone()).collect() })
    };
    let each = tones.iter().zip(1..).map(|(tone, number)| track(file_name(number, tone), std::slice::from_ref(tone)));
    let mut tracks = each.collect::<Result<Vec<Track>, Refusal>>()?;
    tracks.push(track(format!("{:02}-{ALL_TONES}.wav", tracks.len() + 1), tones)?);
    Ok(tracks)
}
