//! Tolerance window, guard band, verdict, and which way to turn.

use super::draft::Draft;
use super::numbers::{between, corner, db_per_octave, decimal, filter, reference, volts};
use crate::chance::Chance;
use crate::filter::Family;
use crate::learn::article::with_article;
use crate::learn::exercise::Figures;
use crate::meter::{Verdict, Window};
use crate::quantity::ranges::Quantity;
use crate::quantity::{Hertz, Percent, Volts};

pub(super) fn window_end(figures: Figures, chance: &mut Chance) -> Draft {
    let reference = reference(figures, chance);
    let corner = corner(figures, chance);
    // By head no steeper than the rule of thumb is right to 2 % at a tolerance of 5 %.
    let steepest = if figures == Figures::Two { 36 } else { 48 };
    let filter = filter(Family::Butterworth, 12, steepest, chance);
    let (slope, order) = (db_per_octave(filter), filter.slope().order());
    let tolerance = match figures {
        Figures::Two => *chance.one_of(&[3.0, 4.0, 5.0]),
        Figures::Three => between(chance, 1.5, 6.0, 1),
    };
    let upper = chance.below(2) == 0;
    let share = Percent::new(tolerance).fraction();
    let volts_at = |factor: f64| reference * filter.response(Hertz::new(corner), Hertz::new(corner * factor)).ratio();
    let sign = if upper { -1.0 } else { 1.0 };
    let factor = 1.0 + sign * share;
    let end = volts_at(factor);
    let word = if upper { "upper" } else { "lower" };
    let ask = format!(
        "{} shall have its corner at {corner} Hz, to within {tolerance} %. The reference is {}, the tone is {corner} Hz. \
         Where is the {word} end of the window, in volts?",
        with_article(&format!("{slope} dB/octave Butterworth")),
        volts(reference)
    );
    let given = [
        ("reference_v", reference),
        ("corner_hz", corner),
        ("slope_db_per_octave", slope),
        ("tolerance_percent", tolerance),
        ("upper", f64::from(u8::from(upper))),
    ];
    let factor = decimal(factor, 4);
    let draft = Draft::number(ask, &given, end, Quantity::Voltage, figures)
        .working(format!("{word} end: the corner stands at {corner} Hz x {factor}"))
        .working(format!("volts = {reference} / root of (1 + {factor}^{}) = {end:.4} V", 2 * order));
    let draft = match figures {
        Figures::Two => {
            let by_rule = f64::from(order) / 2.0;
            draft.working(format!("by head: at the corner 1 % of it is slope / 12 = {by_rule} % of the volts"))
        }
        Figures::Three => draft,
    };
    draft
        .mistake(
            volts_at(1.0 - sign * share),
            "That is the other end of the window: a higher corner leaves fewer volts.",
        )
        .mistake(
            volts_at(1.0) * (1.0 - sign * share),
            "That is the window of the corner taken for that of the volts: at the corner they move by slope / 12 times as \
             many per cent.",
        )
        .mistake(volts_at(1.0), "That is the target: the tolerance is left out.")
}

/// A window and its guard band.
fn guarded(figures: Figures, chance: &mut Chance) -> (f64, f64, f64) {
    let low = match figures {
        Figures::Two => between(chance, 4.1, 8.9, 1),
        Figures::Three => between(chance, 4.51, 15.49, 2),
    };
    let width = between(chance, 0.09 * low, 0.14 * low, figures_places(figures)).max(0.4);
    let guard = match figures {
        Figures::Two => 0.1,
        Figures::Three => between(chance, 0.013 * low, 0.022 * low, 2),
    };
    (low, decimal(low + width, 2), guard)
}

const fn figures_places(figures: Figures) -> i32 {
    match figures {
        Figures::Two => 1,
        Figures::Three => 2,
    }
}

pub(super) fn accept_end(figures: Figures, chance: &mut Chance) -> Draft {
    let (low, high, guard) = guarded(figures, chance);
    let upper = chance.below(2) == 0;
    let window = Window { low: Volts::new(low), high: Volts::new(high) };
    let zone = window.guarded(Volts::new(guard));
    let other = |volts: Option<Volts>, otherwise: f64| volts.map_or(otherwise, Volts::volts);
    let (end, line) = if upper {
        let end = other(zone.high(), high - guard);
        (end, format!("accept zone, upper end = window - guard band = {high} - {guard} = {end:.4} V"))
    } else {
        let end = other(zone.low(), low + guard);
        (end, format!("accept zone, lower end = window + guard band = {low} + {guard} = {end:.4} V"))
    };
    let word = if upper { "upper" } else { "lower" };
    let ask = format!(
        "The window is {} to {}, the guard band {} at either end. Where is the {word} end of the accept zone?",
        volts(low),
        volts(high),
        volts(guard)
    );
    let given = [("low_v", low), ("high_v", high), ("guard_v", guard), ("upper", f64::from(u8::from(upper)))];
    let (own, wrong) = if upper { (high, high + guard) } else { (low, low - guard) };
    // Three figures by head too: it is a difference, and with two the guard band would vanish in the rounding.
    Draft::number(ask, &given, end, Quantity::Voltage, Figures::Three)
        .working(line)
        .mistake(wrong, "That is the guard band added to the window instead of taken off.")
        .mistake(own, "That is the end of the window: the guard band is left out.")
        .mistake(
            if upper { other(zone.low(), low) } else { other(zone.high(), high) },
            "That is the other end of the accept zone.",
        )
}

