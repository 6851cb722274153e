//! Single readings against a reckoning apart from the program: `one.ndjson`, made by `one.py` from the design's
//! definitions and JCGM 100, with inverses by scipy.optimize.brentq; versions stand in the table's header.

use cornerset::corner::{Mark, RatioForm, Reading, Reference, corner_from_reading};
use cornerset::meter::MeterSpec;
use cornerset::quantity::entry::parse_repeats_or_span;
use cornerset::quantity::{Hertz, Percent, Volts, ranges};
use serde_json::{Value, json};

use crate::table::{alignment, differences, documents};

/// How far a number may lie from the table's, as a share: above the rounding of either side, below what meters show.
const SAME: f64 = 1e-9;

fn said(inputs: &Value) -> Value {
    let number = |key: &str| inputs[key].as_f64();
    let hertz = |key: &str| number(key).map(Hertz::new);
    let typed =
        |key: &str| Reading::from(&parse_repeats_or_span(inputs[key].as_str().unwrap(), &ranges::READING).unwrap());
    let mark =
        hertz("mark_hz").map(|at| Mark { at, uncertainty: Percent::new(number("mark_uncertainty_percent").unwrap()) });
    let meter = MeterSpec {
        accuracy: Percent::new(number("meter_accuracy_percent").unwrap()),
        digits: u32::try_from(inputs["meter_digits"].as_u64().unwrap()).unwrap(),
        resolution: Volts::new(number("meter_resolution_v").unwrap()),
    };
    let filter =
        alignment(inputs["family"].as_str().unwrap(), inputs["slope_db_per_octave"].as_u64().unwrap(), number("q"));
    let reference = Reference { reading: typed("reference"), mark };
    let in_form = |form| {
        let reference_tone = hertz("reference_tone_hz").unwrap();
        corner_from_reading(filter, hertz("tone_hz").unwrap(), typed("typed"), reference, reference_tone, meter, form)
    };
    let (common, full) = (in_form(RatioForm::CommonGain), in_form(RatioForm::Full));
    assert_eq!(common.corners, full.corners);
    json!({
        "corners_hz": common.corners.all(),
        "common_gain_hz": common.uncertainty,
        "full_hz": full.uncertainty,
    })
}

#[test]
fn single_readings_say_the_corners_of_the_table() {
    let mut wrong = vec![];
    for (index, row) in documents("one.ndjson").iter().enumerate() {
        wrong.extend(differences(&format!("row {}", index + 1), &said(&row["inputs"]), &row["expected"], SAME, 0.0));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
