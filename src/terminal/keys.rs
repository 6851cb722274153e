//! Keys, from the bytes that a terminal sends for them.
//!
//! Characters are UTF-8, in however many pieces they come. Other keys are sequences that begin with Esc (ECMA-48): those that
//! are known here move or erase, all others are taken as a whole and do nothing, so that no piece of one is text.

use std::mem::take;

const ESC: u8 = 0x1b;

/// A key that does something in a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    Char(char),
    Enter,
    Left,
    Right,
    Home,
    End,
    Backspace,
    Delete,
    /// Ctrl-U: what stands before the cursor goes.
    EraseLine,
    /// Ctrl-W: the word before the cursor goes.
    EraseWord,
    /// Ctrl-K: what stands from the cursor on goes.
    EraseRest,
    /// Ctrl-C.
    Stop,
    /// Ctrl-Z.
    Suspend,
}

/// What has come of a key so far.
#[derive(Debug, Default)]
enum State {
    /// Nothing.
    #[default]
    Ground,
    /// The first bytes of a character.
    Half(Vec<u8>),
    /// Esc.
    Escape,
    /// Esc and `O`; one byte follows, in some terminals digits before it.
    Single,
    /// Esc and `[`; what follows up to the byte that ends it.
    Control(Vec<u8>),
    /// Esc and `[[`, a function key of the Linux console; one byte follows.
    Console,
}

/// Makes keys of bytes.
#[derive(Debug, Default)]
pub(super) struct Decoder(State);

impl Decoder {
    /// One more byte: the keys that end with it.
    pub(super) fn take(&mut self, byte: u8) -> [Option<Key>; 2] {
        match take(&mut self.0) {
            State::Ground => [self.first(byte), None],
            State::Half(bytes) => self.half(bytes, byte),
            State::Escape => {
                match byte {
                    b'[' => self.0 = State::Control(vec![]),
                    b'O' => self.0 = State::Single,
                    // With the Alt key, or Esc alone and then a key in one go: the key is what it is without.
                    _ => return [self.first(byte), None],
                }
                [None, None]
            }
            State::Single => match byte {
                b'0'..=b'9' | b';' => {
                    self.0 = State::Single;
                    [None, None]
                }
                // What keyboards send, those of figures included.
                b'A'..=b'I' | b'M' | b'P'..=b'S' | b'X' | b'j'..=b'y' => [moving(byte), None],
                _ => [Some(Key::Char('O')), self.first(byte)],
            },
            State::Control(before) => self.control(before, byte),
            State::Console => [None, None],
        }
    }

    /// Nothing came for a while, so that nothing more comes of what began with Esc; a half character is waited for.
    pub(super) fn pause(&mut self) -> Option<Key> {
        match take(&mut self.0) {
            State::Half(bytes) => {
                self.0 = State::Half(bytes);
                None
            }
            State::Single => Some(Key::Char('O')),
            State::Control(before) if before.is_empty() => Some(Key::Char('[')),
            _ => None,
        }
    }

    /// The first byte of a key.
    fn first(&mut self, byte: u8) -> Option<Key> {
        match byte {
            // Home, as shells have it.
            0x01 => Some(Key::Home),
            0x03 => Some(Key::Stop),
            0x05 => Some(Key::End),
            0x08 | 0x7f => Some(Key::Backspace),
            // In a line that was pasted from a table it stands between two numbers.
            b'\t' => Some(Key::Char(' ')),
            b'\r' | b'\n' => Some(Key::Enter),
            0x0b => Some(Key::EraseRest),
            0x15 => Some(Key::EraseLine),
            0x17 => Some(Key::EraseWord),
            0x1a => Some(Key::Suspend),
            ESC => {
                self.0 = State::Escape;
                None
            }
            b' '..=b'~' => Some(Key::Char(char::from(byte))),
            0xc2..=0xf4 => {
                self.0 = State::Half(vec![byte]);
                None
            }
            0x80.. => Some(Key::Char(char::REPLACEMENT_CHARACTER)),
            _ => None,
        }
    }

