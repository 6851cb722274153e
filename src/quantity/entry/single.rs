//! One quantity: a number, perhaps with a unit, that must lie in a range.

use super::clock;
use super::numeral::{self, Numeral};
use super::unit::{self, Unit};
use crate::quantity::Refusal;
use crate::quantity::ranges::{Quantity, Range};

/// The longest text that is looked at, in characters.
pub const MOST_CHARACTERS: usize = 500;

/// Reads one quantity and gives it in the base unit of the range's quantity. Without a unit, the base unit is meant.
///
/// # Errors
/// Refused when it is not one number, is in a unit of another quantity or an unknown one, lies outside the range, or
/// can be read in two ways that both lie inside.
pub fn parse(text: &str, range: &Range) -> Result<f64, Refusal> {
    check_length(text)
        .and_then(|()| match clock::seconds(text).filter(|_| range.quantity == Quantity::Time) {
            Some(seconds) => within(seconds, range),
            None => Measure::read(text).and_then(|measure| measure.resolve(range)),
        })
        .map_err(|problem| Refusal::new(range.field, text, problem, range.accepted()))
}

/// Refuses a text that is too long to be a number.
pub(super) fn check_length(text: &str) -> Result<(), String> {
    if text.chars().nth(MOST_CHARACTERS).is_some() {
        Err(format!("is longer than {MOST_CHARACTERS} characters"))
    } else {
        Ok(())
    }
}

/// A number with its unit, not yet held against a range.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Measure {
    pub(super) negative: bool,
    pub(super) numeral: Numeral,
    pub(super) unit: Option<Unit>,
}

impl Measure {
    /// Reads a number and a unit.
    ///
    /// # Errors
    /// The end of a sentence that starts with what was typed.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let head = numeral::split(text)?;
        Ok(Self { negative: head.negative, numeral: head.numeral, unit: unit::find(head.rest)? })
    }

    /// The value in the base unit of the range's quantity.
    ///
    /// # Errors
    /// The end of a sentence that starts with what was typed.
    pub(super) fn resolve(&self, range: &Range) -> Result<f64, String> {
        let (exponent, factor) = match self.unit {
            None => (0, 1.0),
            Some(unit) => {
                unit.to_base_of(range.quantity).ok_or_else(|| format!("is {}", unit.quantity.with_article()))?
            }
        };
        if self.negative && range.low >= 0.0 {
            return Err(if range.contains(0.0) { "is negative" } else { "is not positive" }.to_owned());
        }
        let sign = if self.negative { -1.0 } else { 1.0 };
        let value = |digits: &str| sign * numeral::value(digits, exponent) * factor;
        match &self.numeral {
            Numeral::Clear(digits) => within(value(digits), range),
            Numeral::Either { decimal, thousands } => {
                let readings = [value(decimal), value(thousands)];
                match readings.map(|reading| range.contains(reading)) {
                    [true, false] => Ok(readings[0]),
                    [false, true] => Ok(readings[1]),
                    [true, true] => Err(format!("could be {decimal} or {thousands}; write one of these")),
                    [false, false] => Err(format!("could be {decimal} or {thousands}, both out of range")),
                }
            }
        }
    }
}

