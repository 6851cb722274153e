//! Tolerance and guard band: the window, the accept zone, the verdict, and which way to turn.

use super::Step;
use super::bench::{self, CORNER, METER, REFERENCE, TOLERANCE};
use super::page::Page;
use super::questions::{Number, Word};
use crate::learn::form::Form;
use crate::meter::{Verdict, Window};
use crate::quantity::ranges::Quantity;
use crate::quantity::{Hertz, Percent, Volts, show};
use crate::screens::{Gauge, Line, Screen};

pub(super) const PROMISE: &str = "say which way to turn, and when";

const VERDICTS: &[&str] =
    &[Verdict::Inside.word(), Verdict::Borderline.word(), Verdict::Above.word(), Verdict::Below.word()];

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step {
            shown: window,
            exercise: window_end(7.2, CORNER, TOLERANCE, false).exercise(),
            again: window_end(6.8, Hertz::new(32.0), Percent::new(4.0), true).exercise(),
        },
        Step {
            shown: guard_band,
            exercise: verdict([5.32, 5.98, 0.07], 5.36).exercise(),
            again: verdict([6.2, 6.96, 0.08], 6.86).exercise(),
        },
        Step { shown: direction, exercise: which_way(5.12).exercise(), again: which_way(6.34).exercise() },
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
            "The tolerance says how far off the corner may be: {} is {lowest} to \
             {highest} for a corner of {}. Each corner leaves its own volts, so that is a window \
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
        "At the corner 1 % is slope / 12 % of the volts: here {} are about {:.0} % of the volts.",
        show::percent(TOLERANCE),
        (1.0 - bench::window().low.over(bench::target())) * 100.0,
    ))
    .done()
}

fn window_end(reference: f64, corner: Hertz, tolerance: Percent, upper: bool) -> Number {
    let reference = Volts::new(reference);
    let filter = bench::butterworth(24);
    let [lowest, highest] = [1.0 - tolerance.fraction(), 1.0 + tolerance.fraction()].map(|factor| corner.times(factor));
    let [most, least, aimed] = [lowest, highest, corner].map(|stands| bench::left(filter, corner, stands));
    let (end, other, word) = if upper { (most, least, "upper") } else { (least, most, "lower") };
    let sign = if upper { 1.0 } else { -1.0 };
    let value = reference.times(end);
    let (line, why) = if upper {
        let line = format!("the lowest corner leaves the most volts: {}", show::hertz(lowest));
        (line, "That is the lower end: the highest corner leaves the fewest volts.")
    } else {
        let line = format!("the highest corner leaves the fewest volts: {}", show::hertz(highest));
        (line, "That is the upper end: the lowest corner leaves the most volts.")
    };
    Number {
        form: Form::WindowEnd,
        ask: format!(
            "A {filter} filter is to stand at {} +- {}. Of that tone a corner of {} leaves {}, one of {} leaves {}. \
             The reference is {}. Which is the {word} end of the window?",
            show::hertz(corner),
            show::percent(tolerance),
            show::hertz(lowest),
            bench::share(most),
            show::hertz(highest),
            bench::share(least),
            bench::volts(reference)
        ),
        given: vec![
            ("reference_v", reference.volts()),
            ("corner_hz", corner.hz()),
            ("slope_db_per_octave", 24.0),
            ("tolerance_percent", tolerance.percent()),
            ("upper", f64::from(u8::from(upper))),
        ],
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![line, format!("{} x {} = {}", bench::volts(reference), bench::share(end), bench::volts(value))],
        mistakes: vec![
            (reference.times(other).volts(), why.to_owned()),
            (
                reference.times(aimed * (1.0 + sign * tolerance.fraction())).volts(),
                "That takes the tolerance of the volts. It is of the corner, and the volts follow from it.".to_owned(),
            ),
            (reference.times(aimed).volts(), "That is the target, the middle of the window.".to_owned()),
            (reference.volts() / end, "The ratio is upside down: a filter leaves fewer volts, not more.".to_owned()),
        ],
    }
}

