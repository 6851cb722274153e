//! Printed figures of standards, handbooks and the trade: `published.txt`, each row with its source. Every printed digit
//! is held, and every row has something here that holds it.

use std::f64::consts::FRAC_1_SQRT_2;

use cornerset::corner::{Mark, RatioForm, Reading, Reference, corner_from_reading, percent_per_percent};
use cornerset::filter::{Alignment, Rule};
use cornerset::meter::{MeterSpec, Tolerance, Window};
use cornerset::plan::{CornerChoice, Inputs, Plan};
use cornerset::quantity::entry::parse_repeats_or_span;
use cornerset::quantity::{Decibels, Hertz, Ohms, Percent, Volts, Watts, ranges};

use crate::table::{alignment, half_power, rows};

/// What an exact value of the table is held to, as a share: the rounding of a few dozen operations.
const EXACT: f64 = 1e-12;
/// What half a unit of the last digit may be passed by: 5 printed last is a tie that binary numbers cannot hold.
const TIE: f64 = 1e-12;

type Said = fn() -> Vec<f64>;

/// For each row, what the code says: as many values as are printed, or any number that must all be the one printed.
const SAID: &[(&str, Said)] = &[
    ("P01", || vec![loss(butterworth(24), 1.0)]),
    ("P02", || [1.0, 2.0, 3.0, 6.0, 10.0, 12.0, 20.0].map(|db| Decibels::new(db).down_ratio()).to_vec()),
    ("P03", || [FRAC_1_SQRT_2, 0.5, 0.25].map(|v| Volts::new(v).down_from(Volts::new(1.0)).db()).to_vec()),
    ("P04", || {
        let (three, half) = (Decibels::new(3.0).down_ratio(), at(butterworth(12), 27.0, 27.0).0);
        vec![three, half, (three / half - 1.0) * 100.0]
    }),
    ("P05", || {
        [(1000.0, 4.0), (500.0, 2.0), (250.0, 8.0)]
            .map(|(power, load)| Watts::new(power).voltage_across(Ohms::new(load)).volts())
            .to_vec()
    }),
    ("P06", || six_losses(butterworth(6))),
    ("P07", || six_losses(butterworth(12))),
    ("P08", || six_losses(butterworth(18))),
    ("P09", || six_losses(butterworth(24))),
    ("P11", section_qs),
    ("P12", || [12, 24, 36, 48].map(|slope| loss(linkwitz_riley(slope), 1.0)).to_vec()),
    ("P13", || six_losses(linkwitz_riley(12))),
    ("P14", || six_losses(linkwitz_riley(24))),
    ("P15", || {
        [12, 24].map(|slope| linkwitz_riley(slope).tone_at_down(Hertz::new(1.0), half_power()).unwrap().hz()).to_vec()
    }),
    ("P16", || vec![turned_to_half_power(linkwitz_riley(24), 27.0, 1.0) / 27.0]),
    ("P17", || [2, 3, 4].into_iter().flat_map(bessel_coefficients).collect()),
    ("P18", || vec![bessel_half_power(2, 3.0)]),
    ("P19", || vec![bessel_half_power(3, 15.0), bessel_half_power(4, 105.0)]),
    ("P20", || vec![loss(Alignment::second_order(3f64.sqrt().recip()), 1.0)]),
    ("P23", || [0.5, 3f64.sqrt().recip(), FRAC_1_SQRT_2, 1.0].map(|q| loss(Alignment::second_order(q), 1.0)).to_vec()),
    ("P25", || {
        let (ratio, down) = at(butterworth(24), 30.0, 20.0);
        let reference = Reference { reading: Reading::steady(Volts::new(ratio)), mark: Some(mark(20.0)) };
        vec![down, reference.true_volts(butterworth(24), Hertz::new(30.0)).volts() / ratio]
    }),
    ("P26", || {
        let corner = turned_to_half_power(butterworth(24), 30.0, at(butterworth(24), 30.0, 20.0).0);
        vec![corner, (corner / 30.0 - 1.0) * 100.0]
    }),
    ("P27", || [Rule::ThreeQuarters, Rule::HalfOctave].map(|rule| -rule.factor().log2()).to_vec()),
    ("P30", || {
        let [trade, half, octave] = [Rule::ThreeQuarters, Rule::HalfOctave, Rule::Octave]
            .map(|rule| CornerChoice::by_rule(Hertz::new(35.0), rule).unwrap().corner().hz());
        vec![trade, half, octave, trade - half]
    }),
    ("P31", || {
        [butterworth(12), butterworth(24), butterworth(48), linkwitz_riley(24)]
            .map(|filter| at(filter, 36.0, Rule::ThreeQuarters.corner(Hertz::new(36.0)).hz()).1)
            .to_vec()
    }),
    ("P32", || {
        let plan = Plan::new(Inputs { tone: Hertz::new(30.0), ..bench_of_20_volts() }).unwrap();
        vec![plan.setting.target.over(plan.true_reference), plan.setting.down.db()]
    }),
    ("P33", || [12, 24, 48].map(|slope| percent_of_corner(butterworth(slope), 1.0)).to_vec()),
    ("P36", || vec![typed("1..3").spread.volts(), typed("96..104").spread.volts()]),
    ("P37", || vec![meter(0.0, 0, 1.0).full(Volts::new(20.0)).volts(), meter(1.0, 0, 1.0).common_gain().volts()]),
    ("P38", || {
        let temperatures = typed(TEMPERATURES);
        vec![temperatures.volts.volts(), temperatures.spread.volts()]
    }),
    ("P39", || {
        let u = HAND_HELD.full(Volts::new(20.0)).volts();
        let of_limit = (u * u - 0.01 * 0.01 / 12.0).sqrt();
        vec![of_limit * 3f64.sqrt(), of_limit, u]
    }),
    ("P40", || ratio_of_14_volts(RatioForm::Full)),
    ("P41", || ratio_of_14_volts(RatioForm::CommonGain)),
    ("P42", || {
        let window = Plan::new(bench_of_20_volts()).unwrap().setting.window;
        vec![window.low.volts(), window.high.volts()]
    }),
    ("P43", || {
        let (window, expanded) = (Window { low: Volts::new(5.0), high: Volts::new(6.0) }, 0.125);
        let zone = window.guarded(Volts::new(expanded));
        let (low, high) = (zone.low().unwrap().volts(), zone.high().unwrap().volts());
        vec![(low - 5.0) / expanded, (6.0 - high) / expanded]
    }),
    ("P44", || {
        let plan = Plan::new(bench_of_20_volts()).unwrap();
        let (low, high) = (plan.setting.accept.low().unwrap().volts(), plan.setting.accept.high().unwrap().volts());
        let expanded = plan.inputs.guard_band(plan.setting.target, Volts::new(0.0)).volts();
        vec![low, high, expanded]
    }),
    ("P45", || {
        // At the end of the accept zone a value lies this many standard uncertainties from the end of the window.
        let plan = Plan::new(bench_of_20_volts()).unwrap();
        let target = plan.setting.target;
        let u = target.volts() * ratio_uncertainty(&plan.inputs, target);
        let distance = (plan.setting.accept.low().unwrap().volts() - plan.setting.window.low.volts()) / u;
        vec![normal_above(distance) * 100.0]
    }),
    ("T01", || vec![Rule::ThreeQuarters.corner(Hertz::new(36.0)).hz()]),
    ("T02", || vec![Volts::new(10.0).times(Decibels::new(3.0).down_ratio()).volts()]),
    ("T03", || vec![Decibels::new(3.0).down_ratio()]),
    ("D01", || [24, 12].map(|slope| turned_to_half_power(linkwitz_riley(slope), 27.0, 1.0)).to_vec()),
    ("D02", || vec![at(butterworth(24), 27.0, 18.0).1, at(linkwitz_riley(12), 27.0, 18.0).1]),
    ("D03", || vec![turned_to_half_power(butterworth(12), 27.0, at(butterworth(12), 27.0, 18.0).0)]),
    ("D04", || [1.0, 1.5, 2.0].map(|x| percent_of_corner(butterworth(24), x)).to_vec()),
    ("D05", || {
        [24, 12]
            .map(|slope| {
                let inputs = Inputs {
                    tolerance: Tolerance::Level(Decibels::new(0.5)),
                    alignment: butterworth(slope),
                    ..bench_of_20_volts()
                };
                let setting = Plan::new(inputs).unwrap().setting;
                let (low, high) = (setting.corner_low.unwrap().hz(), setting.corner_high.unwrap().hz());
                (high - low) / 2.0 / 26.25 * 100.0
            })
            .to_vec()
    }),
    ("D06", || {
        let inputs = Inputs {
            corner: CornerChoice::by_rule(Hertz::new(36.0), Rule::ThreeQuarters).unwrap(),
            reference: Reference { reading: Reading::steady(Volts::new(8.0)), mark: None },
            tone: Hertz::new(27.0),
            ..bench_of_20_volts()
        };
        let setting = Plan::new(inputs).unwrap().setting;
        vec![setting.down.db(), setting.target.volts()]
    }),
];

