//! A box's tuning, found with a person at the keyboard: by dimensions, or tone by tone with the meter.

use super::keyboard::read_line;
use super::signals::Interrupts;
use super::voice::Voice;
use crate::quantity::Hertz;
use crate::screens::{self, Emphasis, Line};
use crate::session::Stop;
use crate::tuning::{Dialogue, Found};

/// Columns that a default may take in a prompt.
const DEFAULT_COLUMNS: usize = 40;

/// A tuning that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundTuning {
    /// The tuning.
    pub tuning: Hertz,
    /// Its expanded uncertainty, k = 2.
    pub uncertainty: Hertz,
    /// How it was found, in one line.
    pub account: String,
}

/// Finds a tuning with the person at the keyboard; `None` where the person leaves. Every answer is noted, a line each, as
/// soon as it is taken.
///
/// # Errors
/// Where the person stops altogether, or a note cannot be kept.
pub fn find_tuning(
    voice: &Voice,
    interrupts: &Interrupts,
    note: &mut dyn FnMut(&str) -> Result<(), Stop>,
) -> Result<Option<FoundTuning>, Stop> {
    let found = ask_tuning(voice, interrupts, note)?;
    Ok(found.map(|found| FoundTuning {
        tuning: found.tuning(),
        uncertainty: found.uncertainty(),
        account: screens::tuning_account(&found),
    }))
}

/// The same, with everything that it was found from.
///
/// # Errors
/// As [`find_tuning`].
pub fn ask_tuning(
    voice: &Voice,
    interrupts: &Interrupts,
    note: &mut dyn FnMut(&str) -> Result<(), Stop>,
) -> Result<Option<Found>, Stop> {
    let mut dialogue = Dialogue::default();
    voice.show(&screens::tuning_opening(voice.screen()));
    loop {
        let step = dialogue.step();
        voice.show(&screens::tuning_question(&dialogue, &step, voice.screen()));
        // Asked again after a slip or an explanation, but not put again.
        loop {
            let typed =
                read_line(voice, interrupts, &screens::tuning_prompt(&step, dialogue.on_enter(), DEFAULT_COLUMNS))?;
            let typed = typed.trim();
            let screen = voice.screen();
            match typed {
                "?" => voice.show(&screens::tuning_help(&dialogue, &step, screen)),
                "q" | "Q" => return Ok(None),
                "<" => match dialogue.back() {
                    Some(earlier) => {
                        note(&format!("back to {}", earlier.word()))?;
                        break;
                    }
                    None => warn(voice, "This is the first question; `q` leaves."),
                },
                typed => match dialogue.answer(typed) {
                    Ok(taken) => {
                        note(&screens::tuning_note(&step, &taken.typed))?;
                        if taken.found.is_some() {
                            return Ok(taken.found);
                        }
                        break;
                    }
                    Err(refusal) => warn(voice, &refusal.to_string()),
                },
            }
        }
    }
}

fn warn(voice: &Voice, text: &str) {
    voice.show(&voice.screen().item("! ", Emphasis::Warn, text));
    voice.show(&[Line::empty()]);
}
