//! Records that come one a line: read in batches, as many as are there, so that nobody waits for an answer.

use std::io::{self, BufRead, BufReader, Read};

use crate::record::RECORD_MAX;

/// So much is read at once.
const AT_ONCE: usize = 1024 * 1024;

/// So many lines are handed on at once.
const MOST_LINES: usize = 1024;

/// A line without its end, with its number, from 1; `None` for one that is longer than a record may be.
pub(super) type Line = (u64, Option<Vec<u8>>);

/// Lines of records.
pub(super) struct Records<R> {
    input: BufReader<R>,
    /// The number of the last line read.
    line: u64,
}

impl<R: Read> Records<R> {
    pub fn new(input: R) -> Self {
        Self { input: BufReader::with_capacity(AT_ONCE, input), line: 0 }
    }

    /// The next line that is not empty, and those that have come behind it already; `None` at the end.
    pub fn next_lines(&mut self) -> io::Result<Option<Vec<Line>>> {
        let mut lines = vec![];
        while lines.is_empty() || (lines.len() < MOST_LINES && self.input.buffer().contains(&b'\n')) {
            match self.next_line()? {
                None => break,
                Some((_, Some(bytes))) if bytes.trim_ascii().is_empty() => {}
                Some(line) => lines.push(line),
            }
        }
        Ok((!lines.is_empty()).then_some(lines))
    }

    fn next_line(&mut self) -> io::Result<Option<Line>> {
        let mut bytes = Vec::new();
        // A record of the largest size and its line end, of one character or of two.
        let read = self.input.by_ref().take(RECORD_MAX + 2).read_until(b'\n', &mut bytes)?;
        if read == 0 {
            return Ok(None);
        }
        self.line += 1;
        if bytes.pop_if(|last| *last == b'\n').is_some() {
            bytes.pop_if(|last| *last == b'\r');
        } else if bytes.len() as u64 > RECORD_MAX {
            self.input.skip_until(b'\n')?;
        }
        let fits = bytes.len() as u64 <= RECORD_MAX;
        Ok(Some((self.line, fits.then_some(bytes))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::parse_record;

    fn all(bytes: &[u8]) -> Vec<Line> {
        let mut records = Records::new(bytes);
        let mut lines = vec![];
        while let Some(more) = records.next_lines().unwrap() {
            lines.extend(more);
        }
        lines
    }

    #[test]
    fn lines_keep_their_numbers_and_blank_ones_end_nothing() {
        let blank = b"\n".repeat(3 * AT_ONCE);
        let count = blank.len() as u64;
        let lines = all(&[&blank[..], b"one\n\r\n  \ntwo"].concat());
        assert_eq!(lines, [(count + 1, Some(b"one".to_vec())), (count + 4, Some(b"two".to_vec()))]);
        assert_eq!(all(b""), []);
        assert_eq!(all(b"\n\n"), []);
    }

    #[test]
    fn a_line_is_as_long_as_a_record_may_be() {
        let longest = vec![b'x'; RECORD_MAX as usize];
        let ends: [&[u8]; 7] = [b"\n", b"\r\n", b"\r\r\n", b"y\n", b"y\r\n", b"yyy\n", b"\nnext\r\n"];
        let lines = all(&ends.map(|end| [&longest[..], end].concat()).concat());
        let whole = Some(longest.len());
        assert_eq!(
            lines.iter().map(|(number, bytes)| (*number, bytes.as_ref().map(Vec::len))).collect::<Vec<_>>(),
            [(1, whole), (2, whole), (3, None), (4, None), (5, None), (6, None), (7, whole), (8, Some(4))]
        );
        assert_eq!(all(&longest), [(1, Some(longest.clone()))], "at the end of the input");
        assert_eq!(all(&[&longest[..], b"y"].concat()), [(1, None)]);
    }

    /// What fits by its line is not refused by its record.
    #[test]
    fn a_record_of_the_largest_size_is_read() {
        let mut longest = b"{}".to_vec();
        longest.resize(RECORD_MAX as usize, b' ');
        let lines = all(&[&longest[..], b"\r\n"].concat());
        let why = parse_record(lines[0].1.as_ref().unwrap()).unwrap_err();
        assert_eq!(why, parse_record(b"{}").unwrap_err(), "it is not too large");
    }
}
