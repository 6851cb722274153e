//! Octaves and half octaves: x 0.75 against x 0.7071.

use super::Step;
use super::bench::{self, CORNER, TUNING};
use super::drawings::{self, Mark};
use super::page::Page;
use super::questions::Number;
use crate::filter::Rule;
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Hertz, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "find the corner that a rule gives for a tuning";

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: an_octave, exercise: octave_below(34.0).exercise(), again: octave_below(46.0).exercise() },
        Step {
            shown: half_of_it,
            exercise: half_octave_below(34.0).exercise(),
            again: half_octave_below(42.0).exercise(),
        },
        Step { shown: three_rules, exercise: trade_corner(38.0).exercise(), again: trade_corner(44.0).exercise() },
    ]
}

/// How many octaves one frequency is below another.
fn octaves_below(at: Hertz, other: Hertz) -> f64 {
    (other.hz() / at.hz()).log2()
}

fn an_octave(screen: Screen) -> Vec<Line> {
    let [down_two, down, up] = [0.25, 0.5, 2.0].map(|factor| TUNING.times(factor));
    let mark = |at: Hertz, label: &str| Mark { at, label: label.to_owned(), ends_here: false };
    let last = Mark { at: up, label: "x 2".to_owned(), ends_here: true };
    let marks = [mark(down_two, "x 0.25"), mark(down, "x 0.5"), mark(TUNING, "tuning"), last];
    Page::first(screen, PROMISE, "An octave is a share too")
        .says(&format!(
            "An octave up is twice the frequency, an octave down is half of it. Filters and ears count in octaves: \
             from {} up to {}, the tuning of the box in these lessons, is as far as from there up to {}. On a ruler \
             made for them every octave has the same length.",
            show::hertz(down),
            show::hertz(TUNING),
            show::hertz(up),
        ))
        .gap()
        .drawing(drawings::ruler(&marks, screen.width(), screen.is_plain()))
        .gap()
        .says(&format!(
            "So an octave is no fixed number of hertz. The one below {} is {} wide, the one below {} is {} wide. Why it \
             matters: a filter's corner, the frequency at which it begins to take hold, is put so many octaves below \
             the tuning of the box, the tone that its port is made for.",
            show::hertz(up),
            show::hertz(TUNING),
            show::hertz(TUNING),
            show::hertz(down),
        ))
        .done()
}

fn octave_below(from: f64) -> Number {
    let from = Hertz::new(from);
    let value = Rule::Octave.corner(from);
    Number {
        form: Form::CornerOctave,
        ask: format!("Which frequency is one octave below {}?", show::hertz(from)),
        given: vec![("tuning_hz", from.hz())],
        value: value.hz(),
        quantity: Quantity::Frequency,
        working: vec![format!("{} x 0.5 = {}", show::hertz(from), show::hertz(value))],
        mistakes: vec![
            (from.hz() * 2.0, "That is an octave up. Down is half of the frequency.".to_owned()),
            (from.hz() / 4.0, "That is two octaves down: it was halved twice.".to_owned()),
            (Rule::HalfOctave.corner(from).hz(), "That is half an octave down. A whole one is x 0.5.".to_owned()),
            (
                Rule::ThreeQuarters.corner(from).hz(),
                "That is x 0.75, less than half an octave. A whole one is x 0.5.".to_owned(),
            ),
        ],
    }
}

fn half_of_it(screen: Screen) -> Vec<Line> {
    let [half, octave] = [Rule::HalfOctave, Rule::Octave].map(|rule| rule.corner(TUNING));
    let mark = |at: Hertz, label: &str, ends_here: bool| Mark { at, label: label.to_owned(), ends_here };
    let marks = [
        mark(octave, "x 0.5", false),
        mark(half, "x 0.7071", true),
        mark(CORNER, "x 0.75", false),
        mark(TUNING, "tuning", true),
    ];
    let factor = Rule::HalfOctave.factor();
    Page::new(screen, "Half an octave, and half of the hertz")
        .says(&format!(
            "Half an octave taken twice is an octave. So its factor times itself must be 0.5: {factor:.4} x \
             {factor:.4} = {:.4}. It is the number that halves the power, and it is the middle of the ruler. The \
             middle in hertz is another place: ({} + {}) / 2 = {}, which is {} x {}.",
            factor * factor,
            show::figures(octave.hz()),
            show::figures(TUNING.hz()),
            show::hertz(Hertz::new((octave.hz() + TUNING.hz()) / 2.0)),
            show::hertz(TUNING),
            Rule::ThreeQuarters.factor(),
        ))
        .gap()
        .drawing(drawings::ruler(&marks, screen.width(), screen.is_plain()))
        .gap()
        .says(&format!(
            "The trade calls x 0.75 half an octave. It is {} of one, and its corner stands {} too high for half of \
             one. On a calculator: octaves are the log of the ratio divided by the log of 2.",
            bench::share(octaves_below(CORNER, TUNING)),
            show::hertz(Hertz::new(CORNER.hz() - half.hz())),
        ))
        .done()
}

