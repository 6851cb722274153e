//! The units that a person may write after a number.

use crate::quantity::ranges::Quantity;

/// A unit: what it measures, and how large it is in the quantity's base unit: a factor, exactly 1 for metric units,
/// times a power of ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    pub(super) quantity: Quantity,
    exponent: i8,
    factor: f64,
}

impl Unit {
    /// The power of ten and the factor to the base unit of this quantity; `None` where the unit measures another one.
    pub(super) fn to_base_of(self, quantity: Quantity) -> Option<(i8, f64)> {
        match (self.quantity, quantity) {
            // Both are lengths; travel is counted in millimetres, ten to the centimetre.
            (Quantity::Length, Quantity::Travel) => Some((self.exponent + 1, self.factor)),
            // A level against full scale is often written in plain dB.
            (Quantity::Level, Quantity::FullScale) => Some((self.exponent, self.factor)),
            (one, other) => (one == other).then_some((self.exponent, self.factor)),
        }
    }
}

/// An inch in centimetres, exact (international yard and pound agreement, 1959).
const INCH: f64 = 2.54;
/// A foot in centimetres.
const FOOT: f64 = 30.48;
/// A square inch in square centimetres.
const SQUARE_INCH: f64 = 6.4516;
/// A cubic inch in litres.
const CUBIC_INCH: f64 = 0.016_387_064;
/// A cubic foot in litres.
const CUBIC_FOOT: f64 = 28.316_846_592;
/// A minute in seconds.
const MINUTE: f64 = 60.0;
/// An hour in seconds.
const HOUR: f64 = 3600.0;

/// Every spelling of a unit that is no power of ten, in the form that [`normal`] gives.
const SCALED: &[(&str, Quantity, f64)] = &[
    ("in", Quantity::Length, INCH),
    ("inch", Quantity::Length, INCH),
    ("inches", Quantity::Length, INCH),
    ("\"", Quantity::Length, INCH),
    ("ft", Quantity::Length, FOOT),
    ("foot", Quantity::Length, FOOT),
    ("feet", Quantity::Length, FOOT),
    ("in2", Quantity::Area, SQUARE_INCH),
    ("sq in", Quantity::Area, SQUARE_INCH),
    ("square inches", Quantity::Area, SQUARE_INCH),
    ("in3", Quantity::Volume, CUBIC_INCH),
    ("cu in", Quantity::Volume, CUBIC_INCH),
    ("cubic inches", Quantity::Volume, CUBIC_INCH),
    ("ft3", Quantity::Volume, CUBIC_FOOT),
    ("cu ft", Quantity::Volume, CUBIC_FOOT),
    ("cubic foot", Quantity::Volume, CUBIC_FOOT),
    ("cubic feet", Quantity::Volume, CUBIC_FOOT),
    ("min", Quantity::Time, MINUTE),
    ("minute", Quantity::Time, MINUTE),
    ("minutes", Quantity::Time, MINUTE),
    ("h", Quantity::Time, HOUR),
    ("hour", Quantity::Time, HOUR),
    ("hours", Quantity::Time, HOUR),
];

