//! A filter that stays in, a tone off the corner, a family that is another one.

use super::draft::Draft;
use super::numbers::{between, corner, db_per_octave, decimal, filter, reference, volts};
use super::slope::{flag, left};
use crate::chance::Chance;
use crate::corner::{Mark, Reading, Reference};
use crate::filter::{Alignment, Family, Slope};
use crate::learn::article::with_article;
use crate::learn::exercise::Figures;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Hertz, Volts};

/// The families whose formula can be worked out by hand.
const BY_HAND: [Family; 2] = [Family::Butterworth, Family::LinkwitzRiley];

/// A filter with its article: `An 18 dB/octave Butterworth`.
fn named(filter: Alignment) -> String {
    with_article(&format!("{} dB/octave {}", db_per_octave(filter), filter.family()))
}

/// The filter of the other family with this slope, where it exists.
fn other(filter: Alignment) -> Option<Alignment> {
    let family = if filter.family() == BY_HAND[0] { BY_HAND[1] } else { BY_HAND[0] };
    Alignment::new(family, filter.slope()).ok()
}

/// What is said where a filter was reckoned as one of the other family.
fn taken_for(other: Alignment, filter: Alignment) -> String {
    format!("That is the other family: it is no {}, it is a {}.", other.family(), filter.family())
}

/// By head a Linkwitz-Riley of 12 dB/octave, which needs no root; else one of those that are met.
fn hand_filter(figures: Figures, chance: &mut Chance) -> Alignment {
    match figures {
        Figures::Two => filter(Family::LinkwitzRiley, 12, 12, chance),
        Figures::Three => {
            let family = *chance.one_of(&BY_HAND);
            filter(family, 12, 36, chance)
        }
    }
}

pub(super) fn target_at_corner(figures: Figures, chance: &mut Chance) -> Draft {
    let reference = reference(figures, chance);
    let family = *chance.one_of(&BY_HAND);
    let filter = filter(family, 12, 48, chance);
    let at = Hertz::new(corner(figures, chance));
    let ratio = filter.response(at, at).ratio();
    let target = Volts::new(reference).times(ratio).volts();
    let slope = db_per_octave(filter);
    let ask = format!(
        "{} is set with a tone at the wanted corner. The reference is {}. Which voltage is the target?",
        named(filter),
        volts(reference)
    );
    let given = [("reference_v", reference), ("slope_db_per_octave", slope), flag(family)];
    let draft = Draft::number(ask, &given, target, Quantity::Voltage, figures)
        .working(format!("{family} at its corner: share left = {ratio:.4}"))
        .working(format!("target = reference x share = {reference} x {ratio:.4} = {target:.4} V"));
    let draft = if family == Family::LinkwitzRiley {
        draft.mistake(
            reference * Alignment::usual(None).response(at, at).ratio(),
            "That is the target of a Butterworth: a Linkwitz-Riley is 6.02 dB down at its corner.",
        )
    } else {
        draft.mistake(
            reference / 2.0,
            "That is half the reference, the target of a Linkwitz-Riley: a Butterworth is 3.01 dB down at its corner.",
        )
    };
    draft.mistake(reference / ratio, "That is the ratio upside down: the target is below the reference.").mistake(
        reference * Decibels::new(slope).down_ratio(),
        "That takes off the slope: it is counted from octave to octave, far below the corner.",
    )
}

