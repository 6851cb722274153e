//! Reading a meter at 25 Hz: digits, counts, range, band.

use super::Step;
use super::bench::{self, CORNER, METER, REFERENCE};
use super::page::Page;
use super::questions::Number;
use crate::learn::form::Form;
use crate::meter::MeterSpec;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Percent, Volts, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "say how far off a reading may be, and what cancels";

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step {
            shown: taken_apart,
            exercise: limit_at(REFERENCE).exercise(),
            again: limit_at(Volts::new(6.4)).exercise(),
        },
        Step {
            shown: range,
            exercise: coarse_range(METER.accuracy, METER.digits, 6.2).exercise(),
            again: coarse_range(Percent::new(0.8), 3, 7.4).exercise(),
        },
        Step {
            shown: band,
            exercise: low_reader(4.0, 7.68, 3.84).exercise(),
            again: low_reader(5.0, 9.12, 2.28).exercise(),
        },
        Step { shown: hunting, exercise: middle([4.92, 5.06]).exercise(), again: middle([5.36, 5.52]).exercise() },
    ]
}

/// A part of a limit, or a whole one, with a decimal more than the display has.
fn fine(volts: f64) -> String {
    format!("{volts:.3} V")
}

/// The two parts of a meter's limit of error at a reading: the share of it, and the digits.
fn parts(meter: MeterSpec, reading: Volts) -> [f64; 2] {
    [meter.accuracy.fraction() * reading.volts(), f64::from(meter.digits) * meter.resolution.volts()]
}

fn spec(meter: MeterSpec) -> String {
    format!("+-({} + {} digits)", show::percent(meter.accuracy), meter.digits)
}

fn taken_apart(screen: Screen) -> Vec<Line> {
    let reading = Volts::new(5.66);
    let [percent, digits] = parts(METER, reading);
    let limit = percent + digits;
    let step = METER.resolution.volts();
    Page::first(screen, PROMISE, "A display taken apart")
        .drawing(vec![
            format!("      {}", bench::volts(reading)),
            format!("         ^ the last digit: one step of it is {step} V, a count"),
        ])
        .says(&format!(
            "So this display stands at {:.0} counts. Makers print how far off it may be as {}. `Digits` there means \
             counts of the last digit, not figures of the display:",
            reading.volts() / step,
            spec(METER),
        ))
        .row(
            &show::percent(METER.accuracy),
            &format!(
                "of the reading: {:.2} x {} = {}",
                METER.accuracy.fraction(),
                bench::volts(reading),
                fine(percent)
            ),
        )
        .row(&format!("{} digits", METER.digits), &format!("{} x {step} V = {}", METER.digits, fine(digits)))
        .row("together", &format!("+- {}", fine(limit)))
        .says(&format!(
            "The true voltage lies between {} and {}. At a low reading the digits count most: at 0.50 V they are \
             {:.0} % of it.",
            bench::volts(Volts::new(reading.volts() - limit)),
            bench::volts(Volts::new(reading.volts() + limit)),
            digits / 0.5 * 100.0,
        ))
        .done()
}

fn limit_at(reading: Volts) -> Number {
    let [percent, digits] = parts(METER, reading);
    Number {
        form: Form::LimitInVolts,
        ask: format!(
            "The meter reads {}, its last digit is {} V, its maker prints {}. How many volts may the reading be off, \
             either way?",
            bench::volts(reading),
            METER.resolution.volts(),
            spec(METER)
        ),
        given: vec![
            ("reading_v", reading.volts()),
            ("accuracy_percent", METER.accuracy.percent()),
            ("digits", f64::from(METER.digits)),
            ("resolution_v", METER.resolution.volts()),
        ],
        value: percent + digits,
        quantity: Quantity::Voltage,
        working: vec![
            format!("{} of {} = {}", show::percent(METER.accuracy), bench::volts(reading), fine(percent)),
            format!("{} digits x {} V = {}", METER.digits, METER.resolution.volts(), fine(digits)),
            format!("together {}", fine(percent + digits)),
        ],
        mistakes: vec![
            (percent, "The digits are left out: they are added to the per cent.".to_owned()),
            (digits, "The per cent of the reading is left out.".to_owned()),
            (
                reading.volts() * (METER.accuracy.fraction() + f64::from(METER.digits) / 100.0),
                "That takes the digits for per cent. A digit is one step of the last place.".to_owned(),
            ),
            (
                percent + f64::from(METER.digits),
                "That takes the digits for volts. A digit is one step of the last place.".to_owned(),
            ),
        ],
    }
}

