//! Cone travel against figures from outside: closed-box relations, the vented B4 alignment, and tables made by a separate
//! nodal solution of the same network.

use cornerset::displacement::{Analysis, Choice, Cone, Fields, Peak, Setup};
use cornerset::filter::Rule;
use cornerset::quantity::Hertz;
use serde_json::{Value, json};

use crate::table::{differences, documents};

/// How far a number may lie from the table's, as a share.
const SAME: f64 = 1e-8;
/// The same for the place of a peak, whose top is flat: a share e of height is the square root of e of frequency.
const SAME_PLACE: f64 = 1e-6;

/// Driver A of the check values: fs 28 Hz, Qes 0.42, Qms 6, Vas 80 l, Sd 490 cm2, Re 3.4 ohm, Xmax 14 mm, at 40 V in
/// 60 l tuned to 33 Hz.
const DRIVER_A: &str = "fs_hz = 28; qes = 0.42; qms = 6; vas_l = 80; sd_cm2 = 490; re_ohm = 3.4; xmax_mm = 14; \
                        kind = vented; volume_l = 60; tuning_hz = 33; power_w = 400; load_ohm = 4";

fn setup(line: &str) -> Setup {
    Fields::from_line(line).unwrap().setup().unwrap()
}

fn close(value: f64, expected: f64, within: f64) {
    assert!((value - expected).abs() <= within, "{value} against {expected}");
}

/// Cms, Mms, Rms and BL of driver A (Small, 1972; computed by a separate reference program).
#[test]
fn mechanics_follow_from_the_parameters() {
    let driver = setup(DRIVER_A).driver;
    let mechanics = driver.mechanics();
    close(driver.qts(), 0.392_523, 5e-7);
    close(mechanics.cms, 2.372_344e-4, 5e-11);
    close(mechanics.mms, 0.136_190, 5e-7);
    close(mechanics.rms, 3.993_312, 5e-7);
    close(mechanics.bl, 13.926_983, 5e-7);
}

/// Peak displacement of driver A in the box and in free air (the circuit of Small's vented-box papers, 1973; computed by a
/// separate reference program).
#[test]
fn travel_of_a_vented_box_and_of_free_air() {
    let vented = setup(DRIVER_A);
    let free = setup(&DRIVER_A.replace("vented", "free-air"));
    let expected = [
        (10.0, 46.7245, 43.6080),
        (20.0, 28.2979, 29.1700),
        (26.25, 15.1726, 22.9862),
        (33.0, 4.4539, 18.1562),
        (47.0, 11.3812, 11.8303),
        (80.0, 5.9410, 5.3827),
    ];
    for (hz, in_box, in_air) in expected {
        for (setup, mm) in [(&vented, in_box), (&free, in_air)] {
            let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
            close(cone.travel(Hertz::new(hz), None).mm(), mm, 5e-5);
        }
    }
}

/// Driver A: peak with the filter out and at three quarters, the lowest safe corner, its loss and the half-power points
/// (computed by a separate reference program, bisection on the corner).
#[test]
fn the_whole_analysis_of_driver_a() {
    let analysis = Analysis::of(setup(DRIVER_A));
    close(analysis.drive.volts(), 40.0, 1e-12);
    close(analysis.unfiltered.peak.value, 46.725, 5e-4);
    close(analysis.unfiltered.peak.at.hz(), 10.0, 1e-9);
    close(analysis.unfiltered.half_power.unwrap().hz(), 31.5950, 5e-5);
    let usual = analysis.by_rule(Rule::ThreeQuarters).unwrap();
    close(usual.peak.value, 13.2502, 5e-5);
    close(usual.peak.at.hz(), 23.56, 5e-3);
    let safe = analysis.lowest_safe.unwrap();
    close(safe.corner.hz(), 24.1748, 5e-5);
    close(safe.peak.value, 14.0, 1e-8);
    close(safe.loss_at_tuning.unwrap().db(), 0.3461, 5e-5);
    close(safe.half_power.unwrap().hz(), 32.1925, 5e-5);
}

/// The line of keys for a row's inputs.
fn line(inputs: &Value) -> String {
    let sections = ["driver", "box", "drive", "filter"];
    let items = sections.iter().flat_map(|section| inputs[section].as_object().unwrap());
    let written = items.filter(|(_, value)| !value.is_null()).map(|(key, value)| match value.as_str() {
        Some(text) => format!("{key} = {text}"),
        None => format!("{key} = {value}"),
    });
    written.collect::<Vec<_>>().join("; ")
}