    /// The next byte of a character.
    fn half(&mut self, mut bytes: Vec<u8>, byte: u8) -> [Option<Key>; 2] {
        bytes.push(byte);
        match std::str::from_utf8(&bytes) {
            Ok(text) => [text.chars().find(|found| !found.is_control()).map(Key::Char), None],
            Err(error) if error.error_len().is_none() => {
                self.0 = State::Half(bytes);
                [None, None]
            }
            // It is no UTF-8. That is shown, and a line is not sent before it was seen.
            Err(_) => {
                let next = self.first(byte).filter(|key| *key != Key::Enter);
                [Some(Key::Char(char::REPLACEMENT_CHARACTER)), next]
            }
        }
    }

    /// The next byte after Esc and `[`.
    fn control(&mut self, mut before: Vec<u8>, byte: u8) -> [Option<Key>; 2] {
        match byte {
            b'[' if before.is_empty() => self.0 = State::Console,
            // In some terminals the end of a key with Shift.
            b'$' if !before.starts_with(b"?") => {}
            b' '..=b'?' => {
                before.push(byte);
                self.0 = State::Control(before);
            }
            b'@'..=b'~' => return [known(&before, byte), None],
            // It was broken off.
            _ => return [self.first(byte), None],
        }
        [None, None]
    }
}

/// A sequence that is known here: without another key held down.
fn known(before: &[u8], end: u8) -> Option<Key> {
    match (before, end) {
        (b"" | b"1", end) => moving(end).or((before == b"1" && end == b'~').then_some(Key::Home)),
        (b"7", b'~') => Some(Key::Home),
        (b"4" | b"8", b'~') => Some(Key::End),
        (b"3", b'~') => Some(Key::Delete),
        _ => None,
    }
}

