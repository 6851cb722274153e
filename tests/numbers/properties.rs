//! What holds everywhere: inputs are drawn from the table of ranges.
//!
//! A failing case is kept in `tests/regressions/numbers.txt` and tried first from then on; such a file belongs in the
//! repository.

use std::f64::consts::FRAC_1_SQRT_2;

use cornerset::corner::{Mark, RatioForm, Reading, Reference, corner_from_reading};
use cornerset::filter::{Alignment, Corners};
use cornerset::meter::{AcceptZone, MeterSpec, Tolerance, Verdict, Window};
use cornerset::plan::{CornerChoice, Inputs, Plan};
use cornerset::quantity::ranges::{self, Range};
use cornerset::quantity::{Decibels, Hertz, Percent, Volts};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;

/// How far a corner may come back from where it went in, as a share.
const IDENTITY: f64 = 1e-9;
/// Closer than this share to the top of a hump the response is level, so that a corner comes back only to the square
/// root of double precision: there it is enough that it gives the level back.
const TOP: f64 = 1e-6;
/// How far a level may come back, in dB: some roundings of a double, times 20 log10 e.
const LEVEL_DB: f64 = 1e-9;
/// Two voltages further apart than this share are told apart by every inverse.
const APART: f64 = 1e-6;
/// Where 1 % of corner moves the voltage by less than this share, a double may not show it: the window has no width.
const FLAT: f64 = 1e-9;
/// A few roundings of a double, as a share.
const ROUNDING: f64 = 1e-12;

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 2000,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("tests/regressions/numbers.txt"))),
        ..ProptestConfig::default()
    }
}

/// Anything in a range, evenly by ratio, so that 5 to 10 Hz is drawn as often as 100 to 200 Hz. A range that begins at
/// nought is drawn evenly.
fn within(range: Range) -> impl Strategy<Value = f64> {
    (0.0f64..=1.0).prop_map(move |share| {
        let value = if range.low > 0.0 { range.low * (range.high / range.low).powf(share) } else { range.high * share };
        value.clamp(range.low, range.high)
    })
}

fn hertz(range: Range) -> impl Strategy<Value = Hertz> {
    within(range).prop_map(Hertz::new)
}

/// A voltage that a meter can show: from a microvolt, the finest step, to the highest reading.
fn reading() -> impl Strategy<Value = Volts> {
    within(Range { low: ranges::METER_RESOLUTION.low, low_open: false, ..ranges::READING }).prop_map(Volts::new)
}

fn reference() -> impl Strategy<Value = Volts> {
    within(ranges::REFERENCE).prop_map(Volts::new)
}

fn named_filter() -> impl Strategy<Value = Alignment> {
    prop::sample::select(Alignment::candidates().collect::<Vec<_>>())
}

fn filter() -> impl Strategy<Value = Alignment> {
    prop_oneof![3 => named_filter(), 1 => within(ranges::Q).prop_map(Alignment::second_order)]
}

fn filter_without_hump() -> impl Strategy<Value = Alignment> {
    let no_hump = Range { high: FRAC_1_SQRT_2, ..ranges::Q };
    prop_oneof![3 => named_filter(), 1 => within(no_hump).prop_map(Alignment::second_order)]
}

fn humped_filter() -> impl Strategy<Value = Alignment> {
    within(Range { low: 0.7072, ..ranges::Q }).prop_map(Alignment::second_order)
}

fn tolerance() -> impl Strategy<Value = Tolerance> {
    prop_oneof![
        within(ranges::TOLERANCE_PERCENT).prop_map(|share| Tolerance::Corner(Percent::new(share))),
        within(ranges::TOLERANCE_DB).prop_map(|level| Tolerance::Level(Decibels::new(level))),
    ]
}

fn meter() -> impl Strategy<Value = MeterSpec> {
    (within(ranges::METER_ACCURACY), within(ranges::METER_DIGITS), within(ranges::METER_RESOLUTION)).prop_map(
        |(accuracy, digits, resolution)| MeterSpec {
            accuracy: Percent::new(accuracy),
            digits: digits.round() as u32,
            resolution: Volts::new(resolution),
        },
    )
}

