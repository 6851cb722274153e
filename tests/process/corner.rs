//! `cornerset corner`: one reading, several, and what cannot be told.

use serde_json::{Value, json};

use crate::common::Shop;
use crate::support::{close, json_of, keys, refusal_of, sorted, words};

const ONE: &str = "corner --reference 8 --family butterworth --slope 24";
const HUMP: &str = "corner --reference 8 --family second-order --slope 12 --q 1.2";
/// Butterworth 24 dB/octave at 27 Hz, 8 V with the filter out, read to 0.01 V.
const SEVERAL: &str = "20=2.31 27=5.66 38=7.75";

/// What a Butterworth filter of order n leaves of a reference.
fn butterworth(reference: f64, corner: f64, tone: f64, order: i32) -> f64 {
    reference / (1.0 + (corner / tone).powi(2 * order)).sqrt()
}

fn alternatives(document: &Value) -> &Vec<Value> {
    document["alternatives"].as_array().unwrap()
}

/// The keys are those of the design, section 5.
#[test]
fn keys_are_those_of_the_contract() {
    let top = "corner_hz corners_hz corner_uncertainty_hz corner_standard_error_hz family slope_db_per_octave q \
               residuals_db rms_residual_db alternatives warnings";
    assert_eq!(keys(&json_of(&format!("{ONE} 27=5.66"))), sorted(top));
    let fit = json_of(&format!("corner --reference 8 {SEVERAL}"));
    assert_eq!(keys(&fit), sorted(top));
    for other in alternatives(&fit) {
        assert_eq!(keys(other), sorted("family slope_db_per_octave corner_hz rms_residual_db told_apart"));
    }
}

#[test]
fn one_reading_is_one_corner() {
    let document = json_of(&format!("{ONE} 27=5.66"));
    // Algebra: tone x ((reference/reading)^2 - 1)^(1/8).
    let corner = 27.0 * ((8.0f64 / 5.66).powi(2) - 1.0).powf(0.125);
    close(&document["corner_hz"], corner);
    assert_eq!(document["corners_hz"], json!([document["corner_hz"]]));
    assert_eq!(document["corner_standard_error_hz"], Value::Null);
    assert_eq!((&document["family"], &document["slope_db_per_octave"]), (&json!("butterworth"), &json!(24)));
    assert_eq!(
        (&document["q"], &document["alternatives"], &document["warnings"]),
        (&Value::Null, &json!([]), &json!([]))
    );
    // Section 4: u = sqrt((5 x 0.01 / sqrt 3)^2 + (0.01 / sqrt 12)^2) for both readings, the gain cancelled;
    // d ln V / d ln corner of order n at x = (corner/tone)^2n is n x / (1 + x).
    let u = (0.05f64 / 3f64.sqrt()).hypot(0.01 / 12f64.sqrt());
    let x = (corner / 27.0f64).powi(8);
    let sensitivity = 4.0 * x / (1.0 + x);
    close(&document["corner_uncertainty_hz"], 2.0 * corner * (u / 5.66).hypot(u / 8.0) / sensitivity);
}

#[test]
fn a_span_repeats_and_a_range_that_changes_widen_the_uncertainty() {
    let uncertainty = |arguments: &str| json_of(arguments)["corner_uncertainty_hz"].as_f64().unwrap();
    let usual = uncertainty(&format!("{ONE} 27=5.66"));
    assert!(uncertainty(&format!("{ONE} 27=5.60..5.72")) > usual);
    assert!(uncertainty(&format!("{ONE} 27=5.60_5.72")) > usual);
    assert!(uncertainty(&format!("{ONE} 27=5.66 --range-changes")) > usual);
    assert!(uncertainty(&format!("{ONE} 27=5.66 --reference-mark 18")) > usual);
    assert!(uncertainty(&format!("{ONE} 27=5.66 --meter-digits 1")) < usual);
    assert!(uncertainty(&format!("{ONE} 27=5.66 --meter-resolution 0.001")) < usual);
    assert_eq!(uncertainty(&format!("{ONE} 27=5.66 --meter-accuracy 10")), usual);
    let marked = |trust: &str| uncertainty(&format!("{ONE} 27=5.66 --reference-mark 18 --mark-uncertainty {trust}"));
    assert!(marked("0") < marked("10"));
}

#[test]
fn the_filter_at_its_mark_is_reckoned_out() {
    let as_read = butterworth(8.0, 18.0, 27.0, 4);
    let volts = butterworth(8.0, 25.0, 27.0, 4);
    let one = format!("corner --family butterworth --slope 24 --reference {as_read} --reference-mark 18 27={volts}");
    close(&json_of(&one)["corner_hz"], 25.0);
    // Read at 30 Hz, the reference of the same filter at the same mark is another voltage.
    let elsewhere = butterworth(8.0, 18.0, 30.0, 4);
    close(&json_of(&one.replace(&as_read.to_string(), &format!("{elsewhere} --reference-tone 30")))["corner_hz"], 25.0);
    let pairs = [18.0, 24.0, 38.0].map(|tone| format!("{tone}={}", butterworth(8.0, 25.0, tone, 4))).join(" ");
    let several = format!("corner --reference {as_read} --reference-mark 18 {pairs}");
    let fit = json_of(&format!("{several} --reference-tone 27"));
    close(&fit["corner_hz"], 25.0);
    let refusal = refusal_of(&several);
    assert!(refusal.contains("--reference-tone"), "{refusal}");
}