fn half_octave_below(from: f64) -> Number {
    let from = Hertz::new(from);
    let value = Rule::HalfOctave.corner(from);
    Number {
        form: Form::CornerHalfOctave,
        ask: format!("Which frequency is a true half octave below {}?", show::hertz(from)),
        given: vec![("tuning_hz", from.hz())],
        value: value.hz(),
        quantity: Quantity::Frequency,
        working: vec![
            format!("a half octave down is x {:.4}", Rule::HalfOctave.factor()),
            format!("{} x {:.4} = {}", show::hertz(from), Rule::HalfOctave.factor(), show::hertz(value)),
        ],
        mistakes: vec![
            (
                Rule::ThreeQuarters.corner(from).hz(),
                "That is the trade's x 0.75, which is less than half an octave. The true one is x 0.7071.".to_owned(),
            ),
            (Rule::Octave.corner(from).hz(), "That is a whole octave down.".to_owned()),
            (
                from.hz() / Rule::HalfOctave.factor(),
                "That is half an octave up: divided instead of multiplied.".to_owned(),
            ),
        ],
    }
}

fn three_rules(screen: Screen) -> Vec<Line> {
    let filter = bench::butterworth(24);
    Page::new(screen, "Three rules for a corner")
        .says(&format!(
            "The corner goes below the tuning: the box is to play its tuning, and what lies below is to be stopped. For \
             {} and a common filter ({filter}; the next lesson says what that is):",
            show::hertz(TUNING),
        ))
        .table(
            ["rule", "factor", "corner", "octaves", "loss at tuning"],
            Rule::ALL.map(|rule| {
                let corner = rule.corner(TUNING);
                [
                    rule.word().to_owned(),
                    format!("{:.4}", rule.factor()),
                    show::hertz(corner),
                    bench::share(octaves_below(corner, TUNING)),
                    show::decibels(filter.response(TUNING, corner).down()),
                ]
            }),
        )
        .says(
            "A corner nearer to the tuning holds the cone better and takes more off the lowest notes. What a cone \
             needs depends on loudspeaker, box and power; a rule knows only the tuning.",
        )
        .remember("an octave down is x 0.5, a true half octave x 0.7071; the trade's rule is tuning x 0.75.")
}

fn trade_corner(from: f64) -> Number {
    let from = Hertz::new(from);
    let value = Rule::ThreeQuarters.corner(from);
    Number {
        form: Form::CornerThreeQuarters,
        ask: format!("A box is tuned to {}. Where does the three-quarters rule put the corner?", show::hertz(from)),
        given: vec![("tuning_hz", from.hz())],
        value: value.hz(),
        quantity: Quantity::Frequency,
        working: vec![format!("{} x {} = {}", show::hertz(from), Rule::ThreeQuarters.factor(), show::hertz(value))],
        mistakes: vec![
            (from.hz(), "That is the tuning itself. The corner goes below it.".to_owned()),
            (
                Rule::HalfOctave.corner(from).hz(),
                "That is the true half octave, x 0.7071. This rule is x 0.75.".to_owned(),
            ),
            (Rule::Octave.corner(from).hz(), "That is a whole octave below, x 0.5. This rule is x 0.75.".to_owned()),
            (
                from.hz() / Rule::ThreeQuarters.factor(),
                "The factor is upside down: that is above the tuning.".to_owned(),
            ),
        ],
    }
}
