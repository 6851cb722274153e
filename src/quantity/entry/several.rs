//! A reading as it is taken from digits that hunt: one number, a span, or repeats.

use super::numeral::{is_dash, may_begin};
use super::single::{Measure, check_length};
use crate::quantity::Refusal;
use crate::quantity::ranges::Range;
use crate::quantity::text::visible;

/// The most repeats that are taken for one reading.
pub const MOST_REPEATS: usize = 50;

/// The longest part of what was typed that a message repeats, in characters.
const LONGEST_PART: usize = 30;

/// What was typed for one reading, in the base unit of its range.
#[derive(Debug, Clone, PartialEq)]
pub enum Typed {
    /// One number.
    One(f64),
    /// The ends between which the display hunts, `low` not above `high`.
    Span {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
    /// Two or more readings of the same thing, in the order typed.
    Repeats(Vec<f64>),
}

impl Typed {
    /// The value to reckon with: the number, the middle of the span, the mean of the repeats.
    pub fn middle(&self) -> f64 {
        match self {
            Self::One(value) => *value,
            Self::Span { low, high } => f64::midpoint(*low, *high),
            Self::Repeats(values) => mean(values),
        }
    }

    /// The standard uncertainty that this form adds to that of the meter, in the same unit.
    ///
    /// - span: `a / sqrt(3)`, with a half its width: a rectangular distribution between the ends (JCGM 100:2008,
    ///   4.3.7).
    /// - repeats: `s / sqrt(n)`, with s the experimental standard deviation of n readings, n - 1 degrees of freedom
    ///   (JCGM 100:2008, 4.2.2 and 4.2.3). Assumes readings that do not depend on each other.
    /// - one number: 0.
    pub fn spread(&self) -> f64 {
        match self {
            Self::One(_) => 0.0,
            Self::Span { low, high } => (high - low) / 2.0 / 3f64.sqrt(),
            Self::Repeats(values) if values.len() < 2 => 0.0,
            Self::Repeats(values) => {
                let count = values.len() as f64;
                let middle = mean(values);
                let squares: f64 = values.iter().map(|value| (value - middle).powi(2)).sum();
                (squares / (count - 1.0) / count).sqrt()
            }
        }
    }