/// The meter of P39 to P44: 1 % + 3 counts at 0.01 V.
const HAND_HELD: MeterSpec = meter(1.0, 3, 0.01);

/// JCGM 100:2008, Table 1: twenty readings of one temperature in degC (from memory), written as repeats.
const TEMPERATURES: &str = "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 \
                            100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72";

const fn meter(accuracy: f64, digits: u32, resolution: f64) -> MeterSpec {
    MeterSpec { accuracy: Percent::new(accuracy), digits, resolution: Volts::new(resolution) }
}

fn mark(hz: f64) -> Mark {
    Mark { at: Hertz::new(hz), uncertainty: Mark::USUAL_UNCERTAINTY }
}

/// The plan of P32 and P42 to P44.
fn bench_of_20_volts() -> Inputs {
    Inputs {
        corner: CornerChoice::by_rule(Hertz::new(35.0), Rule::ThreeQuarters).unwrap(),
        alignment: butterworth(24),
        reference: Reference { reading: Reading::steady(Volts::new(20.0)), mark: None },
        tone: Hertz::new(26.25),
        tolerance: Tolerance::Corner(Percent::new(5.0)),
        meter: HAND_HELD,
        range_held: true,
    }
}

fn butterworth(slope: u64) -> Alignment {
    alignment("butterworth", slope, None)
}

