//! The one table of legal ranges. Every out-of-range message and every range-driven test comes from it.
//!
//! A range is in the base unit of its quantity: hertz, volts, decibels, per cent, watts, ohms, or no unit.

/// What kind of quantity a range, or a unit that a person types, belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A frequency; base unit hertz.
    Frequency,
    /// A voltage, rms; base unit volt.
    Voltage,
    /// A level difference; base unit decibel.
    Level,
    /// A share; base unit per cent.
    Share,
    /// A power; base unit watt.
    Power,
    /// A resistance; base unit ohm.
    Resistance,
    /// A whole number of counts in the meter's last digit.
    Count,
    /// A number without a unit.
    Plain,
}

impl Quantity {
    /// The base unit as it is written after a number, empty where there is none.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Frequency => "Hz",
            Self::Voltage => "V",
            Self::Level => "dB",
            Self::Share => "%",
            Self::Power => "W",
            Self::Resistance => "ohm",
            Self::Count | Self::Plain => "",
        }
    }

    /// The quantity as the end of a sentence: `a voltage`.
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Frequency => "a frequency",
            Self::Voltage => "a voltage",
            Self::Level => "a level in decibels",
            Self::Share => "a percentage",
            Self::Power => "a power",
            Self::Resistance => "a resistance",
            Self::Count => "a count of digits",
            Self::Plain => "a plain number",
        }
    }
}

/// What one field takes, both ends included unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The field as a person knows it.
    pub field: &'static str,
    /// The kind of quantity, which fixes the base unit.
    pub quantity: Quantity,
    /// The lowest value, in the base unit.
    pub low: f64,
    /// The highest value, in the base unit.
    pub high: f64,
    /// Whether `low` itself is left out.
    pub low_open: bool,
}

impl Range {
    /// A range with both ends included.
    const fn closed(field: &'static str, quantity: Quantity, low: f64, high: f64) -> Self {
        Self { field, quantity, low, high, low_open: false }
    }

    /// The same range for a field of another name.
    #[must_use]
    pub const fn named(self, field: &'static str) -> Self {
        Self { field, ..self }
    }

    /// Whether a value in the base unit is taken. A count must be whole; what is not a number never is.
    pub fn contains(&self, value: f64) -> bool {
        let low_holds = if self.low_open { value > self.low } else { value >= self.low };
        let whole_where_needed = self.quantity != Quantity::Count || value.fract() == 0.0;
        low_holds && value <= self.high && whole_where_needed
    }

    /// The range in words, with its unit: `5 to 200 Hz`, `above 0, up to 250 V`, `a whole number from 0 to 200`.
    pub fn accepted(&self) -> String {
        let Self { low, high, .. } = self;
        let unit = self.quantity.unit();
        let words = match (self.quantity, self.low_open) {
            (Quantity::Count, _) => format!("a whole number from {low} to {high}"),
            (_, true) => format!("above {low}, up to {high} {unit}"),
            (_, false) => format!("{low} to {high} {unit}"),
        };
        words.trim_end().to_owned()
    }
}

/// The tuning frequency of a box. Below 5 Hz no bench meter reads true; above 200 Hz nothing is a subwoofer.
pub const TUNING: Range = Range::closed("tuning", Quantity::Frequency, 5.0, 200.0);
/// The corner frequency of the filter.
pub const CORNER: Range = Range::closed("corner", Quantity::Frequency, 5.0, 200.0);
/// A test tone: the setting tone, and those of `explore` and `sweep`.
pub const TONE: Range = Range::closed("tone", Quantity::Frequency, 5.0, 200.0);
/// The mark at which a filter stood that could not be taken out.
pub const MARK: Range = Range::closed("reference-mark", Quantity::Frequency, 5.0, 200.0);
/// The reference voltage. Below 0.1 V hum is a part of it; 200 V is 10 kW into 4 ohm.
pub const REFERENCE: Range = Range::closed("reference", Quantity::Voltage, 0.1, 200.0);
/// A reading; higher than any reference, because a filter with a hump passes its reference.
pub const READING: Range =
    Range { field: "reading", quantity: Quantity::Voltage, low: 0.0, high: 250.0, low_open: true };