    /// The ends of a span, low first; none for the other forms.
    pub fn span(&self) -> Option<(f64, f64)> {
        match self {
            Self::Span { low, high } => Some((*low, *high)),
            Self::One(_) | Self::Repeats(_) => None,
        }
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Reads one number, a span (`5.61..5.70`, in either order) or repeats (`5.61 5.64 5.66`).
///
/// A unit may stand after every number or after some; numbers without one take the others' unit, where that is one.
///
/// # Errors
/// Refused like [`super::parse`] when any part is; also when a span is mixed with repeats, when there are more than
/// [`MOST_REPEATS`] numbers, and when numbers without a unit stand among different units.
pub fn parse_repeats_or_span(text: &str, range: &Range) -> Result<Typed, Refusal> {
    check_length(text)
        .and_then(|()| read(text.trim(), range))
        .map_err(|problem| Refusal::new(range.field, text, problem, range.accepted()))
}

fn read(text: &str, range: &Range) -> Result<Typed, String> {
    if let Some((left, right)) = text.split_once("..") {
        let values = resolve(&ends(left, right)?, range)?;
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        return Ok(Typed::Span { low, high });
    }
    if let Some(advice) = dashed(text) {
        return Err(advice);
    }
    let parts = parts(text);
    if parts.len() > MOST_REPEATS {
        return Err(format!("holds {} numbers, more than {MOST_REPEATS}", parts.len()));
    }
    let values = resolve(&parts, range)?;
    Ok(match values.as_slice() {
        [value] => Typed::One(*value),
        _ => Typed::Repeats(values),
    })
}

/// The two ends of a span.
fn ends(left: &str, right: &str) -> Result<Vec<String>, String> {
    if right.starts_with('.') {
        return Err("has more than two dots in a row; a span is LOW..HIGH".to_owned());
    }
    if right.contains("..") {
        return Err("has `..` more than once; a span is LOW..HIGH".to_owned());
    }
    let (left, right) = (parts(left), parts(right));
    match (left.len(), right.len()) {
        (1, 1) => Ok([left, right].concat()),
        (0, _) | (_, 0) => Err("is half a span; a span is LOW..HIGH".to_owned()),
        _ => Err("mixes a span with repeats; give one or the other".to_owned()),
    }
}

/// The numbers of a text, each with the unit after it. What does not begin like a number goes with the one before.
fn parts(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match parts.last_mut() {
            Some(part) if !word.starts_with(may_begin) => {
                part.push(' ');
                part.push_str(word);
            }
            _ => parts.push(word.to_owned()),
        }
    }
    parts
}

/// The values of all parts, in the base unit; numbers without a unit take the one that the others have.
fn resolve(parts: &[String], range: &Range) -> Result<Vec<f64>, String> {
    if parts.is_empty() {
        return Err("was given".to_owned());
    }
    let named = |part: &str, problem: String| {
        if parts.len() == 1 { problem } else { format!("holds `{}`, which {problem}", shown(part)) }
    };
    let mut measures = Vec::with_capacity(parts.len());
    for part in parts {
        measures.push(Measure::read(part).map_err(|problem| named(part, problem))?);
    }
    let units: Vec<_> = measures.iter().filter_map(|measure| measure.unit).collect();
    let shared = units.last().copied();
    if let Some(other) = units.iter().find(|unit| unit.to_base_of(range.quantity).is_none()) {
        return Err(format!("is {}", other.quantity.with_article()));
    }
    if units.len() < measures.len() && units.iter().any(|unit| Some(*unit) != shared) {
        return Err("mixes units; write one after every number".to_owned());
    }
    let with_unit = measures.into_iter().map(|measure| Measure { unit: measure.unit.or(shared), ..measure });
    with_unit.zip(parts).map(|(measure, part)| measure.resolve(range).map_err(|problem| named(part, problem))).collect()
}

/// Advice for a span that was written with a dash; none where that is not what was meant.
fn dashed(text: &str) -> Option<String> {
    text.char_indices().filter(|&(_, character)| is_dash(character)).find_map(|(at, dash)| {
        let (left, right) = (text[..at].trim(), text[at + dash.len_utf8()..].trim());
        let is_span = [left, right].iter().all(|end| Measure::read(end).is_ok_and(|measure| !measure.negative));
        is_span.then(|| {
            if text.chars().count() <= LONGEST_PART {
                format!("has a dash; write a span as `{left}..{right}`")
            } else {
                "has a dash; write a span as LOW..HIGH".to_owned()
            }
        })
    })
}

/// A part of what was typed, harmless and short.
fn shown(part: &str) -> String {
    let visible = visible(part);
    if visible.chars().count() <= LONGEST_PART {
        visible
    } else {
        let start: String = visible.chars().take(LONGEST_PART).collect();
        format!("{start}...")
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::ranges::{READING, REFERENCE, TONE};

    fn problem(text: &str) -> String {
        parse_repeats_or_span(text, &READING)
            .err()
            .map_or_else(|| format!("{text} was taken"), |refusal| refusal.problem)
    }

    #[test]
    fn one_number() {
        for text in ["5.66", "5,66 V", "5660mV"] {
            assert_eq!(parse_repeats_or_span(text, &READING), Ok(Typed::One(5.66)), "{text}");
        }
    }

    #[test]
    fn spans() {
        let span = Typed::Span { low: 5.61, high: 5.70 };
        for text in [
            "5.61..5.70",
            "5.61 .. 5.70 V",
            "5,61..5,70",
            "5.70..5.61",
            "5.61V..5.70V",
            "5.61 V..5.70",
            "5610..5700 mV",
            "5610 mV .. 5.7 V",
        ] {
            assert_eq!(parse_repeats_or_span(text, &READING), Ok(span.clone()), "{text}");
        }
        assert_eq!(span.span(), Some((5.61, 5.70)));
        assert_eq!(parse_repeats_or_span("5.6..5.6", &READING), Ok(Typed::Span { low: 5.6, high: 5.6 }));
    }

    #[test]
    fn repeats() {
        let repeats = Typed::Repeats(vec![5.61, 5.64, 5.66]);
        for text in [
            "5.61 5.64 5.66",
            "5.61 5.64 5.66 V",
            "5,61  5,64\t5,66",
            "5.61V 5.64V 5.66V",
            "5.61 V 5.64 V 5.66 V",
            "5610 5640 5660 mV",
            "5610 mV 5640 5660",
            "5.61 V 5640 mV 5.66 V",
        ] {
            assert_eq!(parse_repeats_or_span(text, &READING), Ok(repeats.clone()), "{text}");
        }
        assert_eq!(repeats.span(), None);
    }

    #[test]
    fn what_is_not_one_of_these_is_refused() {
        for (text, words) in [
            ("", "was given"),
            ("..", "is half a span; a span is LOW..HIGH"),
            ("5.61..", "is half a span; a span is LOW..HIGH"),
            ("..5.7", "is half a span; a span is LOW..HIGH"),
            ("5..6..7", "has `..` more than once; a span is LOW..HIGH"),
            ("5.61...5.70", "has more than two dots in a row; a span is LOW..HIGH"),
            ("5.61 5.62..5.70", "mixes a span with repeats; give one or the other"),
            ("5.61-5.70", "has a dash; write a span as `5.61..5.70`"),
            ("5.61 - 5.70 V", "has a dash; write a span as `5.61..5.70 V`"),
            ("5.61\u{2013}5.70", "has a dash; write a span as `5.61..5.70`"),
            ("5.61 5.64 300", "holds `300`, which is out of range"),
            ("0..5.7", "holds `0`, which is not positive"),
            ("5.61 5.64 abc", "holds `5.64 abc`, which has the unknown unit `abc`"),
            ("5.61, 5.64", "holds `5.61,`, which has both a comma and a dot; write one decimal mark at most"),
            ("5.61 5.64 Hz", "is a frequency"),
            ("5.61 V 5640 mV 5.66", "mixes units; write one after every number"),
            ("1e3", "has an exponent; write the number out"),
            ("1e-3", "has an exponent; write the number out"),
            ("-5", "is not positive"),
            ("5 -5.1", "has a dash; write a span as `5..5.1`"),
            ("0~12.51~", "is not a number"),
            ("V", "is not a number"),
        ] {
            assert_eq!(problem(text), words, "{text}");
        }
        let millivolts = parse_repeats_or_span("1,200..1,300 mV", &READING).unwrap_err();
        assert_eq!(millivolts.problem, "holds `1,200`, which could be 1.200 or 1200; write one of these");
        assert_eq!(parse_repeats_or_span("1,200..1,300 mV", &REFERENCE), Ok(Typed::Span { low: 1.2, high: 1.3 }));
    }

    #[test]
    fn repeats_have_an_end() {
        let fifty = vec!["1"; 50].join(" ");
        assert!(matches!(parse_repeats_or_span(&fifty, &READING), Ok(Typed::Repeats(values)) if values.len() == 50));
        assert_eq!(problem(&format!("{fifty} 1")), "holds 51 numbers, more than 50");
        assert_eq!(problem(&"1 ".repeat(251)), "is longer than 500 characters");
    }

    #[test]
    fn spread_of_a_span_is_rectangular() {
        // JCGM 100:2008, 4.3.7: a^2 / 3 for the half-width a.
        let span = Typed::Span { low: 5.61, high: 5.70 };
        assert!((span.spread() - 0.045 / 3f64.sqrt()).abs() < 1e-12);
        assert!((span.middle() - 5.655).abs() < 1e-12);
        assert_eq!(Typed::One(5.66).spread(), 0.0);
    }

    #[test]
    fn spread_of_repeats_is_that_of_the_mean() {
        // JCGM 100:2008, 4.4.3 and table 1: twenty temperatures, mean 100.145 (printed 100.14), s = 1.489 (1.49),
        // u = s / sqrt(20) = 0.333 (0.33).
        let temperatures = vec![
            96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
            101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
        ];
        let repeats = Typed::Repeats(temperatures);
        assert!((repeats.middle() - 100.145).abs() < 0.005);
        assert!((repeats.spread() - 0.333).abs() < 0.0005);
    }

    #[test]
    fn a_list_made_by_hand_does_not_panic() {
        assert_eq!(Typed::Repeats(vec![5.0]).spread(), 0.0);
        assert!(Typed::Repeats(Vec::new()).middle().is_nan());
    }

    proptest! {
        #[test]
        fn nothing_panics(text in any::<String>()) {
            let _ = parse_repeats_or_span(&text, &READING);
        }

        #[test]
        fn nothing_near_a_reading_panics(text in "[-+0-9., mVHz\u{2013}]{0,30}") {
            if let Ok(typed) = parse_repeats_or_span(&text, &READING) {
                prop_assert!(READING.contains(typed.middle()));
                prop_assert!(typed.spread().is_finite() && typed.spread() >= 0.0);
            }
        }

        #[test]
        fn what_is_written_out_reads_back(values in prop::collection::vec(1u32..=20_000, 2..=20)) {
            let values: Vec<f64> = values.into_iter().map(|hundredths| f64::from(hundredths) / 100.0).collect();
            let text: Vec<String> = values.iter().map(|value| format!("{value:.2}")).collect();
            prop_assert_eq!(parse_repeats_or_span(&text.join(" "), &READING), Ok(Typed::Repeats(values.clone())));
            let (low, high) = (values[0].min(values[1]), values[0].max(values[1]));
            let span = parse_repeats_or_span(&text[..2].join(".."), &READING);
            prop_assert_eq!(span, Ok(Typed::Span { low, high }));
        }

        #[test]
        fn the_middle_lies_between_the_ends(one in 5.0f64..200.0, other in 5.0f64..200.0) {
            let typed = parse_repeats_or_span(&format!("{one}..{other}"), &TONE);
            let middle = typed.map_or(0.0, |typed| typed.middle());
            prop_assert!(middle >= one.min(other) && middle <= one.max(other));
        }
    }
}
