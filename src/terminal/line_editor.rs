//! A line typed at a terminal, corrected in place.
//!
//! The library for prompts waits for a key in a way that misses a signal that comes just before, and knows no Ctrl-Z; so
//! this waits by itself, as `secret.rs` does. While a line is typed the terminal hands on each key; whatever ends that,
//! and while the program is suspended, it is as it was before.

use std::io;
use std::time::Duration;

use console::{Key, Term, measure_text_width};
use dialoguer::theme::Theme;
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::process::{Signal, getpgrp, kill_process_group};
use rustix::stdio::stdin;
use rustix::termios::{LocalModes, OptionalActions, Termios, tcgetattr, tcsetattr};
use signal_hook::consts::SIGINT;

use super::prompt::THEME;
use super::signals::Interrupts;
use super::voice::Voice;

/// How long a signal may wait that came between the look for one and the wait for a key.
const LOOK: Duration = Duration::from_millis(100);
/// Ctrl-Z, as a terminal sends it.
const SUSPEND: char = '\x1a';
/// Ctrl-U: what stands before the cursor goes.
const ERASE_LINE: char = '\x15';
/// Ctrl-W: the word before the cursor goes.
const ERASE_WORD: char = '\x17';

/// The line; `None` where the person or a signal stopped, or the terminal is closed.
pub(super) fn typed_line(voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Option<String> {
    let mut modes = Modes::by_key()?;
    let mut head = String::new();
    THEME.format_input_prompt(&mut head, prompt, None).ok()?;
    let mut line = Editor { term: voice.term(), head, chars: Vec::new(), at: 0, row: 0 };
    line.draw().ok()?;
    loop {
        while !key_waits()? {
            if interrupts.came() {
                return None;
            }
            // A shell that was in between changed it.
            if !modes.are_set() {
                modes.set()?;
                line.draw_anew().ok()?;
            }
        }
        match voice.term().read_key_raw().ok()? {
            Key::Enter => break,
            Key::CtrlC => {
                // As where the terminal makes a signal of it.
                let _ = signal_hook::low_level::raise(SIGINT);
                return None;
            }
            Key::Char(SUSPEND) => {
                line.leave().ok()?;
                drop(modes);
                // Everything that the shell waits for. Goes on here when it is taken up again, or where nobody could do so.
                let _ = kill_process_group(getpgrp(), Signal::TSTP);
                modes = Modes::by_key()?;
                line.draw_anew().ok()?;
            }
            key => line.take(key).ok()?,
        }
    }
    line.finish().ok()?;
    Some(line.chars.into_iter().collect())
}

/// Whether there is a key to be read, or the terminal is closed; waits a moment for it.
fn key_waits() -> Option<bool> {
    let look = Timespec { tv_sec: 0, tv_nsec: i64::from(LOOK.subsec_nanos()) as _ };
    match poll(&mut [PollFd::new(&stdin(), PollFlags::IN)], Some(&look)) {
        Ok(0) | Err(rustix::io::Errno::INTR) => Some(false),
        Ok(_) => Some(true),
        Err(_) => None,
    }
}

/// The terminal's modes: those of before are back when this is dropped.
struct Modes {
    before: Termios,
    by_key: Termios,
}

impl Modes {
    /// The terminal hands on each key as it is typed, and shows none by itself.
    fn by_key() -> Option<Self> {
        let before = tcgetattr(stdin()).ok()?;
        let mut by_key = before.clone();
        by_key.make_raw();
        by_key.output_modes = before.output_modes;
        let modes = Self { before, by_key };
        modes.set()?;
        Some(modes)
    }

    fn set(&self) -> Option<()> {
        tcsetattr(stdin(), OptionalActions::Drain, &self.by_key).ok()
    }

    fn are_set(&self) -> bool {
        tcgetattr(stdin()).is_ok_and(|now| !now.local_modes.contains(LocalModes::ICANON))
    }
}

impl Drop for Modes {
    fn drop(&mut self) {
        let _ = tcsetattr(stdin(), OptionalActions::Drain, &self.before);
    }
}

/// What was typed, and where the cursor stands.
struct Editor<'a> {
    term: &'a Term,
    /// The prompt as the library for prompts draws it.
    head: String,
    chars: Vec<char>,
    /// The cursor, in characters.
    at: usize,
    /// The cursor, in rows below that of the prompt.
    row: usize,
}