fn mark() -> impl Strategy<Value = Option<Mark>> {
    prop::option::of((hertz(ranges::MARK), within(ranges::MARK_UNCERTAINTY)))
        .prop_map(|mark| mark.map(|(at, percent)| Mark { at, uncertainty: Percent::new(percent) }))
}

/// Inputs of every kind, also those that a plan refuses.
fn inputs() -> impl Strategy<Value = Inputs> {
    let filter_and_tones = (filter(), hertz(ranges::CORNER), hertz(ranges::TONE), mark());
    (filter_and_tones, reference(), tolerance(), meter(), any::<bool>()).prop_map(
        |((alignment, corner, tone, mark), reference, tolerance, meter, range_held)| Inputs {
            corner: CornerChoice::Own(corner, None),
            alignment,
            reference: Reference { reading: Reading::steady(reference), mark },
            tone,
            tolerance,
            meter,
            range_held,
        },
    )
}

/// The share by which u = (corner / tone)^2 lies from the top of a hump; infinite for a filter without one.
fn from_top(filter: Alignment, tone: Hertz, corner: Hertz) -> f64 {
    match filter.q().map(|q| 1.0 - 0.5 / (q * q)) {
        Some(top) if top > 0.0 => ((corner.hz() / tone.hz()).powi(2) / top - 1.0).abs(),
        _ => f64::INFINITY,
    }
}

fn window_holds(window: Window, target: Volts) -> bool {
    let slack = target.volts() * ROUNDING;
    window.low.volts() <= target.volts() + slack && target.volts() <= window.high.volts() + slack
}

fn zone_lies_in(zone: AcceptZone, window: Window) -> bool {
    match zone {
        AcceptZone::Between(low, high) => window.low <= low && low <= high && high <= window.high,
        AcceptZone::Empty => true,
    }
}