/// Holds a value against a range.
fn within(value: f64, range: &Range) -> Result<f64, String> {
    if range.contains(value) {
        Ok(value)
    } else if range.quantity == Quantity::FullScale && value > range.high {
        Err("would clip".to_owned())
    } else if value == 0.0 {
        Err("is not positive".to_owned())
    } else if range.quantity == Quantity::Count && value.fract() != 0.0 {
        Err("is not a whole number".to_owned())
    } else {
        Err("is out of range".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::ranges::{
        ALL, BITS, BOX_VOLUME, CMS, LE, LEVEL_DBFS, LOAD, MARK_UNCERTAINTY, METER_ACCURACY, METER_DIGITS,
        METER_RESOLUTION, MMS, PORT_DIAMETER, Q, RATE, RATED_POWER, READING, REFERENCE, SD, SECONDS, TOLERANCE_DB,
        TUNING, XMAX,
    };

    fn message(text: &str, range: &Range) -> String {
        parse(text, range).map_or_else(|refusal| refusal.to_string(), |value| format!("{text} was taken as {value}"))
    }

    #[test]
    fn as_people_type() {
        let cases = [
            ("27", TUNING, 27.0),
            ("27 Hz", TUNING, 27.0),
            ("27hz", TUNING, 27.0),
            ("0.027 kHz", TUNING, 27.0),
            (" +27\t", TUNING, 27.0),
            ("5.66 V", READING, 5.66),
            ("5,66", READING, 5.66),
            ("5,66V", READING, 5.66),
            ("5660 mV", READING, 5.66),
            ("5660000 \u{B5}V", READING, 5.66),
            (".5", READING, 0.5),
            ("5.", READING, 5.0),
            ("0.1 kV", REFERENCE, 100.0),
            ("0", METER_ACCURACY, 0.0),
            ("0 %", METER_ACCURACY, 0.0),
            ("0", METER_DIGITS, 0.0),
            ("5 digits", METER_DIGITS, 5.0),
            ("5 counts", METER_DIGITS, 5.0),
            ("10 mV", METER_RESOLUTION, 0.01),
            ("1uV", METER_RESOLUTION, 0.000_001),
            ("0.707", Q, 0.707),
            ("0,707", Q, 0.707),
            ("0.5 dB", TOLERANCE_DB, 0.5),
            ("1.2 kW", RATED_POWER, 1200.0),
            ("4 \u{2126}", LOAD, 4.0),
            ("4\u{A0}ohm", LOAD, 4.0),
            ("5 per cent", MARK_UNCERTAINTY, 5.0),
            ("48", BOX_VOLUME, 48.0),
            ("48 l", BOX_VOLUME, 48.0),
            ("1.7 ft3", BOX_VOLUME, 1.7 * 28.316_846_592),
            ("2 ft\u{B3}", BOX_VOLUME, 2.0 * 28.316_846_592),
            ("10.2", PORT_DIAMETER, 10.2),
            ("102 mm", PORT_DIAMETER, 10.2),
            ("4 in", PORT_DIAMETER, 10.16),
            ("4\"", PORT_DIAMETER, 10.16),
            ("13", XMAX, 13.0),
            ("13 mm", XMAX, 13.0),
            ("1.3 cm", XMAX, 13.0),
            ("0.5 in", XMAX, 12.7),
            ("0.049 m2", SD, 490.0),
            ("490 cm\u{B2}", SD, 490.0),
            ("300 \u{B5}H", LE, 0.3),
            ("0.1362 kg", MMS, 136.2),
            ("240 um/N", CMS, 0.24),
            ("60", SECONDS, 60.0),
            ("1.5 min", SECONDS, 90.0),
            ("1 hour", SECONDS, 3600.0),
            ("4 h", SECONDS, 14_400.0),
            ("500 ms", SECONDS, 0.5),
            ("1:30", SECONDS, 90.0),
            ("-6", LEVEL_DBFS, -6.0),
            ("-6 dBFS", LEVEL_DBFS, -6.0),
            ("\u{2212}6 dB", LEVEL_DBFS, -6.0),
            ("-6,5", LEVEL_DBFS, -6.5),
            ("44100", RATE, 44_100.0),
            ("44,100", RATE, 44_100.0),
            ("44.1 kHz", RATE, 44_100.0),
            ("24 bit", BITS, 24.0),
        ];
        for (text, range, value) in cases {
            assert_eq!(parse(text, &range), Ok(value), "{text}");
        }
    }

    #[test]
    fn a_comma_before_three_digits_is_read_by_the_range() {
        assert_eq!(parse("27,000", &TUNING), Ok(27.0));
        assert_eq!(parse("5,657", &READING), Ok(5.657));
        assert_eq!(parse("5,660 mV", &REFERENCE), Ok(5.66));
        assert_eq!(parse("1,234 V", &REFERENCE), Ok(1.234));
        assert_eq!(parse("0,027 kHz", &TUNING), Ok(27.0));
        assert_eq!(
            message("1,234", &RATED_POWER),
            "power: `1,234` could be 1.234 or 1234; write one of these; accepted: 1 to 20000 W"
        );
        // Above 0 takes a millivolt and a volt alike.
        assert_eq!(
            message("5,660 mV", &READING),
            "reading: `5,660 mV` could be 5.660 or 5660; write one of these; accepted: above 0, up to 250 V"
        );
        assert_eq!(
            message("1,234", &TUNING),
            "tuning: `1,234` could be 1.234 or 1234, both out of range; accepted: 5 to 200 Hz"
        );
        assert_eq!(
            message("1,500", &METER_DIGITS),
            "meter-digits: `1,500` could be 1.500 or 1500, both out of range; accepted: a whole number from 0 to 200"
        );
    }

    #[test]
    fn a_refusal_is_one_sentence() {
        let cases = [
            ("27 V", TUNING, "tuning: `27 V` is a voltage; accepted: 5 to 200 Hz"),
            ("27 Hz", READING, "reading: `27 Hz` is a frequency; accepted: above 0, up to 250 V"),
            ("3 dB", Q, "q: `3 dB` is a level in decibels; accepted: 0.3 to 5"),
            ("3 %", TOLERANCE_DB, "tolerance: `3 %` is a percentage; accepted: 0.1 to 3 dB"),
            ("5 W", LOAD, "load: `5 W` is a power; accepted: 0.25 to 100 ohm"),
            ("4 ohm", RATED_POWER, "power: `4 ohm` is a resistance; accepted: 1 to 20000 W"),
            ("5 digits", READING, "reading: `5 digits` is a count of digits; accepted: above 0, up to 250 V"),
            ("-3", TUNING, "tuning: `-3` is not positive; accepted: 5 to 200 Hz"),
            ("\u{2212}3 V", READING, "reading: `\u{2212}3 V` is not positive; accepted: above 0, up to 250 V"),
            ("-3", METER_ACCURACY, "meter-accuracy: `-3` is negative; accepted: 0 to 20 %"),
            ("0", TUNING, "tuning: `0` is not positive; accepted: 5 to 200 Hz"),
            ("0.00 V", READING, "reading: `0.00 V` is not positive; accepted: above 0, up to 250 V"),
            ("4.9", TUNING, "tuning: `4.9` is out of range; accepted: 5 to 200 Hz"),
            ("250.01", READING, "reading: `250.01` is out of range; accepted: above 0, up to 250 V"),
            ("1.5", METER_DIGITS, "meter-digits: `1.5` is not a whole number; accepted: a whole number from 0 to 200"),
            ("", TUNING, "tuning: nothing was given; accepted: 5 to 200 Hz"),
            ("  ", TUNING, "tuning: nothing was given; accepted: 5 to 200 Hz"),
            ("0", LEVEL_DBFS, "level-dbfs: `0` would clip; accepted: -80 to -0.1 dBFS"),
            ("6", LEVEL_DBFS, "level-dbfs: `6` would clip; accepted: -80 to -0.1 dBFS"),
            ("+3 dB", LEVEL_DBFS, "level-dbfs: `+3 dB` would clip; accepted: -80 to -0.1 dBFS"),
            ("-81", LEVEL_DBFS, "level-dbfs: `-81` is out of range; accepted: -80 to -0.1 dBFS"),
            ("-6 V", LEVEL_DBFS, "level-dbfs: `-6 V` is a voltage; accepted: -80 to -0.1 dBFS"),
            ("5 m", SECONDS, "seconds: `5 m` is a length; accepted: 0.1 to 36000 s"),
            ("11:00:00", SECONDS, "seconds: `11:00:00` is out of range; accepted: 0.1 to 36000 s"),
            ("1:60", SECONDS, "seconds: `1:60` is not a number; accepted: 0.1 to 36000 s"),
            ("1:30", TUNING, "tuning: `1:30` is not a number; accepted: 5 to 200 Hz"),
            ("-6 dBFS", TOLERANCE_DB, "tolerance: `-6 dBFS` is a level against full scale; accepted: 0.1 to 3 dB"),
            ("105H", TUNING, "tuning: `105H` has the unknown unit `H`; accepted: 5 to 200 Hz"),
            ("125C", TUNING, "tuning: `125C` has the unknown unit `C`; accepted: 5 to 200 Hz"),
            ("10[D", TUNING, "tuning: `10[D` is not a number; accepted: 5 to 200 Hz"),
            ("5\u{1B}[D", READING, "reading: `5<U+001B>[D` is not a number; accepted: above 0, up to 250 V"),
            (
                "5 MV",
                READING,
                "reading: `5 MV` has the prefix M, which is mega; milli is a small m; accepted: above 0, up to 250 V",
            ),
        ];
        for (text, range, words) in cases {
            assert_eq!(message(text, &range), words);
        }
    }

    #[test]
    fn a_long_text_is_refused_unread() {
        let message = message(&"1".repeat(501), &READING);
        assert!(message.contains("(501 characters) is longer than 500 characters"), "{message}");
        assert!(parse(&format!("{}5", "0".repeat(499)), &READING).is_ok());
    }

    /// A value of a range, drawn by its share of the way from low to high.
    fn at(range: &Range, share: f64) -> f64 {
        let value = range.low + share * (range.high - range.low);
        if range.quantity == Quantity::Count { value.round() } else { value }
    }

    proptest! {
        #[test]
        fn nothing_panics(text in any::<String>(), field in 0..ALL.len()) {
            let _ = parse(&text, &ALL[field]);
        }

        #[test]
        fn nothing_near_a_number_panics(
            text in "[-+0-9.,_' eEkmMuHhzVvdB%W\u{2126}\u{661}]{0,24}",
            field in 0..ALL.len(),
        ) {
            match parse(&text, &ALL[field]) {
                Ok(value) => prop_assert!(ALL[field].contains(value)),
                Err(refusal) => prop_assert_eq!(refusal.accepted, ALL[field].accepted()),
            }
        }

        #[test]
        fn a_quantity_written_out_reads_back(field in 0..ALL.len(), share in 0.000_001f64..=1.0) {
            let range = ALL[field];
            let value = at(&range, share);
            prop_assume!(range.contains(value));
            prop_assert_eq!(parse(&format!("{value}"), &range), Ok(value));
            prop_assert_eq!(parse(&format!(" {value}{} ", range.quantity.unit()), &range), Ok(value));
        }

        #[test]
        fn a_decimal_comma_reads_as_a_dot(
            field in 0..ALL.len(),
            share in 0.0f64..=1.0,
            decimals in prop::sample::select(vec![0usize, 1, 2, 4, 5]),
        ) {
            let range = ALL[field];
            let text = format!("{:.decimals$} {}", at(&range, share), range.quantity.unit());
            prop_assert_eq!(parse(&text.replace('.', ","), &range).ok(), parse(&text, &range).ok());
        }

        #[test]
        fn three_decimals_after_a_comma_are_never_misread(share in 0.000_1f64..=1.0, field in 0..ALL.len()) {
            let range = ALL[field];
            let text = format!("{:.3}", at(&range, share));
            if let (Ok(comma), Ok(dot)) = (parse(&text.replace('.', ","), &range), parse(&text, &range)) {
                prop_assert_eq!(comma, dot);
            }
        }

        #[test]
        fn millivolts_and_volts_agree(millivolts in 100u32..=200_000) {
            let volts = f64::from(millivolts) / 1000.0;
            prop_assert_eq!(parse(&format!("{millivolts} mV"), &REFERENCE), Ok(volts));
        }
    }
}
