//! The units that a person may write after a number.

use crate::quantity::ranges::Quantity;

/// A unit: what it measures, and the power of ten to the quantity's base unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Unit {
    pub(super) quantity: Quantity,
    pub(super) exponent: i8,
}

/// Every spelling, in the form that [`normal`] gives.
const SPELLINGS: &[(&str, Quantity, i8)] = &[
    ("hz", Quantity::Frequency, 0),
    ("hertz", Quantity::Frequency, 0),
    ("khz", Quantity::Frequency, 3),
    ("kilohertz", Quantity::Frequency, 3),
    ("v", Quantity::Voltage, 0),
    ("volt", Quantity::Voltage, 0),
    ("volts", Quantity::Voltage, 0),
    ("kv", Quantity::Voltage, 3),
    ("kilovolts", Quantity::Voltage, 3),
    ("mv", Quantity::Voltage, -3),
    ("millivolt", Quantity::Voltage, -3),
    ("millivolts", Quantity::Voltage, -3),
    ("uv", Quantity::Voltage, -6),
    ("microvolts", Quantity::Voltage, -6),
    ("db", Quantity::Level, 0),
    ("decibel", Quantity::Level, 0),
    ("decibels", Quantity::Level, 0),
    ("%", Quantity::Share, 0),
    ("percent", Quantity::Share, 0),
    ("per cent", Quantity::Share, 0),
    ("w", Quantity::Power, 0),
    ("watt", Quantity::Power, 0),
    ("watts", Quantity::Power, 0),
    ("kw", Quantity::Power, 3),
    ("kilowatts", Quantity::Power, 3),
    ("mw", Quantity::Power, -3),
    ("milliwatts", Quantity::Power, -3),
    ("ohm", Quantity::Resistance, 0),
    ("ohms", Quantity::Resistance, 0),
    ("\u{3A9}", Quantity::Resistance, 0),
    ("kohm", Quantity::Resistance, 3),
    ("kohms", Quantity::Resistance, 3),
    ("k\u{3A9}", Quantity::Resistance, 3),
    ("mohm", Quantity::Resistance, -3),
    ("mohms", Quantity::Resistance, -3),
    ("m\u{3A9}", Quantity::Resistance, -3),
    ("digit", Quantity::Count, 0),
    ("digits", Quantity::Count, 0),
    ("count", Quantity::Count, 0),
    ("counts", Quantity::Count, 0),
];

/// Finds the unit that stands after a number; none where nothing stands there.
///
/// # Errors
/// The end of a sentence that starts with what was typed.
pub(super) fn find(text: &str) -> Result<Option<Unit>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let spelling = normal(text);
    let known = SPELLINGS.iter().find(|(known, ..)| *known == spelling);
    match known {
        Some((symbol, _, exponent)) if *exponent < 0 && is_mega(text) && !symbol.starts_with("mi") => {
            Err("has the prefix M, which is mega; milli is a small m".to_owned())
        }
        Some(&(_, quantity, exponent)) => Ok(Some(Unit { quantity, exponent })),
        None => Err(unknown(text)),
    }
}

/// The problem of a unit that is not in the table. Repeats it only where it is short and plain.
pub(super) fn unknown(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphabetic() || matches!(byte, b'%' | b'/' | b' ');
    if text.len() <= 20 && text.bytes().all(plain) {
        format!("has the unknown unit `{text}`")
    } else {
        super::numeral::NOT_A_NUMBER.to_owned()
    }
}

/// A unit in small letters, with one sign for the ohm and `u` for micro, single blanks, and none about a stroke.
pub(super) fn normal(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let same_signs: String = words
        .join(" ")
        .chars()
        .map(|character| match character {
            '\u{2126}' => '\u{3A9}',
            '\u{B5}' | '\u{3BC}' => 'u',
            other => other.to_ascii_lowercase(),
        })
        .collect();
    same_signs.replace(" /", "/").replace("/ ", "/")
}

/// Whether a unit begins with the prefix for a million.
fn is_mega(text: &str) -> bool {
    text.starts_with('M')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_unit_are_one() {
        let cases = [
            (&["Hz", "hz", "HZ", "hertz"][..], Quantity::Frequency, 0),
            (&["kHz", "KHz", "khz", "KHZ"], Quantity::Frequency, 3),
            (&["V", "v", "volt", "Volts"], Quantity::Voltage, 0),
            (&["mV", "mv", "Millivolts"], Quantity::Voltage, -3),
            (&["uV", "\u{B5}V", "\u{3BC}V"], Quantity::Voltage, -6),
            (&["ohm", "Ohms", "\u{3A9}", "\u{2126}"], Quantity::Resistance, 0),
            (&["kohm", "k\u{2126}"], Quantity::Resistance, 3),
            (&["mohm", "m\u{3A9}"], Quantity::Resistance, -3),
            (&["%", "percent", "per  cent"], Quantity::Share, 0),
            (&["dB", "DB", "db"], Quantity::Level, 0),
            (&["W", "watts"], Quantity::Power, 0),
            (&["kW", "KW"], Quantity::Power, 3),
            (&["digits", "counts"], Quantity::Count, 0),
        ];
        for (spellings, quantity, exponent) in cases {
            for spelling in spellings {
                assert_eq!(find(spelling), Ok(Some(Unit { quantity, exponent })), "{spelling}");
            }
        }
        assert_eq!(find(""), Ok(None));
    }

    #[test]
    fn mega_is_not_milli() {
        for text in ["MV", "Mv", "MW", "Mohm", "M\u{3A9}"] {
            assert_eq!(find(text), Err("has the prefix M, which is mega; milli is a small m".to_owned()), "{text}");
        }
        for text in ["MHz", "mHz", "MHZ"] {
            assert_eq!(find(text), Err(format!("has the unknown unit `{text}`")));
        }
        assert!(find("\u{39C}V").is_err(), "a capital mu looks like mega");
    }

    #[test]
    fn unknown_units_are_named_only_where_plain() {
        assert_eq!(find("H"), Err("has the unknown unit `H`".to_owned()));
        assert_eq!(find("[D"), Err("is not a number".to_owned()));
        assert_eq!(find("\u{202E}V"), Err("is not a number".to_owned()));
        assert_eq!(find(&"x".repeat(21)), Err("is not a number".to_owned()));
    }

    #[test]
    fn every_spelling_is_in_normal_form() {
        for (spelling, ..) in SPELLINGS {
            assert_eq!(normal(spelling), *spelling);
        }
    }
}
