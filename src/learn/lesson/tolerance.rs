//! Tolerance and guard band: the window, the accept zone, the verdict, and which way to turn.

use super::Step;
use super::bench::{self, CORNER, METER, REFERENCE, TOLERANCE, TUNING};
use super::page::Page;
use super::questions::{Number, Word};
use crate::learn::form::Form;
use crate::meter::Verdict;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Volts, show};
use crate::screens::{Gauge, Line, Screen};

pub(super) const PROMISE: &str = "read the gauge, and say which way to turn";

const VERDICTS: &[&str] =
    &[Verdict::Inside.word(), Verdict::Borderline.word(), Verdict::Above.word(), Verdict::Below.word()];

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: window, exercise: lower_end().exercise() },
        Step { shown: guard_band, exercise: verdict().exercise() },
        Step { shown: direction, exercise: which_way().exercise() },
    ]
}

/// The gauge of a session at this reading; the reading's verdict on a plain screen.
fn gauge(page: Page, screen: Screen, reading: Volts) -> Page {
    const MARGIN: usize = 2;
    const COLUMNS: usize = 64;
    let (window, accept) = (bench::window(), bench::accept());
    if screen.is_plain() {
        return page.row(&bench::volts(reading), window.verdict(accept, reading).word());
    }
    let gauge = Gauge { window, accept, target: bench::target(), reading, step: METER.resolution };
    let lines = gauge.lines(COLUMNS.min(screen.width() - MARGIN));
    page.drawing(lines.into_iter().map(|line| format!(" {line}")).collect())
}

fn low_end() -> String {
    show::low_limit(bench::window().low, METER.resolution)
}

fn high_end() -> String {
    show::high_limit(bench::window().high, METER.resolution)
}

fn accept_ends() -> [String; 2] {
    let accept = bench::accept();
    [
        accept.low().map_or_else(low_end, |low| show::low_limit(low, METER.resolution)),
        accept.high().map_or_else(high_end, |high| show::high_limit(high, METER.resolution)),
    ]
}

fn window(screen: Screen) -> Vec<Line> {
    let [lowest, highest] = bench::corners().map(show::hertz);
    let page = Page::first(screen, PROMISE, "The window: how far off the corner may be")
        .says(&format!(
            "No knob stands exactly right. The tolerance says how far off the corner may be: {} is {lowest} to \
             {highest} for a corner of {}. Each corner leaves its own volts at the tone, so the tolerance is a window \
             in volts:",
            show::percent(TOLERANCE),
            show::hertz(CORNER),
        ))
        .row(&lowest, &format!("leaves {}: a lower corner takes less off the tone", high_end()))
        .row(&highest, &format!("leaves {}: a higher corner takes more", low_end()))
        .gap();
    let page = gauge(page, screen, bench::target()).gap();
    let page = if screen.is_plain() {
        page
    } else {
        page.says("`[` and `]` are the ends of the window, `+` is the target, and `^` the reading.")
    };
    page.says(&format!(
        "The tolerance of {} of the corner is about {:.0} % of the volts here, because the filter is steep.",
        show::percent(TOLERANCE),
        (1.0 - bench::window().low.over(bench::target())) * 100.0,
    ))
    .done()
}

fn lower_end() -> Number {
    let reference = Volts::new(7.2);
    let filter = bench::butterworth(24);
    let [lowest, highest] = bench::corners();
    let [most, least, aimed] = [lowest, highest, CORNER].map(|corner| bench::left(filter, CORNER, corner));
    let value = reference.times(least);
    Number {
        form: Form::WindowEnd,
        ask: format!(
            "A {filter} filter is to stand at {} +- {}. Of that tone a corner of {} leaves {}, one of {} leaves {}. \
             The reference is {}. Which is the lower end of the window, in volts?",
            show::hertz(CORNER),
            show::percent(TOLERANCE),
            show::hertz(lowest),
            bench::share(most),
            show::hertz(highest),
            bench::share(least),
            bench::volts(reference)
        ),
        given: vec![
            ("reference_v", reference.volts()),
            ("corner_hz", CORNER.hz()),
            ("tone_hz", CORNER.hz()),
            ("slope_db_per_octave", 24.0),
            ("tolerance_percent", TOLERANCE.percent()),
        ],
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("the highest corner leaves the fewest volts: {}", show::hertz(highest)),
            format!("{} x {} = {}", bench::volts(reference), bench::share(least), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(most).volts(),
                "That is the upper end: the lowest corner leaves the most volts.".to_owned(),
            ),
            (
                reference.times(aimed * (1.0 - TOLERANCE.fraction())).volts(),
                "That takes the tolerance of the volts. It is of the corner, and the volts follow from it.".to_owned(),
            ),
            (reference.times(aimed).volts(), "That is the target, the middle of the window.".to_owned()),
            (reference.volts() / least, "The ratio is upside down: a filter leaves fewer volts, not more.".to_owned()),
        ],
    }
}

