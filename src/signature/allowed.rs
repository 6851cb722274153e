//! The trust list: OpenSSH's allowed_signers format.

use chrono::{DateTime, FixedOffset, NaiveDateTime};

use super::key::PublicKey;
use super::listed::{Listed, Named};
use crate::session::Moment;

/// The longest list that is used, in bytes.
pub const LIST_MAX: usize = 1024 * 1024;
/// The longest line in it.
const LINE_MAX: usize = 16 * 1024;

/// How many lines that cannot be used are told of one by one.
const TOLD: usize = 50;

/// How many lines' principals are named where a key is listed for other names.
const NAMED: usize = 5;

/// Whose key may sign, and when.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AllowedSigners(Vec<Listed>);

/// What a trust list says of a key under a name at a time.
#[derive(Debug, Clone, PartialEq)]
pub enum Listing {
    /// It may sign.
    Listed,
    /// No line has this key.
    Stranger,
    /// Lines have it, for other names only: the principals as the list writes them.
    OtherName(String),
    /// Lines have it for this name, for other purposes only.
    OtherNamespace,
    /// It may sign from then on.
    NotYet(Moment),
    /// It might sign until then.
    NoLonger(Moment),
}

impl AllowedSigners {
    /// Reads a list; lines that cannot be used are told of and passed over.
    pub fn parse(text: &str, local: &dyn Fn(NaiveDateTime) -> Option<DateTime<FixedOffset>>) -> (Self, Vec<String>) {
        let mut lines = vec![];
        let mut warnings = vec![];
        if text.len() > LIST_MAX {
            warnings.push(format!("the list is longer than {LIST_MAX} bytes; nothing in it is used"));
            return (Self(lines), warnings);
        }
        let mut untold = 0;
        for (number, line) in (1..).zip(text.split('\n')) {
            let read = if line.len() > LINE_MAX {
                Err(format!("it is longer than {LINE_MAX} bytes"))
            } else {
                Listed::parse(line, local)
            };
            match read {
                Ok(read) => lines.extend(read),
                Err(problem) if warnings.len() < TOLD => {
                    warnings.push(format!("line {number} is not used: {problem}"));
                }
                Err(_) => untold += 1,
            }
        }
        if untold > 0 {
            warnings.push(format!("{untold} more lines are not used"));
        }
        (Self(lines), warnings)
    }

    /// From when and until when each line lets its key sign, in the order of the lines.
    pub fn times(&self) -> impl Iterator<Item = [Option<Moment>; 2]> {
        self.0.iter().map(|line| [line.options.after, line.options.before].map(|end| end.map(Moment::new)))
    }

    /// Whether the list has any key with which this name may sign records, at whatever time.
    pub fn has_key_of(&self, name: &str) -> bool {
        let name = Named::new(name);
        self.0.iter().any(|line| line.has(&name) && line.options.namespace != Some(false))
    }

    /// What the list says of this key, under this name, at this time.
    pub fn judge(&self, key: &PublicKey, name: &str, at: Moment) -> Listing {
        let name = Named::new(name);
        let mut others: Vec<&str> = vec![];
        let mut best: Option<(u64, Listing)> = None;
        for line in self.0.iter().filter(|line| line.key == *key) {
            if !line.has(&name) {
                others.push(&line.names);
                continue;
            }
            let (distance, says) = says(line, at);
            if best.as_ref().is_none_or(|(nearest, _)| distance < *nearest) {
                best = Some((distance, says));
            }
        }
        match best {
            Some((_, says)) => says,
            None if others.is_empty() => Listing::Stranger,
            None => {
                others.dedup();
                others.truncate(NAMED);
                Listing::OtherName(others.join(", "))
            }
        }
    }
}

/// What a line that has the key and the name says, and how far it is from saying yes: by the seconds that are missing,
/// and furthest where it is for something else.
///
/// Both ends are included and only whole seconds count, as with OpenSSH.
fn says(line: &Listed, at: Moment) -> (u64, Listing) {
    let seconds = at.time().timestamp();
    let options = &line.options;
    if options.namespace == Some(false) {
        return (u64::MAX, Listing::OtherNamespace);
    }
    match (options.after, options.before) {
        (Some(after), _) if seconds < after.timestamp() => {
            (after.timestamp().abs_diff(seconds), Listing::NotYet(Moment::new(after)))
        }
        (_, Some(before)) if seconds > before.timestamp() => {
            (before.timestamp().abs_diff(seconds), Listing::NoLonger(Moment::new(before)))
        }
        _ => (0, Listing::Listed),
    }
}
