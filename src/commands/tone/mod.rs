//! `cornerset tone`: test tones as WAV files.

mod document;
mod file_options;
mod folder;
mod plan;
mod tones;

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::{Args, ValueHint};

use super::common::Common;
use super::error::{CommandError, Exit, signals_refused, told};
use super::plan_options::PlanOptions;
use crate::quantity::Refusal;
use crate::screens::{self, Line};
use crate::store::{free_space, path_shown, temporary_folder, temporary_sound, write_sound};
use crate::terminal::{Interrupts, NotPlayed, Player, Voice, go_on, survive_size_limits};
use crate::tone::{Purpose, Track, check_room};
use document::ToneDocument;
use file_options::FileOptions;
use plan::PlanSource;
use tones::TonesWanted;

/// Test tones as WAV files
///
/// One tone, several in one file, a stepped sweep, or the tones of a plan: that of a session (--for), or one given by
/// --tuning or --corner and --slope. Speakers come off every output before a tone is played, and the volume goes down: the
/// level of a file says nothing of the level of an amplifier.
#[derive(Debug, Args)]
pub(super) struct Tone {
    #[command(flatten)]
    tones: TonesWanted,
    /// The plan of a session, open or signed off: its id, at least 4 characters of its start or end, or a record file
    #[arg(
        long = "for",
        value_name = "ID",
        value_hint = ValueHint::FilePath,
        conflicts_with_all = ["hz", "sweep", "tuning", "rule", "corner", "slope", "family", "q", "tone"],
        help_heading = "The tones of a plan"
    )]
    session: Option<String>,
    #[command(flatten, next_help_heading = "The tones of a plan")]
    plan: PlanOptions,
    /// The tone that is played [default: the corner, or three quarters of it where the filter has a hump]
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    tone: Option<String>,
    /// Every tone that the plan needs, each in a file, all of them in one more, and a track list, into the folder after -o
    #[arg(long, conflicts_with_all = ["hz", "sweep", "rounds", "per_octave", "play"])]
    all: bool,
    #[command(flatten, next_help_heading = "The file")]
    file: FileOptions,
    /// Where the file goes, in the place of one that is there; with --all the folder
    #[arg(short, long, value_name = "FILE.wav", help_heading = "The file")]
    output: Option<PathBuf>,
    /// Play it with pw-play, paplay, aplay or afplay, the first that is installed; without -o nothing is kept
    #[arg(long, help_heading = "The file")]
    play: bool,
}

