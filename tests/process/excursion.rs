//! `cornerset excursion`: the document, the options, and where the file comes from.

use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::common::{PROGRAM, Ran, Shop};
use crate::support::{VENTED, close, keys, sorted};

fn samples() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("sample-sessions")
}

/// Runs on this file, given by standard input.
fn run(file: &str, options: &[&str]) -> Ran {
    Shop::new().run_with_input(&[&["excursion", "-"], options].concat(), file.as_bytes())
}

fn document(file: &str) -> Value {
    run(file, &["--json"]).expect(0).json()
}

/// The file with a line changed.
fn with(line: &str, other: &str) -> String {
    assert!(VENTED.contains(line), "{line}");
    VENTED.replace(line, other)
}

fn sealed() -> String {
    with("kind = \"vented\"", "kind = \"sealed\"").replace("tuning_hz = 34\n", "")
}

/// The keys of the design, section 5, are there, whatever else is.
#[test]
fn keys_are_those_of_the_contract() {
    let document = document(VENTED);
    let holds = |value: &Value, wanted: &str| {
        let there = keys(value);
        for key in sorted(wanted) {
            assert!(there.contains(&key), "{key} in {there:?}");
        }
    };
    holds(
        &document,
        "drive_v needed unfiltered rules lowest_safe_corner_hz limited_above_tuning highest_drive_v filtered_corner_hz \
         curve warnings",
    );
    holds(&document["unfiltered"], "peak_mm peak_hz over_xmax_below_hz");
    for rule in document["rules"].as_array().unwrap() {
        holds(rule, "rule corner_hz peak_mm peak_hz within_xmax loss_at_tuning_db");
    }
    for point in document["curve"].as_array().unwrap() {
        assert_eq!(keys(point), ["filtered_mm", "hz", "unfiltered_mm"]);
    }
    let rules: Vec<&Value> = document["rules"].as_array().unwrap().iter().map(|rule| &rule["rule"]).collect();
    assert_eq!(json!(rules), json!(["three-quarters", "half-octave", "octave"]));
    close(&document["drive_v"], 1280f64.sqrt());
    assert_eq!((&document["needed"], &document["limited_above_tuning"]), (&json!(true), &json!(false)));
    assert_eq!(document["filtered_corner_hz"], document["lowest_safe_corner_hz"]);
    let curve = document["curve"].as_array().unwrap();
    assert_eq!((&curve[0]["hz"], &curve[curve.len() - 1]["hz"]), (&json!(10.0), &json!(200.0)));
}

#[test]
fn a_box_without_a_tuning_has_no_rules() {
    let document = document(&sealed());
    assert_eq!(document["rules"], json!([]));
    assert_eq!(document["limited_above_tuning"], json!(false));
    // Where no filter is needed there is no corner, and nothing to draw it with.
    let quiet = run(&sealed(), &["--power", "20", "--json"]).expect(0).json();
    for key in ["lowest_safe_corner_hz", "filtered_corner_hz"] {
        assert_eq!((&quiet["needed"], &quiet[key]), (&json!(false), &Value::Null));
    }
    assert_eq!(quiet["curve"][0]["filtered_mm"], Value::Null);
}

#[test]
fn options_stand_in_for_the_drive() {
    let drive = "[drive]\npower_w = 320\nload_ohm = 4\n";
    let volts = |ran: Ran| ran.expect(0).json()["drive_v"].as_f64().unwrap();
    assert_eq!(volts(run(VENTED, &["--power", "100", "--json"])), 20.0);
    assert_eq!(volts(run(VENTED, &["--load", "5 ohm", "--json"])), 40.0);
    assert_eq!(volts(run(&with(drive, ""), &["--power", "0.1 kW", "--load", "9", "--json"])), 30.0);
    // What an option stands in for need not be right.
    assert_eq!(volts(run(&with("power_w = 320", "power_w = -1"), &["--power", "100", "--json"])), 20.0);
    for (file, options, says) in [
        (with(drive, ""), vec![], "power_w: nothing was given; accepted: the amplifier's power, power_w, or --power"),
        (
            with(drive, ""),
            vec!["--power", "100"],
            "load_ohm: nothing was given; accepted: the load, load_ohm, or --load",
        ),
        (VENTED.to_owned(), vec!["--power", "loud"], "power: `loud` is not a number; accepted: 1 to 20000 W"),
        (VENTED.to_owned(), vec!["--load", "4 V"], "load: `4 V` is a voltage; accepted: 0.25 to 100 ohm"),
    ] {
        let ran = run(&file, &options).expect(2);
        assert!(ran.stdout.is_empty() && ran.stderr.contains(says), "{ran:?}");
    }
}