pub(super) fn volts_at_tone(figures: Figures, chance: &mut Chance) -> Draft {
    let reference = reference(figures, chance);
    let corner = corner(figures, chance);
    let filter = hand_filter(figures, chance);
    let tone = match figures {
        Figures::Two => corner * chance.one_of(&[0.5, 1.5, 2.0]),
        Figures::Three if chance.below(3) > 0 => between(chance, 0.6 * corner, 0.92 * corner, 1),
        Figures::Three => between(chance, 1.08 * corner, 1.5 * corner, 1),
    };
    let (ratio, formula) = left(filter, corner, tone);
    let target = reference * ratio;
    let (slope, family) = (db_per_octave(filter), filter.family());
    let ask = format!(
        "{} has its corner at {corner} Hz. The reference is {}. What does the meter show at {tone} Hz?",
        named(filter),
        volts(reference)
    );
    let given = [
        ("reference_v", reference),
        ("corner_hz", corner),
        ("tone_hz", tone),
        ("slope_db_per_octave", slope),
        flag(family),
    ];
    let draft = Draft::number(ask, &given, target, Quantity::Voltage, figures)
        .working(format!("share left = {formula} = {ratio:.5}"))
        .working(format!("volts = reference x share = {reference} x {ratio:.5} = {target:.4} V"))
        .mistake(
            reference * left(filter, corner, corner).0,
            "That is what is left at the corner: the tone is another one.",
        )
        .mistake(reference * left(filter, tone, corner).0, "That is the ratio upside down: corner over tone is raised.")
        .mistake(
            reference * (tone / corner).min(1.0),
            "That goes down with the frequency alone: the slope of the filter is left out.",
        );
    match other(filter) {
        Some(other) => draft.mistake(reference * left(other, corner, tone).0, taken_for(other, filter)),
        None => draft,
    }
}

pub(super) fn true_reference(figures: Figures, chance: &mut Chance) -> Draft {
    let tone = corner(figures, chance);
    let filter = hand_filter(figures, chance);
    let mark = match figures {
        Figures::Two => tone * chance.one_of(&[0.5, 0.75]),
        Figures::Three => between(chance, 0.6 * tone, 0.85 * tone, 1),
    };
    let reading = reference(figures, chance);
    let (ratio, formula) = left(filter, mark, tone);
    let print = Mark { at: Hertz::new(mark), uncertainty: Mark::USUAL_UNCERTAINTY };
    let at_mark = Reference { reading: Reading::steady(Volts::new(reading)), mark: Some(print) };
    let reference = at_mark.true_volts(filter, Hertz::new(tone)).volts();
    let (slope, family) = (db_per_octave(filter), filter.family());
    let ask = format!(
        "{} cannot be taken out. With its knob at the lowest mark, {mark} Hz, the meter shows {} at {tone} Hz. Which \
         reference would it show with the filter out?",
        named(filter),
        volts(reading)
    );
    let given =
        [("reading_v", reading), ("mark_hz", mark), ("tone_hz", tone), ("slope_db_per_octave", slope), flag(family)];
    Draft::number(ask, &given, reference, Quantity::Voltage, figures)
        .working(format!("share left at the mark = {formula} = {ratio:.5}"))
        .working(format!("true reference = reading / share = {reading} / {ratio:.5} = {reference:.4} V"))
        .mistake(reading, "That is the reading at the mark: the filter still takes something off there.")
        .mistake(reading * ratio, "That takes off once more what the filter took: it is divided by, not multiplied.")
        .mistake(
            reading / left(filter, tone, mark).0,
            "That is the ratio upside down: mark over tone is raised, and it is below one.",
        )
}