/// The meter on a range with another step.
fn on(step: f64) -> MeterSpec {
    MeterSpec { resolution: Volts::new(step), ..METER }
}

fn range(screen: Screen) -> Vec<Line> {
    let reading = Volts::new(5.66);
    let rows = [0.001, 0.01, 0.1].map(|step| {
        let [percent, digits] = parts(on(step), reading);
        let limit = percent + digits;
        [
            format!("{step} V"),
            show::volts(reading, Volts::new(step)),
            fine(digits),
            fine(limit),
            format!("{:.1} %", limit / reading.volts() * 100.0),
        ]
    });
    Page::new(screen, "The range decides what a digit is")
        .says(&format!(
            "A coarser range moves the last digit. The same {} and the same {}:",
            bench::volts(reading),
            spec(METER)
        ))
        .table(["last digit", "shows", "digits are", "may be off", "share"], rows)
        .says(
            "Take the lowest range that holds the reference, and stay on it. A meter that chooses by itself may \
             change range between two readings; most have a key to hold it.",
        )
        .done()
}

fn coarse_range(accuracy: Percent, digits: u32, reading: f64) -> Number {
    let (meter, reading) = (MeterSpec { accuracy, digits, ..on(0.1) }, Volts::new(reading));
    let [percent, digits] = parts(meter, reading);
    let fine_digits = digits / 10.0;
    let shown = show::volts(reading, meter.resolution);
    Number {
        form: Form::LimitInVolts,
        ask: format!(
            "A meter of {} is on a range whose last digit is {} V and reads {shown}. How many volts may that be off?",
            spec(meter),
            meter.resolution.volts()
        ),
        given: vec![
            ("reading_v", reading.volts()),
            ("accuracy_percent", meter.accuracy.percent()),
            ("digits", f64::from(meter.digits)),
            ("resolution_v", meter.resolution.volts()),
        ],
        value: percent + digits,
        quantity: Quantity::Voltage,
        working: vec![
            format!("{} of {shown} = {}", show::percent(meter.accuracy), fine(percent)),
            format!("{} digits x {} V = {}", meter.digits, meter.resolution.volts(), fine(digits)),
            format!("together {}", fine(percent + digits)),
        ],
        mistakes: vec![
            (
                percent + fine_digits,
                "That is a last digit of 0.01 V. On this range it is 0.1 V, and the digits are ten times as much."
                    .to_owned(),
            ),
            (percent, "The digits are left out, and here they are nearly all of it.".to_owned()),
            (digits, "The per cent of the reading is left out.".to_owned()),
            (
                reading.volts() * (meter.accuracy.fraction() + f64::from(meter.digits) / 100.0),
                "That takes the digits for per cent. A digit is one step of the last place.".to_owned(),
            ),
        ],
    }
}

/// What a meter that droops shows of a voltage.
fn drooped(volts: Volts, droop: Percent) -> Volts {
    volts.times(1.0 - droop.fraction())
}

