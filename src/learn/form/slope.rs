//! Slope, order and family, and what is left at a tone.

use super::draft::Draft;
use super::numbers::{between, corner, db_per_octave, decimal, filter, reference, response, volts};
use crate::chance::Chance;
use crate::filter::{Alignment, Family, Slope};
use crate::learn::article::with_article;
use crate::learn::exercise::Figures;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Hertz, Volts};

pub(super) fn order_of_slope(_: Figures, chance: &mut Chance) -> Draft {
    let slope = *chance.one_of(&Slope::ALL);
    let (db, order) = (f64::from(slope.db_per_octave()), f64::from(slope.order()));
    let ask = format!("A filter falls by {db} dB/octave. Which order is it?");
    let draft = Draft::number(ask, &[("slope_db_per_octave", db)], order, Quantity::Count, Figures::Two)
        .working(format!("order = slope / 6 dB/octave = {db} / 6 = {order}"))
        .mistake(db / 3.0, "That counts 3 dB for each order: it is 6 dB an octave.")
        .mistake(db, "That is the slope: the order is how many times 6 dB/octave it is.");
    if slope.order().is_multiple_of(2) {
        draft.mistake(db / 12.0, "That counts sections of second order: each of them has two of 6 dB/octave.")
    } else {
        draft
    }
}

pub(super) fn slope_of_order(_: Figures, chance: &mut Chance) -> Draft {
    let slope = *chance.one_of(&Slope::ALL);
    let (db, order) = (f64::from(slope.db_per_octave()), f64::from(slope.order()));
    let ask = format!("How many dB an octave does a filter of order {order} fall by, far below its corner?");
    Draft::number(ask, &[("order", order)], db, Quantity::Count, Figures::Two)
        .working(format!("slope = order x 6 dB/octave = {order} x 6 = {db} dB/octave"))
        .mistake(20.0 * order, "That is the slope counted per decade: an octave has 6 dB for each order.")
        .mistake(3.0 * order, "That counts 3 dB for each order: it is 6 dB an octave.")
        .mistake(12.0 * order, "That counts 12 dB for each order: it is 6 dB an octave.")
}

pub(super) fn down_by_thumb(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 3] = [1.0, 2.0, 3.0];
    const OCTAVES: [f64; 5] = [1.25, 1.5, 1.75, 2.25, 2.5];
    let slope = f64::from(Slope::ALL[chance.below(4)].db_per_octave());
    let octaves = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => *chance.one_of(&OCTAVES),
    };
    let down = slope * octaves;
    let noun = if octaves == 1.0 { "octave" } else { "octaves" };
    let filter = with_article(&format!("{slope} dB/octave Butterworth"));
    let ask = format!(
        "{filter}: a tone lies {octaves} {noun} below its corner. How many dB down is it by the rule of thumb, slope times \
         octaves?"
    );
    Draft::number(ask, &[("slope_db_per_octave", slope), ("octaves", octaves)], down, Quantity::Level, figures)
        .working(format!("dB down = slope x octaves = {slope} x {octaves} = {down} dB"))
        .mistake(slope * octaves * 2f64.log10(), "That is the slope counted per decade: it is told per octave.")
        .mistake(slope / 6.0 * octaves, "That is the order times octaves: each order has 6 dB.")
        .mistake(slope * octaves.exp2(), "That takes octaves as a factor: the slope counts each octave once.")
        .mistake(down + 3.0, "That adds the 3 dB of the corner: far below it a Butterworth follows the slope alone.")
}

pub(super) fn butterworth_down(figures: Figures, chance: &mut Chance) -> Draft {
    let corner = corner(figures, chance);
    let (tone, filter) = match figures {
        Figures::Two => (corner / 2.0, filter(Family::Butterworth, 6, 24, chance)),
        Figures::Three => (between(chance, 0.5 * corner, 1.05 * corner, 1), filter(Family::Butterworth, 6, 36, chance)),
    };
    let (slope, order) = (db_per_octave(filter), filter.slope().order());
    let x = corner / tone;
    let down = filter.response(Hertz::new(tone), Hertz::new(corner)).down().db();
    let ask = format!(
        "{} has its corner at {corner} Hz. How many dB down is a tone of {tone} Hz?",
        with_article(&format!("{slope} dB/octave Butterworth"))
    );
    let over = x.powi(2 * order as i32);
    let given = [("corner_hz", corner), ("tone_hz", tone), ("slope_db_per_octave", slope)];
    Draft::number(ask, &given, down, Quantity::Level, figures)
        .working(format!("reference / reading = root of (1 + (corner / tone)^p), p = slope / 3 = {}", 2 * order))
        .working(format!("root of (1 + ({corner} / {tone})^{}) = {:.5}", 2 * order, (1.0 + over).sqrt()))
        .working(format!("dB down = 20 log {:.5} = {down:.4} dB", (1.0 + over).sqrt()))
        .mistake(
            filter.response(Hertz::new(corner), Hertz::new(tone)).down().db(),
            "That is the ratio upside down: below the corner, corner over tone is above one.",
        )
        .mistake(2.0 * down, "The root is left out: that is 20 log of the power.")
        .mistake(
            10.0 * (1.0 + x.powi(order as i32)).log10(),
            "That is half of p: it is a third of the slope, 8 for 24 dB/octave.",
        )
        .mistake(slope * x.log2(), "That is the rule of thumb: it holds far below the corner only.")
}

