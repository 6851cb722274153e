//! `cornerset tuning`: by dimensions, by impedance, and what neither of them takes.

use serde_json::{Value, json};

use crate::common::Shop;
use crate::support::{close, json_of, keys, refusal_of, sorted, words};

const PORT: &str = "tuning --volume 48 --port-diameter 10.2 --port-length 22";
/// A box tuned near 30 Hz behind 47 ohm, read to 1 mV.
const SWEEP: &str = "tuning --series-ohm 47 --source-v 2 --impedance 14=0.373 20=0.426 28=0.166 29.5=0.160 32=0.164 \
                     40=0.305 56=0.317 80=0.169";

/// The keys are those of the design, section 5, and what goes with each method.
#[test]
fn keys_are_those_of_the_contract() {
    let common = "tuning_hz method effective_port_length_cm tuning_uncertainty_hz warnings";
    let port = json_of(PORT);
    assert_eq!(keys(&port), sorted(common));
    assert_eq!((&port["method"], &port["warnings"]), (&json!("dimensions"), &json!([])));
    let sweep = json_of(SWEEP);
    assert_eq!(keys(&sweep), sorted(&format!("{common} lower_peak_hz upper_peak_hz minimum_ohm")));
    assert_eq!((&sweep["method"], &sweep["effective_port_length_cm"]), (&json!("impedance"), &Value::Null));
}

/// f = c / (2 pi) sqrt(S / (V L)), L = l + (0.6133 + 0.8216) r.
#[test]
fn dimensions_in_any_unit_are_one_tuning() {
    let tuning = |area_cm2: f64, volume_l: f64, length_cm: f64| {
        345.0 / std::f64::consts::TAU * (area_cm2 * 1e-4 / (volume_l * 1e-3 * length_cm * 1e-2)).sqrt()
    };
    let area = std::f64::consts::PI * 5.1 * 5.1;
    let effective = 22.0 + 1.4349 * 5.1;
    for arguments in [
        PORT,
        "tuning --volume 48_l --port-diameter 102_mm --port-length 0.22_m --ports 1 --flanged-ends 1",
        "tuning --volume 48000_cm3 --port-diameter 10,2 --port-length 220mm",
    ] {
        let document = json_of(arguments);
        close(&document["tuning_hz"], tuning(area, 48.0, effective));
        close(&document["effective_port_length_cm"], effective);
    }
    close(&json_of(&format!("{PORT} --ports 2"))["tuning_hz"], tuning(2.0 * area, 48.0, effective));
    close(&json_of(&format!("{PORT} --flanged-ends 0"))["effective_port_length_cm"], 22.0 + 1.2266 * 5.1);
    close(&json_of(&format!("{PORT} --flanged-ends 2"))["effective_port_length_cm"], 22.0 + 1.6432 * 5.1);

    let radius = (4.0f64 * 28.0 / std::f64::consts::PI).sqrt();
    let of_slot = tuning(112.0, 48.0, 40.0 + 1.4349 * radius);
    for slot in ["4x28", "28_x_4_cm", "40_mm_x_280_mm", "4_cm_x_28"] {
        close(&json_of(&format!("tuning --volume 48 --port-length 40 --slot {slot}"))["tuning_hz"], of_slot);
    }
    // 1.7 cubic feet and inches: 1 ft3 = 28.316846592 l, 1 in = 2.54 cm.
    let (radius, length) = (5.08, 10.0 * 2.54);
    close(
        &json_of("tuning --volume 1.7_ft3 --port-diameter 4_in --port-length 10_in")["tuning_hz"],
        tuning(std::f64::consts::PI * radius * radius, 1.7 * 28.316_846_592, length + 1.4349 * radius),
    );
}

#[test]
fn a_tuning_out_of_range_is_refused() {
    let ran = Shop::new().run(&words("tuning --volume 0.5 --port-diameter 10 --port-length 1")).expect(2);
    let sentence = "Hz` is what these dimensions make; accepted: 5 to 200 Hz: check every dimension and its unit";
    assert!(ran.stderr.contains(sentence), "{}", ran.stderr);
    let page = Shop::new().run(&words(PORT)).expect(0).stdout;
    assert!(page.contains("tuning 41.8 +- 1.5 Hz") && page.contains("`cornerset set`, tuning 41.8"), "{page}");
}