proptest! {
    #![proptest_config(config())]

    /// Out through the response and back through its inverse is where one began, or, on a hump, one of the two.
    #[test]
    fn the_inverse_of_the_response_is_the_corner(
        filter in filter(), tone in hertz(ranges::TONE), corner in hertz(ranges::CORNER),
    ) {
        let down = filter.response(tone, corner).down();
        let corners = filter.corners_from_down(tone, down).all();
        let near = |share: f64| corners.iter().any(|back| (back.hz() / corner.hz() - 1.0).abs() < share);
        if from_top(filter, tone, corner) > TOP {
            prop_assert!(near(IDENTITY), "{} dB: {:?}", down.db(), corners);
        } else {
            prop_assert!(near(TOP) || corners.is_empty(), "{} dB: {:?}", down.db(), corners);
        }
    }

    /// The same through a voltage, where the voltage is far enough from the reference to tell.
    #[test]
    fn a_voltage_gives_the_corner_back(
        filter in named_filter(), tone in hertz(ranges::TONE), corner in hertz(ranges::CORNER), reference in reference(),
    ) {
        let response = filter.response(tone, corner);
        if response.down().db() < 1e-3 {
            return Ok(());
        }
        let corners = filter.corners_from_volts(tone, reference.times(response.ratio()), reference);
        let back = corners.single().map(|back| back.hz() / corner.hz());
        prop_assert!(back.is_some_and(|share| (share - 1.0).abs() < IDENTITY), "{:?}", corners);
    }

    /// Tone and corner enter by their ratio only.
    #[test]
    fn a_tone_that_is_this_far_down_is_this_far_down(
        filter in filter(), corner in hertz(ranges::CORNER), db in 0.01f64..=60.0,
    ) {
        let tone = filter.tone_at_down(corner, Decibels::new(db)).unwrap();
        let back = filter.response(tone, corner).down().db();
        prop_assert!((back - db).abs() < LEVEL_DB, "{} dB", back);
    }

    /// More volts, lower corner; at the reference or above it none.
    #[test]
    fn volts_up_means_corner_down(
        filter in filter_without_hump(), tone in hertz(ranges::TONE), reference in reference(),
        volts in reading(), factor in 1.0 + APART..=3.0,
    ) {
        let corner = |volts: Volts| filter.corners_from_volts(tone, volts, reference);
        let (few, many) = (corner(volts), corner(volts.times(factor)));
        prop_assert_eq!(few == Corners::None, volts >= reference, "{:?}", few);
        prop_assert!(!matches!(few, Corners::Two(..)));
        if let (Some(high), Some(low)) = (few.single(), many.single()) {
            prop_assert!(low < high, "{:?} is not below {:?}", low, high);
        } else {
            prop_assert_eq!(many, Corners::None);
        }
    }

    /// A higher corner never leaves more of a tone, for a filter without a hump.
    #[test]
    fn corner_up_means_volts_down(
        filter in filter_without_hump(), tone in hertz(ranges::TONE), corner in hertz(ranges::CORNER),
        factor in 1.0 + APART..=3.0,
    ) {
        let down = |corner: Hertz| filter.response(tone, corner).down().db();
        prop_assert!(down(corner) < down(corner.times(factor)));
        prop_assert!(down(corner) > 0.0);
        prop_assert!(filter.response(tone, corner).sensitivity() < 0.0);
    }

    /// On a hump two corners give the reading, in order; below the reference there is one, above the top none.
    #[test]
    fn both_corners_on_a_hump_give_the_reading(
        filter in humped_filter(), tone in hertz(ranges::TONE), share in 0.0f64..=1.2,
    ) {
        let top = 10.0 * filter.least_excess().ln_1p() / std::f64::consts::LN_10;
        let down = Decibels::new(top * share);
        match filter.corners_from_down(tone, down) {
            Corners::Two(low, high) => {
                prop_assert!(low < high);
                for corner in [low, high] {
                    let back = filter.response(tone, corner).down().db();
                    prop_assert!((back - down.db()).abs() < LEVEL_DB, "{} against {}", back, down.db());
                }
            }
            Corners::None => prop_assert!(share > 1.0 - TOP),
            // At the reference itself the lower of the two has gone to nought.
            Corners::One(_) => prop_assert!(share * top.abs() < LEVEL_DB || share > 1.0 - TOP),
        }
    }

    /// The same from volts, where a person meets it.
    #[test]
    fn every_corner_said_gives_the_reading_back(
        filter in filter(), tone in hertz(ranges::TONE), reference in reference(), volts in reading(),
    ) {
        for corner in filter.corners_from_volts(tone, volts, reference).all() {
            let back = reference.times(filter.response(tone, corner).ratio());
            prop_assert!((back.over(volts) - 1.0).abs() < IDENTITY, "{:?} gives {:?}", corner, back);
        }
    }

    /// The target stands in its window, the accept zone too, and the corners at the window's ends about the wanted one.
    #[test]
    fn targets_stand_in_their_windows(inputs in inputs()) {
        let corner = inputs.corner.corner();
        let Ok(plan) = Plan::new(inputs) else {
            let low_mark = inputs.reference.mark.is_none_or(|mark| mark.at < corner);
            let on_hump = inputs.alignment.response(inputs.tone, corner).down().db() < LEVEL_DB;
            prop_assert!(!low_mark || inputs.alignment.has_hump() && on_hump, "refused without need");
            return Ok(());
        };
        let setting = &plan.setting;
        prop_assert!(window_holds(setting.window, setting.target), "{:?}", setting);
        prop_assert!(zone_lies_in(setting.accept, setting.window), "{:?}", setting);
        for point in &plan.points {
            prop_assert!(window_holds(point.window, point.target), "{:?}", point);
            prop_assert!(zone_lies_in(point.accept, point.window), "{:?}", point);
            prop_assert!(ranges::TONE.contains(point.tone.hz()));
            let tone_down = plan.inputs.alignment.response(point.tone, corner).down().db();
            prop_assert!((tone_down - point.down.db()).abs() < LEVEL_DB);
        }
        let moves = plan.inputs.alignment.response(inputs.tone, corner).sensitivity().abs();
        if moves > FLAT {
            prop_assert!(setting.window.low < setting.window.high);
            if let Some(low) = setting.corner_low {
                prop_assert!(low < corner, "{:?}", setting);
            }
            if let Some(high) = setting.corner_high {
                prop_assert!(corner < high, "{:?}", setting);
            }
        }
        prop_assert_eq!(setting.corner_low.is_none(), setting.window.high >= plan.true_reference);
    }

    /// The corners at the window's ends are those that a reading there says.
    #[test]
    fn a_reading_at_the_end_of_the_window_is_at_the_end_of_the_tolerance(inputs in inputs()) {
        let Ok(plan) = Plan::new(inputs) else { return Ok(()) };
        let setting = &plan.setting;
        for (volts, corner) in [(setting.window.high, setting.corner_low), (setting.window.low, setting.corner_high)] {
            let Some(corner) = corner else { continue };
            // Where a double barely tells the volts from the reference it cannot tell the corner.
            if volts.over(plan.true_reference) < 1.0 - 1e-5 {
                let said = plan.judge(Reading::steady(volts)).corners.single();
                let share = said.map_or(f64::NAN, |said| said.hz() / corner.hz());
                prop_assert!((share - 1.0).abs() < IDENTITY, "{:?} against {:?}", said, corner);
            }
        }
    }

    /// A verdict says where the reading stands, whatever the plan.
    #[test]
    fn a_verdict_says_where_the_reading_stands(inputs in inputs(), share in 0.5f64..=1.5, spread in 0.0f64..=0.1) {
        let Ok(plan) = Plan::new(inputs) else { return Ok(()) };
        let window = plan.setting.window;
        let reading = Reading { volts: plan.setting.target.times(share), spread: plan.setting.target.times(spread) };
        let judged = plan.judge(reading);
        let (low, high) = (window.low, window.high);
        match judged.verdict {
            Verdict::Above => prop_assert!(reading.volts > high),
            Verdict::Below => prop_assert!(reading.volts < low),
            Verdict::Borderline => prop_assert!(low <= reading.volts && reading.volts <= high),
            Verdict::Inside => {
                prop_assert!(low <= reading.volts && reading.volts <= high);
                let AcceptZone::Between(low, high) = judged.accept else { panic!("inside nothing") };
                prop_assert!(low <= reading.volts && reading.volts <= high);
            }
        }
        // A span or repeats never widen the zone.
        if let (AcceptZone::Between(low, high), AcceptZone::Between(plain_low, plain_high)) =
            (judged.accept, plan.setting.accept)
        {
            prop_assert!(plain_low <= low && high <= plain_high);
        }
        prop_assert!(plan.setting.accept != AcceptZone::Empty || judged.accept == AcceptZone::Empty);
    }

    /// The gain error that two readings share makes the corner known better, never worse.
    #[test]
    fn a_common_gain_never_makes_a_corner_less_certain(
        filter in filter(), tone in hertz(ranges::TONE), reference in reference(), volts in reading(), meter in meter(),
    ) {
        let reference = Reference { reading: Reading::steady(reference), mark: None };
        let said = |form| corner_from_reading(filter, tone, Reading::steady(volts), reference, tone, meter, form);
        let (common, full) = (said(RatioForm::CommonGain), said(RatioForm::Full));
        prop_assert_eq!(common.corners, full.corners);
        if let (Some(common), Some(full)) = (common.uncertainty, full.uncertainty) {
            prop_assert!(common.hz() <= full.hz() * (1.0 + ROUNDING));
        }
    }

    /// The tone that is played where nobody says otherwise is one that a plan takes.
    #[test]
    fn the_default_tone_is_taken(filter in filter(), corner in hertz(ranges::CORNER)) {
        let tone = Inputs::default_tone(filter, corner);
        prop_assert!(Inputs::check_tone(filter, corner, tone).is_ok(), "{:?}", tone);
    }
}