impl Tone {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let source = self.plan_source(common)?;
        let sound = self.file.checked()?;
        survive_size_limits().map_err(signals_refused)?;
        let interrupts = Interrupts::listen().map_err(signals_refused)?;
        if self.all {
            return self.write_all(source, sound, &interrupts, voice);
        }
        let (tones, purposes) = match &source {
            Some(plan) => (vec![plan.inputs.tone], vec![vec![Purpose::Set]]),
            None => self.tones.parsed()?,
        };
        let sound = sound.sound(&tones)?;
        self.check_output()?;
        let player = self.play.then(|| Player::find().ok_or_else(no_player)).transpose()?;
        let place = self.output.clone().unwrap_or_else(temporary_folder);
        if let Some(free) = free_space(&place) {
            check_room(&[&sound], free)?;
        }
        let stop = || interrupts.came();
        let (kept, temporary) = match &self.output {
            Some(path) => (Some(write_sound(path, &sound, &stop)?), None),
            None => (None, Some(temporary_sound(&sound, &stop)?)),
        };
        let name = kept.as_deref().map_or_else(String::new, path_shown);
        let track = Track { name, sound, purposes };
        self.tell(source.as_ref(), &[track], kept.as_deref(), None, player.as_ref(), voice)?;
        let (Some(player), Some(file)) = (player, kept.as_deref().or(temporary.as_deref())) else {
            return Ok(Exit::Done);
        };
        if !voice.style().json {
            voice.show(&screens::tone_playing(player.name(), voice.screen()));
            // Who sits at the terminal has time to take the speakers off.
            let is_person = io::stdin().is_terminal() && io::stderr().is_terminal();
            if is_person && !go_on(voice, &interrupts).map_err(|_| CommandError::Interrupted)? {
                return Ok(Exit::Done);
            }
        }
        player.play(file, &interrupts).map(|()| Exit::Done).map_err(|error| match error {
            NotPlayed::Interrupted => CommandError::Interrupted,
            NotPlayed::Failed(why) => CommandError::Usage(why),
        })
    }

    /// The plan, where one is asked for.
    fn plan_source(&self, common: &Common) -> Result<Option<PlanSource>, CommandError> {
        if let Some(id) = &self.session {
            return PlanSource::of_session(id, &common.open_store()?).map(Some);
        }
        let given = self.plan.tuning.is_some() || self.plan.corner.is_some();
        if given || self.all {
            return Ok(Some(PlanSource::of_options(&self.plan, self.tone.as_deref())?));
        }
        self.tones.refuse_nothing(&self.plan, self.tone.as_deref())?;
        Ok(None)
    }

    fn write_all(
        &self,
        source: Option<PlanSource>,
        sound: file_options::Checked,
        interrupts: &Interrupts,
        voice: &Voice,
    ) -> Result<Exit, CommandError> {
        let (Some(source), Some(output)) = (source, &self.output) else {
            return Err(Refusal::new("output", "", "was given", "-o with a folder").into());
        };
        let written = folder::write(output, &source, &sound, interrupts)?;
        self.tell(Some(&source), &written.tracks, Some(&written.folder), Some(&written.list), None, voice)?;
        Ok(Exit::Done)
    }

    /// Refuses a name that no player would take for a sound, and neither a name nor a player.
    fn check_output(&self) -> Result<(), CommandError> {
        match &self.output {
            Some(path) if path.extension().is_some_and(|end| end.eq_ignore_ascii_case("wav")) => Ok(()),
            Some(path) => {
                let given = path.to_string_lossy();
                Err(Refusal::new("output", given, "is no name of a sound file", "a name that ends in .wav").into())
            }
            None if self.play => Ok(()),
            None => Err(Refusal::new("output", "", "was given", "-o FILE.wav, --play, or both").into()),
        }
    }

    /// Says what was written. It stands, whether anyone reads of it or not.
    fn tell(
        &self,
        source: Option<&PlanSource>,
        tracks: &[Track],
        kept: Option<&Path>,
        list: Option<&Path>,
        player: Option<&Player>,
        voice: &Voice,
    ) -> Result<(), CommandError> {
        let warnings: Vec<String> = screens::tone_cautions()
            .into_iter()
            .chain(source.into_iter().flat_map(PlanSource::remarks))
            .chain(self.tones.remarks())
            .collect();
        let result = if voice.style().json {
            let document = ToneDocument::new(source, tracks, kept, list, player.map(Player::name), warnings);
            voice.document(&document)
        } else {
            let screen = voice.screen();
            voice.show(&screens::tone_warnings(&warnings, screen));
            let mut lines = match list {
                Some(_) => screens::tone_table(tracks, screen),
                None => tracks.iter().flat_map(|track| screens::tone_file(track, kept.is_some(), screen)).collect(),
            };
            if let (Some(folder), Some(_)) = (kept, list) {
                lines.push(Line::empty());
                lines.extend(screen.row("folder", &path_shown(folder)));
            }
            voice.print(&lines)
        };
        told(result, Exit::Done).map(|_| ())
    }
}

fn no_player() -> CommandError {
    let looked_for = Player::looked_for();
    CommandError::Usage(format!(
        "play: no player is installed; accepted: one of {looked_for} on the search path, or -o FILE.wav to play the file elsewhere"
    ))
}