#[test]
fn a_sweep_in_any_order_and_form_is_one_tuning() {
    let document = json_of(SWEEP);
    let tuning = document["tuning_hz"].as_f64().unwrap();
    assert!((29.5..32.0).contains(&tuning), "{document}");
    for (key, low, high) in [("lower_peak_hz", 14.0, 20.0), ("upper_peak_hz", 40.0, 56.0), ("minimum_ohm", 4.0, 4.2)] {
        assert!((low..high).contains(&document[key].as_f64().unwrap()), "{key}: {document}");
    }
    for same in [
        "tuning --impedance 80=0.169 56=317mV 40=0.305 32=0.164 29.5=0.160 28=0.166 20=0.426 --source-v 2 14=0.373",
        "tuning --impedance 14=0.373 20=0.426 28=0.166 29.5=0.160 --impedance 32=0.164 40=0.305 56=0.317 80=0.169",
        "tuning --impedance 14_Hz=0,373_V 20=426_mV 28=0.166..0.166 29.5=0.160_0.160 32=0.164 40=0.305 56=0.317 80=0.169",
    ] {
        if same.contains("--source-v") {
            // After another option the list has ended.
            assert!(refusal_of(same).contains("14=0.373"));
        } else {
            close(&json_of(&format!("{same} --series-ohm 0.047_kohm --source-v 2000_mV"))["tuning_hz"], tuning);
        }
    }
    let reversed = "tuning --impedance 80=0.169 56=0.317 40=0.305 32=0.164 29.5=0.160 28=0.166 20=0.426 14=0.373";
    close(&json_of(&format!("{reversed} --series-ohm 47 --source-v 2"))["tuning_hz"], tuning);
}

#[test]
fn the_meter_counts_as_far_as_it_moves_the_minimum() {
    let uncertainty =
        |options: &str| json_of(format!("{SWEEP} {options}").trim_end())["tuning_uncertainty_hz"].as_f64().unwrap();
    let usual = uncertainty("");
    assert_eq!(uncertainty("--meter-resolution 1_mV"), usual);
    assert_eq!(uncertainty("--meter-accuracy 1 --meter-digits 5"), usual);
    assert!(uncertainty("--meter-resolution 0.003") > usual);
    assert!(
        json_of(&SWEEP.replace("29.5=0.160", "29.5=0.156..0.164"))["tuning_uncertainty_hz"].as_f64().unwrap() > usual
    );
    // Its true value lies in what is said: the simulated box is tuned to 31 Hz.
    let document = json_of(SWEEP);
    assert!((document["tuning_hz"].as_f64().unwrap() - 31.0).abs() < usual, "{document}");
    assert!(usual < 0.06 * 31.0, "{document}");
}

#[test]
fn readings_without_a_tuning_say_why() {
    let options = "tuning --series-ohm 47 --source-v 2 --impedance";
    for (pairs, says) in [
        ("20=0.4 28=0.2 40=0.4", "3 tones cannot show two peaks"),
        ("20=0.4 20=0.4 20=0.4 20=0.4 20=0.4 20=0.4", "1 tone cannot show"),
        ("14=0.3 20=0.5 28=0.9 40=0.5 56=0.3 80=0.2", "one peak only, near 28"),
        ("20=0.5 28=0.3 40=0.6 56=0.9 80=0.3", "rise towards the lowest tone, 20.0 Hz"),
        ("5=0.5 28=0.3 40=0.6 56=0.9 80=0.3", "accepted: a tuning by dimensions"),
        ("14=0.3 20=0.5 28=0.3 40=0.6 56=0.9", "rise towards the highest tone, 56.0 Hz"),
        ("14=1.98 20=1.99 28=1.98 40=1.99 56=1.98", "series resistor is too small"),
        ("14=0.003 20=0.003 28=0.003 40=0.003 56=0.004", "last digit"),
        ("14=0.3 20=0.5 28=0.3 33=0.5 40=0.3 56=0.5 80=0.3", "3 peaks, near"),
    ] {
        let refusal = refusal_of(&format!("{options} {pairs}"));
        assert!(refusal.starts_with("cornerset: impedance: ") && refusal.contains("; accepted: "), "{refusal}");
        assert!(refusal.contains(says), "{pairs}: {refusal}");
    }
}

