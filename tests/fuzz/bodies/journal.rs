//! Journals: what is read is replayed, and written again leads to the same session.

use std::path::Path;

use cornerset::session::{LogEntry, Opened};
use cornerset::store::read_journal;
use serde_json::json;
use sha2::{Digest, Sha256};

use super::{shown, sitting};

/// A journal as it is, and with its numbers and sums put right, so that what stands in its lines is read.
pub fn run(data: &[u8]) {
    taken_up(data);
    taken_up(&put_right(data));
}

fn taken_up(journal: &[u8]) {
    let (state, torn) = match read_journal(journal, sitting::ID, Path::new("journal.ndjson")) {
        Ok(read) => read,
        Err(why) => {
            shown::text(&why, &String::from_utf8_lossy(journal));
            return assert!(why.len() < 16 * 1024, "what is wrong is said shortly: {} bytes", why.len());
        }
    };
    let complete = journal.iter().rposition(|byte| *byte == b'\n').map_or(0, |place| place + 1);
    assert_eq!(torn, (journal.len() - complete) as u64, "only what has no line end is torn");
    assert_eq!(state.log().len() + 1, journal[..complete].split(|byte| *byte == b'\n').count() - 1);
    let written = written(state.opened(), state.log());
    let again = read_journal(written.as_bytes(), sitting::ID, Path::new("journal.ndjson"));
    // Not `assert_eq`: a whole session is no message.
    assert!(again == Ok((state.clone(), 0)), "what is written is not read as the same");
    let torn = [written.as_bytes(), b"{\"line\":"].concat();
    let (cut, dropped) = read_journal(&torn[..], sitting::ID, Path::new("journal.ndjson")).expect("a torn line is cut");
    assert!(cut == state && dropped == 8, "a torn line is not all that is cut: {dropped}");
    sitting::check(&state);
}

/// A journal by the words of its format: see the head of `store/line.rs`.
fn written(opened: &Opened, log: &[LogEntry]) -> String {
    let header = json!({
        "format": "cornerset-journal", "version": 1, "line": 1, "id": opened.id, "bench": opened.bench,
        "entry": opened.entry, "practice": opened.practice, "tool": opened.tool, "opened_at": opened.at,
    });
    let mut sums = Sums::default();
    let mut text = sums.line(header.to_string().as_bytes());
    for (number, entry) in (2..).zip(log) {
        let entry = serde_json::to_string(entry).expect("an entry is written");
        text.extend(sums.line(format!("{{\"line\":{number},\"entry\":{entry}}}").as_bytes()));
    }
    String::from_utf8(text).expect("text")
}

/// The same lines with the numbers and sums that they should have.
fn put_right(data: &[u8]) -> Vec<u8> {
    const SUM: &[u8] = b",\"sum\":\"";
    const LINE: &[u8] = b"{\"line\":";
    let mut sums = Sums::default();
    let mut right = vec![];
    for (number, line) in (1..).zip(data.split_inclusive(|byte| *byte == b'\n')) {
        let Some(line) = line.strip_suffix(b"\n") else {
            right.extend_from_slice(line);
            break;
        };
        let end = line.windows(SUM.len()).rposition(|part| part == SUM).unwrap_or(line.len().saturating_sub(1));
        let mut body = line[..end].to_vec();
        if let Some(rest) = body.strip_prefix(LINE) {
            let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
            body = [LINE, format!("{number}").as_bytes(), &rest[digits..]].concat();
        }
        body.push(b'}');
        right.extend(sums.line(&body));
    }
    right
}

/// The sum of each line: the first 16 digits of the SHA-256 of the sum before it and its own bytes.
#[derive(Default)]
struct Sums(String);

impl Sums {
    /// An object as a line with its sum in it.
    fn line(&mut self, object: &[u8]) -> Vec<u8> {
        let body = object.strip_suffix(b"}").unwrap_or(object);
        let hash = Sha256::new().chain_update(&self.0).chain_update(body).finalize();
        self.0 = hash.iter().take(8).map(|byte| format!("{byte:02x}")).collect();
        [body, format!(",\"sum\":\"{}\"}}\n", self.0).as_bytes()].concat()
    }
}