fn linkwitz_riley(slope: u64) -> Alignment {
    alignment("linkwitz-riley", slope, None)
}

/// |H|, and dB down.
fn at(filter: Alignment, tone: f64, corner: f64) -> (f64, f64) {
    let response = filter.response(Hertz::new(tone), Hertz::new(corner));
    (response.ratio(), response.down().db())
}

/// Loss in dB at x = tone over corner.
fn loss(filter: Alignment, x: f64) -> f64 {
    at(filter, 27.0 * x, 27.0).1
}

fn six_losses(filter: Alignment) -> Vec<f64> {
    [0.5, FRAC_1_SQRT_2, 0.75, 1.0, 1.5, 2.0].map(|x| loss(filter, x)).to_vec()
}

/// The corner at which a filter stands whose knob was turned until a tone read half power of what was taken for the
/// reference, which is this share of the true one.
fn turned_to_half_power(filter: Alignment, tone: f64, taken: f64) -> f64 {
    let reading = Volts::new(taken * FRAC_1_SQRT_2);
    filter.corners_from_volts(Hertz::new(tone), reading, Volts::new(1.0)).single().unwrap().hz()
}

fn percent_of_corner(filter: Alignment, x: f64) -> f64 {
    percent_per_percent(filter, Hertz::new(27.0 * x), Hertz::new(27.0)).percent()
}

