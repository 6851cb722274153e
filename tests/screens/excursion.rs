//! Cone travel: the answer, the choices, the curves and what should be known.

use cornerset::displacement::{Analysis, Fields};
use cornerset::screens::{Excursion, Line, Screen};

use crate::common::snapshots;
use crate::play::{page, pages, text};

/// A driver of our own, in a vented box that needs its filter.
const DRIVER: &str =
    "fs_hz = 26.4; qes = 0.47; qms = 5.8; vas_l = 58; sd_cm2 = 507; re_ohm = 3.3; le_mh = 1.9; xmax_mm = 13";
const VENTED: &str = "kind = vented; volume_l = 49.6; tuning_hz = 34";
const DRIVE: &str = "power_w = 320; load_ohm = 4";
const FILTER: &str = "family = butterworth; slope_db_per_octave = 24";
/// Another, whose sealed box holds it.
const SMALL: &str = "fs_hz = 31.5; qes = 0.58; qms = 4.6; vas_l = 29; sd_cm2 = 346; re_ohm = 3.5; xmax_mm = 12.5";

/// Every kind of answer, by name.
fn cases() -> Vec<(&'static str, String)> {
    let vented = |extra: &str| format!("{DRIVER}; {VENTED}; {DRIVE}; {FILTER}; {extra}");
    let at = |watts: &str, extra: &str| vented(extra).replace("power_w = 320", &format!("power_w = {watts}"));
    let sealed = |watts: &str, extra: &str| {
        format!("{SMALL}; kind = sealed; volume_l = 22.7; power_w = {watts}; load_ohm = 4; {extra}")
    };
    vec![
        ("needed", vented("name = Sample driver 12")),
        ("past Xmech with the filter out", vented("name = Sample driver 12; xmech_mm = 27")),
        ("a corner as given that does not hold it", vented("corner_hz = 18; xmech_mm = 27")),
        ("a corner as given that holds it", vented("corner_hz = 26")),
        ("the three-quarters corner falls short", at("560", "")),
        ("less drive, not the filter", at("800", "lowest_hz = 34")),
        ("less drive, and the filter", at("800", "")),
        ("less drive, and past Xmech filter in or out", at("1500", "xmech_mm = 20; corner_hz = 22")),
        ("no safe corner", at("320", "").replace("= 24", "= 6").replace("xmax_mm = 13", "xmax_mm = 9")),
        ("a filter with a hump", vented("q = 1.8").replace("butterworth", "second-order").replace("= 24", "= 12")),
        ("sealed, not needed", sealed("200", "name = Sample driver 10")),
        ("sealed, needed, nothing said of the filter", sealed("420", "tuning_hz = 36")),
        ("sealed, past Xmax by a hair", sealed("229", "corner_hz = 20")),
        ("sealed, past Xmax in the middle only", sealed("420", "").replace("qes = 0.58", "qes = 1.6")),
        ("vented, not needed", at("40", "lowest_hz = 18")),
        ("free air", format!("{DRIVER}; kind = free-air; power_w = 45; load_ohm = 4; volume_l = 49.6; {FILTER}")),
        ("Xmax and Xmech in one", vented("xmech_mm = 13")),
        ("Xmech far above", vented("xmech_mm = 90")),
        ("a small driver", small_driver()),
        ("a long name", vented(&format!("name = {}", "Sample driver ".repeat(8)))),
    ]
}

fn small_driver() -> String {
    "fs_hz = 88; qes = 0.6; qms = 3.4; vas_l = 2.6; sd_cm2 = 55; re_ohm = 3.6; xmax_mm = 3.2; xmech_mm = 5.5; \
     kind = vented; volume_l = 3.1; tuning_hz = 74; power_w = 18; load_ohm = 4; lowest_hz = 60; family = lr"
        .to_owned()
}

/// The screen of a driver and its box.
fn screen_of(line: &str, screen: Screen) -> Vec<Line> {
    let fields = Fields::from_line(line).expect("keys and values");
    let analysis = Analysis::of(fields.setup().unwrap_or_else(|refusal| panic!("{line}: {refusal}")));
    let (name, remarks) = (fields.name().expect("a name"), fields.remarks(&analysis));
    Excursion { analysis: &analysis, name: name.as_deref(), remarks: &remarks }.screen(screen)
}

#[test]
fn every_kind_of_answer() {
    pages("excursion", |screen| cases().iter().map(|(name, line)| page(name, screen_of(line, screen))).collect());
}

/// With at most one warning everything stands in a window of 24 lines, one of them for the next command.
#[test]
fn one_screen_is_enough() {
    for (name, line) in cases() {
        let lines = screen_of(&line, Screen::new(80, false));
        let warnings = lines.iter().filter(|line| line.text.starts_with('!')).count();
        assert!(warnings > 1 || name == "a long name" || lines.len() <= 23, "{name}: {} lines", lines.len());
    }
}

/// Without drawings the curves are numbers.
#[test]
fn plain() {
    let screen = Screen::new(80, true);
    let mut shown = String::new();
    for (name, line) in &cases()[1..2] {
        shown.push_str(&format!("== {name}\n{}", text(&screen_of(line, screen), 80)));
    }
    snapshots().bind(|| insta::assert_snapshot!("screen-excursion-plain", shown));
}
