//! The lines of a journal: how one is written, and how they are read back.
//!
//! The first line is the header, a JSON object with `format`, `version` and what the session was opened with; every
//! other one is `{"line":N,"entry":{...},"sum":"..."}`. The sum of a line is the first 16 hexadecimal digits of the
//! SHA-256 of the sum before it (nothing for the header) followed by this line's own bytes up to `,"sum"`. So a line
//! that was changed, lost, repeated or moved does not follow from the one before it.

use std::fmt::Write;
use std::io::{self, BufRead, BufReader, ErrorKind, Read};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::quantity::text::visible;
use crate::session::{EntryMode, LogEntry, Moment, Opened};

/// The name of the format.
const FORMAT: &str = "cornerset-journal";

/// The version of the format. A reader refuses another one.
///
/// - 1: the first.
const VERSION: u32 = 1;

/// The longest line, with its line end.
pub(super) const LINE_MAX: usize = 1024 * 1024;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Header {
    format: String,
    version: u32,
    line: u64,
    id: String,
    bench: String,
    entry: EntryMode,
    practice: bool,
    tool: String,
    opened_at: Moment,
}

#[derive(Debug, Serialize)]
struct Numbered<'a> {
    line: u64,
    entry: &'a LogEntry,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct NumberedRead {
    line: u64,
    entry: LogEntry,
}

/// What every version of a header has.
#[derive(Debug, Deserialize)]
struct Kind {
    format: String,
    version: u64,
}

/// A line with its line end, and its sum.
#[derive(Debug)]
pub(super) struct Written {
    pub bytes: Vec<u8>,
    pub sum: String,
}

impl Written {
    fn line(&self) -> &[u8] {
        self.bytes.strip_suffix(b"\n").unwrap_or(&self.bytes)
    }

    fn if_same<T: PartialEq>(self, again: Result<&T, &String>, written: &T) -> io::Result<Self> {
        match again {
            Ok(again) if again == written => Ok(self),
            _ => Err(io::Error::new(ErrorKind::InvalidData, "it would not be read back as it is")),
        }
    }
}

/// The first line of a journal. What would not be read back as the same is not written.
pub(super) fn header(opened: &Opened) -> io::Result<Written> {
    let header = Header {
        format: FORMAT.to_owned(),
        version: VERSION,
        line: 1,
        id: opened.id.clone(),
        bench: opened.bench.clone(),
        entry: opened.entry,
        practice: opened.practice,
        tool: opened.tool.clone(),
        opened_at: opened.at,
    };
    let written = with_sum(&header, "")?;
    let again = read_header(written.line(), &opened.id).map(|contents| contents.opened);
    written.if_same(again.as_ref(), opened)
}

/// The line of an entry. What would not be read back as the same is not written.
pub(super) fn numbered(line: u64, entry: &LogEntry, previous: &str) -> io::Result<Written> {
    let written = with_sum(&Numbered { line, entry }, previous)?;
    let again = read_entry(written.line(), line, previous).map(|(entry, _)| entry);
    written.if_same(again.as_ref(), entry)
}

fn with_sum(object: &impl Serialize, previous: &str) -> serde_json::Result<Written> {
    let mut bytes = serde_json::to_vec(object)?;
    bytes.pop();
    let sum = sum(previous, &bytes);
    bytes.extend(format!("{SUM_KEY}{sum}\"}}\n").into_bytes());
    Ok(Written { bytes, sum })
}

const SUM_KEY: &str = ",\"sum\":\"";
const SUM_DIGITS: usize = 16;

/// The first digits of the SHA-256 of what came before and these bytes.
pub(super) fn sum(previous: &str, bytes: &[u8]) -> String {
    let hash = Sha256::new().chain_update(previous).chain_update(bytes).finalize();
    let mut digits = String::with_capacity(SUM_DIGITS);
    for byte in hash.iter().take(SUM_DIGITS / 2) {
        let _ = write!(digits, "{byte:02x}");
    }
    digits
}

/// What a journal holds.
#[derive(Debug)]
pub(super) struct Contents {
    pub opened: Opened,
    pub log: Vec<LogEntry>,
    /// The number of the last complete line.
    pub line: u64,
    /// The sum of the last complete line.
    pub sum: String,
    /// The length of the complete lines.
    pub good: u64,
    /// The length of what comes after them.
    pub torn: u64,
}

/// Why a journal cannot be read.
#[derive(Debug)]
pub(super) enum Fault {
    Disk(io::Error),
    /// No line is complete.
    Nothing,
    /// The line, from 1, and what is wrong with it, as the end of a sentence.
    Damage(u64, String),
}

