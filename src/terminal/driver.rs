//! A driver and its box: from a driver file, or typed value by value.

use std::fs;
use std::path::Path;

use super::driver_file::read_driver_file;
use super::lead::{Guided, Note, lead};
use super::signals::Interrupts;
use super::voice::Voice;
use crate::displacement::{Dialogue, Fields, Told};
use crate::quantity::Refusal;
use crate::quantity::text::visible;
use crate::screens::{self, Emphasis, Line};
use crate::session::{Stop, UNKNOWN};

/// The name of the dialogue, with which its notes begin.
pub(super) const DRIVER: &str = "driver";

/// The word that asks for the values one by one.
pub(super) const VALUES: &str = "values";

/// What a script gave for driver and box, as the one line that a session keeps: a line is left as it is, the name of a file
/// is read.
///
/// # Errors
/// Where the file cannot be read, or is no driver file.
pub(super) fn driver_line(given: &str) -> Result<String, String> {
    if given.contains('=') || given.eq_ignore_ascii_case(UNKNOWN) {
        return Ok(given.to_owned());
    }
    Ok(read_file(given)?.driver_and_box())
}

/// Whether what was typed, where a tuning is asked for, means a driver instead.
pub(super) fn is_of_driver(typed: &str) -> bool {
    typed.eq_ignore_ascii_case(VALUES) || typed.contains('=') || typed.to_lowercase().ends_with(".toml")
}

/// Driver and box as one line: from a file, or asked for value by value, with what was told before on Enter; `None` where
/// the person leaves it.
///
/// # Errors
/// Where the person stops altogether, or a note cannot be kept.
pub(super) fn ask_driver(
    given: &str,
    before: Option<&str>,
    earlier: &[String],
    voice: &Voice,
    interrupts: &Interrupts,
    note: Note<'_>,
) -> Result<Option<String>, Stop> {
    if given.contains('=') {
        return Ok(Some(given.to_owned()));
    }
    let mut dialogue = if given.eq_ignore_ascii_case(VALUES) {
        match before.map(Fields::from_line) {
            Some(Ok(before)) => Dialogue::of_values_again(&before),
            _ => Dialogue::of_values(),
        }
    } else {
        match read_file(given) {
            Ok(fields) => {
                if fields.key_of_filter().is_some() {
                    let text = "The file's [filter] is not used here: the filter is asked for by itself.";
                    voice.show(&[Line::plain(text)]);
                }
                Dialogue::of_file(fields)
            }
            Err(why) => {
                voice.show(&voice.screen().item("! ", Emphasis::Warn, &why));
                return Ok(None);
            }
        }
    };
    // A file that says everything leaves nothing to ask.
    if let Some(Told(line)) = dialogue.told() {
        return Ok(Some(line));
    }
    Ok(lead(&mut dialogue, earlier, voice, interrupts, note)?.map(|Told(line)| line))
}

/// A file and nothing else: standard input is where the session's answers come from, and a pipe may keep it waiting.
fn read_file(given: &str) -> Result<Fields, String> {
    let path = Path::new(given);
    if !fs::metadata(path).is_ok_and(|kind| kind.is_file() || kind.is_dir()) {
        let accepted = "the name of a driver file, its keys on one line (`fs_hz = 27; ...`), or `unknown`";
        return Err(format!("`{}` is no file; accepted: {accepted}", visible(given)));
    }
    read_driver_file(path)
}

impl Guided for Dialogue {
    type End = Told;
    const NAME: &'static str = DRIVER;

    fn opening(&self, voice: &Voice) -> Vec<Line> {
        screens::driver_opening(voice.screen())
    }

    fn word(&self) -> String {
        self.key().unwrap_or_default().to_owned()
    }

    fn question(&self, voice: &Voice) -> Vec<Line> {
        self.key().map_or_else(Vec::new, |key| screens::driver_question(key, self.on_enter(), voice.screen()))
    }

    fn prompt(&self) -> String {
        screens::driver_prompt(self.key().unwrap_or_default(), self.on_enter())
    }

    fn help(&self, voice: &Voice) -> Vec<Line> {
        self.key().map_or_else(Vec::new, |key| screens::driver_help(key, voice.screen()))
    }

    fn answer(&mut self, typed: &str) -> Result<String, Refusal> {
        let key = self.word();
        self.answer(typed).map(|taken| format!("{key}: {taken}"))
    }

    fn back(&mut self) -> bool {
        self.back().is_some()
    }

    fn end(&self) -> Option<Told> {
        self.told()
    }
}
