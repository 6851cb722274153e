//! One line from the person at the keyboard.

use dialoguer::theme::SimpleTheme;

use super::signals::Interrupts;
use super::voice::Voice;
use crate::session::Stop;

/// How every prompt looks: plain, on any terminal.
pub(super) const THEME: SimpleTheme = SimpleTheme;

/// Reads one line.
///
/// # Errors
/// An interruption, a signal or a closed terminal stops.
pub fn read_line(voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Result<String, Stop> {
    if interrupts.came() {
        return Err(Stop::Interrupted);
    }
    match typed_line(voice, interrupts, prompt) {
        Some(line) if !interrupts.came() => Ok(line),
        _ => {
            // A prompt that was interrupted leaves its line unfinished.
            let _ = voice.term().write_line("");
            Err(Stop::Interrupted)
        }
    }
}

#[cfg(unix)]
use super::line_editor::typed_line;

/// With the library for prompts, which waits for keys in a way that only a signal ends.
#[cfg(not(unix))]
fn typed_line(voice: &Voice, _: &Interrupts, prompt: &str) -> Option<String> {
    let input = dialoguer::Input::<String>::with_theme(&THEME);
    let line = input.with_prompt(prompt).allow_empty(true).interact_text_on(voice.term());
    // It may have hidden the cursor.
    let _ = voice.term().show_cursor();
    line.ok()
}
