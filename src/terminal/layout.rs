//! Where the characters of a line stand, once a terminal has laid them out in its columns.

use console::measure_text_width;

/// A place, counted from where the line begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Place {
    pub row: usize,
    pub column: usize,
}

impl Place {
    /// Where a character of this width begins: one that no longer fits in the row begins the next one.
    const fn fitting(self, width: usize, columns: usize) -> Self {
        if self.column + width > columns { Self { row: self.row + 1, column: 0 } } else { self }
    }

    /// Where the cursor stands once a character of this width is written here: behind the last column where that is full.
    pub(super) fn then(self, width: usize, columns: usize) -> Self {
        let width = width.min(columns);
        let begins = self.fitting(width, columns);
        Self { column: begins.column + width, ..begins }
    }
}

/// The columns of a character; none where it is drawn over the one before it.
pub(super) fn width(of: char) -> usize {
    measure_text_width(of.encode_utf8(&mut [0; 4]))
}

/// Where the cursor stands once this is written.
pub(super) fn after(text: impl IntoIterator<Item = char>, columns: usize) -> Place {
    text.into_iter().fold(Place::default(), |place, written| place.then(width(written), columns))
}

/// Where the character begins that stands after this.
pub(super) fn begins(text: impl IntoIterator<Item = char>, next: char, columns: usize) -> Place {
    after(text, columns).fitting(width(next).min(columns), columns)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COMBINING: char = '\u{301}';

    /// What a terminal does with it, in so many columns: the library that reads the screen in `tests/terminal*.rs`.
    fn in_terminal(text: &str, columns: u16) -> Place {
        let some = |length| std::num::NonZeroU16::new(length).unwrap();
        let mut terminal = vt100::Parser::new(some(40), some(columns), 0);
        terminal.process(text.as_bytes());
        let (row, column) = terminal.screen().cursor_position();
        Place { row: row.into(), column: column.into() }
    }

    #[test]
    fn a_line_ends_where_a_terminal_ends_it() {
        let texts = [
            "",
            "a",
            "reading: 5.66",
            "note: \u{97f3}\u{91cf}\u{8abf}\u{6574}\u{5b8c}\u{4e86}",
            "e\u{301}e\u{301}e\u{301}ab",
            "a\u{1f50a}b\u{1f50a}\u{1f50a}",
        ];
        for columns in 2..20 {
            for text in texts {
                let place = after(text.chars(), columns.into());
                assert_eq!(place, in_terminal(text, columns), "{text} in {columns}");
                assert!(place.column <= columns.into());
            }
        }
    }

    #[test]
    fn a_full_row_ends_in_itself_and_the_next_character_begins_another() {
        assert_eq!(after("abcdef".chars(), 6), Place { row: 0, column: 6 });
        assert_eq!(begins("abcdef".chars(), 'g', 6), Place { row: 1, column: 0 });
        assert_eq!(begins("abcde".chars(), 'g', 6), Place { row: 0, column: 5 });
    }

    #[test]
    fn a_wide_character_does_not_lie_across_an_end() {
        assert_eq!(begins("abcde".chars(), '\u{97f3}', 6), Place { row: 1, column: 0 });
        assert_eq!(after("abcde\u{97f3}".chars(), 6), Place { row: 1, column: 2 });
        assert_eq!(after("\u{97f3}\u{97f3}\u{97f3}".chars(), 5), Place { row: 1, column: 2 });
    }

    #[test]
    fn a_combining_character_takes_no_column() {
        assert_eq!((width('a'), width(COMBINING), width('\u{97f3}')), (1, 0, 2));
        assert_eq!(after(['a', COMBINING, 'b'], 2), Place { row: 0, column: 2 });
        assert_eq!(after(['a', 'b', COMBINING], 2), Place { row: 0, column: 2 });
    }

    #[test]
    fn a_window_of_one_column_ends() {
        assert_eq!(after("\u{97f3}a".chars(), 1), Place { row: 1, column: 1 });
    }
}
