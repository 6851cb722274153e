//! Ratio and decibels: shares of volts and of power, 20 log and 10 log.

use super::Step;
use super::bench::{self, REFERENCE};
use super::drawings;
use super::page::Page;
use super::questions::Number;
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Volts, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "turn decibels into volts, and say why 3 dB is 0.708";

/// The trade's half power.
const THREE: Decibels = Decibels::new(3.0);

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: a_share, exercise: two_filters(6.0, 3.0).by_head(), again: two_filters(20.0, 6.0).by_head() },
        Step { shown: side_by_side, exercise: power_left(8.0, 6.4).exercise(), again: power_left(7.0, 2.1).exercise() },
        Step { shown: why, exercise: some_down(6.5, 3.0).exercise(), again: some_down(7.4, 6.0).exercise() },
        Step { shown: back, exercise: how_far_down(7.2, 1.8).by_head(), again: how_far_down(8.6, 4.3).by_head() },
    ]
}

fn a_share(screen: Screen) -> Vec<Line> {
    let levels = [0.0, 1.0, 3.0, 6.0, 12.0, 20.0].map(Decibels::new);
    let (six, twelve) = (Decibels::new(6.0).down_ratio(), Decibels::new(12.0).down_ratio());
    Page::first(screen, PROMISE, "A share, not a number of volts")
        .says(
            "A filter does not take a fixed number of volts off a tone. It leaves a share of them: the same share of \
             8 V as of 80 V. Decibels, dB for short, are one more way to write a share. So many dB down means: the \
             volts times so much.",
        )
        .table(
            ["down", "share of the volts", &format!("of {}", bench::volts(REFERENCE))],
            levels.map(|level| {
                let share = level.down_ratio();
                [format!("{:.0} dB", level.db()), bench::share(share), bench::volts(REFERENCE.times(share))]
            }),
        )
        .says(&format!(
            "Shares are multiplied, decibels are only added. That is what they are for. 6 dB and then 6 dB more is {} \
             x {} = {} of the volts, and that is the line for 12 dB.",
            bench::share(six),
            bench::share(six),
            bench::share(twelve),
        ))
        .done()
}

fn two_filters(first: f64, second: f64) -> Number {
    let [one, other] = [first, second].map(|level| Decibels::new(level).down_ratio());
    let both = Decibels::new(first + second);
    let left = both.down_ratio();
    Number {
        form: Form::RatioOfDown,
        ask: format!(
            "One filter takes {first} dB off a tone, a second one {second} dB more. Which share of the volts is left?"
        ),
        given: vec![("down_db", both.db()), ("first_db", first), ("second_db", second)],
        value: left,
        quantity: Quantity::Plain,
        working: vec![
            format!("decibels add: {first} dB + {second} dB = {} dB down", both.db()),
            format!("shares multiply: {} x {} = {left:.4}", bench::share(one), bench::share(other)),
        ],
        mistakes: vec![
            (
                one,
                "That is the first filter alone: the second one takes its share of what the first has left.".to_owned(),
            ),
            (
                left * left,
                "That is the share twice over, the share of the power. Asked is the share of the volts.".to_owned(),
            ),
            (one + other, "The two shares are added. Shares are multiplied; it is the decibels that add.".to_owned()),
            ((one + other) / 2.0, "That is the middle of the two shares. Shares are multiplied.".to_owned()),
        ],
    }
}

fn side_by_side(screen: Screen) -> Vec<Line> {
    let three = THREE.down_ratio();
    let levels = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0];
    Page::new(screen, "Volts and power side by side")
        .says(
            "Power goes with the volts times themselves: half the volts is a quarter of the power. So the same \
             decibels stand for two shares:",
        )
        .drawing(drawings::ladder(&levels, screen.width(), screen.is_plain()))
        .says(&format!(
            "At 3 dB the power is halved, the volts are not. They stand at the share that makes a half when it is \
             multiplied by itself: {} x {} = {}. The decibel was made for power: 10 dB is a tenth of it. For the volts \
             a tenth takes 20 dB. That is where 10 and 20 come from.",
            bench::share(three),
            bench::share(three),
            bench::share(three * three),
        ))
        .done()
}

fn power_left(reference: f64, reading: f64) -> Number {
    let share = Volts::new(reading).over(Volts::new(reference));
    let [from, to] = [reference, reading].map(|volts| bench::volts(Volts::new(volts)));
    Number {
        form: Form::PowerOfVoltsShare,
        ask: format!("A filter brings {from} down to {to}. How much of the power is left, in per cent?"),
        given: vec![("reference_v", reference), ("reading_v", reading)],
        value: share * share * 100.0,
        quantity: Quantity::Share,
        working: vec![
            format!("share of the volts = {to} / {from} = {}", show::figures(share)),
            format!(
                "share of the power = {0} x {0} = {1:.4}, and that is {2:.2} %",
                show::figures(share),
                share * share,
                share * share * 100.0
            ),
        ],
        mistakes: vec![
            (share * 100.0, "That is the share of the volts. For the power it is multiplied by itself.".to_owned()),
            (
                share * 50.0,
                "That is half of it. Power is not half of the volts, it is the volts times themselves.".to_owned(),
            ),
            (
                share.sqrt() * 100.0,
                "That is the root. From volts to power the share is multiplied by itself.".to_owned(),
            ),
            (
                (1.0 - share * share) * 100.0,
                "That is the share of the power that is lost. Asked is what is left.".to_owned(),
            ),
        ],
    }
}

