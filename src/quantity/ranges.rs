//! The one table of legal ranges. Every out-of-range message and every range-driven test comes from it.
//!
//! A range is in the base unit of its quantity: hertz, volts, decibels, per cent, watts, ohms, centimetres, millimetres
//! of travel, square centimetres, litres, millihenries, grams, millimetres per newton, seconds, dBFS, or no unit.

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
    /// A length of a box or a port; base unit centimetre.
    Length,
    /// A length of cone travel; base unit millimetre.
    Travel,
    /// An area; base unit square centimetre.
    Area,
    /// A volume; base unit litre.
    Volume,
    /// An inductance; base unit millihenry.
    Inductance,
    /// A mass; base unit gram.
    Mass,
    /// A mechanical compliance; base unit millimetre per newton.
    Compliance,
    /// A length of time; base unit second.
    Time,
    /// A level against the full scale of a file; base unit dBFS, and never above 0.
    FullScale,
    /// A whole number: counts in the meter's last digit, ports, ends.
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
            Self::Length => "cm",
            Self::Travel => "mm",
            Self::Area => "cm2",
            Self::Volume => "l",
            Self::Inductance => "mH",
            Self::Mass => "g",
            Self::Compliance => "mm/N",
            Self::Time => "s",
            Self::FullScale => "dBFS",
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
            Self::Length | Self::Travel => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Inductance => "an inductance",
            Self::Mass => "a mass",
            Self::Compliance => "a compliance",
            Self::Time => "a time",
            Self::FullScale => "a level against full scale",
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

/// A driver's resonance in free air.
pub const FS: Range = Range::closed("fs_hz", Quantity::Frequency, 5.0, 300.0);
/// A driver's electrical Q.
pub const QES: Range = Range::closed("qes", Quantity::Plain, 0.05, 20.0);
/// A driver's mechanical Q.
pub const QMS: Range = Range::closed("qms", Quantity::Plain, 0.1, 100.0);
/// A driver's total Q.
pub const QTS: Range = Range::closed("qts", Quantity::Plain, 0.05, 20.0);
/// The volume of air as compliant as a driver's suspension.
pub const VAS: Range = Range::closed("vas_l", Quantity::Volume, 0.1, 5000.0);
/// A driver's effective piston area.
pub const SD: Range = Range::closed("sd_cm2", Quantity::Area, 1.0, 10_000.0);
/// The diameter of a driver's effective piston area.
pub const EFFECTIVE_DIAMETER: Range = Range::closed("effective_diameter_mm", Quantity::Travel, 10.0, 1200.0);
/// A voice coil's resistance to direct current.
pub const RE: Range = Range::closed("re_ohm", Quantity::Resistance, 0.1, 100.0);
/// A voice coil's inductance; 0 leaves it out.
pub const LE: Range = Range::closed("le_mh", Quantity::Inductance, 0.0, 100.0);
/// The linear limit of a cone's travel, one way.
pub const XMAX: Range = Range::closed("xmax_mm", Quantity::Travel, 0.1, 200.0);
/// The mechanical limit of a cone's travel, one way.
pub const XMECH: Range = Range::closed("xmech_mm", Quantity::Travel, 0.1, 400.0);
/// The compliance of a driver's suspension.
pub const CMS: Range = Range::closed("cms_mm_per_n", Quantity::Compliance, 0.001, 100.0);
/// A driver's moving mass, air load included.
pub const MMS: Range = Range::closed("mms_g", Quantity::Mass, 0.1, 10_000.0);
/// The net volume of a box.
pub const BOX_VOLUME: Range = Range::closed("volume_l", Quantity::Volume, 0.1, 20_000.0);
/// The Q of a box's leakage loss.
pub const LEAKAGE_Q: Range = Range::closed("leakage_q", Quantity::Plain, 0.5, 1e9);
/// The lowest frequency that a programme reaches.
pub const LOWEST: Range = Range::closed("lowest_hz", Quantity::Frequency, 1.0, 150.0);
/// The inner diameter of a round port.
pub const PORT_DIAMETER: Range = Range::closed("port-diameter", Quantity::Length, 0.5, 100.0);
/// The length of a port; the thickness of the wall where it is a mere hole.
pub const PORT_LENGTH: Range = Range::closed("port-length", Quantity::Length, 0.1, 500.0);
/// One inner side of a slot port.
pub const SLOT: Range = Range::closed("slot", Quantity::Length, 0.2, 300.0);
/// How many equal ports a box has.
pub const PORTS: Range = Range::closed("ports", Quantity::Count, 1.0, 50.0);
/// How many of a port's two ends lie flush in a wall.
pub const FLANGED_ENDS: Range = Range::closed("flanged-ends", Quantity::Count, 0.0, 2.0);
/// The resistor between the source and the box, while impedance is measured.
pub const SERIES_RESISTOR: Range = Range::closed("series-ohm", Quantity::Resistance, 0.1, 100_000.0);
/// The source's voltage ahead of that resistor.
pub const SOURCE: Range = Range::closed("source-v", Quantity::Voltage, 0.01, 200.0);
/// The seed of drills and simulated benches; the highest is `chance::MOST_SEED`.
pub const SEED: Range = Range::closed("seed", Quantity::Count, 1.0, 9999.0);
/// How many questions a drill asks.
pub const QUESTIONS: Range = Range::closed("count", Quantity::Count, 1.0, 10_000.0);
/// A place on the dial of a simulated bench's knob.
pub const DIAL: Range = Range::closed("dial", Quantity::Plain, 0.0, 10.0);
/// A step of a simulated bench's volume: decibels above its lowest.
pub const VOLUME_STEP: Range = Range::closed("volume", Quantity::Count, 0.0, 30.0);

