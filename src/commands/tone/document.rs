//! What `cornerset tone --json` prints.

use std::path::Path;

use serde::Serialize;

use super::plan::PlanSource;
use crate::filter::{Family, Rule, Slope};
use crate::quantity::{Decibels, FullScale, Hertz, Seconds};
use crate::tone::{Purpose, Track};

#[derive(Debug, Serialize)]
pub(super) struct ToneDocument {
    plan: Option<PlanPart>,
    files: Vec<FilePart>,
    track_list_path: Option<String>,
    player: Option<&'static str>,
    warnings: Vec<String>,
}

/// The plan whose tones these are.
#[derive(Debug, Serialize)]
struct PlanPart {
    /// Null where the options gave the plan.
    session: Option<String>,
    tuning_hz: Option<Hertz>,
    rule: Option<Rule>,
    corner_hz: Hertz,
    family: Family,
    slope_db_per_octave: Slope,
    q: Option<f64>,
    tone_hz: Hertz,
}

#[derive(Debug, Serialize)]
struct FilePart {
    /// Null where it was only played.
    path: Option<String>,
    rate_hz: u32,
    bits: u16,
    channels: u16,
    level_dbfs: FullScale,
    length_s: Seconds,
    size_bytes: u64,
    tones: Vec<TonePart>,
}

#[derive(Debug, Serialize)]
struct TonePart {
    tone_hz: Hertz,
    begins_s: Seconds,
    length_s: Seconds,
    sets: bool,
    checks: bool,
    down_db: Vec<Decibels>,
}

impl ToneDocument {
    /// Of what was written at `kept`: a file, or with a list the folder of the files.
    pub fn new(
        source: Option<&PlanSource>,
        tracks: &[Track],
        kept: Option<&Path>,
        list: Option<&Path>,
        player: Option<&'static str>,
        warnings: Vec<String>,
    ) -> Self {
        let text = |path: &Path| path.to_string_lossy().into_owned();
        let path_of = |track: &Track| match (kept, list) {
            (Some(folder), Some(_)) => Some(text(&folder.join(&track.name))),
            (kept, _) => kept.map(text),
        };
        Self {
            plan: source.map(PlanPart::from),
            files: tracks.iter().map(|track| FilePart::new(track, path_of(track))).collect(),
            track_list_path: list.map(text),
            player,
            warnings,
        }
    }
}

impl From<&PlanSource> for PlanPart {
    fn from(source: &PlanSource) -> Self {
        let inputs = &source.inputs;
        Self {
            session: source.session.as_ref().map(|(id, _)| id.clone()),
            tuning_hz: inputs.corner.tuning(),
            rule: inputs.corner.rule(),
            corner_hz: inputs.corner.corner(),
            family: inputs.alignment.family(),
            slope_db_per_octave: inputs.alignment.slope(),
            q: inputs.alignment.q(),
            tone_hz: inputs.tone,
        }
    }
}

impl FilePart {
    fn new(track: &Track, path: Option<String>) -> Self {
        let (sound, format) = (&track.sound, track.sound.format());
        let tones = sound.passages().iter().zip(&track.purposes).map(|(passage, purposes)| TonePart {
            tone_hz: passage.tone,
            begins_s: sound.begins(passage),
            length_s: sound.lasts(passage),
            sets: purposes.contains(&Purpose::Set),
            checks: purposes.contains(&Purpose::Check),
            down_db: purposes
                .iter()
                .filter_map(|purpose| match purpose {
                    Purpose::Down(down) => Some(*down),
                    Purpose::Set | Purpose::Check => None,
                })
                .collect(),
        });
        Self {
            path,
            rate_hz: format.rate.per_second(),
            bits: format.depth.bits(),
            channels: format.channels.count(),
            level_dbfs: sound.level(),
            length_s: sound.length(),
            size_bytes: sound.file_bytes(),
            tones: tones.collect(),
        }
    }
}