fn guard_band(screen: Screen) -> Vec<Line> {
    let reading = Volts::new(5.95);
    let [low, high] = accept_ends();
    let page = Page::new(screen, "The guard band: what the meter cannot tell")
        .says(&format!(
            "{} lies in the window. But with a meter of +-({} + {} digits) reading and reference may be off against \
             each other by {}, in 19 cases of 20 by less. The window less that at both ends is the accept zone, {low} to {high}{}:",
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
        .says("The per cent cancels, the digits stay; a higher reference makes them matter less.")
        .done()
}

fn verdict([low, high, guard]: [f64; 3], reading: f64) -> Word {
    let volts = |value: f64| bench::volts(Volts::new(value));
    let window = Window { low: Volts::new(low), high: Volts::new(high) };
    let right = window.verdict(window.guarded(Volts::new(guard)), Volts::new(reading));
    let (from, to) = (volts(low + guard), volts(high - guard));
    Word {
        form: Form::Verdict,
        ask: format!(
            "Window {} to {}, guard band {} at either end, reading {}. Is that {}?",
            volts(low),
            volts(high),
            volts(guard),
            volts(reading),
            show::list_or(VERDICTS)
        ),
        given: vec![("low_v", low), ("high_v", high), ("guard_v", guard), ("reading_v", reading)],
        right: right.word(),
        of: VERDICTS,
        working: vec![
            format!("accept zone: {} + {guard} to {} - {guard} = {from} to {to}", volts(low), volts(high)),
            format!(
                "{} is in the window, and {} the accept zone",
                volts(reading),
                match right {
                    Verdict::Inside => "in",
                    _ => "not in",
                }
            ),
        ],
        mistakes: [Verdict::Inside, Verdict::Borderline, Verdict::Below, Verdict::Above]
            .into_iter()
            .filter(|said| *said != right)
            .map(|said| (said.word(), why_not(said).to_owned()))
            .collect(),
    }
}

/// Why a reading in the window has not this verdict.
const fn why_not(said: Verdict) -> &'static str {
    match said {
        Verdict::Inside => "That leaves out what the meter may be off. Inside is only what is in the accept zone.",
        Verdict::Borderline => "It is in the accept zone, so the guard band is kept. That is inside.",
        Verdict::Below => "It is in the window. Below is only what has fewer volts than the window.",
        Verdict::Above => "It is in the window. Above is only what has more volts than the window.",
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

fn which_way(reading: f64) -> Word {
    let reading = Volts::new(reading);
    let corner = bench::butterworth(24).corners_from_volts(CORNER, reading, REFERENCE).single().unwrap_or(CORNER);
    let told = |volts: Volts| show::figures(volts.volts()).parse::<f64>().unwrap_or(volts.volts());
    let [few, many] = ["too few volts, the filter takes too much", "too many volts, the filter takes too little"];
    let (right, other, side, volts, off, why) = if reading < bench::target() {
        let why = "A higher corner takes still more off the tone. Too few volts means corner down.";
        ("down", "up", "below", few, "too high", why)
    } else {
        let why = "A lower corner takes still less off the tone. Too many volts means corner up.";
        ("up", "down", "above", many, "too low", why)
    };
    Word {
        form: Form::WhichWay,
        ask: format!(
            "The window is {} to {}, the target {}. The meter reads {}. Must the corner go up or down?",
            low_end(),
            high_end(),
            bench::volts(bench::target()),
            bench::volts(reading)
        ),
        given: vec![("target_v", told(bench::target())), ("reading_v", reading.volts())],
        right,
        of: &["up", "down"],
        working: vec![
            format!("{} is {side} the window: {volts}", bench::volts(reading)),
            format!("its corner stands at {}, {off} for {}: {right}", show::hertz(corner), show::hertz(CORNER)),
        ],
        mistakes: vec![(other, why.to_owned())],
    }
}
