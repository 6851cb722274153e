//! A box's tuning, found with a person at the keyboard: by dimensions, or tone by tone with the meter.

use super::lead::{Guided, Note, lead};
use super::signals::Interrupts;
use super::voice::Voice;
use crate::quantity::Refusal;
use crate::screens::{self, Line};
use crate::session::Stop;
use crate::tuning::{Dialogue, Found};

/// Columns that a default may take in a prompt.
const DEFAULT_COLUMNS: usize = 40;

/// The name of the dialogue, with which its notes begin.
pub(super) const TUNING: &str = "tuning";

/// Finds a tuning with the person at the keyboard; `None` where the person leaves. Every answer is noted, a line each, as
/// soon as it is taken; `earlier` are such notes of a dialogue that was cut short.
///
/// # Errors
/// Where the person stops altogether, or a note cannot be kept.
pub fn find_tuning(
    earlier: &[String],
    voice: &Voice,
    interrupts: &Interrupts,
    note: Note<'_>,
) -> Result<Option<Found>, Stop> {
    lead(&mut Guidance { dialogue: Dialogue::default(), found: None }, earlier, voice, interrupts, note)
}

struct Guidance {
    dialogue: Dialogue,
    found: Option<Found>,
}

impl Guided for Guidance {
    type End = Found;
    const NAME: &'static str = TUNING;

    fn opening(&self, voice: &Voice) -> Vec<Line> {
        screens::tuning_opening(voice.screen())
    }

    fn word(&self) -> String {
        self.dialogue.step().word().to_owned()
    }

    fn question(&self, voice: &Voice) -> Vec<Line> {
        screens::tuning_question(&self.dialogue, &self.dialogue.step(), voice.screen())
    }

    fn prompt(&self) -> String {
        screens::tuning_prompt(&self.dialogue.step(), self.dialogue.on_enter(), DEFAULT_COLUMNS)
    }

    fn help(&self, voice: &Voice) -> Vec<Line> {
        screens::tuning_help(&self.dialogue, &self.dialogue.step(), voice.screen())
    }

    fn answer(&mut self, typed: &str) -> Result<String, Refusal> {
        let step = self.dialogue.step();
        let taken = self.dialogue.answer(typed)?;
        self.found = taken.found;
        Ok(screens::tuning_note(&step, &taken.typed))
    }

    fn back(&mut self) -> bool {
        self.dialogue.back().is_some()
    }

    fn end(&self) -> Option<Found> {
        self.found.clone()
    }
}