impl Editor<'_> {
    fn take(&mut self, key: Key) -> io::Result<()> {
        // In a line that was pasted from a table it stands between two numbers.
        let key = if key == Key::Tab { Key::Char(' ') } else { key };
        match key {
            Key::Char(typed) if !typed.is_control() => {
                self.chars.insert(self.at, typed);
                self.at += 1;
                if self.at == self.chars.len() {
                    self.row = self.last_row();
                    return self.term.write_str(typed.encode_utf8(&mut [0; 4]));
                }
            }
            Key::Backspace if self.at > 0 => {
                self.at -= 1;
                self.chars.remove(self.at);
            }
            Key::Del if self.at < self.chars.len() => drop(self.chars.remove(self.at)),
            Key::Char(ERASE_LINE) => drop(self.chars.drain(..std::mem::take(&mut self.at))),
            Key::Char(ERASE_WORD) => {
                let before = &self.chars[..self.at];
                let word = before.iter().rposition(|typed| *typed != ' ').map_or(0, |last| last + 1);
                let start = before[..word].iter().rposition(|typed| *typed == ' ').map_or(0, |blank| blank + 1);
                self.chars.drain(start..self.at);
                self.at = start;
            }
            Key::ArrowLeft if self.at > 0 => self.at -= 1,
            Key::ArrowRight if self.at < self.chars.len() => self.at += 1,
            Key::Home => self.at = 0,
            Key::End => self.at = self.chars.len(),
            _ => return Ok(()),
        }
        self.draw()
    }

    /// Draws the line where it stands, and puts the cursor in its place.
    fn draw(&mut self) -> io::Result<()> {
        self.clear()?;
        let (shown, columns) = (self.shown(self.chars.len()), self.columns());
        self.term.write_str(&shown)?;
        self.row = self.last_row();
        if self.at < self.chars.len() {
            let before = measure_text_width(&self.shown(self.at));
            let row = before / columns;
            self.term.move_cursor_up(self.row.saturating_sub(row))?;
            // To the first column, whatever the last one was.
            self.term.write_str("\r")?;
            self.term.move_cursor_right(before % columns)?;
            self.row = row;
        }
        self.term.flush()
    }

    /// Draws the line below what others wrote meanwhile.
    fn draw_anew(&mut self) -> io::Result<()> {
        self.row = 0;
        self.draw()
    }

    /// Shows the whole line once more, as it was typed, and ends it.
    fn finish(&mut self) -> io::Result<()> {
        self.clear()?;
        self.term.write_line(&self.shown(self.chars.len()))
    }

    /// Puts the cursor below the line.
    fn leave(&mut self) -> io::Result<()> {
        self.term.move_cursor_down(self.last_row() - self.row.min(self.last_row()))?;
        self.term.write_line("")
    }

    fn clear(&self) -> io::Result<()> {
        self.term.move_cursor_up(self.row)?;
        self.term.write_str("\r")?;
        self.term.clear_to_end_of_screen()
    }

    fn shown(&self, chars: usize) -> String {
        self.head.chars().chain(self.chars[..chars].iter().copied()).collect()
    }

    /// The row of the last character: a full row ends in itself.
    fn last_row(&self) -> usize {
        measure_text_width(&self.shown(self.chars.len())).saturating_sub(1) / self.columns()
    }

    fn columns(&self) -> usize {
        usize::from(self.term.size().1).max(1)
    }
}