/// Every other spelling, in the form that [`normal`] gives.
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
    ("cm", Quantity::Length, 0),
    ("centimetre", Quantity::Length, 0),
    ("centimetres", Quantity::Length, 0),
    ("centimeter", Quantity::Length, 0),
    ("centimeters", Quantity::Length, 0),
    ("mm", Quantity::Length, -1),
    ("millimetre", Quantity::Length, -1),
    ("millimetres", Quantity::Length, -1),
    ("millimeter", Quantity::Length, -1),
    ("millimeters", Quantity::Length, -1),
    ("m", Quantity::Length, 2),
    ("metre", Quantity::Length, 2),
    ("metres", Quantity::Length, 2),
    ("meter", Quantity::Length, 2),
    ("meters", Quantity::Length, 2),
    ("cm2", Quantity::Area, 0),
    ("sq cm", Quantity::Area, 0),
    ("mm2", Quantity::Area, -2),
    ("m2", Quantity::Area, 4),
    ("l", Quantity::Volume, 0),
    ("litre", Quantity::Volume, 0),
    ("litres", Quantity::Volume, 0),
    ("liter", Quantity::Volume, 0),
    ("liters", Quantity::Volume, 0),
    ("dm3", Quantity::Volume, 0),
    ("cm3", Quantity::Volume, -3),
    ("m3", Quantity::Volume, 3),
    ("mh", Quantity::Inductance, 0),
    ("millihenries", Quantity::Inductance, 0),
    ("uh", Quantity::Inductance, -3),
    ("microhenries", Quantity::Inductance, -3),
    ("g", Quantity::Mass, 0),
    ("gram", Quantity::Mass, 0),
    ("grams", Quantity::Mass, 0),
    ("kg", Quantity::Mass, 3),
    ("mm/n", Quantity::Compliance, 0),
    ("um/n", Quantity::Compliance, -3),
    ("m/n", Quantity::Compliance, 3),
    ("s", Quantity::Time, 0),
    ("sec", Quantity::Time, 0),
    ("ms", Quantity::Time, -3),
    ("millisecond", Quantity::Time, -3),
    ("milliseconds", Quantity::Time, -3),
    ("second", Quantity::Time, 0),
    ("seconds", Quantity::Time, 0),
    ("dbfs", Quantity::FullScale, 0),
    ("db fs", Quantity::FullScale, 0),
    ("bit", Quantity::Count, 0),
    ("bits", Quantity::Count, 0),
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
    // A capital H is the henry, and no hour.
    let mut scaled = SCALED.iter().filter(|_| text != "H");
    if let Some(&(_, quantity, factor)) = scaled.find(|(known, ..)| *known == spelling) {
        return Ok(Some(Unit { quantity, exponent: 0, factor }));
    }
    match SPELLINGS.iter().find(|(known, ..)| *known == spelling) {
        Some((symbol, ..)) if is_mega(text) && takes_milli(symbol) => {
            Err("has the prefix M, which is mega; milli is a small m".to_owned())
        }
        Some(&(_, quantity, exponent)) => Ok(Some(Unit { quantity, exponent, factor: 1.0 })),
        None => Err(unknown(text)),
    }
}

/// Whether a small m before this unit is one thing and a large one another. A millimetre in capitals is still one.
fn takes_milli(symbol: &str) -> bool {
    ["mv", "mw", "mohm", "mohms", "m\u{3A9}", "mh"].contains(&symbol)
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
            '\u{B2}' => '2',
            '\u{B3}' => '3',
            '\u{2033}' | '\u{201D}' => '"',
            other => other.to_ascii_lowercase(),
        })
        .collect();
    same_signs.replace(" /", "/").replace("/ ", "/").replace('^', "")
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
            (&["cm", "centimetres", "Centimeter"], Quantity::Length, 0),
            (&["mm", "MM", "millimeters"], Quantity::Length, -1),
            (&["cm2", "cm\u{B2}", "cm^2", "sq cm"], Quantity::Area, 0),
            (&["l", "L", "litres", "dm3", "dm\u{B3}"], Quantity::Volume, 0),
            (&["mH", "millihenries"], Quantity::Inductance, 0),
            (&["\u{B5}H", "uH"], Quantity::Inductance, -3),
            (&["mm/N", "mm / N"], Quantity::Compliance, 0),
            (&["kg", "KG"], Quantity::Mass, 3),
            (&["s", "sec", "Seconds"], Quantity::Time, 0),
            (&["ms", "milliseconds"], Quantity::Time, -3),
            (&["dBFS", "dbfs", "dB FS"], Quantity::FullScale, 0),
            (&["digits", "counts", "bits"], Quantity::Count, 0),
        ];
        for (spellings, quantity, exponent) in cases {
            for spelling in spellings {
                assert_eq!(find(spelling), Ok(Some(Unit { quantity, exponent, factor: 1.0 })), "{spelling}");
            }
        }
        assert_eq!(find(""), Ok(None));
    }

    /// The inch is 2.54 cm by definition; the rest follows from it.
    #[test]
    fn imperial_units_follow_from_the_inch() {
        for (spelling, quantity, inches, power) in [
            ("in", Quantity::Length, 1.0, 1),
            ("\u{2033}", Quantity::Length, 1.0, 1),
            ("feet", Quantity::Length, 12.0, 1),
            ("sq in", Quantity::Area, 1.0, 2),
            ("in\u{B3}", Quantity::Volume, 1.0, 3),
            ("cu ft", Quantity::Volume, 12.0, 3),
        ] {
            let unit = find(spelling).unwrap().unwrap();
            let litre = if power == 3 { 1000.0 } else { 1.0 };
            let expected = (inches * 2.54f64).powi(power) / litre;
            assert_eq!(unit.quantity, quantity);
            assert!((unit.factor / expected - 1.0).abs() < 1e-15, "{spelling}");
        }
    }

    #[test]
    fn mega_is_not_milli() {
        for text in ["MV", "Mv", "MW", "Mohm", "M\u{3A9}", "MH"] {
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
        for spelling in SPELLINGS.iter().map(|known| known.0).chain(SCALED.iter().map(|known| known.0)) {
            assert_eq!(normal(spelling), spelling);
        }
    }
}