/// How long a test tone lasts. Below a tenth of a second it is a click; ten hours are more than any file of it holds.
pub const SECONDS: Range = Range::closed("seconds", Quantity::Time, 0.1, 36_000.0);
/// The level of a test tone: 0 dBFS is a sine whose positive peak is the highest sample. The top leaves room for the
/// dither at 16 bit, so that no sample reaches full scale; below the bottom nothing is left but dither.
pub const LEVEL_DBFS: Range = Range::closed("level-dbfs", Quantity::FullScale, -80.0, -0.1);
/// The samples a second of a file, of which only some rates are in use.
pub const RATE: Range = Range::closed("rate", Quantity::Frequency, 8000.0, 192_000.0);
/// The bits of a sample, of which only two depths are in use.
pub const BITS: Range = Range::closed("bits", Quantity::Count, 16.0, 24.0);
/// How often the tones of a file come round.
pub const ROUNDS: Range = Range::closed("rounds", Quantity::Count, 1.0, 100.0);
/// How many tones of a sweep lie within an octave.
pub const PER_OCTAVE: Range = Range::closed("per-octave", Quantity::Count, 1.0, 24.0);

/// The whole table, in the order above.
pub const ALL: [Range; 48] = [
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
    FS,
    QES,
    QMS,
    QTS,
    VAS,
    SD,
    EFFECTIVE_DIAMETER,
    RE,
    LE,
    XMAX,
    XMECH,
    CMS,
    MMS,
    BOX_VOLUME,
    LEAKAGE_Q,
    LOWEST,
    PORT_DIAMETER,
    PORT_LENGTH,
    SLOT,
    PORTS,
    FLANGED_ENDS,
    SERIES_RESISTOR,
    SOURCE,
    SEED,
    QUESTIONS,
    DIAL,
    VOLUME_STEP,
    SECONDS,
    LEVEL_DBFS,
    RATE,
    BITS,
    ROUNDS,
    PER_OCTAVE,
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
            (XMAX, "0.1 to 200 mm"),
            (SD, "1 to 10000 cm2"),
            (PORTS, "a whole number from 1 to 50"),
            (SECONDS, "0.1 to 36000 s"),
            (LEVEL_DBFS, "-80 to -0.1 dBFS"),
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