/// The tolerance as a share of the corner. Below 0.1 % no knob can be set, above 20 % it is no setting.
pub const TOLERANCE_PERCENT: Range = Range::closed("tolerance", Quantity::Share, 0.1, 20.0);
/// The tolerance as a level about the target.
pub const TOLERANCE_DB: Range = Range::closed("tolerance", Quantity::Level, 0.1, 3.0);
/// The Q of a second-order filter.
pub const Q: Range = Range::closed("q", Quantity::Plain, 0.3, 5.0);
/// The share-of-reading part of a meter's specification; 0 is a specification.
pub const METER_ACCURACY: Range = Range::closed("meter-accuracy", Quantity::Share, 0.0, 20.0);
/// The digits part of a meter's specification; 0 is a specification.
pub const METER_DIGITS: Range = Range::closed("meter-digits", Quantity::Count, 0.0, 200.0);
/// The display step of the meter on the range in use.
pub const METER_RESOLUTION: Range = Range::closed("meter-resolution", Quantity::Voltage, 0.000_001, 1.0);
/// How far the print at a mark may be off; 0 trusts it fully.
pub const MARK_UNCERTAINTY: Range = Range::closed("mark-uncertainty", Quantity::Share, 0.0, 50.0);
/// The amplifier's rated power.
pub const RATED_POWER: Range = Range::closed("power", Quantity::Power, 1.0, 20_000.0);
/// The load that the rated power is meant for.
pub const LOAD: Range = Range::closed("load", Quantity::Resistance, 0.25, 100.0);

/// The whole table, in the order above.
pub const ALL: [Range; 15] = [
    TUNING,
    CORNER,
    TONE,
    MARK,
    REFERENCE,
    READING,
    TOLERANCE_PERCENT,
    TOLERANCE_DB,
    Q,
    METER_ACCURACY,
    METER_DIGITS,
    METER_RESOLUTION,
    MARK_UNCERTAINTY,
    RATED_POWER,
    LOAD,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_say_what_they_take() {
        let cases = [
            (TUNING, "5 to 200 Hz"),
            (REFERENCE, "0.1 to 200 V"),
            (READING, "above 0, up to 250 V"),
            (TOLERANCE_PERCENT, "0.1 to 20 %"),
            (TOLERANCE_DB, "0.1 to 3 dB"),
            (Q, "0.3 to 5"),
            (METER_DIGITS, "a whole number from 0 to 200"),
            (METER_RESOLUTION, "0.000001 to 1 V"),
            (RATED_POWER, "1 to 20000 W"),
            (LOAD, "0.25 to 100 ohm"),
        ];
        for (range, words) in cases {
            assert_eq!(range.accepted(), words);
        }
    }

    #[test]
    fn ends_are_inside_and_what_lies_beyond_is_not() {
        for range in ALL {
            assert_eq!(range.contains(range.low), !range.low_open, "{}", range.field);
            assert!(range.contains(range.high), "{}", range.field);
            assert!(!range.contains(range.low - 0.001), "{}", range.field);
            assert!(!range.contains(range.high + 0.001), "{}", range.field);
            assert!(!range.contains(f64::NAN) && !range.contains(f64::INFINITY), "{}", range.field);
        }
    }

    #[test]
    fn a_count_is_whole() {
        assert!(METER_DIGITS.contains(5.0));
        assert!(!METER_DIGITS.contains(5.5));
    }

    #[test]
    fn a_range_can_serve_another_field() {
        const SWEEP: Range = TONE.named("sweep");
        assert_eq!(SWEEP.field, "sweep");
        assert_eq!(SWEEP.accepted(), TONE.accepted());
    }
}