#[test]
fn a_reading_on_the_hump_is_two_corners_and_exit_code_1() {
    let ran = Shop::new().run(&words(&format!("{HUMP} 27=8.5 --json"))).expect(1);
    let document = ran.json();
    assert_eq!((&document["corner_hz"], &document["corner_uncertainty_hz"]), (&Value::Null, &Value::Null));
    let corners: Vec<f64> =
        document["corners_hz"].as_array().unwrap().iter().map(|corner| corner.as_f64().unwrap()).collect();
    assert!(corners.len() == 2 && corners[0] < corners[1], "{corners:?}");
    for corner in corners {
        let u = (corner / 27.0).powi(2);
        let volts = 8.0 / ((1.0 - u).powi(2) + u / (1.2f64 * 1.2)).sqrt();
        assert!((volts - 8.5).abs() < 1e-9, "{volts}");
    }
    let page = Shop::new().run(&words(&format!("{HUMP} 27=8.5"))).expect(1);
    assert!(page.stdout.contains("8.3 Hz or 29.7 Hz") && page.stderr.is_empty(), "{page:?}");
    // Below the reference one corner is left.
    assert_eq!(json_of(&format!("{HUMP} 27=5"))["corners_hz"].as_array().unwrap().len(), 1);
}

#[test]
fn no_corner_at_all_is_refused_and_says_why() {
    for arguments in [
        format!("{ONE} 27=8"),
        format!("{ONE} 27=8.00_8.00"),
        format!("{ONE} 27=9"),
        format!("{ONE} 27=8.1/8.0"),
        format!("{HUMP} 27=12"),
        "corner --reference 8 --family second-order --slope 12 --q 0.6 27=8".to_owned(),
    ] {
        let refusal = refusal_of(&arguments);
        assert!(refusal.contains("27=") && refusal.contains("no corner"), "{refusal}");
        assert_eq!(refusal_of(&format!("{arguments} --json")), refusal);
    }
    let refusal = refusal_of("corner --reference 8 20=8 27=8");
    assert!(refusal.contains("no filter fits"), "{refusal}");
}

#[test]
fn several_readings_are_fitted_over_every_family_and_slope() {
    let fit = json_of(&format!("corner --reference 8 {SEVERAL}"));
    assert_eq!((&fit["family"], &fit["slope_db_per_octave"]), (&json!("butterworth"), &json!(24)));
    assert!((fit["corner_hz"].as_f64().unwrap() - 27.0).abs() < 0.05, "{fit}");
    assert_eq!(fit["corners_hz"], json!([fit["corner_hz"]]));
    for key in ["corner_uncertainty_hz", "corner_standard_error_hz", "rms_residual_db"] {
        assert!(fit[key].as_f64().unwrap() > 0.0, "{key}");
    }
    let residuals: Vec<f64> = fit["residuals_db"].as_array().unwrap().iter().map(|r| r.as_f64().unwrap()).collect();
    assert_eq!(residuals.len(), 3);
    close(&fit["rms_residual_db"], (residuals.iter().map(|r| r * r).sum::<f64>() / 3.0).sqrt());
    let mut filters: Vec<String> =
        alternatives(&fit).iter().map(|other| format!("{}{}", other["family"], other["slope_db_per_octave"])).collect();
    filters.push(format!("{}{}", fit["family"], fit["slope_db_per_octave"]));
    filters.sort();
    filters.dedup();
    assert_eq!(filters.len(), 8 + 4 + 3, "Butterworth, Linkwitz-Riley, Bessel");
    assert!(alternatives(&fit).is_sorted_by_key(|other| other["rms_residual_db"].as_f64().unwrap()));
}

#[test]
fn family_and_slope_narrow_the_fit() {
    let fit = |options: &str| json_of(&format!("corner --reference 8 {options} {SEVERAL}"));
    assert_eq!(alternatives(&fit("--family bessel")).len(), 2);
    assert_eq!(alternatives(&fit("--slope 24")).len(), 2);
    assert_eq!(alternatives(&fit("--slope 30")).len(), 0);
    assert_eq!(alternatives(&fit("--family linkwitz-riley --slope 24")).len(), 0);
    let second_order = fit("--family second-order --q 0.6");
    assert_eq!((&second_order["q"], &second_order["slope_db_per_octave"]), (&json!(0.6), &json!(12)));
}

