//! Records that come one a line: read in batches, as many as are there, so that nobody waits for an answer.

use std::io::{self, BufRead, BufReader, Read};

use crate::record::RECORD_MAX;

/// So much is read at once.
const AT_ONCE: usize = 1024 * 1024;

/// So many lines are handed on at once.
const MOST_LINES: usize = 1024;

/// A line with its number, from 1; `None` for one that is longer than a record may be.
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
        // A record of the largest size and its line end.
        let read = self.input.by_ref().take(RECORD_MAX + 1).read_until(b'\n', &mut bytes)?;
        if read == 0 {
            return Ok(None);
        }
        self.line += 1;
        if bytes.len() as u64 > RECORD_MAX && !bytes.ends_with(b"\n") {
            self.input.skip_until(b'\n')?;
            return Ok(Some((self.line, None)));
        }
        Ok(Some((self.line, Some(bytes))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        assert_eq!(lines, [(count + 1, Some(b"one\n".to_vec())), (count + 4, Some(b"two".to_vec()))]);
        assert_eq!(all(b""), []);
        assert_eq!(all(b"\n\n"), []);
    }

    #[test]
    fn a_line_is_as_long_as_a_record_may_be() {
        let longest = vec![b'x'; RECORD_MAX as usize];
        let lines = all(&[&longest[..], b"\n", &longest, b"y\nnext\n"].concat());
        assert_eq!(
            lines.iter().map(|(number, bytes)| (*number, bytes.as_ref().map(Vec::len))).collect::<Vec<_>>(),
            [(1, Some(longest.len() + 1)), (2, None), (3, Some(5))]
        );
    }
}