const WORDS: &[&str] =
    &[Verdict::Inside.word(), Verdict::Borderline.word(), Verdict::Above.word(), Verdict::Below.word()];

pub(super) fn verdict(figures: Figures, chance: &mut Chance) -> Draft {
    let (low, high, guard) = guarded(figures, chance);
    let window = Window { low: Volts::new(low), high: Volts::new(high) };
    let wanted = *chance.one_of(&Verdict::ALL);
    let mut from = |low: f64, high: f64| between(chance, low, high, 2);
    // A hundredth away from every end, so that none of them is in question.
    let near = 0.01;
    let reading = match wanted {
        Verdict::Above => from(high + 2.0 * near, high + 0.4),
        Verdict::Below => from(low - 0.4, low - 2.0 * near),
        Verdict::Inside => from(low + guard + near, high - guard - near),
        Verdict::Borderline if low.fract() < 0.5 => from(low + near, low + guard - near),
        Verdict::Borderline => from(high - guard + near, high - near),
    };
    let right = window.verdict(window.guarded(Volts::new(guard)), Volts::new(reading));
    let ask = format!(
        "The window is {} to {}, the guard band {}. What is the verdict on a reading of {}?",
        volts(low),
        volts(high),
        volts(guard),
        volts(reading)
    );
    let given = [("low_v", low), ("high_v", high), ("guard_v", guard), ("reading_v", reading)];
    let draft = Draft::word(ask, &given, right.word(), WORDS).working(format!(
        "window {low} to {high} V; accept zone {:.2} to {:.2} V; reading {reading} V: {right}",
        low + guard,
        high - guard
    ));
    Verdict::ALL
        .into_iter()
        .filter(|said| *said != right)
        .fold(draft, |draft, said| draft.mistaken_word(said.word(), why_not(right, said)))
}

/// Why a verdict is not this one.
const fn why_not(right: Verdict, said: Verdict) -> &'static str {
    match (right, said) {
        (Verdict::Borderline, Verdict::Inside) => {
            "The guard band is left out: the meter's uncertainty reaches past the end of the window."
        }
        (Verdict::Inside, Verdict::Borderline) => {
            "The reading is further from both ends than the guard band: it stands inside."
        }
        (Verdict::Inside | Verdict::Borderline, _) => "The reading lies in the window: above and below are outside it.",
        (_, Verdict::Inside | Verdict::Borderline) => {
            "The reading lies outside the window: the guard band is taken off the window, not added to it."
        }
        _ => "That speaks of the corner: above and below speak of the volts.",
    }
}

pub(super) fn which_way(figures: Figures, chance: &mut Chance) -> Draft {
    let target = match figures {
        Figures::Two => between(chance, 4.1, 11.9, 1),
        Figures::Three => between(chance, 4.01, 15.99, 2),
    };
    let places = figures_places(figures);
    let too_much = chance.below(2) == 0;
    let reading = if too_much {
        between(chance, 1.08 * target, 1.3 * target, places)
    } else {
        between(chance, 0.7 * target, 0.92 * target, places)
    };
    let ask = format!(
        "The target is {}, the meter shows {}. Which way is the knob of the low-cut filter turned?",
        volts(target),
        volts(reading)
    );
    let draft = Draft::word(
        ask,
        &[("target_v", target), ("reading_v", reading)],
        if too_much { "up" } else { "down" },
        &["up", "down"],
    );
    if too_much {
        draft
            .working(format!("{reading} V > {target} V: too much passes, so the corner is still too low. Turn up."))
            .mistaken_word("down", "That takes volts for the corner: more volts mean that the corner is too low.")
    } else {
        draft
            .working(format!("{reading} V < {target} V: too little passes, so the corner is too high. Turn down."))
            .mistaken_word("up", "That takes volts for the corner: fewer volts mean that the corner is too high.")
    }
}
