//! The traps: where 0.707 of the reference sets another corner.

use super::Step;
use super::bench::{self, CORNER, REFERENCE};
use super::page::Page;
use super::questions::Number;
use crate::corner::percent_per_percent;
use crate::filter::{Alignment, Family, Rule};
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Hertz, Volts, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "name three benches where 0.707 sets a wrong corner";

/// The rule of thumb: half of the power.
const RULE_OF_THUMB: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// The mark of a filter that stays in.
const MARK: Hertz = Hertz::new(18.0);
/// A tone that is at hand: the corner is not on the disc.
const AT_HAND: Hertz = Hertz::new(31.5);

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step {
            shown: another_family,
            exercise: linkwitz_riley(12, 6.4, 27.0).exercise(),
            again: linkwitz_riley(24, 8.6, 32.0).exercise(),
        },
        Step {
            shown: stays_in,
            exercise: true_reference(bench::butterworth(12), MARK, CORNER, 6.58).exercise(),
            again: true_reference(bench::filter(Family::LinkwitzRiley, 24), Hertz::new(16.0), Hertz::new(24.0), 6.1)
                .exercise(),
        },
        Step {
            shown: off_the_corner,
            exercise: what_to_turn_to(CORNER, AT_HAND, 7.6).exercise(),
            again: what_to_turn_to(Hertz::new(24.0), Hertz::new(20.0), 6.8).exercise(),
        },
    ]
}

/// Where a filter stands once the tone was brought to the rule of thumb's share of this reference; the true one is 8 V.
fn set_by_thumb(filter: Alignment, tone: Hertz, reference: Volts) -> String {
    let corners = filter.corners_from_volts(tone, reference.times(RULE_OF_THUMB), REFERENCE);
    corners.single().map_or_else(|| "none".to_owned(), show::hertz)
}

/// What the meter reads with the filter at its mark and not out.
fn read_at_mark(filter: Alignment) -> Volts {
    REFERENCE.times(bench::left(filter, CORNER, MARK))
}

fn another_family(screen: Screen) -> Vec<Line> {
    let filters = [
        (Family::Butterworth, 12),
        (Family::Butterworth, 24),
        (Family::Bessel, 24),
        (Family::LinkwitzRiley, 24),
        (Family::LinkwitzRiley, 12),
    ];
    Page::first(screen, PROMISE, "Trap 1: another family")
        .says(&format!(
            "The rule of thumb: play the corner's tone and turn until the meter shows 0.707 of the reference. It \
             holds for filters that are 3.01 dB down at their corner. What it really sets where {} is wanted and \
             played:",
            show::hertz(CORNER),
        ))
        .table(
            [bench::FILTERS, "0.707 sets", "right is", &format!("of {}", bench::volts(REFERENCE))],
            filters.map(|(family, slope)| {
                let filter = bench::filter(family, slope);
                let share = bench::left(filter, CORNER, CORNER);
                [
                    bench::named(filter),
                    set_by_thumb(filter, CORNER, REFERENCE),
                    bench::share(share),
                    bench::volts(REFERENCE.times(share)),
                ]
            }),
        )
        .says(
            "The Linkwitz-Riley corners are much too low, at 0.80 (24 dB/octave) and 0.64 (12 dB/octave) of what is \
             wanted, and the cone is not held. Where nobody knows the family, two or three readings at other tones \
             tell it.",
        )
        .done()
}

fn linkwitz_riley(slope: u32, reference: f64, corner: f64) -> Number {
    let (reference, corner) = (Volts::new(reference), Hertz::new(corner));
    let filter = bench::filter(Family::LinkwitzRiley, slope);
    let share = bench::left(filter, corner, corner);
    let by_thumb = filter.corners_from_volts(corner, reference.times(RULE_OF_THUMB), reference).single();
    let value = reference.times(share);
    Number {
        form: Form::TargetAtCorner,
        ask: format!(
            "A {filter} filter is to stand at {}, the tone is {}, the reference {}. To how many volts do you turn?",
            show::hertz(corner),
            show::hertz(corner),
            bench::volts(reference)
        ),
        given: bench::given(reference, corner, corner, filter),
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("at its corner a Linkwitz-Riley leaves {}", bench::share(share)),
            format!("{} x {} = {}", bench::volts(reference), bench::share(share), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(RULE_OF_THUMB).volts(),
                format!(
                    "That is 0.707, right for a Butterworth. It leaves this corner at {}.",
                    by_thumb.map_or_else(|| "none".to_owned(), show::hertz)
                ),
            ),
            (
                reference.times(share * share).volts(),
                "That is a quarter: half was taken twice. 6 dB is half of the volts.".to_owned(),
            ),
            (reference.volts() / share, "The ratio is upside down: a filter leaves fewer volts, not more.".to_owned()),
        ],
    }
}

fn stays_in(screen: Screen) -> Vec<Line> {
    let filters = [
        (Family::Butterworth, 24),
        (Family::Butterworth, 12),
        (Family::LinkwitzRiley, 24),
        (Family::LinkwitzRiley, 12),
    ];
    Page::new(screen, "Trap 2: a filter that stays in")
        .says(&format!(
            "A filter without a switch is turned to its lowest mark, here {}, while the reference is read. But there \
             it takes something off {} already, and the reference reads low. The true one is {}:",
            show::hertz(MARK),
            show::hertz(CORNER),
            bench::volts(REFERENCE),
        ))
        .table(
            [bench::FILTERS, "leaves", "meter reads", "0.707 of that sets"],
            filters.map(|(family, slope)| {
                let filter = bench::filter(family, slope);
                let read = read_at_mark(filter);
                [
                    bench::named(filter),
                    bench::share(read.over(REFERENCE)),
                    bench::volts(read),
                    set_by_thumb(filter, CORNER, read),
                ]
            }),
        )
        .says(
            "The true reference is the reading divided by what the filter leaves at its mark. Mind the family too: on \
             a Linkwitz-Riley the two errors partly cancel, and to correct the reference alone makes it worse.",
        )
        .done()
}

