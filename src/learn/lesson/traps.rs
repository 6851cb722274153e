//! The traps: where 0.707 of the reference sets another corner.

use super::Step;
use super::bench::{self, CORNER, REFERENCE};
use super::page::Page;
use super::questions::Number;
use crate::corner::percent_per_percent;
use crate::filter::{Alignment, Family};
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
        Step { shown: another_family, exercise: gentle_linkwitz_riley().exercise() },
        Step { shown: stays_in, exercise: true_reference().exercise() },
        Step { shown: off_the_corner, exercise: what_it_sets().exercise() },
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
            "The Linkwitz-Riley corners are much too low, and the cone is not held. Where nobody knows the family, \
             two or three readings at other tones tell it.",
        )
        .done()
}

fn gentle_linkwitz_riley() -> Number {
    let reference = Volts::new(6.4);
    let filter = bench::filter(Family::LinkwitzRiley, 12);
    let share = bench::left(filter, CORNER, CORNER);
    let value = reference.times(share);
    Number {
        form: Form::TargetAtCorner,
        ask: format!(
            "A {filter} filter is to stand at {}, the tone is {}, the reference {}. To how many volts do you turn?",
            show::hertz(CORNER),
            show::hertz(CORNER),
            bench::volts(reference)
        ),
        given: vec![("reference_v", reference.volts()), ("corner_hz", CORNER.hz()), ("tone_hz", CORNER.hz())],
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
                    set_by_thumb(filter, CORNER, REFERENCE)
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

fn true_reference() -> Number {
    let share: f64 = 0.914;
    let read = Volts::new(6.58);
    let value = read.volts() / share;
    Number {
        form: Form::TrueReference,
        ask: format!(
            "A filter stays in. At its lowest mark it leaves {share} of the tone, and the meter reads {}. What is the \
             true reference?",
            bench::volts(read)
        ),
        given: vec![("reading_v", read.volts()), ("share_at_mark", share)],
        value,
        quantity: Quantity::Voltage,
        working: vec![
            format!("reading = true reference x {share}"),
            format!("true reference = {} / {share} = {}", bench::volts(read), bench::volts(Volts::new(value))),
        ],
        mistakes: vec![
            (read.volts(), "That is the reading as it stands, with the filter still in it.".to_owned()),
            (read.volts() * share, "That takes it off once more. Divide, so that it is put back.".to_owned()),
            (
                read.volts() / (share * share),
                "That divides twice. 0.914 is a share of the volts already: divide once.".to_owned(),
            ),
            (
                read.volts() / RULE_OF_THUMB,
                "That is 0.707, the filter at its corner. At the mark it leaves 0.914.".to_owned(),
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
             {} it is {:.1} %. So stay at the corner or a little below.",
            show::hertz(CORNER.times(2.0)),
            percent_per_percent(filter, CORNER.times(2.0), CORNER).percent(),
            show::hertz(CORNER),
            percent_per_percent(filter, CORNER, CORNER).percent(),
        ))
        .remember("0.707 holds for a Butterworth that was out, at a tone that is the corner. Else work it out.")
}

fn what_it_sets() -> Number {
    let tone = AT_HAND;
    let filter = bench::butterworth(24);
    let reference = Volts::new(7.6);
    let value = reference.times(bench::left(filter, tone, CORNER));
    Number {
        form: Form::VoltsAtTone,
        ask: format!(
            "Wanted: {} on a {filter} filter. The tone is {}, where that corner leaves {}. The reference is {}. To \
             how many volts do you turn?",
            show::hertz(CORNER),
            show::tone(tone),
            bench::share(bench::left(filter, tone, CORNER)),
            bench::volts(reference)
        ),
        given: vec![
            ("reference_v", reference.volts()),
            ("corner_hz", CORNER.hz()),
            ("tone_hz", tone.hz()),
            ("slope_db_per_octave", 24.0),
        ],
        value: value.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!(
                "share = 1 / root of (1 + ({} / {})^8) = {}",
                CORNER.hz(),
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
                reference.times(bench::left(filter, CORNER, tone)).volts(),
                "The ratio is upside down: tone over corner. It is corner over tone.".to_owned(),
            ),
            (
                reference.times(bench::left(filter, tone, CORNER).powi(2)).volts(),
                "That is the share of the power. A meter shows volts.".to_owned(),
            ),
            (
                reference.times(bench::left(filter, tone, bench::TUNING)).volts(),
                "That is with the tuning in place of the corner.".to_owned(),
            ),
        ],
    }
}