fn guard_band(screen: Screen) -> Vec<Line> {
    let reading = Volts::new(5.95);
    let [low, high] = accept_ends();
    let page = Page::new(screen, "The guard band: what the meter cannot tell")
        .says(&format!(
            "{} lies in the window. But with a meter of +-({} + {} digits) reading and reference may be off against \
             each other by {}, in 19 cases of 20 by less. So the window is made smaller by that at both ends. What is \
             left is the accept zone, {low} to {high}{}:",
            bench::volts(reading),
            show::percent(METER.accuracy),
            METER.digits,
            bench::volts(bench::guard_band()),
            if screen.is_plain() { "" } else { ", `(` to `)`" },
        ))
        .gap();
    gauge(page, screen, reading)
        .gap()
        .row(Verdict::Inside.word(), "in the accept zone: right, the meter reckoned in")
        .row(Verdict::Borderline.word(), "in the window, not in the accept zone: it may be right")
        .row(Verdict::Above.word(), "more volts than the window")
        .row(Verdict::Below.word(), "fewer volts than the window")
        .says(
            "The per cent is common to both readings and cancels. The digits stay; a higher reference makes them \
             matter less.",
        )
        .done()
}

fn verdict() -> Word {
    let reading = Volts::new(5.36);
    let [low, high] = accept_ends();
    Word {
        form: Form::Verdict,
        ask: format!(
            "Window {} to {}, accept zone {low} to {high}. The meter reads {}. Which verdict is that: {}?",
            low_end(),
            high_end(),
            bench::volts(reading),
            show::list_or(VERDICTS)
        ),
        given: vec![
            ("reference_v", REFERENCE.volts()),
            ("corner_hz", CORNER.hz()),
            ("tone_hz", CORNER.hz()),
            ("slope_db_per_octave", 24.0),
            ("tolerance_percent", TOLERANCE.percent()),
            ("meter_digits", f64::from(METER.digits)),
            ("meter_resolution_v", METER.resolution.volts()),
            ("reading_v", reading.volts()),
        ],
        right: Verdict::Borderline.word(),
        of: VERDICTS,
        working: vec![
            format!("{} is not below {}: it is in the window", bench::volts(reading), low_end()),
            format!("{} is below {low}: it is not in the accept zone", bench::volts(reading)),
        ],
        mistakes: vec![
            (
                Verdict::Inside.word(),
                "That leaves out what the meter may be off. Inside is only what is in the accept zone.".to_owned(),
            ),
            (
                Verdict::Below.word(),
                "It is below the accept zone, but in the window. Below is only what is below the window.".to_owned(),
            ),
            (Verdict::Above.word(), "There are fewer volts than the target, not more.".to_owned()),
        ],
    }
}

fn direction(screen: Screen) -> Vec<Line> {
    let reading = Volts::new(6.21);
    let corner = bench::butterworth(24).corners_from_volts(CORNER, reading, REFERENCE).single().unwrap_or(CORNER);
    let page = Page::new(screen, "Which way to turn")
        .says(&format!(
            "The meter reads {}. Too many volts: the filter takes too little off the tone, so its corner is too low. \
             It stands at {} instead of {}. Turn the corner up.",
            bench::volts(reading),
            show::hertz(corner),
            show::hertz(CORNER),
        ))
        .gap();
    gauge(page, screen, reading)
        .gap()
        .says(
            "Too few volts: the filter takes too much, the corner is too high, turn it down. `Above` and `below` \
             speak of the volts, `up` and `down` of the corner. Above means up, because a higher corner brings the \
             volts down.",
        )
        .says(
            "Turn to the target, not just into the zone. Where a verdict stays borderline, a higher reference or a \
             finer range widens the accept zone.",
        )
        .remember("above the window, corner up; below it, corner down; near its ends the meter cannot tell.")
}

fn which_way() -> Word {
    let reading = Volts::new(5.12);
    let corner = bench::butterworth(24).corners_from_volts(CORNER, reading, REFERENCE).single().unwrap_or(CORNER);
    Word {
        form: Form::WhichWay,
        ask: format!(
            "The window is {} to {}, the meter reads {}. Must the corner go up or down?",
            low_end(),
            high_end(),
            bench::volts(reading)
        ),
        given: vec![
            ("reference_v", REFERENCE.volts()),
            ("corner_hz", CORNER.hz()),
            ("tone_hz", CORNER.hz()),
            ("slope_db_per_octave", 24.0),
            ("tolerance_percent", TOLERANCE.percent()),
            ("tuning_hz", TUNING.hz()),
            ("reading_v", reading.volts()),
        ],
        right: "down",
        of: &["up", "down"],
        working: vec![
            format!("{} is below the window: too few volts, the filter takes too much", bench::volts(reading)),
            format!("its corner stands at {}, too high for {}: down", show::hertz(corner), show::hertz(CORNER)),
        ],
        mistakes: vec![(
            "up",
            "A higher corner takes still more off the tone. Too few volts means corner down.".to_owned(),
        )],
    }
}