const fn moving(end: u8) -> Option<Key> {
    match end {
        b'C' => Some(Key::Right),
        b'D' => Some(Key::Left),
        b'F' => Some(Key::End),
        b'H' => Some(Key::Home),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The keys of bytes that come in one go, and what a pause after them makes of the last.
    fn keys(bytes: &[u8]) -> Vec<Key> {
        let mut decoder = Decoder::default();
        let mut found: Vec<Key> = bytes.iter().flat_map(|byte| decoder.take(*byte)).flatten().collect();
        found.extend(decoder.pause());
        found
    }

    fn text(bytes: &[u8]) -> String {
        let shown = |key| match key {
            Key::Char(typed) => typed,
            Key::Enter => '\n',
            _ => '#',
        };
        keys(bytes).into_iter().map(shown).collect()
    }

    /// As terminfo has them for xterm, rxvt, the Linux console, screen and vt220 (`infocmp`), from memory.
    #[test]
    fn the_usual_keys_in_the_forms_of_the_usual_terminals() {
        let forms: [(Key, &[&[u8]]); 12] = [
            (Key::Left, &[b"\x1b[D", b"\x1bOD"]),
            (Key::Right, &[b"\x1b[C", b"\x1bOC"]),
            (Key::Home, &[b"\x1b[H", b"\x1bOH", b"\x1b[1~", b"\x1b[7~", b"\x01"]),
            (Key::End, &[b"\x1b[F", b"\x1bOF", b"\x1b[4~", b"\x1b[8~", b"\x05"]),
            (Key::Delete, &[b"\x1b[3~"]),
            (Key::Backspace, &[b"\x7f", b"\x08"]),
            (Key::EraseLine, &[b"\x15"]),
            (Key::EraseWord, &[b"\x17"]),
            (Key::EraseRest, &[b"\x0b"]),
            (Key::Enter, &[b"\r", b"\n"]),
            (Key::Stop, &[b"\x03"]),
            (Key::Suspend, &[b"\x1a"]),
        ];
        for (key, forms) in forms {
            for form in forms {
                assert_eq!(keys(form), [key], "{form:?}");
                assert_eq!(keys(&[form, &b"5"[..]].concat()), [key, Key::Char('5')], "{form:?}");
            }
        }
    }

    #[test]
    fn a_sequence_that_is_not_known_leaves_no_piece_of_itself() {
        let unknown: [&[u8]; 19] = [
            b"\x1b[A",
            b"\x1bOP",
            b"\x1bO2P",
            b"\x1b[1;5C",
            b"\x1b[1;2D",
            b"\x1b[15~",
            b"\x1b[15;5~",
            b"\x1b[3;5~",
            b"\x1b[[A",
            b"\x1b[[C",
            b"\x1b[3$",
            b"\x1b[7^",
            b"\x1b[27;5;13~",
            b"\x1b[200~",
            b"\x1b[201~",
            b"\x1b[I",
            b"\x1b[<0;12;5M",
            b"\x1b[?2026;1$y",
            b"\x1b[12;5R",
        ];
        for bytes in unknown {
            assert_eq!(text(&[b"5.6", bytes, b"6"].concat()), "5.66", "{bytes:?}");
            assert_eq!(text(&[b"5.66", bytes].concat()), "5.66", "{bytes:?}");
        }
    }

    #[test]
    fn what_follows_a_lone_esc_is_itself() {
        for (bytes, expected) in [
            (&b"\x1b5.66"[..], "5.66"),
            (b"\x1b\x1b5", "5"),
            (b"\x1bO.", "O."),
            (b"\x1bO", "O"),
            (b"\x1b[", "["),
            (b"\x1b\r", "\n"),
            (b"\x1b[1;\r", "\n"),
            (b"\x1bO\r", "O\n"),
            (b"\x1b[5\xc3\xa9", "\u{e9}"),
            ("\x1b\u{e9}".as_bytes(), "\u{e9}"),
        ] {
            assert_eq!(text(bytes), expected, "{bytes:?}");
        }
        let mut decoder = Decoder::default();
        assert_eq!((decoder.take(ESC), decoder.pause()), ([None, None], None));
        assert_eq!(decoder.take(b'['), [Some(Key::Char('[')), None]);
    }

    /// Against the standard library's own reading of UTF-8.
    #[test]
    fn characters_of_any_length_come_in_pieces() {
        let all = "a\u{e9}\u{20ac}\u{1f50a}\u{301}\u{7ff}\u{800}\u{ffff}\u{10000}\u{10ffff}";
        let mut decoder = Decoder::default();
        let mut found = String::new();
        for byte in all.bytes() {
            for key in decoder.take(byte).into_iter().flatten().chain(decoder.pause()) {
                assert!(matches!(key, Key::Char(typed) if { found.push(typed); true }), "{key:?}");
            }
        }
        assert_eq!(found, all);
    }

    #[test]
    fn what_is_no_utf_8_is_shown_before_it_is_sent() {
        for bytes in
            [&b"caf\xe9"[..], b"\xc3\xc3\xa9", b"\xff\xfe", b"\x80", b"\xed\xa0\x80x", b"\xf0\x9f\x94z", b"\xe0\x80."]
        {
            let lossy = String::from_utf8_lossy(bytes);
            assert_eq!(text(&[bytes, b"5"].concat()), format!("{lossy}5"), "{bytes:?}");
        }
        assert_eq!(text(b"caf\xe9\r"), "caf\u{fffd}");
        assert_eq!(text(b"caf\xe9\r\r"), "caf\u{fffd}\n");
        assert_eq!(text(b"caf\xe9"), "caf");
        // A control character of two bytes.
        assert_eq!(text(b"\xc2\x9b5"), "5");
    }

    /// Whatever comes, Enter twice ends the line.
    #[test]
    fn no_bytes_keep_enter_from_ending_the_line() {
        let bytes = [ESC, b'[', b'O', b'$', b'?', b'1', b'~', b'C', 0xc3, 0xf0, 0x9f, 0x80, 0xff, 0x1a, b' '];
        for at in 0..bytes.len().pow(4) {
            let mut decoder = Decoder::default();
            for place in 0..4 {
                decoder.take(bytes[at / bytes.len().pow(place) % bytes.len()]);
            }
            let ended =
                [b'\r', b'\r'].iter().flat_map(|byte| decoder.take(*byte)).flatten().any(|key| key == Key::Enter);
            assert!(ended, "{at}");
        }
    }
}
