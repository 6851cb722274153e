//! Fits against scipy.optimize: `fit.ndjson`, made by `fit.py` from the design's definitions and JCGM 100, with
//! least_squares and brentq; versions stand in the table's header.

use cornerset::corner::{Fit, Mark, Pair, Reading, SharedReference};
use cornerset::filter::Alignment;
use cornerset::meter::MeterSpec;
use cornerset::quantity::entry::{parse_repeats_or_span, split_pair};
use cornerset::quantity::{Hertz, Percent, Volts, ranges};
use serde_json::{Value, json};

use crate::table::{alignment, differences, documents};

/// How far a number may lie from the table's, as a share. A corner is where a sum of squares is least; near there the
/// sum changes with the square of the distance, so comparing sums in double precision finds it to about 1e-9.
const SAME: f64 = 1e-8;
/// The same for residuals, in dB, some of which lie near nought: 1e-9 of a corner is at most 4e-7 dB at 48 dB/octave
/// per neper, far below the 1e-2 dB that a residual means anything to.
const RESIDUAL_DB: f64 = 1e-7;

fn reading(typed: &str) -> Reading {
    Reading::from(&parse_repeats_or_span(typed, &ranges::READING).unwrap())
}

fn pair(text: &str) -> Pair {
    let (tone, volts, reference) = split_pair(text, "sweep").unwrap();
    Pair { tone: Hertz::new(tone.parse().unwrap()), reading: reading(volts), reference: reference.map(reading) }
}

/// The fit of a row, with the table's keys.
fn fit(inputs: &Value) -> Value {
    let number = |key: &str| inputs[key].as_f64();
    let pairs: Vec<Pair> =
        inputs["pairs"].as_array().unwrap().iter().map(|text| pair(text.as_str().unwrap())).collect();
    let shared = inputs["shared"]
        .as_str()
        .map(|typed| SharedReference { reading: reading(typed), tone: Hertz::new(number("shared_tone_hz").unwrap()) });
    let mark = number("mark_hz")
        .map(|at| Mark { at: Hertz::new(at), uncertainty: Percent::new(number("mark_uncertainty_percent").unwrap()) });
    let meter = MeterSpec {
        accuracy: Percent::new(number("meter_accuracy_percent").unwrap()),
        digits: u32::try_from(inputs["meter_digits"].as_u64().unwrap()).unwrap(),
        resolution: Volts::new(number("meter_resolution_v").unwrap()),
    };
    let candidates = inputs["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| alignment(one[0].as_str().unwrap(), one[1].as_u64().unwrap(), one[2].as_f64()));
    let fit = Fit::of(&pairs, shared, mark, meter, candidates).unwrap();
    let filter = |alignment: Alignment| (alignment.family().word(), alignment.slope().db_per_octave(), alignment.q());
    let (family, slope, q) = filter(fit.alignment);
    let alternatives: Vec<Value> = fit
        .alternatives
        .iter()
        .map(|other| {
            let (family, slope, q) = filter(other.alignment);
            json!({
                "family": family,
                "slope_db_per_octave": slope,
                "q": q,
                "corner_hz": other.corner,
                "rms_residual_db": other.rms_residual,
                "told_apart": other.told_apart,
            })
        })
        .collect();
    json!({
        "family": family,
        "slope_db_per_octave": slope,
        "q": q,
        "corner_hz": fit.corner,
        "corner_standard_error_hz": fit.standard_error,
        "corner_uncertainty_hz": fit.uncertainty,
        "residuals_db": fit.residuals,
        "rms_residual_db": fit.rms_residual,
        "alternatives": alternatives,
    })
}

#[test]
fn fits_are_those_of_the_table() {
    let mut wrong = vec![];
    for (index, row) in documents("fit.ndjson").iter().enumerate() {
        let place = format!("row {}", index + 1);
        wrong.extend(differences(&place, &fit(&row["inputs"]), &row["expected"], SAME, RESIDUAL_DB));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The table has filters told apart and filters not told apart, every family, and each way to have a reference.
#[test]
fn the_table_holds_every_kind_of_fit() {
    let rows = documents("fit.ndjson");
    let some = |what: &str, holds: &dyn Fn(&Value, &Value) -> bool| {
        assert!(rows.iter().any(|row| holds(&row["inputs"], &row["expected"])), "no row {what}");
    };
    for family in ["butterworth", "linkwitz-riley", "bessel", "second-order"] {
        some(family, &|_, expected| expected["family"] == family);
    }
    let told_apart = |expected: &Value, told: bool| {
        expected["alternatives"].as_array().unwrap().iter().filter(|other| other["told_apart"] == told).count()
    };
    some("with a few told apart and a few not", &|_, expected| {
        told_apart(expected, true) > 1 && told_apart(expected, false) > 1
    });
    some("with none told apart", &|_, expected| told_apart(expected, false) == 14);
    some("with its own references and a mark", &|inputs, _| inputs["shared"].is_null() && !inputs["mark_hz"].is_null());
    some("with a shared reference and a mark", &|inputs, _| {
        !inputs["shared"].is_null() && !inputs["mark_hz"].is_null()
    });
    some("with both kinds of reference", &|inputs, _| {
        !inputs["shared"].is_null() && inputs["pairs"].to_string().contains('/')
    });
}
