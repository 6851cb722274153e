//! Slope and family: what a filter leaves at a tone, near its corner and an octave below.

use super::Step;
use super::bench::{self, CORNER, REFERENCE, TUNING};
use super::drawings::Plot;
use super::page::Page;
use super::questions::Number;
use crate::filter::Family;
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Hertz, Volts, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "work out what a filter leaves";

/// An octave below the corner, and one above.
const BELOW: Hertz = CORNER.times(0.5);
const ABOVE: Hertz = CORNER.times(2.0);

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step {
            shown: what_it_does,
            exercise: octaves_below_corner(24.0, 1).by_head(),
            again: octaves_below_corner(44.0, 2).by_head(),
        },
        Step {
            shown: in_volts,
            exercise: gentle_filter(6.4, CORNER, BELOW).exercise(),
            again: gentle_filter(7.2, Hertz::new(24.0), Hertz::new(16.0)).exercise(),
        },
        Step {
            shown: families,
            exercise: at_its_corner(7.2, 27.0).exercise(),
            again: at_its_corner(9.4, 31.0).exercise(),
        },
    ]
}

fn down(db_per_octave: u32, tone: Hertz) -> Decibels {
    bench::butterworth(db_per_octave).response(tone, CORNER).down()
}

fn what_it_does(screen: Screen) -> Vec<Line> {
    let (steep, gentle) = (|tone| down(24, tone).db(), |tone| down(12, tone).db());
    let plot = Plot {
        top: 0.0,
        bottom: 24.0,
        step: 6.0,
        rows_a_step: 2,
        axis: &[BELOW, CORNER, ABOVE],
        limit: None,
        curves: &[('o', &gentle), ('*', &steep)],
    };
    let page = Page::first(screen, PROMISE, "What 24 dB/octave does").says(&format!(
        "Far below its corner this filter takes 24 dB more for every octave, one of 12 dB/octave 12 dB. Near it the line bends: \
         at {}, the corner of both, {} are gone.",
        show::hertz(CORNER),
        show::decibels(down(24, CORNER)),
    ));
    let page = if screen.is_plain() {
        let tones = [ABOVE, TUNING, CORNER, CORNER.times(0.75), BELOW];
        page.table(
            ["tone", "12 dB/octave", "24 dB/octave"],
            tones.map(|tone| [show::tone(tone), show::decibels(down(12, tone)), show::decibels(down(24, tone))]),
        )
    } else {
        page.says("dB down:  * 24 dB/octave  o 12 dB/octave").drawing(plot.lines(screen.width()))
    };
    page.says(&format!(
        "An octave below, at {}, it is {}, and one octave farther {}. The slope is what each octave adds.",
        show::hertz(BELOW),
        show::decibels(down(24, BELOW)),
        show::decibels(down(24, BELOW.times(0.5))),
    ))
    .done()
}

/// A tone one octave or two below the corner of a filter of 24 dB/octave.
fn octaves_below_corner(corner: f64, octaves: u32) -> Number {
    let corner = Hertz::new(corner);
    let at =
        |octaves: u32| bench::butterworth(24).response(corner.times(0.5f64.powi(octaves as i32)), corner).down().db();
    let tone = corner.times(0.5f64.powi(octaves as i32));
    let (noun, slope) = (show::plural(octaves as usize, "octave"), 24.0 * f64::from(octaves));
    let value = at(octaves);
    let mut working = vec![
        format!("{} / {} = {}: {noun} below", show::figures(corner.hz()), show::figures(tone.hz()), 1 << octaves),
        format!("an octave below the corner it is {:.1} dB, wherever that stands", at(1)),
    ];
    if octaves > 1 {
        working.push(format!("one octave farther 24 dB more: {value:.1} dB"));
    }
    let mut mistakes = vec![
        (at(0), "That is at the corner. This tone is below it.".to_owned()),
        (
            at(0) + slope,
            format!("That adds the corner's 3.01 dB and the slope. The bend is over by then: it is {value:.1} dB."),
        ),
        (at(octaves + 1), format!("That is one octave too many. This tone is {noun} below the corner.")),
        (bench::butterworth(12).response(tone, corner).down().db(), "That is a filter of 12 dB/octave.".to_owned()),
    ];
    if octaves > 1 {
        // What a filter of 12 dB/octave takes there is what this one takes an octave below.
        mistakes[3].1 = "That is one octave below the corner, or a filter of 12 dB/octave.".to_owned();
    }
    Number {
        form: Form::ButterworthDown,
        ask: format!(
            "A {} filter stands at {}. How many dB down is a tone of {}?",
            bench::butterworth(24),
            show::hertz(corner),
            show::hertz(tone)
        ),
        given: vec![("corner_hz", corner.hz()), ("tone_hz", tone.hz()), ("slope_db_per_octave", 24.0)],
        value,
        quantity: Quantity::Level,
        working,
        mistakes,
    }
}

fn in_volts(screen: Screen) -> Vec<Line> {
    let tones = [ABOVE, TUNING, CORNER, CORNER.times(0.75), BELOW];
    let volts =
        |slope: u32, tone: Hertz| bench::volts(REFERENCE.times(bench::left(bench::butterworth(slope), tone, CORNER)));
    Page::new(screen, "The same in volts")
        .says(&format!(
            "A filter of the Butterworth family, the usual one, leaves 1 / root of (1 + (corner / tone)^p) of the \
             volts. ^p is `to the power of p`; p is 4 for 12 dB/octave, 8 for 24 dB/octave: a third of the slope. \
             Slopes are also told as an order, 6 dB/octave each: 24 dB/octave is order 4. With the corner at {} and a reference of {}:",
            show::hertz(CORNER),
            bench::volts(REFERENCE),
        ))
        .table(
            ["tone", "corner / tone", "12 dB/octave", "24 dB/octave"],
            tones.map(|tone| {
                [show::tone(tone), bench::share(CORNER.hz() / tone.hz()), volts(12, tone), volts(24, tone)]
            }),
        )
        .says(
            "At the corner both read the same, because 1 to any power is 1. Below it the steep one leaves far less, \
             above it more: it bends in a narrower space. In dB it is 20 x log of that root.",
        )
        .done()
}