fn typed(text: &str) -> Reading {
    Reading::from(&parse_repeats_or_span(text, &ranges::READING).unwrap())
}

/// The Q of the one section of Butterworth 12, and the two of Butterworth 24, got out of the responses alone.
///
/// At its corner a section's |H| is its Q. Two sections of Q1 and Q2 have |H| = Q1 Q2 there; far above, their losses in
/// u = 1/x^2 begin with (1/Q1^2 + 1/Q2^2 - 4) u, which is nought for a Butterworth. So 1/Q1^2 and 1/Q2^2 have the sum 4
/// and a product known from the corner.
fn section_qs() -> Vec<f64> {
    let product = at(butterworth(24), 27.0, 27.0).0.powi(-2);
    let root = (4.0 - product).sqrt();
    let [low, high] = [2.0 + root, 2.0 - root].map(|inverse_square| inverse_square.sqrt().recip());
    for x in [0.3, 0.8, 1.6] {
        let sections = loss(Alignment::second_order(low), x) + loss(Alignment::second_order(high), x);
        assert!((sections - loss(butterworth(24), x)).abs() < 1e-12, "sections at {x}");
    }
    vec![at(butterworth(12), 27.0, 27.0).0, low, high]
}

/// The printed coefficients of theta_n, highest power first, without the leading 1, once the response agrees with them:
/// with w0 the half-power frequency, 1/|H| at x = w0 / w is |theta(jw)| / theta(0).
fn bessel_coefficients(order: u64) -> Vec<f64> {
    let (printed, w0): (&[f64], f64) = match order {
        2 => (&[1.0, 3.0, 3.0], bessel_half_power(2, 3.0)),
        3 => (&[1.0, 6.0, 15.0, 15.0], bessel_half_power(3, 15.0)),
        _ => (&[1.0, 10.0, 45.0, 105.0, 105.0], bessel_half_power(4, 105.0)),
    };
    let filter = alignment("bessel", 6 * order, None);
    for w in [0.1, 0.7, 1.5, 3.0, 12.0] {
        // theta(jw) by its real and imaginary parts.
        let (mut real, mut imaginary) = (0.0, 0.0);
        for coefficient in printed {
            (real, imaginary) = (coefficient - w * imaginary, w * real);
        }
        let of_printed = 20.0 * (f64::hypot(real, imaginary) / printed[printed.len() - 1]).log10();
        let said = loss(filter, w0 / w);
        assert!((of_printed - said).abs() < 1e-9, "order {order} at w = {w}: {said} against {of_printed} dB");
    }
    printed[1..].to_vec()
}

/// The half-power frequency of the unit-delay filter got out of the response far below the corner, where theta(jw) is
/// w^n: at w = w0 corner / f, 1/|H| = w^n / theta(0).
fn bessel_half_power(order: i32, theta_at_zero: f64) -> f64 {
    let x = 1e-6;
    let filter = alignment("bessel", 6 * u64::try_from(order).unwrap(), None);
    let w = (10f64.powf(loss(filter, x) / 20.0) * theta_at_zero).powf(f64::from(order).recip());
    w * x
}

fn ratio_uncertainty(inputs: &Inputs, volts: Volts) -> f64 {
    inputs.reference.ratio_uncertainty(
        Reading::steady(volts),
        inputs.alignment,
        inputs.tone,
        inputs.meter,
        inputs.setting_form(),
    )
}