/// Reads a journal, and drops what comes after its last line end.
pub(super) fn read(journal: impl Read, id: &str) -> Result<Contents, Fault> {
    let mut reader = BufReader::new(journal);
    let mut contents: Option<Contents> = None;
    let mut line = Vec::new();
    for number in 1.. {
        let length = match next_line(&mut reader, &mut line).map_err(Fault::Disk)? {
            Next::Complete => line.len() as u64 + 1,
            Next::TooLong => return Err(Fault::Damage(number, format!("is longer than {LINE_MAX} bytes"))),
            Next::End(torn) => {
                let mut contents = contents.ok_or(Fault::Nothing)?;
                contents.torn = torn;
                return Ok(contents);
            }
        };
        let damage = |what| Fault::Damage(number, what);
        match &mut contents {
            None => contents = Some(read_header(&line, id).map_err(damage)?),
            Some(contents) => {
                let (entry, sum) = read_entry(&line, number, &contents.sum).map_err(damage)?;
                contents.log.push(entry);
                contents.line = number;
                contents.sum = sum;
                contents.good += length;
            }
        }
    }
    Err(Fault::Nothing)
}

fn read_header(line: &[u8], id: &str) -> Result<Contents, String> {
    let kind: Kind = serde_json::from_slice(utf8(line)?.as_bytes())
        .map_err(|error| format!("is not the header of a journal: {}", said(&error)))?;
    if kind.format != FORMAT {
        return Err(format!("says that this is a `{}`, not a `{FORMAT}`", visible(&kind.format)));
    }
    if kind.version != u64::from(VERSION) {
        let version = kind.version;
        return Err(format!(
            "says version {version} of the format, and this program reads version {VERSION}: use the program that \
             wrote it, or a newer one"
        ));
    }
    let (body, sum) = checked(line, "")?;
    let header: Header = serde_json::from_slice(&body).map_err(|error| format!("cannot be read: {}", said(&error)))?;
    if header.id != id {
        return Err(format!("is the header of another session: {}", visible(&header.id)));
    }
    let opened = Opened {
        id: header.id,
        bench: header.bench,
        entry: header.entry,
        practice: header.practice,
        tool: header.tool,
        at: header.opened_at,
    };
    Ok(Contents { opened, log: Vec::new(), line: 1, sum, good: line.len() as u64 + 1, torn: 0 })
}

fn read_entry(line: &[u8], number: u64, previous: &str) -> Result<(LogEntry, String), String> {
    utf8(line)?;
    let (body, sum) = checked(line, previous)?;
    let read: NumberedRead =
        serde_json::from_slice(&body).map_err(|error| format!("cannot be read: {}", said(&error)))?;
    if read.line != number {
        return Err(format!("says that it is line {}", read.line));
    }
    Ok((read.entry, sum))
}

fn utf8(line: &[u8]) -> Result<&str, String> {
    std::str::from_utf8(line).map_err(|_| "is not UTF-8 text".to_owned())
}

/// The line without its sum, and the sum, where it is right.
fn checked(line: &[u8], previous: &str) -> Result<(Vec<u8>, String), String> {
    let tail = SUM_KEY.len() + SUM_DIGITS + 2;
    let (body, end) = line.split_at(line.len().saturating_sub(tail));
    let sum = sum(previous, body);
    if end.starts_with(SUM_KEY.as_bytes()) && end == format!("{SUM_KEY}{sum}\"}}").as_bytes() {
        return Ok(([body, b"}"].concat(), sum));
    }
    if end.starts_with(SUM_KEY.as_bytes()) {
        return Err("does not follow from the line before it: it, or one before it, was changed, moved, repeated or \
                    taken out"
            .to_owned());
    }
    Err("does not end with a sum: it was changed or cut".to_owned())
}

fn said(error: &serde_json::Error) -> String {
    visible(&error.to_string())
}

enum Next {
    Complete,
    TooLong,
    /// No complete line follows, but so many bytes.
    End(u64),
}

/// Reads up to the next line end, never more than [`LINE_MAX`] bytes into memory.
fn next_line(reader: &mut impl BufRead, line: &mut Vec<u8>) -> io::Result<Next> {
    line.clear();
    reader.by_ref().take(LINE_MAX as u64).read_until(b'\n', line)?;
    if line.pop_if(|last| *last == b'\n').is_some() {
        return Ok(Next::Complete);
    }
    let mut torn = line.len() as u64;
    if torn < LINE_MAX as u64 {
        return Ok(Next::End(torn));
    }
    loop {
        let buffer = match reader.fill_buf() {
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            other => other?,
        };
        let length = buffer.len();
        if length == 0 {
            return Ok(Next::End(torn));
        }
        if buffer.contains(&b'\n') {
            return Ok(Next::TooLong);
        }
        torn += length as u64;
        reader.consume(length);
    }
}