#[test]
fn half_a_question_is_refused() {
    let sweep = "--series-ohm 47 --source-v 2 --impedance 20=0.4";
    for (options, says) in [
        ("", "nothing was given"),
        ("--json", "--impedance"),
        ("--volume 48", "port-diameter: nothing was given"),
        ("--volume 48 --port-diameter 10", "port-length: nothing was given"),
        ("--port-length 22 --port-diameter 10", "volume: nothing was given"),
        ("--volume 48 --port-length 22", "--port-diameter or --slot"),
        ("--volume 48 --port-length 22 --port-diameter 10 --slot 4x28", "slot: `4x28`"),
        ("--ports 2", "volume: nothing was given"),
        ("--volume 48 --series-ohm 47", "volume: `48` belongs to a tuning by dimensions, `series-ohm`"),
        ("--series-ohm 47 --source-v 2", "impedance: nothing was given"),
        ("--impedance 20=0.4 --source-v 2", "series-ohm: nothing was given"),
        ("--impedance 20=0.4 --series-ohm 47", "source-v: nothing was given"),
        ("--meter-digits 5", "series-ohm: nothing was given"),
        ("--impedance", "HZ=VOLTS"),
        (&format!("{sweep} 28"), "impedance: `28` has no `=`"),
        (&format!("{sweep} 28=0.4/0.5"), "impedance: `28=0.4/0.5` has a second reading"),
        (&format!("{sweep} 28=2"), "reading: `28=2` is not below the source's 2 V"),
        (&format!("{sweep} 28=2.5"), "reading: `28=2.5`"),
        (&format!("{sweep} 4=0.4"), "tone: `4`"),
        (&format!("{sweep} 28=nan"), "reading: `nan`"),
        (&format!("{sweep} 28=-0.4"), "reading: `-0.4`"),
        (&format!("{sweep} 28=0"), "reading: `0` is not positive"),
        (&format!("{sweep} 28=0.4_Hz"), "reading: `0.4 Hz` is a frequency"),
        (&format!("{sweep} -5=0.4"), "-5"),
    ] {
        let refusal = refusal_of(&format!("tuning {options}").trim_end().replace("  ", " "));
        assert!(refusal.contains(says), "{options}: {refusal}");
    }
}

/// Every dimension refuses what is none, by its own name.
#[test]
fn what_is_no_dimension_is_refused() {
    let given =
        [("volume", "48"), ("port-diameter", "10.2"), ("port-length", "22"), ("ports", "2"), ("flanged-ends", "1")];
    let sweep = [("series-ohm", "47"), ("source-v", "2"), ("meter-resolution", "0.001")];
    for (wrong, _) in given.into_iter().chain(sweep) {
        let of_sweep = sweep.iter().any(|(name, _)| *name == wrong);
        for value in ["", "nan", "-5", "1e3", "5 Hz", "0x1", "999999999", "5 furlongs", "\u{1b}[31m5"] {
            let mut arguments = vec!["tuning".to_owned()];
            let others: &[(&str, &str)] = if of_sweep { &sweep } else { &given };
            for (name, usual) in others {
                let value = if *name == wrong { value } else { usual };
                arguments.push(format!("--{name}={value}"));
            }
            if of_sweep {
                arguments.extend(["--impedance", "14=0.373", "20=0.426"].map(str::to_owned));
            }
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
            let ran = Shop::new().run(&arguments).expect(2);
            assert!(ran.stderr.starts_with(&format!("cornerset: {wrong}: ")), "{value:?}: {}", ran.stderr);
            assert!(!ran.stderr.contains('\u{1b}') && ran.stderr.contains("; accepted: "), "{}", ran.stderr);
        }
    }
    for (options, says) in [
        ("--volume 0", "volume: `0` is not positive"),
        ("--volume 48 --ports 0", "ports: `0`"),
        ("--volume 48 --ports 1.5", "ports: `1.5` is not a whole number"),
        ("--volume 48 --flanged-ends 3", "flanged-ends: `3` is out of range"),
    ] {
        let refusal = refusal_of(&format!("tuning --port-diameter 10.2 --port-length 22 {options}"));
        assert!(refusal.contains(says), "{refusal}");
    }
}

/// As many readings as a command line holds are taken within seconds, and a mean over all of them.
#[test]
fn very_many_readings_are_taken() {
    let readings = ["14=.37", "20=.42", "28=.17", "31=.16", "40=.30", "56=.31", "80=.17"];
    let mut arguments = words("tuning --series-ohm 47 --source-v 2 --json --impedance");
    arguments.extend(readings.iter().cycle().take(70_000));
    let started = std::time::Instant::now();
    let document = Shop::new().run(&arguments).expect(0).json();
    assert!(started.elapsed().as_secs() < 10, "{:?}", started.elapsed());
    let once = json_of(&format!("tuning --series-ohm 47 --source-v 2 --impedance {}", readings.join(" ")));
    close(&document["tuning_hz"], once["tuning_hz"].as_f64().unwrap());
}
