//! Numbers that are none, are out of range, or belong to another quantity: by every way in.

use cornerset::quantity::ranges::{Quantity, Range};

use crate::common::Shop;
use crate::ways::{Way, ways};

/// Refused by every field, whatever its range.
const NEVER: [&str; 31] = [
    "",
    "   ",
    "nan",
    "NaN",
    "inf",
    "-inf",
    "Infinity",
    "1e400",
    "1e2",
    "-5",
    "-0.5",
    "\u{2212}5",
    "1,234.5",
    "1_000",
    "1'000",
    "1 000",
    "0x10",
    "0b11",
    "\u{FF12}\u{FF17}",
    "\u{662}\u{667}",
    "2\u{B2}",
    "\u{BD}",
    "5\u{1B}[31m",
    "\u{1B}]0;title\u{7}5",
    "5\u{9B}2J",
    "\u{202E}5",
    "5\u{200B}",
    "five",
    "5 furlongs",
    "5+5",
    "999999999999999999999999",
];

/// A number in the middle of a range, as text.
fn middle(range: &Range) -> String {
    let value = f64::midpoint(range.low, range.high);
    if range.quantity == Quantity::Count { format!("{value:.0}") } else { format!("{value}") }
}

/// Just beyond either end, and far beyond.
fn outside(range: &Range) -> Vec<String> {
    let mut values = vec![format!("{}", range.high * 1.001 + 0.001), format!("{}", range.high * 20.0), "0x".to_owned()];
    if range.low > 0.0 {
        values.extend([
            "0".to_owned(),
            "0.00".to_owned(),
            format!("{}", range.low * 0.999),
            format!("0.{}1", "0".repeat(100)),
        ]);
    } else if range.low_open {
        values.extend(["0".to_owned(), "0.00".to_owned()]);
    }
    values
}

/// The middle of the range with the unit of every other quantity.
fn of_another_quantity(way: &Way) -> Vec<String> {
    let units = [
        (Quantity::Frequency, "Hz"),
        (Quantity::Voltage, "V"),
        (Quantity::Level, "dB"),
        (Quantity::Share, "%"),
        (Quantity::Power, "W"),
        (Quantity::Resistance, "ohm"),
    ];
    let is_tolerance = way.field == "tolerance";
    units
        .into_iter()
        .filter(|(quantity, _)| *quantity != way.range.quantity && !(is_tolerance && *quantity == Quantity::Level))
        .map(|(_, unit)| format!("{} {unit}", middle(&way.range)))
        .collect()
}

fn hold(ways: &[Way]) {
    for way in ways {
        let trial = way.trial();
        let mut values: Vec<String> = NEVER.map(str::to_owned).to_vec();
        values.extend(outside(&way.range));
        values.extend(of_another_quantity(way));
        if !way.several {
            values.extend(["5.61..5.70".to_owned(), "20 21".to_owned()]);
        }
        for value in values {
            // An empty half of a pair is said in other words; see the tests of pairs.
            if value.trim().is_empty() && way.is_in_a_pair() {
                continue;
            }
            let ended = trial.with(&value);
            let sentence = ended.refuses(way.field, &value);
            assert!(!way.is_a_script() || sentence.contains("line 1 of the script: "), "{}: {sentence}", way.name);
        }
        trial.finish();
    }
}

#[test]
fn by_option_of_targets() {
    hold(&ways().into_iter().filter(|way| way.name.starts_with("targets")).collect::<Vec<_>>());
}

#[test]
fn by_option_of_corner() {
    hold(&ways().into_iter().filter(|way| way.name.starts_with("corner ")).collect::<Vec<_>>());
}

#[test]
fn by_script_before_the_cautions() {
    let early = ["meter-accuracy", "meter-digits", "meter-resolution", "tuning", "q", "corner"];
    hold(&ways().into_iter().filter(|way| way.is_a_script() && early.contains(&way.name)).collect::<Vec<_>>());
}

#[test]
fn by_script_about_mark_tone_tolerance_and_load() {
    let middle = ["reference-mark", "mark-uncertainty", "tone", "tolerance", "rated-power", "load"];
    hold(&ways().into_iter().filter(|way| way.is_a_script() && middle.contains(&way.name)).collect::<Vec<_>>());
}

#[test]
fn by_script_at_the_meter() {
    let late = ["explore", "reference", "reading", "sweep"];
    hold(&ways().into_iter().filter(|way| way.is_a_script() && late.contains(&way.name)).collect::<Vec<_>>());
}