/// What a row's inputs come to: values under the table's keys, and the places of the peaks apart.
fn computed(inputs: &Value, expected: &Value) -> (Value, Vec<f64>) {
    let analysis = Analysis::of(setup(&line(inputs)));
    let cone = Cone::new(&analysis.setup.driver, analysis.setup.enclosure, analysis.setup.drive);
    let usual = analysis.by_rule(Rule::ThreeQuarters).map(|choice| (analysis.setup.alignment, choice.corner));
    let curve: Vec<Value> = expected["curve"]
        .as_array()
        .unwrap()
        .iter()
        .map(|point| {
            let at = Hertz::new(point["hz"].as_f64().unwrap());
            json!({
                "hz": at,
                "unfiltered_mm": cone.travel(at, None),
                "three_quarters_mm": usual.map(|filter| cone.travel(at, Some(filter))),
            })
        })
        .collect();
    let rule = |(rule, choice): &(Rule, Choice)| {
        json!({
            "rule": rule,
            "corner_hz": choice.corner,
            "peak_mm": choice.peak.value,
            "within_xmax": choice.within_xmax,
            "loss_at_tuning_db": choice.loss_at_tuning,
            "f3_hz": choice.half_power,
        })
    };
    let unfiltered = analysis.unfiltered;
    let values = json!({
        "drive_v": analysis.drive,
        "needed": analysis.is_needed(),
        "unfiltered": {
            "peak_mm": unfiltered.peak.value,
            "over_xmax_below_hz": unfiltered.over_xmax_below,
            "f3_hz": unfiltered.half_power,
        },
        "rules": analysis.rules.iter().map(rule).collect::<Vec<_>>(),
        "lowest_safe_corner_hz": analysis.lowest_safe.map(|choice| choice.corner),
        "limited_above_tuning": analysis.above_tuning.is_some(),
        "highest_drive_v": analysis.highest_drive,
        "curve": curve,
    });
    let place = |peak: Peak| peak.at.hz();
    let places =
        [place(unfiltered.peak)].into_iter().chain(analysis.rules.iter().map(|(_, choice)| place(choice.peak)));
    (values, places.collect())
}