fn gentle_filter(reference: f64, corner: Hertz, tone: Hertz) -> Number {
    let reference = Volts::new(reference);
    let filter = bench::butterworth(12);
    let of = |share: f64| reference.times(share).volts();
    let value = of(bench::left(filter, tone, corner));
    Number {
        form: Form::VoltsAtTone,
        ask: format!(
            "A {filter} filter stands at {}, the reference is {}. What does the meter read at {}?",
            show::hertz(corner),
            bench::volts(reference),
            show::hertz(tone)
        ),
        given: bench::given(reference, corner, tone, filter),
        value,
        quantity: Quantity::Voltage,
        working: vec![
            format!(
                "corner / tone = {} / {} = {}",
                show::figures(corner.hz()),
                show::figures(tone.hz()),
                show::figures(corner.hz() / tone.hz())
            ),
            format!(
                "share = 1 / root of (1 + {}^4) = {}",
                show::figures(corner.hz() / tone.hz()),
                bench::share(bench::left(filter, tone, corner))
            ),
            format!(
                "{} x {} = {}",
                bench::volts(reference),
                bench::share(bench::left(filter, tone, corner)),
                bench::volts(Volts::new(value))
            ),
        ],
        mistakes: vec![
            (
                of(bench::left(bench::butterworth(24), tone, corner)),
                "That is a filter of 24 dB/octave. For 12 dB/octave p is 4.".to_owned(),
            ),
            (
                of(Decibels::new(12.0).down_ratio()),
                "That is the slope alone, 12 dB. So near to the corner the bend still counts.".to_owned(),
            ),
            (
                of(bench::left(filter, corner, tone)),
                "The ratio is upside down: tone over corner. It is corner over tone.".to_owned(),
            ),
            (of(bench::left(filter, corner, corner)), "That is at the corner. This tone is below it.".to_owned()),
            (
                of(bench::left(filter, tone, corner).powi(2)),
                "The root was left out: that is the share of the power.".to_owned(),
            ),
        ],
    }
}

fn families(screen: Screen) -> Vec<Line> {
    let filters = [
        (Family::Butterworth, 12),
        (Family::Butterworth, 24),
        (Family::Bessel, 24),
        (Family::LinkwitzRiley, 12),
        (Family::LinkwitzRiley, 24),
    ];
    let one = down(12, CORNER);
    Page::new(screen, "Family: how the line bends")
        .says(&format!(
            "Two filters of one slope can bend in different ways. That is their family. A Linkwitz-Riley filter is \
             two equal Butterworth filters in a row, each of half its slope: it leaves 1 / (1 + (corner / tone)^p), p a \
             sixth of the slope. Each takes {} at the corner, so together they take {}.",
            show::decibels(one),
            show::decibels(Decibels::new(2.0 * one.db())),
        ))
        .table(
            [bench::FILTERS, "at corner", &format!("of {}", bench::volts(REFERENCE)), "octave below"],
            filters.map(|(family, slope)| {
                let filter = bench::filter(family, slope);
                let at = |tone| filter.response(tone, CORNER);
                [
                    bench::named(filter),
                    show::decibels(at(CORNER).down()),
                    bench::volts(REFERENCE.times(at(CORNER).ratio())),
                    show::decibels(at(BELOW).down()),
                ]
            }),
        )
        .says(
            "A filter of second order (12 dB/octave) may have a Q instead, the share that is left at its corner: Q 0.707 \
             is the Butterworth, and above it the line has a hump.",
        )
        .remember("at its corner a Butterworth leaves 0.707 of the volts, a Linkwitz-Riley half of them.")
}

fn at_its_corner(reference: f64, corner: f64) -> Number {
    let (reference, corner) = (Volts::new(reference), Hertz::new(corner));
    let filter = bench::filter(Family::LinkwitzRiley, 24);
    let share = bench::left(filter, corner, corner);
    let value = reference.times(share);
    let butterworth = bench::left(bench::butterworth(24), corner, corner);
    Number {
        form: Form::TargetAtCorner,
        ask: format!(
            "A {filter} filter stands at {} and you play {}. The reference is {}. What does the meter read?",
            show::hertz(corner),
            show::hertz(corner),
            bench::volts(reference)
        ),
        given: bench::given(reference, corner, corner, filter),
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!(
                "two Butterworths in a row: {} x {} = {}",
                bench::share(butterworth),
                bench::share(butterworth),
                bench::share(share)
            ),
            format!("{} x {} = {}", bench::volts(reference), bench::share(share), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(butterworth).volts(),
                "That is a Butterworth. A Linkwitz-Riley is two in a row, and half is left at its corner.".to_owned(),
            ),
            (
                reference.times(share * share).volts(),
                "That is half, taken twice: a quarter. 6 dB is half of the volts and a quarter of the power."
                    .to_owned(),
            ),
            (reference.volts() / share, "The ratio is upside down: a filter leaves fewer volts, not more.".to_owned()),
            (
                reference.times(bench::left(filter, corner.times(0.5), corner)).volts(),
                "That is an octave below the corner. The tone is at the corner.".to_owned(),
            ),
        ],
    }
}
