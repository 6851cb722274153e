//! Options that take one of a few words.

use crate::quantity::show::list_or;

/// The value of a word; upper and lower case are the same.
///
/// # Errors
/// The words that are accepted.
pub(super) fn one_of<T: Copy>(typed: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Result<T, String> {
    let typed = typed.trim();
    all.iter().copied().find(|value| word(*value).eq_ignore_ascii_case(typed)).ok_or_else(|| {
        let words: Vec<&str> = all.iter().map(|value| word(*value)).collect();
        format!("accepted: {}", list_or(&words))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::{Format, Rows};
    use crate::signature::KeyKind;

    #[test]
    fn every_word_is_taken_and_no_other() {
        for rows in Rows::ALL {
            assert_eq!(one_of(rows.word(), &Rows::ALL, Rows::word), Ok(rows));
        }
        for kind in KeyKind::ALL {
            assert_eq!(one_of(&kind.word().to_uppercase(), &KeyKind::ALL, KeyKind::word), Ok(kind));
        }
        let refused = one_of("xlsx", &Format::ALL, Format::word);
        assert_eq!(refused, Err("accepted: ndjson, csv or parquet".to_owned()));
    }
}