pub(super) fn corner_of_reading(figures: Figures, chance: &mut Chance) -> Draft {
    /// Readings over the reference from which 1/r - 1 is a square: corner over tone is 3, 2, 1/2 or 1/3.
    const KIND: [f64; 4] = [0.1, 0.2, 0.8, 0.9];
    let reference = reference(figures, chance);
    let tone = corner(figures, chance);
    let filter = hand_filter(figures, chance);
    let reading = match figures {
        Figures::Two => decimal(reference * chance.one_of(&KIND), 2),
        Figures::Three => between(chance, 0.25 * reference, 0.88 * reference, 2),
    };
    let ratio = Volts::new(reading).over(Volts::new(reference));
    let corners = filter.corners_from_volts(Hertz::new(tone), Volts::new(reading), Volts::new(reference));
    let stands = corners.single().map_or(tone, Hertz::hz);
    let (slope, family) = (db_per_octave(filter), filter.family());
    let order = filter.slope().order();
    let (formula, undoubled) = match family {
        Family::LinkwitzRiley => (
            match order {
                2 => format!("tone x root of (1 / {ratio:.4} - 1)"),
                _ => format!("tone x (1 / {ratio:.4} - 1)^(1 / {order})"),
            },
            tone * (ratio.powi(-2) - 1.0).powf(f64::from(order).recip()),
        ),
        _ => (
            format!("tone x (1 / {ratio:.4}^2 - 1)^(1 / {})", 2 * order),
            tone * (ratio.powi(-2) - 1.0).powf(f64::from(order).recip()),
        ),
    };
    let ask = format!(
        "{}, a tone of {tone} Hz, a reference of {}: the meter shows {}. Where does the corner stand?",
        named(filter),
        volts(reference),
        volts(reading)
    );
    let given = [
        ("reference_v", reference),
        ("reading_v", reading),
        ("tone_hz", tone),
        ("slope_db_per_octave", slope),
        flag(family),
    ];
    let draft = Draft::number(ask, &given, stands, Quantity::Frequency, figures)
        .working(format!("share = reading / reference = {reading} / {reference} = {ratio:.4}"))
        .working(format!("corner = {formula} = {stands:.3} Hz"))
        .mistake(tone, "That is the tone: the corner is there only where the level at the corner is read.")
        .mistake(tone * tone / stands, "That is the ratio upside down: fewer volts mean a higher corner.");
    let draft = match other(filter) {
        Some(other) => {
            let corners = other.corners_from_volts(Hertz::new(tone), Volts::new(reading), Volts::new(reference));
            draft.mistake(corners.single().map_or(tone, Hertz::hz), taken_for(other, filter))
        }
        None => draft,
    };
    match family {
        Family::LinkwitzRiley => draft.mistake(
            undoubled,
            "That is half a Linkwitz-Riley: 1 / share is not squared, for it is two filters in a row.",
        ),
        _ => draft.mistake(undoubled, "That is half of p: the root is a third of the slope, 8 for 24 dB/octave."),
    }
}

pub(super) fn other_family(figures: Figures, chance: &mut Chance) -> Draft {
    /// By head only what the lesson on traps says: what 0.707 sets on a Linkwitz-Riley of these slopes.
    const BY_HEAD: [u32; 2] = [12, 24];
    const SLOPES: [u32; 3] = [12, 24, 36];
    let tone = corner(figures, chance);
    let db = match figures {
        Figures::Two => chance.one_of(&BY_HEAD),
        Figures::Three => chance.one_of(&SLOPES),
    };
    let slope = Slope::new(*db).unwrap_or(Slope::USUAL);
    let turned = figures == Figures::Three && chance.below(2) == 1;
    let families = if turned { [BY_HAND[1], BY_HAND[0]] } else { BY_HAND };
    let [told, real] = families.map(|family| Alignment::new(family, slope).unwrap_or(Alignment::usual(Some(slope))));
    let down = told.response(Hertz::new(tone), Hertz::new(tone)).down();
    let ratio = down.down_ratio();
    let stands = real.corners_from_down(Hertz::new(tone), down).single().map_or(tone, Hertz::hz);
    let (db, order) = (db_per_octave(real), slope.order());
    let formula = match real.family() {
        Family::LinkwitzRiley => format!("(1 / {ratio:.4} - 1)^(1 / {order})"),
        _ => format!("(1 / {ratio:.4}^2 - 1)^(1 / {})", 2 * order),
    };
    let ask = format!(
        "{} filter was set at {tone} Hz as a {}: down to what that family leaves at its corner. It really is a {}. Where \
         does its corner stand?",
        with_article(&format!("{db} dB/octave")),
        told.family(),
        real.family()
    );
    let given = [("tone_hz", tone), ("slope_db_per_octave", db), flag(real.family())];
    Draft::number(ask, &given, stands, Quantity::Frequency, figures)
        .working(format!("share = {ratio:.4}, what a {} leaves at its corner", told.family()))
        .working(format!("corner = tone x {formula} = tone x {:.4} = {stands:.3} Hz", stands / tone))
        .mistake(tone, "That takes the family that was told for the one that it is.")
        .mistake(
            tone * tone / stands,
            "That is the wrong way round: a Linkwitz-Riley set as a Butterworth stands too low, the reverse too high.",
        )
}