/// The table of the design, section 5: both ends are taken, what lies just beyond is refused.
#[test]
fn the_ends_of_the_ranges() {
    let targets = |options: &str| format!("targets --slope 24 {options}");
    let corner = |pair: &str| format!("corner --family butterworth --slope 24 {pair}");
    for (arguments, field) in [
        (targets("--reference 8 --corner {}"), "corner"),
        (targets("--reference 8 --corner 27 --tone {}"), "tone"),
        (corner("--reference 8 27=5.66 --reference-mark {}"), "reference-mark"),
    ] {
        for (value, accepted) in
            [("5", true), ("5 Hz", true), ("200", true), ("0.2 kHz", true), ("4.999", false), ("200.1", false)]
        {
            holds(&arguments, field, value, accepted, "5 to 200 Hz");
        }
    }
    let tuning = targets("--reference 8 --tuning {}");
    for (value, accepted) in [("7", true), ("200", true), ("4.999", false), ("200.1", false), ("4 kHz", false)] {
        holds(&tuning, "tuning", value, accepted, "5 to 200 Hz");
    }
    for arguments in [targets("--corner 27 --reference {}"), corner("27=0.05 --reference {}")] {
        for (value, accepted) in
            [("0.1", true), ("100 mV", true), ("200", true), ("0.099", false), ("200.1", false), ("3 kV", false)]
        {
            holds(&arguments, "reference", value, accepted, "0.1 to 200 V");
        }
    }
    // With a hump a reading may lie above its reference: 250 V is the end.
    let reading = "corner --family second-order --slope 12 --q 5 --reference 200 27={}";
    for (value, accepted) in [("0.000001", true), ("250", true), ("250.1", false), ("0", false)] {
        holds(reading, "reading", value, accepted, "above 0, up to 250 V");
    }
    let tolerance = targets("--corner 27 --reference 8 --tolerance {}");
    for (value, accepted) in [
        ("0.1", true),
        ("20 %", true),
        ("0.1 dB", true),
        ("3dB", true),
        ("0.09", false),
        ("20.1", false),
        ("0.09 dB", false),
        ("3.1 dB", false),
    ] {
        holds(&tolerance, "tolerance", value, accepted, "0.1 to 20 % or 0.1 to 3 dB");
    }
    let digits = targets("--corner 27 --reference 8 --meter-digits {}");
    let accuracy = targets("--corner 27 --reference 8 --meter-accuracy {}");
    holds(&digits, "meter-digits", "0", true, "");
    holds(&digits, "meter-digits", "1.5", false, "whole number");
    holds(&accuracy, "meter-accuracy", "0 %", true, "");
    holds(&accuracy, "meter-accuracy", "-1", false, "%");
}

#[track_caller]
fn holds(arguments: &str, field: &str, value: &str, is_accepted: bool, range: &str) {
    let arguments: Vec<String> = arguments.split(' ').map(|word| word.replace("{}", value)).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let ended = Shop::new().tries(&arguments);
    if is_accepted {
        assert!(matches!(ended.code, Some(0 | 1)) && ended.stderr.is_empty(), "{arguments:?}: {ended:?}");
    } else {
        assert!(ended.refuses(field, value).contains(range), "{arguments:?}: {ended:?}");
    }
}

/// A comma before three digits could be either: the range decides, or both spellings are shown.
#[test]
fn a_comma_before_three_digits() {
    let taken = |arguments: &[&str], key: &str| -> f64 {
        let ended = Shop::new().tries(arguments);
        assert_eq!(ended.code, Some(0), "{ended:?}");
        serde_json::from_str::<serde_json::Value>(&ended.stdout).unwrap()[key].as_f64().unwrap()
    };
    let targets = ["targets", "--slope", "24", "--json"];
    assert_eq!(taken(&[&targets[..], &["--tuning", "36,000", "--reference", "8"]].concat(), "tuning_hz"), 36.0);
    assert_eq!(taken(&[&targets[..], &["--tuning", "36", "--reference", "5,657"]].concat(), "reference_v"), 5.657);
    assert_eq!(taken(&[&targets[..], &["--tuning", "36", "--reference", "5,657 mV"]].concat(), "reference_v"), 5.657);
    let ended = Shop::new().tries(&["targets", "--slope", "24", "--tuning", "36,000.0", "--reference", "8"]);
    assert!(ended.refuses("tuning", "36,000.0").contains("36000.0"), "{ended:?}");
    for way in ways().iter().filter(|way| way.name == "rated-power" || (way.name == "reading" && way.is_a_script())) {
        let value = if way.name == "reading" { "5,660 mV" } else { "1,234" };
        let ended = way.trial().with(value);
        let sentence = ended.refuses(way.field, value);
        let spellings = if way.name == "reading" { ["5.660", "5660"] } else { ["1.234", "1234"] };
        assert!(spellings.iter().all(|spelling| sentence.contains(spelling)), "{sentence}");
    }
}

/// Half a pair names its field and the form.
#[test]
fn half_a_pair() {
    for pair in ["27", "27=", "=5.66", "27=5.66/", "27==5", "27=5/8/9", "27 5.66", "="] {
        let ended =
            Shop::new().tries(&["corner", "--family", "butterworth", "--slope", "24", "--reference", "8", pair]);
        assert!(ended.refuses("reading", pair).contains("TONE=VOLTS"), "{pair}: {ended:?}");
    }
    let way = ways().into_iter().find(|way| way.name == "sweep").unwrap();
    let trial = way.trial();
    let ended = trial.with("");
    assert!(ended.refuses("sweep", "= 5.66").contains("TONE=VOLTS"), "{ended:?}");
}
