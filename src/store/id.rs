//! Ids of sessions and records, and parts of them as a person types them.

use uuid::Uuid;

use super::StoreError;
use crate::chance::MOST_SEED;

/// The fewest characters that name a session.
const AT_LEAST: usize = 4;
/// The length of a whole id.
const WHOLE: usize = 36;

/// A new id: a UUID of version 7, so that ids sort by time.
pub fn new_id() -> String {
    Uuid::now_v7().to_string()
}

/// Whether this is a whole id, written as [`new_id`] writes it. Such a text is safe as a file name.
pub(super) fn is_id(text: &str) -> bool {
    Uuid::try_parse(text).is_ok_and(|id| id.to_string() == text)
}

/// The moment in an id, in milliseconds since 1970, to sort by where nothing better is known.
pub(super) fn millis_of(id: &str) -> Option<i64> {
    let (seconds, nanos) = Uuid::try_parse(id).ok()?.get_timestamp()?.to_unix();
    i64::try_from(seconds).ok()?.checked_mul(1000)?.checked_add(i64::from(nanos / 1_000_000))
}

/// The end of a new id, for a name that no one else has.
pub(super) fn random_suffix() -> String {
    let digits = Uuid::now_v7().simple().to_string();
    digits.chars().skip(digits.len() - 6).collect()
}

/// A seed that nobody chose, from 1 to [`MOST_SEED`].
pub fn any_seed() -> u64 {
    // The last bits of such an id are random.
    let (_, random) = Uuid::now_v7().as_u64_pair();
    random % MOST_SEED + 1
}

/// The start or the end of an id.
#[derive(Debug)]
pub(super) struct Part(String);

impl Part {
    /// Takes what a person typed.
    pub fn parse(given: &str) -> Result<Self, StoreError> {
        let part = given.trim().to_lowercase();
        let fits = (AT_LEAST..=WHOLE).contains(&part.len())
            && part.chars().all(|character| character == '-' || character.is_ascii_hexdigit());
        if fits { Ok(Self(part)) } else { Err(StoreError::NotAnId { given: given.to_owned() }) }
    }

    /// The one id that fits, `None` where none does.
    pub fn choose(&self, ids: impl IntoIterator<Item = String>) -> Result<Option<String>, StoreError> {
        let mut fitting: Vec<String> =
            ids.into_iter().filter(|id| id.starts_with(&self.0) || id.ends_with(&self.0)).collect();
        fitting.sort();
        fitting.dedup();
        match fitting.len() {
            0 | 1 => Ok(fitting.pop()),
            _ => Err(StoreError::Ambiguous { part: self.0.clone(), ids: fitting }),
        }
    }

    /// As it was understood.
    pub fn text(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_a_uuid_of_version_7_and_nothing_else_is_one() {
        let id = new_id();
        assert!(is_id(&id));
        assert_eq!(id.chars().nth(14), Some('7'));
        assert!(millis_of(&id).unwrap() > 1_700_000_000_000);
        for other in ["", "..", "../../x", &id.to_uppercase(), &id.replace('-', ""), &format!("{{{id}}}")] {
            assert!(!is_id(other), "{other}");
        }
    }

    #[test]
    fn a_part_is_a_start_or_an_end_that_fits_one() {
        let ids = || ["0190aaaa-0000-7000-8000-00000000beef", "0190bbbb-0000-7000-8000-00000000cafe"].map(String::from);
        let choose = |part: &str| Part::parse(part)?.choose(ids());
        assert_eq!(choose("0190A").unwrap(), Some(ids()[0].clone()));
        assert_eq!(choose(" cafe ").unwrap(), Some(ids()[1].clone()));
        assert_eq!(choose(&ids()[1]).unwrap(), Some(ids()[1].clone()));
        assert_eq!(choose("dead").unwrap(), None);
        assert!(matches!(choose("0190"), Err(StoreError::Ambiguous { ids, .. }) if ids.len() == 2));
        for bad in ["", "019", "../0190", "0190/", "0190\u{1b}", "ｃａｆｅ", "0190aaaa-0000-7000-8000-00000000beef0"]
        {
            assert!(matches!(choose(bad), Err(StoreError::NotAnId { .. })), "{bad}");
        }
    }
}
