//! `cornerset targets`: options, defaults, keys, null cases, warnings, refusals.

use serde_json::{Value, json};

use crate::common::Shop;
use crate::support::{close, json_of, keys, refusal_of, sorted, words};

const PLAIN: &str = "targets --tuning 36 --slope 24 --reference 8";

/// The keys are those of the design, section 5.
#[test]
fn keys_are_those_of_the_contract() {
    for arguments in [PLAIN, "targets --corner 27 --slope 12 --family second-order --q 0.6 --reference 8"] {
        let document = json_of(arguments);
        let top = "tuning_hz rule corner_hz family slope_db_per_octave q reference_v reference_mark_hz \
                   true_reference_v tolerance_percent tolerance_db setting points warnings";
        assert_eq!(keys(&document), sorted(top));
        let point = "down_db tone_hz target_v low_v high_v accept_low_v accept_high_v";
        assert_eq!(keys(&document["setting"]), sorted(&format!("{point} corner_low_hz corner_high_hz")));
        assert!(!document["points"].as_array().unwrap().is_empty());
        for each in document["points"].as_array().unwrap() {
            assert_eq!(keys(each), sorted(point));
        }
    }
}

#[test]
fn what_is_not_given_has_its_default() {
    let document = json_of(PLAIN);
    for (key, value) in [
        ("tuning_hz", json!(36.0)),
        ("rule", json!("three-quarters")),
        ("corner_hz", json!(27.0)),
        ("family", json!("butterworth")),
        ("slope_db_per_octave", json!(24)),
        ("q", Value::Null),
        ("reference_v", json!(8.0)),
        ("reference_mark_hz", Value::Null),
        ("true_reference_v", json!(8.0)),
        ("tolerance_percent", json!(3.0)),
        ("tolerance_db", Value::Null),
        ("warnings", json!([])),
    ] {
        assert_eq!(document[key], value, "{key}");
    }
    let setting = &document["setting"];
    assert_eq!(setting["tone_hz"], 27.0);
    close(&setting["target_v"], 8.0 / 2f64.sqrt());
    close(&setting["down_db"], 10.0 * 2f64.log10());
    close(&setting["corner_low_hz"], 27.0 * 0.97);
    close(&setting["corner_high_hz"], 27.0 * 1.03);
    let explicit = format!(
        "{PLAIN} --rule three-quarters --family butterworth --tone 27 --tolerance 3% --meter-accuracy 1.0 \
         --meter-digits 5 --meter-resolution 0.01"
    );
    assert_eq!(json_of(&explicit), document);
}

#[test]
fn every_option_is_heard() {
    for (options, pointer, value) in [
        ("--rule octave", "/corner_hz", json!(18.0)),
        ("--rule half-octave", "/rule", json!("half-octave")),
        ("--family linkwitz-riley", "/family", json!("linkwitz-riley")),
        ("--family bessel", "/family", json!("bessel")),
        ("--reference-mark 18", "/reference_mark_hz", json!(18.0)),
        ("--tone 30", "/setting/tone_hz", json!(30.0)),
        ("--tolerance 5", "/tolerance_percent", json!(5.0)),
        ("--tolerance 5%", "/tolerance_percent", json!(5.0)),
        ("--tolerance 0.5dB", "/tolerance_db", json!(0.5)),
        ("--tolerance 0.5_dB", "/tolerance_percent", Value::Null),
    ] {
        assert_eq!(json_of(&format!("{PLAIN} {options}")).pointer(pointer), Some(&value), "{options}");
    }
    close(&json_of(&format!("{PLAIN} --rule half-octave"))["corner_hz"], 36.0 / 2f64.sqrt());
    let q = json_of("targets --tuning 36 --slope 12 --family second-order --q 0.9 --reference 8");
    assert_eq!((&q["q"], &q["setting"]["tone_hz"]), (&json!(0.9), &json!(20.25)));
}