/// What is found is no failure.
#[test]
fn the_exit_code_is_0_whatever_is_found() {
    let gentle = with("slope_db_per_octave = 24", "slope_db_per_octave = 6").replace("13 mm", "9 mm");
    for (file, options, says) in [
        (VENTED, vec![], "NEEDED: Butterworth 24 dB/octave, corner at "),
        (&gentle, vec![], "NEEDED, BUT NOT ENOUGH: "),
        (VENTED, vec!["--power", "1200"], "NEEDED, and LESS DRIVE as well: at most "),
        (VENTED, vec!["--power", "5"], "NOT NEEDED at this drive"),
    ] {
        let ran = run(file, &options).expect(0);
        assert!(ran.stdout.starts_with(says) && ran.stderr.is_empty(), "{ran:?}");
        run(file, &[&options[..], &["--json"]].concat()).expect(0);
    }
}

/// The screen rounds the lowest safe corner up: what is shown, set as the corner, holds the cone.
#[test]
fn the_corner_that_is_shown_protects() {
    for slope in ["12", "18", "24", "36", "48"] {
        let file = with("slope_db_per_octave = 24", &format!("slope_db_per_octave = {slope}"));
        let exact = document(&file)["lowest_safe_corner_hz"].as_f64().unwrap();
        let screen = run(&file, &[]).expect(0).stdout;
        let shown = screen.lines().next().unwrap().split("corner at ").nth(1).unwrap().split(' ').next().unwrap();
        let shown: f64 = shown.parse().unwrap();
        assert!(shown >= exact && shown < exact + 0.1 + 1e-9, "{shown} for {exact}");
        let set = document(&format!("{file}corner_hz = {shown}\n"));
        assert_eq!((&set["filtered_corner_hz"], &set["filtered"]["within_xmax"]), (&json!(shown), &json!(true)));
        let below = document(&format!("{file}corner_hz = {}\n", shown - 0.1));
        assert_eq!(below["filtered"]["within_xmax"], json!(false), "{slope}");
    }
}

#[test]
fn warnings_are_the_same_on_the_screen_and_in_the_document() {
    let file = with("[filter]\nfamily = \"butterworth\"\nslope_db_per_octave = 24\n", "");
    let warnings = document(&file)["warnings"].clone();
    let warnings: Vec<&str> = warnings.as_array().unwrap().iter().map(|warning| warning.as_str().unwrap()).collect();
    assert_eq!(warnings.len(), 2, "{warnings:?}");
    let screen = run(&file, &[]).expect(0).stdout;
    let words = screen.split_whitespace().collect::<Vec<_>>().join(" ");
    for warning in warnings {
        assert!(words.contains(&format!("! {warning}")), "{warning} on\n{screen}");
    }
}

/// A file, standard input and a pipe with a name are read alike; a mark of the encoding is passed over.
#[test]
fn where_the_file_comes_from() {
    let shop = Shop::new();
    fs::write(shop.path().join("driver.toml"), format!("\u{FEFF}{VENTED}").replace('\n', "\r\n")).unwrap();
    let from_file = shop.run(&["excursion", "driver.toml"]).expect(0).stdout;
    assert_eq!(from_file, run(VENTED, &[]).expect(0).stdout);
    if cfg!(unix) {
        let script = format!("cat driver.toml | {PROGRAM} excursion /dev/stdin");
        let piped = Ran::of(std::process::Command::new("sh").args(["-c", &script]).current_dir(shop.path()));
        assert_eq!(piped.expect(0).stdout, from_file);
    }
}

/// Every driver file among the samples runs, as it is and with each line taken in that stands behind a `#`.
#[test]
fn the_sample_driver_files_run() {
    let mut files = 0;
    for entry in fs::read_dir(samples()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "toml") {
            continue;
        }
        files += 1;
        let text = fs::read_to_string(&path).unwrap();
        run(&text, &[]).expect(0);
        let key = |line: &str| line.strip_prefix("# ")?.split_once(" = ").map(|(key, _)| !key.contains(' '));
        let spares: Vec<&str> = text.lines().filter(|line| key(line) == Some(true)).collect();
        for spare in &spares {
            let ran = run(&text.replace(spare, spare.trim_start_matches("# ")), &[]);
            assert_eq!(ran.code, Some(0), "{}: {spare}: {}", path.display(), ran.stderr);
        }
        let all = spares.iter().fold(text.clone(), |text, spare| text.replace(spare, spare.trim_start_matches("# ")));
        run(&all, &[]).expect(0);
    }
    assert_eq!(files, 2);
}

#[test]
fn one_sample_needs_its_filter_and_the_other_does_not() {
    let needed = |name: &str| {
        let path = samples().join(name);
        Shop::new().run(&["excursion", path.to_str().unwrap(), "--json"]).expect(0).json()["needed"].clone()
    };
    assert_eq!((needed("driver-and-box.toml"), needed("sealed-box.toml")), (json!(true), json!(false)));
}
