//! A filter's slope, which comes in whole orders of 6 dB/octave.

use super::numeral::{self, Numeral};
use super::single::check_length;
use super::unit;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Refusal, show};

/// Every slope there is, in dB/octave: orders one to eight.
const SLOPES: [u32; 8] = [6, 12, 18, 24, 30, 36, 42, 48];

/// What may stand after the number, in normal form.
const UNITS: [&str; 6] = ["", "db", "db/oct", "db/octave", "db per oct", "db per octave"];

/// Reads a slope in dB/octave: `24`, `24 dB`, `24 dB/oct`, `24 dB per octave`.
///
/// Which of the slopes a family has is not asked here.
///
/// # Errors
/// Refused when it is not one number, is in another unit, or is not a whole multiple of 6 from 6 to 48.
pub fn parse_slope_number(text: &str, field: &str) -> Result<u32, Refusal> {
    check_length(text).and_then(|()| read(text)).map_err(|problem| {
        let accepted = format!("{} dB/octave", show::list_or(&SLOPES.map(|slope| slope.to_string())));
        Refusal::new(field, text, problem, accepted)
    })
}

fn read(text: &str) -> Result<u32, String> {
    let head = numeral::split(text)?;
    if !UNITS.contains(&unit::normal(head.rest).as_str())
        && let Some(other) = unit::find(head.rest)?
        && other.quantity != Quantity::Level
    {
        return Err(format!("is {}", other.quantity.with_article()));
    }
    if head.negative {
        return Err("is not positive".to_owned());
    }
    // With three digits after a comma only the decimal reading can be a slope.
    let (Numeral::Clear(digits) | Numeral::Either { decimal: digits, .. }) = head.numeral;
    let value = numeral::value(&digits, 0);
    let slope = SLOPES.into_iter().find(|&slope| f64::from(slope) == value);
    slope.ok_or_else(|| "is not a slope that filters have".to_owned())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn every_way_to_write_a_slope() {
        for text in
            ["24", "24 dB", "24dB", "24 dB/oct", "24 dB/octave", "24 db / octave", "24 dB per octave", "24.0", "24,000"]
        {
            assert_eq!(parse_slope_number(text, "slope"), Ok(24), "{text}");
        }
    }

    #[test]
    fn other_numbers_are_refused() {
        for (text, problem) in [
            ("20", "is not a slope that filters have"),
            ("0", "is not a slope that filters have"),
            ("54", "is not a slope that filters have"),
            ("24.5", "is not a slope that filters have"),
            ("-24", "is not positive"),
            ("24 Hz", "is a frequency"),
            ("24 dB/decade", "has the unknown unit `dB/decade`"),
            ("steep", "is not a number"),
        ] {
            let refusal = format!("slope: `{text}` {problem}; accepted: 6, 12, 18, 24, 30, 36, 42 or 48 dB/octave");
            assert_eq!(parse_slope_number(text, "slope").unwrap_err().to_string(), refusal);
        }
    }

    proptest! {
        #[test]
        fn a_shown_slope_reads_back(order in 1u32..=8) {
            prop_assert_eq!(parse_slope_number(&show::slope(6 * order), "slope"), Ok(6 * order));
        }

        #[test]
        fn nothing_panics(text in any::<String>()) {
            let _ = parse_slope_number(&text, "slope");
        }
    }
}