fn true_reference(filter: Alignment, mark: Hertz, tone: Hertz, read: f64) -> Number {
    let left = bench::left(filter, tone, mark);
    let (read, told) = (Volts::new(read), bench::share(left));
    let value = read.volts() / left;
    Number {
        form: Form::TrueReference,
        ask: format!(
            "A {filter} filter stays in. At its lowest mark, {}, it leaves {told} of {}, and the meter reads {}. What is \
             the true reference?",
            show::hertz(mark),
            show::hertz(tone),
            bench::volts(read)
        ),
        given: vec![
            ("reading_v", read.volts()),
            ("mark_hz", mark.hz()),
            ("tone_hz", tone.hz()),
            ("slope_db_per_octave", f64::from(filter.slope().db_per_octave())),
            (if filter.family() == Family::LinkwitzRiley { "linkwitz_riley" } else { "butterworth" }, 1.0),
        ],
        value,
        quantity: Quantity::Voltage,
        working: vec![
            format!("reading = true reference x {told}"),
            format!("true reference = {} / {told} = {}", bench::volts(read), bench::volts(Volts::new(value))),
        ],
        mistakes: vec![
            (read.volts(), "That is the reading as it stands, with the filter still in it.".to_owned()),
            (read.volts() * left, "That takes it off once more. Divide, so that it is put back.".to_owned()),
            (
                read.volts() / (left * left),
                format!("That divides twice. {told} is a share of the volts already: divide once."),
            ),
            (
                read.volts() / RULE_OF_THUMB,
                format!("That is 0.707, a Butterworth at its corner. At the mark this one leaves {told}."),
            ),
        ],
    }
}

fn off_the_corner(screen: Screen) -> Vec<Line> {
    let tones = [Hertz::new(20.0), Hertz::new(25.0), CORNER, Hertz::new(28.0), AT_HAND];
    let filter = bench::butterworth(24);
    Page::new(screen, "Trap 3: a tone off the corner")
        .says(&format!(
            "{} is wanted, but the tones at hand are others. Whoever turns to 0.707 sets the corner to the tone. The \
             right volts follow from the tone that is played ({filter}, {}):",
            show::hertz(CORNER),
            bench::volts(REFERENCE),
        ))
        .table(
            ["tone", "0.707 sets", "right is", "in volts"],
            tones.map(|tone| {
                let share = bench::left(filter, tone, CORNER);
                [
                    show::tone(tone),
                    set_by_thumb(filter, tone, REFERENCE),
                    bench::share(share),
                    bench::volts(REFERENCE.times(share)),
                ]
            }),
        )
        .says(&format!(
            "A tone far above the corner says little: at {} an error of 1 % in the volts is {:.0} % of the corner, at \
             {} it is {:.1} %. So stay at the corner or a little below. From a share back to a Butterworth's corner: \
             tone x (1 / share^2 - 1)^(1 / p).",
            show::hertz(CORNER.times(2.0)),
            percent_per_percent(filter, CORNER.times(2.0), CORNER).percent(),
            show::hertz(CORNER),
            percent_per_percent(filter, CORNER, CORNER).percent(),
        ))
        .remember("0.707 holds for a Butterworth that was out, at a tone that is the corner. Else work it out.")
}

fn what_to_turn_to(corner: Hertz, tone: Hertz, reference: f64) -> Number {
    let filter = bench::butterworth(24);
    let reference = Volts::new(reference);
    let value = reference.times(bench::left(filter, tone, corner));
    Number {
        form: Form::VoltsAtTone,
        ask: format!(
            "Wanted: {} on a {filter} filter. The tone is {}, where that corner leaves {}. The reference is {}. To \
             how many volts do you turn?",
            show::hertz(corner),
            show::tone(tone),
            bench::share(bench::left(filter, tone, corner)),
            bench::volts(reference)
        ),
        given: bench::given(reference, corner, tone, filter),
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!(
                "share = 1 / root of (1 + ({} / {})^8) = {}",
                corner.hz(),
                tone.hz(),
                bench::share(value.over(reference))
            ),
            format!("{} x {} = {}", bench::volts(reference), bench::share(value.over(reference)), bench::volts(value)),
        ],
        mistakes: vec![
            (
                reference.times(RULE_OF_THUMB).volts(),
                format!(
                    "That is 0.707, right at the corner's own tone. At {} it sets {}.",
                    show::tone(tone),
                    show::hertz(tone)
                ),
            ),
            (
                reference.times(bench::left(filter, corner, tone)).volts(),
                "The ratio is upside down: tone over corner. It is corner over tone.".to_owned(),
            ),
            (
                reference.times(bench::left(filter, tone, corner).powi(2)).volts(),
                "That is the share of the power. A meter shows volts.".to_owned(),
            ),
            (
                reference.times(bench::left(filter, tone, corner.times(1.0 / Rule::ThreeQuarters.factor()))).volts(),
                "That is with the tuning, a third above it, in place of the corner.".to_owned(),
            ),
        ],
    }
}