/// What an option does to the accept zone: a narrower or a wider one than without it.
#[test]
fn the_meter_and_the_mark_move_the_accept_zone() {
    let width = |options: &str| {
        let document = json_of(&format!("{PLAIN}{options}"));
        let end = |key: &str| document["setting"][key].as_f64().unwrap();
        end("accept_high_v") - end("accept_low_v")
    };
    let usual = width("");
    for wider in [" --meter-digits 0", " --meter-resolution 0.001", " --tolerance 4%"] {
        assert!(width(wider) > usual, "{wider}");
    }
    for narrower in [" --range-changes", " --meter-digits 10", " --meter-resolution 0.02", " --reference-mark 18"] {
        assert!(width(narrower) < usual, "{narrower}");
    }
    assert!(width(" --meter-accuracy 5") == usual, "the gain error cancels");
    assert!(width(" --range-changes --meter-accuracy 2") < width(" --range-changes"));
    assert!(width(" --reference-mark 18 --mark-uncertainty 0") > width(" --reference-mark 18 --mark-uncertainty 10"));
}

#[test]
fn numbers_are_taken_as_a_person_types_them() {
    let document = json_of(PLAIN);
    for same in [
        "targets --tuning 36_Hz --slope 24_dB/octave --reference 8_V",
        "targets --tuning 0.036_kHz --slope 24dB --reference 8000_mV",
        "targets --tuning 36,0 --slope 24,0 --reference 8,00",
        "targets --tuning 36.000Hz --slope +24 --reference 8.",
    ] {
        assert_eq!(json_of(same), document, "{same}");
    }
    assert_eq!(json_of("targets --tuning 36 --slope 24 --reference .5")["reference_v"], 0.5);
    let span = json_of("targets --tuning 36 --slope 24 --reference 7.98..8.02");
    assert_eq!(span["reference_v"], 8.0);
    let repeats = json_of("targets --tuning 36 --slope 24 --reference 7.98_8.02_8.00");
    assert_eq!(repeats["reference_v"], 8.0);
    assert!(span["setting"]["accept_low_v"].as_f64() > document["setting"]["accept_low_v"].as_f64());
}

#[test]
fn a_corner_of_ones_own_has_neither_tuning_nor_rule() {
    let document = json_of("targets --corner 27 --slope 24 --reference 8");
    assert_eq!((&document["tuning_hz"], &document["rule"]), (&Value::Null, &Value::Null));
    let by_rule = json_of(PLAIN);
    for key in ["corner_hz", "setting", "points", "warnings"] {
        assert_eq!(document[key], by_rule[key], "{key}");
    }
}

/// 0.5 dB above a target that is 0.02 dB down lies above the reference.
#[test]
fn a_window_that_passes_the_reference_has_no_corner_there() {
    let document = json_of(&format!("{PLAIN} --tone 54 --tolerance 0.5dB"));
    let setting = &document["setting"];
    assert!(setting["high_v"].as_f64().unwrap() > 8.0);
    assert_eq!(setting["corner_low_hz"], Value::Null);
    assert!(setting["corner_high_hz"].as_f64().unwrap() > 27.0);
    let warnings = document["warnings"].to_string();
    assert!(warnings.contains("reaches up to the reference"), "{warnings}");
    assert!(warnings.contains("54.0 Hz says little about a corner of 27.0 Hz"), "{warnings}");
}

#[test]
fn an_empty_zone_is_null_twice_and_a_warning_for_the_setting_only() {
    let document = json_of("targets --tuning 36 --slope 24 --reference 0.2");
    let setting = &document["setting"];
    assert_eq!((&setting["accept_low_v"], &setting["accept_high_v"]), (&Value::Null, &Value::Null));
    let warnings = document["warnings"].as_array().unwrap();
    assert_eq!(warnings.len(), 1, "{warnings:?}");
    for help in ["higher reference", "finer range", "wider tolerance"] {
        assert!(warnings[0].as_str().unwrap().contains(help), "{warnings:?}");
    }
    // At the 1 dB point the full form leaves nothing of the window, and no warning speaks of it.
    let document = json_of(PLAIN);
    assert_eq!(document["points"][0]["accept_low_v"], Value::Null);
    assert_eq!(document["points"][0]["accept_high_v"], Value::Null);
    assert_eq!(document["warnings"], json!([]));
}

