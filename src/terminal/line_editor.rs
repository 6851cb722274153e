//! A line typed at a terminal, corrected in place.
//!
//! The library for prompts waits for a key in a way that misses a signal that comes just before, blocks within a character or
//! a sequence that comes in pieces, and knows no Ctrl-Z; so this reads by itself, as `secret.rs` does. While a line is typed
//! the terminal hands on each key; whatever ends that, and while the program is suspended, it is as it was before.

use dialoguer::theme::Theme;
use rustix::io::Errno;
use rustix::stdio::stdin;
use signal_hook::consts::SIGINT;

use super::keys::{Decoder, Key};
use super::line::Line;
use super::modes::{Modes, Waited, suspend, wait};
use super::prompt::THEME;
use super::signals::Interrupts;
use super::voice::Voice;

/// The columns of a window that does not say.
const DEFAULT_COLUMNS: usize = 80;

/// The line; `None` where the person or a signal stopped, or the terminal is closed.
pub(super) fn typed_line(voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Option<String> {
    let mut modes = Modes::by_key()?;
    let mut head = String::new();
    THEME.format_input_prompt(&mut head, prompt, None).ok()?;
    let mut line = Line::new(head, columns(voice));
    let send = |drawn: String| if drawn.is_empty() { Some(()) } else { voice.term().write_str(&drawn).ok() };
    send(line.draw())?;
    let mut decoder = Decoder::default();
    loop {
        let keys = match wait()? {
            _ if interrupts.came() => return None,
            Waited::Signal => [None, None],
            Waited::InVain => [decoder.pause(), None],
            Waited::Readable => next_byte()?.map_or([None, None], |byte| decoder.take(byte)),
        };
        if modes.renew()? {
            send(line.draw_anew(columns(voice)))?;
        }
        send(line.fit(columns(voice)))?;
        for key in keys.into_iter().flatten() {
            match key {
                Key::Enter => {
                    send(line.finish())?;
                    return Some(line.typed());
                }
                Key::Stop => {
                    // As where the terminal makes a signal of it.
                    let _ = signal_hook::low_level::raise(SIGINT);
                    return None;
                }
                Key::Suspend => {
                    send(line.leave())?;
                    drop(modes);
                    suspend();
                    modes = Modes::by_key()?;
                    send(line.draw_anew(columns(voice)))?;
                }
                key => send(line.take(key))?,
            }
        }
    }
}

/// One byte, so that what was typed ahead stays where it is; `None` where the terminal is closed.
fn next_byte() -> Option<Option<u8>> {
    let mut byte = [0];
    match rustix::io::read(stdin(), &mut byte) {
        Ok(0) => None,
        Ok(_) => Some(Some(byte[0])),
        Err(Errno::INTR | Errno::AGAIN) => Some(None),
        Err(_) => None,
    }
}

fn columns(voice: &Voice) -> usize {
    voice.columns().unwrap_or(DEFAULT_COLUMNS)
}
