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
        Step { shown: a_share, exercise: two_filters().exercise() },
        Step { shown: side_by_side, exercise: power_left().exercise() },
        Step { shown: why, exercise: three_down().exercise() },
        Step { shown: back, exercise: how_far_down().exercise() },
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

fn two_filters() -> Number {
    let (first, second) = (Decibels::new(6.0), Decibels::new(3.0));
    let [one, other] = [first, second].map(Decibels::down_ratio);
    let both = Decibels::new(first.db() + second.db());
    Number {
        form: Form::RatioOfDown,
        ask: "One filter takes 6 dB off a tone, a second one 3 dB more. Which share of the volts is left?".to_owned(),
        given: vec![("first_db", first.db()), ("second_db", second.db())],
        value: both.down_ratio(),
        quantity: Quantity::Plain,
        working: vec![
            format!("decibels add: {:.0} dB + {:.0} dB = {:.0} dB down", first.db(), second.db(), both.db()),
            format!(
                "shares multiply: {} x {} = {}",
                bench::share(one),
                bench::share(other),
                bench::share(both.down_ratio())
            ),
        ],
        mistakes: vec![
            (
                one,
                "That is the first filter alone: the second one takes its share of what the first has left.".to_owned(),
            ),
            (
                both.down_ratio() * both.down_ratio(),
                "That is 10 log: the share of the power. A meter shows volts, and for volts it is 20.".to_owned(),
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
        .gap()
        .drawing(drawings::ladder(&levels, screen.width(), screen.is_plain()))
        .gap()
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

fn power_left() -> Number {
    let share: f64 = 0.8;
    Number {
        form: Form::PowerOfVoltsShare,
        ask: format!("A filter leaves {share} of the volts. Which share of the power does it leave?"),
        given: vec![("share_of_volts", share)],
        value: share * share,
        quantity: Quantity::Plain,
        working: vec![
            "power goes with volts x volts".to_owned(),
            format!("{share} x {share} = {}", show::figures(share * share)),
        ],
        mistakes: vec![
            (share, "That is the share of the volts. For the power it is multiplied by itself.".to_owned()),
            (
                share / 2.0,
                "That is half of it. Power is not half of the volts, it is the volts times themselves.".to_owned(),
            ),
            (share.sqrt(), "That is the root. From volts to power the share is multiplied by itself.".to_owned()),
            (
                share * 2.0 - 1.0,
                "That takes the missing part off twice, which is near but not it: multiply.".to_owned(),
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
            "On a calculator: divide by 20, put a minus before it, press 10^x. For 3 dB that is 10^x of -0.15. What \
             people take `3 dB down` for, and what it really is:",
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

fn three_down() -> Number {
    let reference = Volts::new(6.5);
    let share = THREE.down_ratio();
    let value = reference.times(share);
    Number {
        form: Form::VoltsOfDown,
        ask: format!(
            "With the filter out the meter reads {}, the reference. What does it read when the tone is 3 dB down?",
            bench::volts(reference)
        ),
        given: vec![("reference_v", reference.volts()), ("down_db", THREE.db())],
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("share = 10^(-3 / 20) = {}", bench::share(share)),
            format!("{} x {} = {}", bench::volts(reference), bench::share(share), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(share * share).volts(),
                "That is 10 log: half of the volts, as if the meter showed power. For volts divide by 20.".to_owned(),
            ),
            (
                reference.volts() / share,
                "The ratio is upside down: that is more than the reference, and down means fewer volts.".to_owned(),
            ),
            (reference.times(0.997).volts(), "That takes 3 dB for 3 thousandths. It is a share of 0.708.".to_owned()),
            (reference.times(0.97).volts(), "That takes 3 dB for 3 %. It is a share of 0.708.".to_owned()),
            (reference.volts() - THREE.db(), "That takes 3 dB for 3 V. Decibels are a share, not volts.".to_owned()),
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

fn how_far_down() -> Number {
    let (reference, reading) = (Volts::new(7.2), Volts::new(1.8));
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
            format!("in the head: {} is 2 x 2, and twice 6 dB is 12 dB", show::figures(ratio)),
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
