//! One line from the person at the keyboard, with dialoguer.

use dialoguer::Input;
use dialoguer::theme::SimpleTheme;

use super::signals::Interrupts;
use super::voice::Voice;
use crate::session::Stop;

/// Reads one line.
///
/// # Errors
/// An interruption, a signal or a closed terminal stops.
pub fn read_line(voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Result<String, Stop> {
    if interrupts.came() {
        return Err(Stop::Interrupted);
    }
    let line =
        Input::<String>::with_theme(&SimpleTheme).with_prompt(prompt).allow_empty(true).interact_text_on(voice.term());
    // A prompt that was interrupted may have hidden the cursor, and leaves its line unfinished.
    let _ = voice.term().show_cursor();
    match line {
        Ok(line) if !interrupts.came() => Ok(line),
        Ok(_) | Err(_) => {
            let _ = voice.term().write_line("");
            Err(Stop::Interrupted)
        }
    }
}
