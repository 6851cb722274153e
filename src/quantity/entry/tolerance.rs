//! The tolerance, which is a share of the corner or a level about the target.

use super::single::{Measure, check_length};
use crate::quantity::ranges::{Quantity, TOLERANCE_DB, TOLERANCE_PERCENT};
use crate::quantity::{Decibels, Percent, Refusal};

/// A tolerance as it was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToleranceEntry {
    /// A share of the corner frequency.
    Percent(Percent),
    /// A level about the target voltage.
    Decibels(Decibels),
}

/// Reads a tolerance: `3`, `3 %` or `0.5 dB`. Without a unit, per cent are meant.
///
/// # Errors
/// Refused when it is not one number, is in another unit, or lies outside the range of its unit.
pub fn parse_tolerance(text: &str) -> Result<ToleranceEntry, Refusal> {
    check_length(text).and_then(|()| Measure::read(text)).and_then(|measure| read(&measure)).map_err(|problem| {
        let accepted = format!("{} or {}", TOLERANCE_PERCENT.accepted(), TOLERANCE_DB.accepted());
        Refusal::new(TOLERANCE_PERCENT.field, text, problem, accepted)
    })
}

fn read(measure: &Measure) -> Result<ToleranceEntry, String> {
    if measure.unit.is_some_and(|unit| unit.quantity == Quantity::Level) {
        measure.resolve(&TOLERANCE_DB).map(|value| ToleranceEntry::Decibels(Decibels::new(value)))
    } else {
        measure.resolve(&TOLERANCE_PERCENT).map(|value| ToleranceEntry::Percent(Percent::new(value)))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::show;

    #[test]
    fn per_cent_or_decibels() {
        for text in ["3", "3%", "3 %", " 3.0 percent", "3,000"] {
            assert_eq!(parse_tolerance(text), Ok(ToleranceEntry::Percent(Percent::new(3.0))), "{text}");
        }
        for text in ["0.5dB", "0,5 dB", ".5 db"] {
            assert_eq!(parse_tolerance(text), Ok(ToleranceEntry::Decibels(Decibels::new(0.5))), "{text}");
        }
    }

    #[test]
    fn refusals_name_both_ranges() {
        for (text, problem) in [
            ("25", "is out of range"),
            ("4 dB", "is out of range"),
            ("0", "is not positive"),
            ("-1 dB", "is not positive"),
            ("3 Hz", "is a frequency"),
            ("3 dB/octave", "has the unknown unit `dB/octave`"),
            ("three", "is not a number"),
        ] {
            let refusal = format!("tolerance: `{text}` {problem}; accepted: 0.1 to 20 % or 0.1 to 3 dB");
            assert_eq!(parse_tolerance(text).unwrap_err().to_string(), refusal);
        }
    }

    proptest! {
        #[test]
        fn a_shown_tolerance_reads_back(hundredths in 10u32..=300) {
            let value = f64::from(hundredths) / 100.0;
            let share = ToleranceEntry::Percent(Percent::new(value));
            prop_assert_eq!(parse_tolerance(&show::percent(Percent::new(value))), Ok(share));
            let level = ToleranceEntry::Decibels(Decibels::new(value));
            prop_assert_eq!(parse_tolerance(&show::decibels(Decibels::new(value))), Ok(level));
        }

        #[test]
        fn nothing_panics(text in any::<String>()) {
            let _ = parse_tolerance(&text);
        }
    }
}