#[test]
fn the_points_are_those_that_the_meter_can_show_and_the_range_holds() {
    let levels = |arguments: &str| -> Vec<f64> {
        let document = json_of(arguments);
        document["points"].as_array().unwrap().iter().map(|point| point["down_db"].as_f64().unwrap()).collect()
    };
    assert_eq!(levels(PLAIN), [1.0, 3.0, 6.0, 10.0, 12.0, 20.0, 24.0]);
    // 20 steps of 0.1 V are 2 V: 12 dB down from 8 V is 2.01 V, 20 dB down 0.8 V.
    assert_eq!(levels(&format!("{PLAIN} --meter-resolution 0.1")), [1.0, 3.0, 6.0, 10.0, 12.0]);
    // 6 dB/octave at 6 Hz: 3 dB down at 6.0 Hz, 6 dB down at 3.5 Hz, outside 5 to 200 Hz.
    assert_eq!(levels("targets --corner 6 --slope 6 --reference 8"), [1.0, 3.0]);
    for point in json_of(PLAIN)["points"].as_array().unwrap() {
        let down = point["down_db"].as_f64().unwrap();
        close(&point["target_v"], 8.0 * 10f64.powf(-down / 20.0));
        let ratio = 10f64.powf(down / 10.0) - 1.0;
        close(&point["tone_hz"], 27.0 / ratio.powf(1.0 / 8.0));
    }
}

#[test]
fn a_hazardous_reference_is_a_warning() {
    let warnings = json_of("targets --tuning 36 --slope 24 --reference 33")["warnings"].to_string();
    assert!(warnings.contains("33.0 V is above 30 V rms"), "{warnings}");
}

#[test]
fn what_contradicts_itself_is_refused() {
    for (options, says) in [
        ("--tuning 36 --slope 24 --reference 8 --reference-mark 27", "reference-mark: `27"),
        ("--tuning 36 --slope 24 --reference 8 --reference-mark 30", "cannot go that low"),
        ("--corner 27 --slope 24 --reference 8 --reference-mark 27", "reference-mark"),
        ("--tuning 6 --slope 24 --reference 8", "tuning: `6"),
        ("--tuning 9 --rule octave --slope 24 --reference 8", "tuning: `9"),
        ("--tuning 36 --slope 12 --family second-order --q 1.2 --reference 8 --tone 27", "tone: `27"),
        ("--tuning 36 --slope 12 --family second-order --q 0.8 --reference 8 --tone 60", "two corners"),
        ("--tuning 36 --slope 12 --family second-order --reference 8", "q: "),
        ("--tuning 36 --slope 12 --q 0.9 --reference 8", "q: `0.9`"),
        ("--tuning 36 --slope 24 --family second-order --q 0.9 --reference 8", "slope: `24"),
        ("--tuning 36 --slope 18 --family linkwitz-riley --reference 8", "12, 24, 36 or 48"),
        ("--tuning 36 --slope 30 --family bessel --reference 8", "12, 18 or 24"),
        ("--tuning 36 --slope 20 --reference 8", "slope: `20`"),
        ("--tuning 36 --slope 54 --reference 8", "6, 12, 18, 24, 30, 36, 42 or 48"),
        ("--tuning 36 --slope 24 --family chebyshev --reference 8", "family: `chebyshev`"),
        ("--tuning 36 --slope 24 --rule third --reference 8", "rule: `third`"),
        ("--tuning 36 --slope 24 --reference 8 --mark-uncertainty 5", "mark-uncertainty: `5`"),
        ("--tuning 36 --corner 27 --slope 24 --reference 8", "--corner"),
        ("--corner 27 --rule octave --slope 24 --reference 8", "--rule"),
        ("--slope 24 --reference 8", "tuning"),
        ("--slope 24 --reference 8 --rule octave", "tuning"),
        ("--tuning 36 --reference 8", "slope"),
        ("--tuning 36 --slope 24", "reference"),
        ("--tuning 36 --slope 24 --reference 8 --tolerance 3V", "tolerance: `3V`"),
        ("--tuning 36 --slope 24 --reference 8 left-over", "left-over"),
    ] {
        let refusal = refusal_of(&format!("targets {options}"));
        assert!(refusal.contains(says), "{options}: {refusal}");
        assert_eq!(refusal_of(&format!("targets {options} --json")), refusal, "the same with --json");
    }
}