fn band(screen: Screen) -> Vec<Line> {
    const DROOP: Percent = Percent::new(3.0);
    let row = |name: &str, volts: Volts| [name.to_owned(), bench::volts(volts), bench::volts(drooped(volts, DROOP))];
    let (reference, target) = (REFERENCE, bench::target());
    let ratio = |of: fn(Volts, Percent) -> Volts, droop| bench::share(of(target, droop).over(of(reference, droop)));
    Page::new(screen, "Below the meter's band, and what cancels")
        .says(&format!(
            "Volts that swing to and fro, as a tone does, are AC. Many meters keep what they promise for AC only from \
             45 Hz up. At 25 Hz they may read low by some per cent, nobody knows by how many. Say it is {} at {}:",
            show::percent(DROOP),
            show::hertz(CORNER),
        ))
        .table(
            ["", "true", "shown"],
            [
                row("reference", reference),
                row("filter in", target),
                ["ratio".to_owned(), ratio(|volts, _| volts, DROOP), ratio(drooped, DROOP)],
            ],
        )
        .says(
            "Both are low by the same share, and in the ratio it cancels. That holds for one tone on one range. \
             Between two tones it does not: the droop differs. So read the reference at the tone that you set by, and \
             correct nothing.",
        )
        .done()
}

fn low_reader(droop: f64, reference: f64, reading: f64) -> Number {
    let [out, inside] = [reference, reading].map(Volts::new);
    let down = inside.down_from(out).db();
    let kept = Volts::new(1.0 - droop / 100.0).down_from(Volts::new(1.0)).db();
    let ratio = out.over(inside);
    Number {
        form: Form::GainError,
        ask: format!(
            "A meter reads {} low at {}. With the filter out it shows {}, with it in {}, on the same range. How many dB \
             down is the tone in truth?",
            show::percent(Percent::new(droop)),
            show::hertz(CORNER),
            bench::volts(out),
            bench::volts(inside)
        ),
        given: vec![
            ("droop_percent", droop),
            ("reference_v", reference),
            ("reading_v", reading),
            ("tone_hz", CORNER.hz()),
        ],
        value: down,
        quantity: Quantity::Level,
        working: vec![
            "both readings are low by the same share, so the ratio is right as it is shown".to_owned(),
            format!("{} / {} = {}", bench::volts(out), bench::volts(inside), show::figures(ratio)),
            format!("20 x log {} = {down:.2} dB", show::figures(ratio)),
        ],
        mistakes: vec![
            (down + kept, "That corrects the reference alone. Both readings are low by the same share.".to_owned()),
            (
                down - kept,
                "That corrects the second reading alone. Both readings are low by the same share.".to_owned(),
            ),
            (down / 2.0, "That is 10 log, which is for power. The meter shows volts: 20 log.".to_owned()),
            (reference - reading, "That is the difference in volts. Decibels come from the ratio.".to_owned()),
        ],
    }
}

fn hunting(screen: Screen) -> Vec<Line> {
    Page::new(screen, "Digits that hunt")
        .says(
            "Near 25 Hz the last digits often do not come to rest: a wave is long, and the meter does not wait for \
             whole ones. Watch it for some seconds. Either of these can be typed as a reading:",
        )
        .row("5.61..5.70", "lowest and highest: the middle counts, the width is the doubt")
        .row("5.61 5.64 5.66", "one by one: the mean counts, the scatter is the doubt")
        .says(
            "With the tone off the display should show next to nothing; if it does not, hum is a part of every \
             reading.",
        )
        .remember("one tone, one range, one meter: then its share of error cancels, and only the digits are left.")
}

fn middle([low, high]: [f64; 2]) -> Number {
    let value = (low + high) / 2.0;
    Number {
        form: Form::HuntingMiddle,
        ask: format!(
            "The digits hunt between {} and {}. Which voltage counts?",
            bench::volts(Volts::new(low)),
            bench::volts(Volts::new(high))
        ),
        given: vec![("low_v", low), ("high_v", high)],
        value,
        quantity: Quantity::Voltage,
        working: vec![format!("the middle: ({low} + {high}) / 2 = {} V", show::figures(value))],
        mistakes: vec![
            (low, "That is the lowest. The middle of the span counts, and its width is the doubt.".to_owned()),
            (high, "That is the highest. The middle of the span counts, and its width is the doubt.".to_owned()),
            (high - low, "That is the width of the span. It is the doubt, not the reading.".to_owned()),
        ],
    }
}
