//! Plans against a reckoning apart from the program: `targets.ndjson`, made by `targets.py` from the design's
//! definitions, JCGM 100 and JCGM 106, with inverses by scipy.optimize.brentq; versions stand in the table's header.

use cornerset::corner::{Mark, Reading, Reference};
use cornerset::filter::Rule;
use cornerset::meter::{MeterSpec, Tolerance};
use cornerset::plan::{CornerChoice, Inputs, Plan, TargetsDocument};
use cornerset::quantity::entry::parse_repeats_or_span;
use cornerset::quantity::{Decibels, Hertz, Percent, Volts, ranges};
use serde_json::{Value, json};

use crate::table::{alignment, differences, documents};

/// How far any number may lie from the table's, as a share: well above the rounding of either side (1e-13 where a
/// corner is found from a level near the reference), well below anything a meter shows.
const SAME: f64 = 1e-9;
/// The same for levels that are nought but for rounding.
const NOUGHT_DB: f64 = 1e-12;

/// The inputs of a plan from a row.
fn inputs(row: &Value) -> Inputs {
    let number = |key: &str| row[key].as_f64();
    let hertz = |key: &str| number(key).map(Hertz::new);
    let corner = match row["rule"].as_str() {
        Some(word) => {
            let rule = Rule::ALL.into_iter().find(|rule| rule.word() == word).unwrap();
            CornerChoice::by_rule(hertz("tuning_hz").unwrap(), rule).unwrap()
        }
        None => CornerChoice::Own(hertz("corner_hz").unwrap(), None),
    };
    let mark =
        hertz("mark_hz").map(|at| Mark { at, uncertainty: Percent::new(number("mark_uncertainty_percent").unwrap()) });
    let tolerance = match number("tolerance_percent") {
        Some(percent) => Tolerance::Corner(Percent::new(percent)),
        None => Tolerance::Level(Decibels::new(number("tolerance_db").unwrap())),
    };
    Inputs {
        corner,
        alignment: alignment(
            row["family"].as_str().unwrap(),
            row["slope_db_per_octave"].as_u64().unwrap(),
            number("q"),
        ),
        reference: Reference { reading: reading(&row["reference"]), mark },
        tone: hertz("tone_hz").unwrap(),
        tolerance,
        meter: MeterSpec {
            accuracy: Percent::new(number("meter_accuracy_percent").unwrap()),
            digits: u32::try_from(row["meter_digits"].as_u64().unwrap()).unwrap(),
            resolution: Volts::new(number("meter_resolution_v").unwrap()),
        },
        range_held: row["range_held"].as_bool().unwrap(),
    }
}

fn reading(typed: &Value) -> Reading {
    Reading::from(&parse_repeats_or_span(typed.as_str().unwrap(), &ranges::READING).unwrap())
}

/// What the plan says of a reading, with the table's keys.
fn judged(plan: &Plan, typed: &Value) -> Value {
    let judged = plan.judge(reading(typed));
    json!({
        "typed": typed,
        "volts": judged.reading.volts,
        "down_db": judged.down,
        "corners_hz": judged.corners.all(),
        "corner_uncertainty_hz": judged.corner_uncertainty,
        "accept_low_v": judged.accept.low(),
        "accept_high_v": judged.accept.high(),
        "verdict": judged.verdict,
    })
}

#[test]
fn setting_points_and_verdicts_are_those_of_the_table() {
    let mut wrong = vec![];
    for (index, row) in documents("targets.ndjson").iter().enumerate() {
        let inputs = inputs(&row["inputs"]);
        let plan = Plan::new(inputs).unwrap();
        let document = TargetsDocument::from(&plan);
        let readings: Vec<Value> =
            row["inputs"]["readings"].as_array().unwrap().iter().map(|typed| judged(&plan, typed)).collect();
        let computed = json!({
            "true_reference_v": document.true_reference_v,
            "setting": document.setting,
            "points": document.points,
            "readings": readings,
        });
        wrong.extend(differences(&format!("row {}", index + 1), &computed, &row["expected"], SAME, NOUGHT_DB));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The inputs stand in the document as they were given.
#[test]
fn the_document_says_what_was_put_in() {
    for row in documents("targets.ndjson") {
        let given = &row["inputs"];
        let document = serde_json::to_value(TargetsDocument::from(&Plan::new(inputs(given)).unwrap())).unwrap();
        for key in ["tuning_hz", "rule", "corner_hz", "family", "slope_db_per_octave", "q"] {
            assert_eq!(document[key], given[key], "{key}");
        }
        for key in ["tolerance_percent", "tolerance_db"] {
            assert_eq!(document[key], given[key], "{key}");
        }
        assert_eq!(document["reference_mark_hz"], given["mark_hz"]);
    }
}

/// The table holds every kind of plan that the design tells apart, so that no branch goes unheld.
#[test]
fn the_table_holds_every_kind_of_plan() {
    let rows = documents("targets.ndjson");
    let some = |what: &str, holds: &dyn Fn(&Value, &Value) -> bool| {
        assert!(rows.iter().any(|row| holds(&row["inputs"], &row["expected"])), "no row {what}");
    };
    for family in ["butterworth", "linkwitz-riley", "bessel", "second-order"] {
        some(family, &|inputs, _| inputs["family"] == family && inputs["mark_hz"].is_null());
        some(family, &|inputs, _| inputs["family"] == family && !inputs["mark_hz"].is_null());
    }
    for rule in Rule::ALL {
        some(rule.word(), &|inputs, _| inputs["rule"] == rule.word());
    }
    for verdict in ["inside", "borderline", "above", "below"] {
        some(verdict, &|_, expected| expected["readings"].to_string().contains(&format!("\"{verdict}\"")));
    }
    some("with a tone off the corner", &|inputs, _| inputs["tone_hz"] != inputs["corner_hz"]);
    some("with a tolerance in dB", &|inputs, _| inputs["tolerance_percent"].is_null());
    some("with a range that is not held", &|inputs, _| inputs["range_held"] == false);
    some("with an empty zone", &|_, expected| expected["setting"]["accept_low_v"].is_null());
    some("whose window passes the reference", &|_, expected| expected["setting"]["corner_low_hz"].is_null());
    some("with a point left out", &|_, expected| expected["points"].as_array().unwrap().len() < 7);
    some("with no point at all", &|_, expected| expected["points"] == json!([]));
    some("with a span for a reference", &|inputs, _| inputs["reference"].as_str().unwrap().contains(".."));
    some("with repeats for a reference", &|inputs, _| inputs["reference"].as_str().unwrap().contains(' '));
    some("with two corners for a reading", &|_, expected| {
        expected["readings"].as_array().unwrap().iter().any(|said| said["corners_hz"].as_array().unwrap().len() == 2)
    });
}