/// The families that have a level of their own at the corner.
pub(super) const AT_CORNER: [Family; 3] = [Family::Butterworth, Family::LinkwitzRiley, Family::Bessel];

/// The family as a number by its name, so that it can be worked out elsewhere.
pub(super) const fn flag(family: Family) -> (&'static str, f64) {
    match family {
        Family::LinkwitzRiley => ("linkwitz_riley", 1.0),
        Family::Bessel => ("bessel", 1.0),
        Family::Butterworth | Family::SecondOrder => ("butterworth", 1.0),
    }
}

pub(super) fn down_at_corner(figures: Figures, chance: &mut Chance) -> Draft {
    let family = *chance.one_of(&AT_CORNER);
    let filter = filter(family, 12, 48, chance);
    let slope = db_per_octave(filter);
    let at = Hertz::new(corner(figures, chance));
    let down = |filter: Alignment| filter.response(at, at).down().db();
    let ask = format!(
        "{} is played a tone at its corner. How many dB down is it?",
        with_article(&format!("{slope} dB/octave {family}"))
    );
    let draft =
        Draft::number(ask, &[("slope_db_per_octave", slope), flag(family)], down(filter), Quantity::Level, figures);
    let other = |linkwitz_riley: bool| {
        let family = if linkwitz_riley { Family::LinkwitzRiley } else { Family::Butterworth };
        Alignment::new(family, Slope::USUAL).unwrap_or(filter)
    };
    let draft = if family == Family::LinkwitzRiley {
        draft
            .working("Linkwitz-Riley is two equal Butterworths in a row: 0.7071 x 0.7071 = 1 / 2 of the volts")
            .working(format!("dB down = 20 log 2 = {:.4} dB", down(filter)))
            .mistake(down(other(false)), "That is a Butterworth: a Linkwitz-Riley is two of them in a row.")
    } else {
        draft
            .working(format!("{family}: 1 / root of 2 of the volts at the corner, whatever the slope"))
            .working(format!("dB down = 20 log(root of 2) = {:.4} dB", down(filter)))
            .mistake(down(other(true)), format!("That is a Linkwitz-Riley: a {family} leaves half the power."))
    };
    draft.mistake(slope, "That is the slope: it is counted from octave to octave, far below the corner.")
}

pub(super) fn volts_of_q(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 4] = [0.5, 0.8, 1.5, 2.0];
    let reference = reference(figures, chance);
    let q = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => decimal(between(chance, 0.55, 1.85, 2), 2),
    };
    let at = Hertz::new(corner(figures, chance));
    let ratio = Alignment::second_order(q).response(at, at).ratio();
    let target = Volts::new(reference).times(ratio).volts();
    let ask = format!(
        "A filter of second order has a Q of {q}. The reference is {}. What does the meter show at the corner?",
        volts(reference)
    );
    Draft::number(ask, &[("reference_v", reference), ("q", q)], target, Quantity::Voltage, figures)
        .working("second order at its corner: share left = Q")
        .working(format!("volts = reference x Q = {reference} x {q} = {target:.4} V"))
        .mistake(
            reference * Alignment::usual(None).response(at, at).ratio(),
            "That is a Butterworth: at the corner of a second-order filter its Q is left.",
        )
        .mistake(reference / q, "That divides by Q: at the corner the volts are the reference times Q.")
        .mistake(reference, "The Q is left out: that is the reference.")
}

/// What a filter leaves of the volts, with its formula.
pub(super) fn left(filter: Alignment, corner: f64, tone: f64) -> (f64, String) {
    (filter.response(Hertz::new(tone), Hertz::new(corner)).ratio(), response(filter, corner, tone))
}
