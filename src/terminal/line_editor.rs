//! A line typed at a terminal, corrected in place.
//!
//! The library for prompts waits for a key in a way that misses a signal that comes just before, blocks within a character or
//! a sequence that comes in pieces, and knows no Ctrl-Z; so this reads by itself, as `secret.rs` does. While a line is typed
//! the terminal hands on each key; whatever ends that, and while the program is suspended, it is as it was before.

use std::io;

use console::Term;
use dialoguer::theme::Theme;
use rustix::io::Errno;
use rustix::stdio::stdin;
use signal_hook::consts::SIGINT;

use super::keys::{Decoder, Key};
use super::layout::{Place, after, begins, width};
use super::modes::{Modes, Waited, suspend, wait};
use super::prompt::THEME;
use super::signals::Interrupts;
use super::voice::Voice;

/// The line; `None` where the person or a signal stopped, or the terminal is closed.
pub(super) fn typed_line(voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Option<String> {
    let mut modes = Modes::by_key()?;
    let mut head = String::new();
    THEME.format_input_prompt(&mut head, prompt, None).ok()?;
    let mut line = Editor::new(voice.term(), head);
    line.draw().ok()?;
    let mut decoder = Decoder::default();
    loop {
        let keys = match wait()? {
            _ if interrupts.came() => return None,
            Waited::Signal => [None, None],
            Waited::InVain => [decoder.pause(), None],
            Waited::Readable => next_byte()?.map_or([None, None], |byte| decoder.take(byte)),
        };
        if modes.renew()? {
            line.draw_anew().ok()?;
        }
        line.fit().ok()?;
        for key in keys.into_iter().flatten() {
            match key {
                Key::Enter => {
                    line.finish().ok()?;
                    return Some(line.chars.into_iter().collect());
                }
                Key::Stop => {
                    // As where the terminal makes a signal of it.
                    let _ = signal_hook::low_level::raise(SIGINT);
                    return None;
                }
                Key::Suspend => {
                    line.leave().ok()?;
                    drop(modes);
                    suspend();
                    modes = Modes::by_key()?;
                    line.draw_anew().ok()?;
                }
                key => line.take(key).ok()?,
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
    /// The columns that the line was laid out in.
    columns: usize,
}

impl<'a> Editor<'a> {
    fn new(term: &'a Term, head: String) -> Self {
        let mut line = Self { term, head, chars: Vec::new(), at: 0, row: 0, columns: 0 };
        line.columns = line.columns_now();
        line
    }
}

impl Editor<'_> {
    fn take(&mut self, key: Key) -> io::Result<()> {
        match key {
            Key::Char(typed) => {
                self.chars.insert(self.at, typed);
                self.at += 1;
                if self.at == self.chars.len() {
                    self.row = self.cursor().row;
                    return self.term.write_str(typed.encode_utf8(&mut [0; 4]));
                }
            }
            // A mark goes before what it stands on.
            Key::Backspace if self.at > 0 => {
                self.at -= 1;
                self.chars.remove(self.at);
            }
            Key::Delete => drop(self.chars.drain(self.at..self.right())),
            Key::EraseLine => drop(self.chars.drain(..std::mem::take(&mut self.at))),
            Key::EraseRest => self.chars.truncate(self.at),
            Key::EraseWord => {
                let before = &self.chars[..self.at];
                let word = before.iter().rposition(|typed| *typed != ' ').map_or(0, |last| last + 1);
                let start = before[..word].iter().rposition(|typed| *typed == ' ').map_or(0, |blank| blank + 1);
                self.chars.drain(start..self.at);
                self.at = start;
            }
            Key::Left => self.at = self.left(),
            Key::Right => self.at = self.right(),
            Key::Home => self.at = 0,
            Key::End => self.at = self.chars.len(),
            _ => return Ok(()),
        }
        self.draw()
    }

    /// The character before the cursor with its marks: where it begins.
    fn left(&self) -> usize {
        self.chars[..self.at].iter().rposition(|typed| width(*typed) > 0).unwrap_or(0)
    }

    /// The character at the cursor with its marks: where it ends.
    fn right(&self) -> usize {
        let rest = self.chars.iter().skip(self.at + 1);
        (self.at + 1 + rest.take_while(|typed| width(**typed) == 0).count()).min(self.chars.len())
    }

    /// Draws the line where it stands, and puts the cursor in its place.
    fn draw(&mut self) -> io::Result<()> {
        self.clear()?;
        self.term.write_str(&self.shown().collect::<String>())?;
        let cursor = self.cursor();
        if self.at < self.chars.len() {
            self.term.move_cursor_up(self.last_row().saturating_sub(cursor.row))?;
            // To the first column, whatever the last one was.
            self.term.write_str("\r")?;
            self.term.move_cursor_right(cursor.column)?;
        }
        self.row = cursor.row;
        self.term.flush()
    }

    /// Draws the line below what others wrote meanwhile.
    fn draw_anew(&mut self) -> io::Result<()> {
        self.row = 0;
        self.columns = self.columns_now();
        self.draw()
    }

    /// Draws the line anew where the window has another width. Some windows lay out anew what was drawn and some do not;
    /// where that makes a difference a piece of the line is left above it, and nothing is lost that others wrote.
    fn fit(&mut self) -> io::Result<()> {
        let columns = self.columns_now();
        if columns == self.columns {
            return Ok(());
        }
        self.columns = columns;
        self.row = self.row.min(self.cursor().row);
        self.draw()
    }

    /// Shows the whole line once more, as it was typed, and ends it.
    fn finish(&mut self) -> io::Result<()> {
        self.clear()?;
        self.term.write_line(&self.shown().collect::<String>())
    }

    /// Puts the cursor below the line.
    fn leave(&mut self) -> io::Result<()> {
        self.term.move_cursor_down(self.last_row().saturating_sub(self.row))?;
        self.term.write_line("")
    }

    fn clear(&self) -> io::Result<()> {
        self.term.move_cursor_up(self.row)?;
        self.term.write_str("\r")?;
        self.term.clear_to_end_of_screen()
    }

    fn shown(&self) -> impl Iterator<Item = char> {
        self.head.chars().chain(self.chars.iter().copied())
    }

    /// The row of the last character: a full row ends in itself.
    fn last_row(&self) -> usize {
        after(self.shown(), self.columns).row
    }

    /// Where the cursor belongs.
    fn cursor(&self) -> Place {
        let before = self.head.chars().chain(self.chars[..self.at].iter().copied());
        match self.chars.get(self.at) {
            Some(next) => begins(before, *next, self.columns),
            None => after(before, self.columns),
        }
    }

    fn columns_now(&self) -> usize {
        usize::from(self.term.size().1).max(1)
    }
}