#[test]
fn what_the_readings_tell_apart() {
    let told = |arguments: &str, family: &str, slope: u64| {
        let fit = json_of(arguments);
        let is_it = |other: &&Value| other["family"] == family && other["slope_db_per_octave"] == slope;
        let other = alternatives(&fit).iter().find(is_it).unwrap_or_else(|| panic!("{family} {slope}: {fit}")).clone();
        other["told_apart"].as_bool().unwrap()
    };
    let three = "corner --reference 8 20=2.31 27=5.66 38=7.75";
    assert!(told(three, "butterworth", 18));
    assert!(told(three, "bessel", 24));
    // One tone at the corner and one just above it leave the slope open.
    assert!(!told("corner --reference 8 27=5.66 29=6.4", "butterworth", 30));
}

#[test]
fn a_reference_of_ones_own_goes_before_the_shared_one() {
    let own = json_of("corner 20=2.31/8 27=5.66/8 38=7.75/8");
    let ours = json_of("corner --reference 60 20=2.31/8 27=5.66/8 38=7.75/8");
    assert_eq!(own["corner_hz"], ours["corner_hz"]);
    assert_eq!(own["residuals_db"], ours["residuals_db"]);
    let shared = json_of(&format!("corner --reference 8 {SEVERAL}"));
    close(&own["corner_hz"], shared["corner_hz"].as_f64().unwrap());
    let mixed = json_of("corner --reference 8 20=2.31/8 27=5.66 38=7.75");
    close(&mixed["corner_hz"], shared["corner_hz"].as_f64().unwrap());
    close(&json_of("corner --family butterworth --slope 24 27=5.66/8")["corner_hz"], 26.992_491_666_078_507);
    for arguments in ["corner 20=2.31/8 27=5.66", "corner --family butterworth --slope 24 27=5.66"] {
        let refusal = refusal_of(arguments);
        assert!(refusal.contains("`27=5.66` has no reference"), "{refusal}");
    }
}

#[test]
fn in_a_fit_a_pair_above_the_reference_is_data() {
    let fit = json_of("corner 20=2.31/8 27=5.66/8 38=8.3/8");
    let residuals = fit["residuals_db"].as_array().unwrap();
    assert!(residuals[2].as_f64().unwrap() > 0.0, "measured less fitted: {residuals:?}");
}

#[test]
fn a_tone_far_above_the_corner_is_a_warning() {
    let document = json_of(&format!("{ONE} 60=7.99"));
    assert!(document["warnings"][0].as_str().unwrap().contains("60.0 Hz says little"), "{document}");
}

#[test]
fn half_a_question_is_refused() {
    for (options, says) in [
        ("--reference 8 27=5.66", "--family and --slope"),
        ("--reference 8 --slope 24 27=5.66", "--family and --slope"),
        ("--reference 8 --family butterworth 27=5.66", "--family and --slope"),
        ("--reference 8 --family butterworth --slope 24", "TONE=VOLTS"),
        ("--reference 8 --family second-order --slope 12 27=5.66", "q: "),
        ("--reference 8 --family second-order 20=2 27=5.66", "q: "),
        ("--reference 8 --family butterworth --slope 24 --q 0.9 27=5.66", "q: `0.9`"),
        ("--reference 8 --family bessel --slope 30 20=2 27=5.66", "12, 18 or 24"),
        ("--reference 8 --slope 24 --q 0.9 20=2 27=5.66", "slope"),
        ("--reference 8 --mark-uncertainty 5 20=2 27=5.66", "mark-uncertainty"),
        ("--reference 8 --family butterworth --slope 24 27", "reading: `27`"),
        ("--reference 8 --family butterworth --slope 24 27=", "TONE=VOLTS"),
        ("--reference 8 --family butterworth --slope 24 27=5.66/", "TONE=VOLTS"),
        ("--reference 8 --family butterworth --slope 24 300=5.66", "tone: `300`"),
        ("--reference 8 --family butterworth --slope 24 27=300", "reading: `300`"),
        ("--reference 8 --family butterworth --slope 24 27=5/300", "reference: `300`"),
    ] {
        let refusal = refusal_of(&format!("corner {options}"));
        assert!(refusal.contains(says), "{options}: {refusal}");
    }
}

/// Readings about the reference that fall nowhere: there is no corner, and no number that is none.
#[test]
fn readings_that_do_not_fall_have_no_corner() {
    for pairs in ["58.0=8.366/8.347 69.5=8.096/8.102", "72.8=8.14 96.4=7.98", "30=8.00 60=8.00"] {
        let refusal = refusal_of(&format!("corner --json --reference 8 {pairs}"));
        assert!(refusal.contains("no filter fits"), "{pairs}: {refusal}");
    }
    let document = json_of("corner --reference 6.69 82.1=6.57 94.1=6.88 20=0.9");
    for other in alternatives(&document) {
        let corner = &other["corner_hz"];
        assert!(corner.is_null() || corner.as_f64().unwrap() > 0.1, "{other}");
    }
}
