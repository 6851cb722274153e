//! Answers as values, and the words that choices take.

use crate::meter::Tolerance;
use crate::quantity::Refusal;
use crate::quantity::show::list_or;

/// The answer that says a thing is not known.
pub const UNKNOWN: &str = "unknown";
/// The rule that means a corner of one's own.
pub const OWN: &str = "own";
/// The name of gear that has none; such gear is not known the next time.
pub const NOT_NAMED: &str = "not named";
/// The answer that leaves a list or a note out.
pub const NONE: &str = "none";
/// The answer that ends a list.
pub const DONE: &str = "done";

/// What an answer means, once it is accepted.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A name or a sentence.
    Text(String),
    /// A number in the base unit of the question.
    Number(f64),
    /// One of the question's words.
    Word(&'static str),
    /// A tolerance.
    Tolerance(Tolerance),
}

/// Takes a word, or the start of one that fits no other, in any case.
///
/// # Errors
/// Lists the words.
pub(super) fn choose(field: &str, typed: &str, words: &[&'static str]) -> Result<&'static str, Refusal> {
    let given = typed.trim().to_lowercase();
    if let Some(word) = words.iter().find(|word| **word == given) {
        return Ok(word);
    }
    let accepted = || list_or(&words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>());
    let mut starting = words.iter().filter(|word| !given.is_empty() && word.starts_with(&given));
    match (starting.next(), starting.next()) {
        (Some(word), None) => Ok(word),
        (Some(_), Some(_)) => Err(Refusal::new(field, typed, "fits more than one answer", accepted())),
        (None, _) if given.is_empty() => Err(Refusal::new(field, typed, "was given", accepted())),
        (None, _) => Err(Refusal::new(field, typed, "is not an answer here", accepted())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_or_the_start_of_just_one() {
        let words = ["butterworth", "bessel", "unknown"];
        assert_eq!(choose("family", " Bessel ", &words), Ok("bessel"));
        assert_eq!(choose("family", "bu", &words), Ok("butterworth"));
        let refusal = choose("family", "b", &words).unwrap_err().to_string();
        assert_eq!(refusal, "family: `b` fits more than one answer; accepted: `butterworth`, `bessel` or `unknown`");
        assert!(choose("family", "", &words).is_err());
        assert!(choose("family", "maybe", &words).is_err());
    }
}
