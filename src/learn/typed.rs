//! What a person types as an answer: a number with or without its unit, or one of a few words.

use crate::quantity::ranges::{Quantity, Range};
use crate::quantity::{Refusal, entry, show};

/// The field that a refusal names.
const FIELD: &str = "answer";
/// Far beyond what any question asks for.
const HIGHEST: f64 = 1e6;

/// What people type for a minus: a hyphen, a minus sign, a dash.
const MINUS: [char; 3] = ['-', '\u{2212}', '\u{2013}'];

/// A number that was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TypedNumber {
    /// The number in the base unit.
    pub value: f64,
    /// For a share that was typed without a unit: what it is in per cent where a plain factor was meant, 0.25 for 25 %.
    pub as_factor: Option<f64>,
}

/// Reads a number. `unit_words` are units that only this question knows (`octaves`).
///
/// A ratio may be typed in per cent, a share as a plain factor, and a level below the reference with its minus.
///
/// # Errors
/// Where it is no number, or has the unit of another quantity.
pub(super) fn number(typed: &str, quantity: Quantity, unit_words: &[&str]) -> Result<TypedNumber, Refusal> {
    let mut text = typed.trim();
    if quantity == Quantity::Level
        && let Some(unsigned) = text.strip_prefix(MINUS)
        && unsigned.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | ',' | ' '))
    {
        text = unsigned.trim_start();
    }
    for unit in unit_words {
        let cut = text.len().saturating_sub(unit.len());
        if text.get(cut..).is_some_and(|end| end.eq_ignore_ascii_case(unit)) && cut > 0 {
            text = text[..cut].trim_end();
            break;
        }
    }
    let range = |quantity| Range { field: FIELD, quantity, low: 0.0, high: HIGHEST, low_open: false };
    let accepted = match (quantity, unit_words.first().copied().unwrap_or(quantity.unit())) {
        (Quantity::Count, "") => "a whole number".to_owned(),
        (Quantity::Count, unit) => format!("a whole number in {unit}"),
        (_, "") => "a number".to_owned(),
        (_, unit) => format!("a number in {unit}"),
    };
    let read = entry::parse(text, &range(quantity)).map_err(|refusal| Refusal {
        given: typed.to_owned(),
        accepted,
        ..refusal
    });
    let bare = |text: &str| text.ends_with(|last: char| last.is_ascii_digit() || matches!(last, '.' | ','));
    match (quantity, read) {
        (Quantity::Plain, Err(refusal)) if unit_words.is_empty() => entry::parse(text, &range(Quantity::Share))
            .map(|share| TypedNumber { value: share / 100.0, as_factor: None })
            .map_err(|_| refusal),
        (Quantity::Share, Ok(value)) if bare(text) => Ok(TypedNumber { value, as_factor: Some(value * 100.0) }),
        (_, read) => read.map(|value| TypedNumber { value, as_factor: None }),
    }
}

/// One of these words, in any case; a beginning is enough where only one has it.
///
/// # Errors
/// Where it is none of them, or could be several.
pub(super) fn word(typed: &str, of: &'static [&'static str]) -> Result<&'static str, Refusal> {
    let said = match typed.trim().to_lowercase() {
        short if short == "amps" => "amperes".to_owned(),
        said => said,
    };
    let refused = |problem: String| Refusal::new(FIELD, typed, problem, show::list_or(of));
    if let Some(word) = of.iter().find(|word| **word == said) {
        return Ok(word);
    }
    let begun: Vec<&'static str> =
        of.iter().copied().filter(|word| !said.is_empty() && word.starts_with(&said)).collect();
    match begun[..] {
        [only] => Ok(only),
        [] if said.is_empty() => Err(refused("was given".to_owned())),
        [] => Err(refused("is none of the words that are offered".to_owned())),
        _ => Err(refused(format!("could be {}", show::list_or(&begun)))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(typed: &str, quantity: Quantity) -> Option<f64> {
        number(typed, quantity, &[]).ok().map(|number| number.value)
    }

    #[test]
    fn numbers_as_people_type_them() {
        assert_eq!(value("5,66 V", Quantity::Voltage), Some(5.66));
        assert_eq!(value("5660 mV", Quantity::Voltage), Some(5.66));
        assert_eq!(value("71 %", Quantity::Plain), Some(0.71));
        assert_eq!(value("-3 dB", Quantity::Level), Some(3.0));
        assert_eq!(value("\u{2212}3", Quantity::Level), Some(3.0));
        assert_eq!(value("27 Hz", Quantity::Voltage), None);
        assert_eq!(value("-3", Quantity::Voltage), None);
        assert_eq!(value("71 %", Quantity::Voltage), None);
        assert_eq!(value("--3", Quantity::Level), None);
        assert_eq!(number("0.25", Quantity::Share, &[]).unwrap().as_factor, Some(25.0));
        assert_eq!(number("0.25 %", Quantity::Share, &[]).unwrap().as_factor, None);
        assert_eq!(number("1.5 Octaves", Quantity::Plain, &["octaves"]).unwrap().value, 1.5);
        assert!(number("octaves", Quantity::Plain, &["octaves"]).is_err());
    }

    #[test]
    fn a_word_may_be_begun() {
        const OF: &[&str] = &["inside", "above", "below", "borderline"];
        assert_eq!(word(" Above ", OF), Ok("above"));
        assert_eq!(word("i", OF), Ok("inside"));
        assert_eq!(word("Amps", &["ac volts", "amperes"]), Ok("amperes"));
        let problem = |typed| word(typed, OF).unwrap_err().problem;
        assert_eq!(problem("b"), "could be below or borderline");
        assert_eq!(problem(""), "was given");
        assert_eq!(problem("left"), "is none of the words that are offered");
    }
}
