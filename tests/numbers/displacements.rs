//! Cone travel against figures from outside: closed-box relations, the vented B4 alignment, and tables made by a separate
//! nodal solution of the same network.

use cornerset::displacement::{Analysis, Cone, Fields, Setup};
use cornerset::filter::Rule;
use cornerset::quantity::Hertz;

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