fn why(screen: Screen) -> Vec<Line> {
    let half = 0.5_f64.sqrt();
    let row = |done: &str, share: f64| {
        let down = if share < 1.0 {
            format!("{} down", show::decibels(Volts::new(share).down_from(Volts::new(1.0))))
        } else {
            format!("{} up", show::decibels(Volts::new(1.0).down_from(Volts::new(share))))
        };
        [done.to_owned(), bench::share(share), down]
    };
    let share = THREE.down_ratio();
    Page::new(screen, "Why 3 dB is 0.708 and not 0.997")
        .says(
            "Any dB on a calculator: divide by 20, put a minus before it, press the key 10^x, which is 10 to a power; \
             on paper that is 10^(-3 / 20) for 3 dB. What people take `3 dB down` for, and what it really is:",
        )
        .table(
            ["taken as", "share", "really"],
            [
                row("10^(-3 / 20), right for volts", share),
                row("10^(-3 / 10), right for power", share * share),
                row("3 % less", 0.97),
                row("3 thousandths less", 0.997),
                row("10^(3 / 20), upside down", share.recip()),
            ],
        )
        .says(&format!(
            "A meter shows volts, so it is 20; 10 is for watts. Half of the power to the last digit is {half:.4} of \
             the volts and {}. The trade says 3 dB for it, and of {} a meter shows {} for {half:.4} and {} for \
             {share:.4}.",
            show::decibels(Volts::new(half).down_from(Volts::new(1.0))),
            bench::volts(REFERENCE),
            bench::volts(REFERENCE.times(half)),
            bench::volts(REFERENCE.times(share)),
        ))
        .done()
}

fn some_down(volts: f64, down: f64) -> Number {
    let reference = Volts::new(volts);
    let share = Decibels::new(down).down_ratio();
    let value = reference.times(share);
    let as_thousandths = reference.times(1.0 - down / 1000.0).volts();
    Number {
        form: Form::VoltsOfDown,
        ask: format!(
            "With the filter out the meter reads {}, the reference. What does it read when the tone is {down} dB down?",
            bench::volts(reference)
        ),
        given: vec![("reference_v", reference.volts()), ("down_db", down)],
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("share = 10^(-{down} / 20) = {}", bench::share(share)),
            format!("{} x {} = {}", bench::volts(reference), bench::share(share), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(share * share).volts(),
                "That is 10 log, as if the meter showed power. For volts divide by 20.".to_owned(),
            ),
            (
                reference.volts() / share,
                "The ratio is upside down: that is more than the reference, and down means fewer volts.".to_owned(),
            ),
            (
                as_thousandths,
                format!("That takes {down} dB for {down} thousandths. It is a share of {}.", bench::share(share)),
            ),
            (
                reference.times(1.0 - down / 100.0).volts(),
                format!("That takes {down} dB for {down} %. It is a share of {}.", bench::share(share)),
            ),
            (reference.volts() - down, format!("That takes {down} dB for {down} V. Decibels are a share, not volts.")),
        ],
    }
}

fn back(screen: Screen) -> Vec<Line> {
    let readings = [7.13, 5.66, 4.0, 2.0, 0.8].map(Volts::new);
    let shares = [1.0, 3.0, 6.0, 20.0].map(|level| Decibels::new(level).down_ratio());
    Page::new(screen, "Back from volts to decibels")
        .says(
            "The key log undoes 10^x: the log of 10 is 1, of 100 it is 2. How many dB down a reading is: 20 x log of \
             reference over reading.",
        )
        .table(
            ["reading", "reference over reading", "down"],
            readings.map(|reading| {
                [
                    bench::volts(reading),
                    bench::share(REFERENCE.over(reading)),
                    show::decibels(reading.down_from(REFERENCE)),
                ]
            }),
        )
        .says(&format!(
            "In the head: 1 dB leaves {:.2}, 3 dB {:.2}, 6 dB about a half ({:.2}), 20 dB a tenth. The rest is put \
             together: 9 dB is 6 dB and 3 dB, 0.5 x 0.71 or about {:.2}.",
            shares[0],
            shares[1],
            shares[2],
            shares[1] * shares[2],
        ))
        .remember("a meter shows volts, so it is 20; 3 dB down is 0.708 of the volts and half of the power.")
}

fn how_far_down(reference: f64, reading: f64) -> Number {
    let (reference, reading) = (Volts::new(reference), Volts::new(reading));
    let down = reading.down_from(reference);
    let ratio = reference.over(reading);
    Number {
        form: Form::DownOfVolts,
        ask: format!(
            "The reference is {}, the meter reads {}. How many dB down is that?",
            bench::volts(reference),
            bench::volts(reading)
        ),
        given: vec![("reference_v", reference.volts()), ("reading_v", reading.volts())],
        value: down.db(),
        quantity: Quantity::Level,
        working: vec![
            format!("{} / {} = {}", bench::volts(reference), bench::volts(reading), show::figures(ratio)),
            format!(
                "20 x log {} = 20 x {} = {} dB",
                show::figures(ratio),
                bench::share(ratio.log10()),
                show::figures(down.db())
            ),
            format!("in the head: each halving of the volts is about 6 dB, so {:.0} dB", down.db()),
        ],
        mistakes: vec![
            (down.db() / 2.0, "That is 10 log, which is for power. The meter shows volts: 20 log.".to_owned()),
            (
                reference.volts() - reading.volts(),
                "That is the difference in volts. Decibels come from the ratio of the two.".to_owned(),
            ),
            (ratio, "That is the ratio itself. The decibels are 20 x its log.".to_owned()),
            (
                20.0 * ratio.ln(),
                "That is the key ln, the other logarithm. The decibel goes with the key log, that of 10.".to_owned(),
            ),
        ],
    }
}
