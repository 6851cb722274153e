//! Trust lists: every line is used or told of, and what the list says of a key is the same however it is read.

use chrono::{DateTime, FixedOffset, NaiveDateTime};
use cornerset::session::Moment;
use cornerset::signature::{AllowedSigners, LIST_MAX, Listing, PublicKey, allowed_line, fits_pattern, principal_of};

use super::shown;

/// The key of the sample sessions.
const KEY: &str = include_str!("../../../sample-sessions/sample-key.pub");
/// At most so many lines that cannot be used are told of one by one, and one more says how many others there are.
const MOST_WARNINGS: usize = 51;
const NAMES: [&str; 4] = ["A. Sample", "a-sample", "", "R. Example"];
const MOMENTS: [&str; 3] = ["1970-01-01T00:00:00Z", "2026-03-05T14:07:09.250+05:30", "9999-12-31T23:59:59Z"];

/// A list; its first line is a name to be looked up besides.
pub fn run(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    let key = PublicKey::parse(KEY).expect("the sample key");
    let (list, warnings) = AllowedSigners::parse(text, &local);
    assert!(warnings.len() <= MOST_WARNINGS, "{}", warnings.len());
    for warning in &warnings {
        shown::text(warning, text);
        assert!(warning.len() < 80 * 1024, "a warning is short");
    }
    let named = text.lines().next().unwrap_or_default();
    for name in NAMES.into_iter().chain([named]) {
        for at in MOMENTS {
            let says = list.judge(&key, name, moment(at));
            match &says {
                Listing::OtherName(principals) => shown::text(principals, text),
                Listing::NotYet(from) => assert!(from.time().timestamp() > moment(at).time().timestamp()),
                Listing::NoLonger(until) => assert!(until.time().timestamp() < moment(at).time().timestamp()),
                Listing::Listed => assert!(list.has_key_of(name), "{name:?} has a key"),
                Listing::Stranger | Listing::OtherNamespace => {}
            }
            assert_eq!(list.judge(&key, name, moment(at)), says);
        }
    }
    added(text, &list, &key, named);
    for line in text.lines() {
        public_key(line, text);
        if let Some((word, pattern)) = line.split_once(' ') {
            assert_eq!(fits_pattern(word, pattern), fits(word.as_bytes(), pattern.as_bytes()), "{word:?} {pattern:?}");
        }
    }
}

/// The line that trusts a key for a name makes it trusted, whatever stands before it, unless that is too long.
fn added(text: &str, list: &AllowedSigners, key: &PublicKey, name: &str) {
    let line = allowed_line(name, key, None, None);
    shown::harmless(&line);
    let longer = format!("{text}\n{line}\n");
    if longer.len() > LIST_MAX || text.contains('\0') {
        return;
    }
    let (longer, _) = AllowedSigners::parse(&longer, &local);
    let at = moment(MOMENTS[1]);
    assert_eq!(longer.judge(key, name, at), Listing::Listed, "{name:?} by {line:?}");
    for other in NAMES {
        if list.judge(key, other, at) == Listing::Listed {
            assert_eq!(longer.judge(key, other, at), Listing::Listed, "a line more takes no trust away");
        }
    }
    let principal = principal_of(name);
    assert_eq!(principal_of(&principal), principal);
}

/// A public key by itself, read again from what is shown of it.
fn public_key(line: &str, given: &str) {
    match PublicKey::parse(line) {
        Ok(key) => {
            let again = PublicKey::parse(&key.line()).expect("a key's own line is read again");
            assert_eq!((&again, again.fingerprint()), (&key, key.fingerprint()));
            for text in [key.kind(), key.fingerprint(), key.comment().to_owned(), key.line()] {
                shown::harmless(&text);
            }
            // SHA-256 is 32 bytes: 43 characters of base64 without its padding (RFC 4648, section 4).
            assert_eq!(key.fingerprint().len(), "SHA256:".len() + 43);
        }
        Err(why) => shown::text(&why, given),
    }
}

/// Whether a word fits a pattern, tried out by the definition: `*` is any number of bytes, `?` is one.
fn fits(word: &[u8], pattern: &[u8]) -> bool {
    // Row by row over the pattern: which beginnings of the word it fits so far.
    let mut reached = vec![false; word.len() + 1];
    reached[0] = true;
    for part in pattern {
        let mut next = vec![false; word.len() + 1];
        for place in 0..=word.len() {
            next[place] = match part {
                b'*' => reached[place] || (place > 0 && next[place - 1]),
                b'?' => place > 0 && reached[place - 1],
                byte => place > 0 && reached[place - 1] && word[place - 1] == *byte,
            };
        }
        reached = next;
    }
    reached[word.len()]
}

fn moment(text: &str) -> Moment {
    Moment::new(DateTime::parse_from_rfc3339(text).expect("a time"))
}

/// A place whose clock is half an hour beside the hour, and never changed.
fn local(clock: NaiveDateTime) -> Option<DateTime<FixedOffset>> {
    clock.and_local_timezone(FixedOffset::east_opt(19_800)?).single()
}
