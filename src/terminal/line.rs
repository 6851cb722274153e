//! A line while it is typed, and what a terminal is sent so that it stands there as it is.

use super::keys::Key;
use super::layout::{Place, after, begins, width};

/// What was typed, and where the cursor stands.
#[derive(Debug)]
pub(super) struct Line {
    /// The prompt as it is drawn.
    head: String,
    chars: Vec<char>,
    /// The cursor, in characters.
    at: usize,
    /// The cursor in the terminal.
    cursor: Place,
    /// The columns that the line is laid out in.
    columns: usize,
}

impl Line {
    /// Nothing is typed yet, and nothing drawn.
    pub(super) fn new(head: String, columns: usize) -> Self {
        Self { head, chars: Vec::new(), at: 0, cursor: Place::default(), columns: columns.max(1) }
    }

    /// What was typed.
    pub(super) fn typed(self) -> String {
        self.chars.into_iter().collect()
    }

    /// Does what a key does in a line.
    pub(super) fn take(&mut self, key: Key) -> String {
        match key {
            Key::Char(typed) => {
                self.chars.insert(self.at, typed);
                self.at += 1;
                if self.at == self.chars.len() {
                    self.cursor = self.cursor.then(width(typed), self.columns);
                    return typed.to_string();
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
            _ => return String::new(),
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
    pub(super) fn draw(&mut self) -> String {
        let mut drawn = self.whole();
        self.cursor = self.place();
        if self.at < self.chars.len() {
            drawn += &up(self.last_row().saturating_sub(self.cursor.row));
            // To the first column, whatever the last one was.
            drawn.push('\r');
            drawn += &moved(self.cursor.column, 'C');
        }
        drawn
    }

    /// Draws the line below what others wrote meanwhile.
    pub(super) fn draw_anew(&mut self, columns: usize) -> String {
        self.cursor = Place::default();
        self.columns = columns.max(1);
        self.draw()
    }

    /// Draws the line anew where the window has another width. Some windows lay out anew what was drawn and some do not;
    /// where that makes a difference a piece of the line is left above it, and nothing is lost that others wrote.
    pub(super) fn fit(&mut self, columns: usize) -> String {
        let columns = columns.max(1);
        if columns == self.columns {
            return String::new();
        }
        self.columns = columns;
        self.cursor.row = self.cursor.row.min(self.place().row);
        self.draw()
    }

    /// Shows the whole line once more, as it was typed, and ends it.
    pub(super) fn finish(&self) -> String {
        self.whole() + "\n"
    }

    /// Puts the cursor below the line.
    pub(super) fn leave(&self) -> String {
        moved(self.last_row().saturating_sub(self.cursor.row), 'B') + "\n"
    }

    /// The whole line in place of what stands there.
    fn whole(&self) -> String {
        let mut drawn = up(self.cursor.row) + "\r\x1b[J" + &self.head;
        drawn.extend(&self.chars);
        drawn
    }

    /// The row of the last character: a full row ends in itself.
    fn last_row(&self) -> usize {
        after(self.head.chars().chain(self.chars.iter().copied()), self.columns).row
    }

    /// Where the cursor belongs.
    fn place(&self) -> Place {
        let before = self.head.chars().chain(self.chars[..self.at].iter().copied());
        match self.chars.get(self.at) {
            Some(next) => begins(before, *next, self.columns),
            None => after(before, self.columns),
        }
    }
}

fn up(rows: usize) -> String {
    moved(rows, 'A')
}

/// The cursor, moved (ECMA-48: CUU, CUD, CUF).
fn moved(by: usize, way: char) -> String {
    if by == 0 { String::new() } else { format!("\x1b[{by}{way}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;
    use crate::terminal::keys::Decoder;

    const HEAD: &str = "note: ";
    const ROWS: u16 = 80;
    /// Keys and text as a terminal sends them: some that do something, some that do not.
    const PIECES: [&str; 26] = [
        "a",
        "5.66",
        " ",
        "\t",
        "e\u{301}",
        "\u{301}",
        "\u{e9}",
        "\u{97f3}\u{91cf}",
        "\u{1f50a}",
        "two words",
        "\x1b[D",
        "\x1b[D",
        "\x1bOD",
        "\x1b[C",
        "\x1b[H",
        "\x1b[F",
        "\x01",
        "\x05",
        "\x1b[3~",
        "\x7f",
        "\x08",
        "\x15",
        "\x17",
        "\x0b",
        "\x1b[1;5C",
        "\x1bOP",
    ];

    fn terminal(columns: usize) -> vt100::Parser {
        let some = |length| std::num::NonZeroU16::new(length).unwrap();
        vt100::Parser::new(some(ROWS), some(columns.try_into().unwrap()), 0)
    }

    /// The library draws nothing for U+FFFD; terminals draw a character of one column.
    fn write(terminal: &mut vt100::Parser, text: &str) {
        terminal.process(text.replace(char::REPLACEMENT_CHARACTER, "?").as_bytes());
    }

    fn rows(of: &vt100::Parser) -> Vec<String> {
        of.screen().rows(0, of.screen().size().1.get()).collect()
    }

    /// The window against one in which the line was written at once, and the cursor against where that one put the
    /// character that it stands on.
    #[track_caller]
    fn stands(terminal: &vt100::Parser, line: &Line, what: &str) {
        let columns = line.columns;
        let mut fresh = self::terminal(columns);
        let before: String = line.chars[..line.at].iter().collect();
        write(&mut fresh, &format!("{HEAD}{before}"));
        let mut cursor = fresh.screen().cursor_position();
        if let Some(next) = line.chars.get(line.at) {
            write(&mut fresh, &next.to_string());
            let (row, column) = fresh.screen().cursor_position();
            // A mark is on the character before it, and moves nothing.
            if (row, column) != cursor {
                let is_wide = fresh.screen().cell(row, column - 1).unwrap().is_wide_continuation();
                cursor = (row, column - 1 - u16::from(is_wide));
            }
        }
        let rest: String = line.chars[(line.at + 1).min(line.chars.len())..].iter().collect();
        write(&mut fresh, &rest);
        assert_eq!(rows(terminal), rows(&fresh), "{what}: {line:?}");
        let at_end = |(row, column): (u16, u16)| (row, column.min(columns as u16 - 1));
        assert_eq!(at_end(terminal.screen().cursor_position()), at_end(cursor), "{what}: {line:?}");
    }

    /// Types bytes and looks at the window after each key: the line, and the byte that ended it.
    fn typed(bytes: &[u8], columns: usize) -> (Line, Option<usize>) {
        let (mut decoder, mut line) = (Decoder::default(), Line::new(HEAD.to_owned(), columns));
        let mut terminal = terminal(columns);
        write(&mut terminal, &line.draw());
        for (at, byte) in bytes.iter().enumerate() {
            for key in decoder.take(*byte).into_iter().flatten() {
                if key == Key::Enter {
                    write(&mut terminal, &line.finish());
                    return (line, Some(at));
                }
                write(&mut terminal, &line.take(key));
                stands(&terminal, &line, &format!("{key:?} in {columns}"));
            }
        }
        (line, None)
    }

    #[test]
    fn whatever_keys_come_the_line_stands_as_if_it_was_written_at_once() {
        for seed in 0..100 {
            let mut chance = Chance::of(seed, 0);
            let columns = 2 + chance.below(24);
            let bytes: Vec<u8> = (0..40).flat_map(|_| chance.one_of(&PIECES).bytes()).collect();
            let (line, ended) = typed(&bytes, columns);
            assert_eq!(ended, None);
            assert!(!line.typed().contains(['\u{1b}', '~', 'C', 'P', '\t']), "{seed}");
        }
    }

    #[test]
    fn whatever_bytes_come_nothing_is_text_that_is_none_and_enter_ends_it() {
        for seed in 0..400 {
            let mut chance = Chance::of(seed, 1);
            let columns = 2 + chance.below(24);
            let count = chance.below(60);
            let some: Vec<u8> = (0..count).map(|_| (chance.bits() & 0xff) as u8).collect();
            let bytes: Vec<u8> = some.into_iter().filter(|byte| !matches!(byte, b'\r' | b'\n')).collect();
            let (line, ended) = typed(&[&bytes, &b"\r\r"[..]].concat(), columns);
            assert!(ended.is_some_and(|at| at >= bytes.len()), "{seed}: {ended:?}");
            assert!(!line.typed().contains(char::is_control), "{seed}");
        }
    }

    fn line_of(keys: &str) -> String {
        typed(keys.as_bytes(), 12).0.typed()
    }

    #[test]
    fn keys_that_erase_take_what_they_should() {
        for (keys, left) in [
            ("55.6\x15", ""),
            ("55.6\x1b[D\x15", "6"),
            ("one two  \x17three", "one three"),
            ("one\x17\x17two", "two"),
            ("one two three\x1b[D\x1b[D\x17", "one two ee"),
            ("5.66\x1b[H\x1b[C\x0b9", "59"),
            ("e\u{301}\x7f", "e"),
            ("ae\u{301}\x1b[D\x1b[3~b", "ab"),
            ("ae\u{301}\x1b[D\x1b[Db", "bae\u{301}"),
            ("5\t4", "5 4"),
            ("\x7f\x1b[3~\x15\x17\x0b\x1b[D\x1b[C", ""),
        ] {
            assert_eq!(line_of(keys), left, "{keys:?}");
        }
    }

    /// A window that does not lay out anew what was drawn: the line stands there once more, the cursor in its place.
    #[test]
    fn another_width_leaves_the_whole_line() {
        for (from, to) in [(40, 12), (12, 40), (13, 12), (30, 7)] {
            let mut line = Line::new(HEAD.to_owned(), from);
            let mut terminal = terminal(from);
            write(&mut terminal, "above\r\n");
            write(&mut terminal, &line.draw());
            for key in "\u{97f3}\u{91cf} of two words, and more".chars().map(Key::Char).chain([Key::Left, Key::Left]) {
                write(&mut terminal, &line.take(key));
            }
            assert_eq!(line.fit(from), "");
            let some = |length| std::num::NonZeroU16::new(length).unwrap();
            terminal.screen_mut().set_size(some(ROWS), some(to));
            write(&mut terminal, &line.fit(to.into()));
            write(&mut terminal, &line.take(Key::Char('X')));
            let shown = rows(&terminal).concat();
            assert!(shown.starts_with("above"), "{shown}");
            assert_eq!(shown.matches("and moXre").count(), 1, "{from} to {to}: {shown}");
            assert!(shown.ends_with("note: \u{97f3}\u{91cf} of two words, and moXre"), "{from} to {to}: {shown}");
        }
    }
}