/// P40 and P41: u of the ratio in per cent, U in dB, U of the corner in per cent.
fn ratio_of_14_volts(form: RatioForm) -> Vec<f64> {
    let inputs = Inputs { range_held: form == RatioForm::CommonGain, ..bench_of_20_volts() };
    let volts = Volts::new(14.1421);
    let u = ratio_uncertainty(&inputs, volts);
    let said = corner_from_reading(
        inputs.alignment,
        inputs.tone,
        Reading::steady(volts),
        inputs.reference,
        inputs.tone,
        inputs.meter,
        form,
    );
    let share = said.uncertainty.unwrap().hz() / said.corners.single().unwrap().hz();
    vec![u * 100.0, 2.0 * u * 20.0 / std::f64::consts::LN_10, share * 100.0]
}

/// The share of a normal distribution above a distance in standard deviations, by Simpson's rule to ten of them.
fn normal_above(distance: f64) -> f64 {
    let steps = 2000;
    let step = (10.0 - distance) / f64::from(steps);
    let density = |z: f64| (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let weight = |index: i32| match index {
        0 => 1.0,
        _ if index == steps => 1.0,
        _ if index % 2 == 1 => 4.0,
        _ => 2.0,
    };
    (0..=steps).map(|index| weight(index) * density(distance + step * f64::from(index))).sum::<f64>() * step / 3.0
}

struct Row {
    id: String,
    values: Vec<String>,
    source: String,
    label: String,
}

fn table() -> Vec<Row> {
    rows("published.txt")
        .iter()
        .map(|row| {
            let cells: Vec<&str> = row.split(" | ").map(str::trim).collect();
            let [id, _, values, _, source, label] = cells[..] else { panic!("not six cells: {row}") };
            Row {
                id: id.to_owned(),
                values: values.split(" / ").map(str::to_owned).collect(),
                source: source.to_owned(),
                label: label.to_owned(),
            }
        })
        .collect()
}

/// Whether a value is the printed one, to the last printed digit.
fn is_printed(value: f64, printed: &str) -> bool {
    if let Some(bound) = printed.strip_prefix('<') {
        return value < bound.parse::<f64>().unwrap();
    }
    if let Some(exact) = printed.strip_prefix('=') {
        let exact: f64 = exact.parse().unwrap();
        return (value - exact).abs() <= EXACT * exact.abs().max(1.0);
    }
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let half_a_digit = 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap());
    (value - printed.parse::<f64>().unwrap()).abs() <= half_a_digit + TIE
}

#[test]
fn every_printed_digit_is_what_the_code_says() {
    let table = table();
    let mut wrong = vec![];
    for (id, said) in SAID {
        let row = table.iter().find(|row| row.id == *id).unwrap_or_else(|| panic!("{id} is not in the table"));
        let said = said();
        let printed = match row.values.as_slice() {
            [one] => vec![one.clone(); said.len()],
            several => several.to_vec(),
        };
        assert_eq!(said.len(), printed.len(), "{id}");
        for (value, printed) in said.iter().zip(&printed) {
            if !is_printed(*value, printed) {
                wrong.push(format!("{id}: {value} against {printed} ({})", row.source));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_row_is_held_and_says_where_it_is_from() {
    let table = table();
    let ids: Vec<&str> = table.iter().map(|row| row.id.as_str()).collect();
    let held: Vec<&str> = SAID.iter().map(|(id, _)| *id).collect();
    assert_eq!(ids, held);
    for row in &table {
        assert!(!row.source.is_empty(), "{}", row.id);
        let label = row.label.as_str();
        let known = label.starts_with("published (") || ["computed", "common practice, no source"].contains(&label);
        assert!(known, "{}: {label}", row.id);
    }
}

#[test]
fn a_wrong_last_digit_is_noticed() {
    for (value, printed) in [(0.8022, "0.80224"), (5.0, "=5.1"), (2.6, "<2.5"), (64.6, "64"), (2.5, "<2.5")] {
        assert!(!is_printed(value, printed), "{value} passed for {printed}");
    }
    for (value, printed) in [(0.802_242, "0.80224"), (5.1, "=5.1"), (2.3, "<2.5"), (64.4, "64")] {
        assert!(is_printed(value, printed), "{value} did not pass for {printed}");
    }
}