/// Human output rounds to the display's step, limits inwards.
#[test]
fn people_get_limits_rounded_inwards() {
    let shop = Shop::new();
    let page = |options: &str| shop.run(&words(&format!("{PLAIN}{options}"))).expect(0).stdout;
    // 5.3136 to 5.9900 V, guarded 5.3846 to 5.9189 V.
    let usual = page("");
    assert!(usual.contains("5.32 V to 5.98 V") && usual.contains("5.39 V to 5.91 V"), "{usual}");
    // Corners at the window's ends: 25.65 and 28.35 Hz.
    let wide = page(" --tolerance 5%");
    let corners = wide.lines().find(|line| line.contains("window")).unwrap();
    assert!(!corners.contains("25.6 ") && !corners.contains("28.4 "), "rounded outwards: {corners}");
    // 24.0075 and 25.4925 Hz, with the usual tolerance.
    let own = shop.run(&words("targets --corner 24.75 --slope 24 --reference 8")).expect(0).stdout;
    assert!(!own.contains("24.0 to") && !own.contains("25.5 Hz"), "rounded outwards: {own}");
    // A window of 5.31 to 5.99 V holds no whole volt.
    let coarse = page(" --meter-resolution 1");
    assert!(!coarse.contains("6 V to 5 V"), "the lower end is above the upper end: {coarse}");
    for text in [usual, wide, coarse, page(" --show-working")] {
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}

/// The lowest tone is 5 Hz (the table of ranges): a corner whose hump reaches below it cannot be set with any tone.
#[test]
fn a_corner_below_every_tone_is_refused_and_a_default_tone_stays_in_range() {
    let shop = Shop::new();
    let targets = |q: &str, corner: &str| {
        shop.run(&[
            "targets",
            "--corner",
            corner,
            "--slope",
            "12",
            "--family",
            "second-order",
            "--q",
            q,
            "--reference",
            "8",
            "--json",
        ])
    };
    for (q, corner) in [("1.5", "6"), ("3", "6"), ("5", "5")] {
        let ran = targets(q, corner).expect(2);
        assert!(ran.stderr.contains("corner: ") && ran.stderr.contains("accepted: a corner above"), "{ran:?}");
    }
    assert_eq!(targets("1", "6").expect(0).json()["setting"]["tone_hz"], 5.0);
    assert_eq!(targets("1", "24").expect(0).json()["setting"]["tone_hz"], 18.0);
}

/// A refusal shows the digits that decide.
#[test]
fn a_refusal_does_not_contradict_itself() {
    let shop = Shop::new();
    let ran = shop.run(&["targets", "--tuning", "6.666", "--slope", "24", "--reference", "8"]).expect(2);
    assert!(ran.stderr.contains("`6.666 Hz` puts the three-quarters corner at 4.9995 Hz"), "{ran:?}");
    let mark = ["--corner", "26.99", "--reference-mark", "26.996", "--slope", "24", "--reference", "8"];
    let ran = shop.run(&[&["targets"][..], &mark].concat()).expect(2);
    assert!(ran.stderr.contains("`26.996 Hz` is not below the wanted corner of 26.99 Hz"), "{ran:?}");
}