/// A nodal solution of the same network by numpy, filters by scipy.signal, every number refined by scipy.optimize:
/// `displacement.py`, versions in the table's header.
#[test]
fn analyses_are_those_of_the_table() {
    let mut wrong = vec![];
    for (index, row) in documents("displacement.ndjson").iter().enumerate() {
        let mut expected = row["expected"].clone();
        let mut take = |peak: &mut Value| peak.as_object_mut().unwrap().remove("peak_hz").unwrap().as_f64().unwrap();
        let mut expected_places = vec![take(&mut expected["unfiltered"])];
        expected_places.extend(expected["rules"].as_array_mut().unwrap().iter_mut().map(&mut take));
        let (values, places) = computed(&row["inputs"], &expected);
        let row = format!("row {}", index + 1);
        wrong.extend(differences(&row, &values, &expected, SAME, 0.0));
        wrong.extend(differences(&format!("{row} peaks"), &json!(places), &json!(expected_places), SAME_PLACE, 0.0));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A driver of Qts `qts` (nearly all of it electrical) with nothing lost in its box; `more` is the box.
fn lossless(qts: f64, more: &str) -> Cone {
    let qms = 100.0;
    let qes = qts * qms / (qms - qts);
    let line = format!(
        "fs_hz = 29; qes = {qes}; qms = {qms}; vas_l = 90; sd_cm2 = 480; re_ohm = 3.6; xmax_mm = 10; power_w = 100; \
         load_ohm = 4; lowest_hz = 1; {more}"
    );
    let setup = setup(&line);
    Cone::new(&setup.driver, setup.enclosure, setup.drive)
}

/// The B4 alignment, Qt = 1/sqrt(4 + 2 sqrt 2) = 0.382683, Vas/Vb = sqrt 2, tuned to fs, is a Butterworth of fourth order
/// at fs (Thiele, "Loudspeakers in Vented Boxes", 1961, Table I; from memory): 1/(1 + (fs/f)^8) of the power.
#[test]
fn the_b4_alignment_is_a_butterworth() {
    let qts = (4.0 + 2.0 * 2f64.sqrt()).sqrt().recip();
    let box_volume = 90.0 / 2f64.sqrt();
    let cone =
        lossless(qts, &format!("kind = vented; volume_l = {box_volume}; tuning_hz = 29; leakage_q = 1000000000"));
    for hz in [8.0, 17.0, 26.0, 29.0, 33.0, 58.0, 140.0] {
        let response = cone.motion(Hertz::new(hz)).response();
        let butterworth = (1.0 + (29.0f64 / hz).powi(8)).sqrt().recip();
        assert!((response / butterworth - 1.0).abs() < 1e-7, "{hz} Hz: {response} against {butterworth}");
    }
    close(cone.half_power(None).unwrap().hz(), 29.0, 1e-5);
}

/// A closed box: fc = fs sqrt(1 + Vas/Vb) and Qtc = Qts sqrt(1 + Vas/Vb), where the response is Qtc; above Qtc 0.7071 the
/// travel is greatest at fc sqrt(1 - 1/(2 Qtc^2)), Qtc^2/sqrt(Qtc^2 - 1/4) times as far as at the lowest frequencies
/// (Small, "Closed-Box Loudspeaker Systems", Part I, 1972; from memory).
#[test]
fn a_closed_box_is_small_s() {
    for (qts, volume) in [(0.35, 30.0), (0.5, 30.0), (0.62, 18.0), (0.8, 45.0)] {
        let cone = lossless(qts, &format!("kind = sealed; volume_l = {volume}"));
        let stiffer = (1.0f64 + 90.0 / volume).sqrt();
        let (fc, qtc) = (29.0 * stiffer, qts * stiffer);
        close(cone.motion(Hertz::new(fc)).response() / qtc, 1.0, 1e-12);
        let lowest = cone.travel(Hertz::new(1.0), None).mm();
        let peak = cone.peak(None);
        if qtc > 0.71 {
            close(peak.at.hz() / (fc * (1.0 - 0.5 / (qtc * qtc)).sqrt()), 1.0, 1e-6);
            // At 1 Hz the travel is still within (1 Hz / fc)^2 of that at nought.
            close(peak.value / lowest / (qtc * qtc / (qtc * qtc - 0.25).sqrt()), 1.0, 2.0 / (fc * fc));
        } else {
            close(peak.at.hz(), 1.0, 1e-9);
        }
    }
}

/// The power that a closed box can radiate, over f3^4 VD^2: 4 pi^3 rho / c = 0.4242 for a Butterworth, and at most 0.85 (0.848
/// at Qtc 1.1) for any (Small, "Closed-Box Loudspeaker Systems", Part I, 1972; from memory).
#[test]
fn the_power_constant_of_closed_boxes() {
    let constant = |qtc: f64| {
        let cone = lossless(qtc / 2.0, "kind = sealed; volume_l = 30");
        let at = Hertz::new(150.0);
        // Peak acceleration where the response is flat, in m/s^2, and peak travel in m.
        let flat = cone.travel(at, None).mm() / 1000.0 * at.angular().powi(2) / cone.motion(at).response();
        let travel = cone.peak(None).value / 1000.0;
        let f3 = cone.half_power(None).unwrap().hz();
        1.18 * flat.powi(2) / (4.0 * std::f64::consts::PI * 345.0 * f3.powi(4) * travel.powi(2))
    };
    close(constant(0.5f64.sqrt()), 0.4242, 5e-5);
    close(constant(1.1), 0.848, 5e-4);
    for qtc in [0.6, 0.8, 1.0, 1.05, 1.15, 1.2, 1.4, 1.7] {
        assert!(constant(qtc) < constant(1.1) + 1e-4, "{qtc}");
    }
}

/// In a vented box the cone moves least at the tuning, and hardly at all where nothing is lost (Small, "Vented-Box
/// Loudspeaker Systems", Part I, 1973; from memory). Below it, it ends up like a cone in free air.
#[test]
fn the_cone_stands_still_at_the_tuning() {
    for tuning in [22.0, 34.0, 47.0] {
        let cone = lossless(0.4, &format!("kind = vented; volume_l = 70; tuning_hz = {tuning}; leakage_q = 1000000"));
        let travel = |hz: f64| cone.travel(Hertz::new(hz), None).mm();
        assert!(travel(tuning) < 1e-3 * travel(tuning * 1.2), "{tuning} Hz");
        assert!(travel(tuning) < travel(tuning * 1.001) && travel(tuning) < travel(tuning * 0.999));
        let free = lossless(0.4, "kind = free-air");
        close(travel(1.0) / free.travel(Hertz::new(1.0), None).mm(), 1.0, 5e-3);
    }
}

/// No peak is missed, however the numbers of the table of ranges come together: against a scan a hundred times as fine.
#[test]
fn no_peak_hides_between_points() {
    let mut drawn = 0x9E37_79B9_7F4A_7C15_u64;
    let mut draw = |from: f64, to: f64| {
        drawn = drawn.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        from * (to / from).powf((drawn >> 11) as f64 / (1u64 << 53) as f64)
    };
    for leakage_q in [5.0, 19.0, 30.0, 100.0, 1000.0] {
        for _ in 0..40 {
            let line = format!(
                "fs_hz = {}; qes = {}; qms = {}; vas_l = {}; sd_cm2 = 500; re_ohm = 3.5; xmax_mm = 12; kind = vented; \
                 volume_l = {}; tuning_hz = {}; leakage_q = {leakage_q}; power_w = 300; load_ohm = 4",
                draw(10.0, 80.0),
                draw(0.1, 15.0),
                draw(1.0, 90.0),
                draw(2.0, 400.0),
                draw(5.0, 400.0),
                draw(12.0, 150.0),
            );
            let setup = setup(&line);
            let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
            let peak = cone.peak(None).value;
            let scan = cone.curve(100_000, None).iter().map(|point| point.unfiltered.mm()).fold(0.0f64, f64::max);
            assert!(peak >= scan * (1.0 - 1e-9), "{peak} against {scan}: {line}");
            assert!(peak <= scan * 1.01, "{peak} against {scan}: {line}");
        }
    }
}
