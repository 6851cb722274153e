//! Octaves, half octaves, and corners from a tuning.

use super::draft::Draft;
use super::numbers::{between, decimal, tuning};
use crate::chance::Chance;
use crate::filter::Rule;
use crate::learn::exercise::Figures;
use crate::quantity::Hertz;
use crate::quantity::ranges::Quantity;

/// What is said where the tuning itself was taken.
const TUNING: &str = "That is the tuning in place of the corner: the corner lies below it.";

/// The corner of a tuning by a rule.
pub(super) fn corner_of_tuning(rule: Rule, figures: Figures, chance: &mut Chance) -> Draft {
    let tuning = tuning(figures, chance);
    let corner = rule.corner(Hertz::new(tuning)).hz();
    let words = match rule {
        Rule::ThreeQuarters => "at three quarters of the tuning, the trade's half octave",
        Rule::HalfOctave => "a true half octave below the tuning",
        Rule::Octave => "a whole octave below the tuning",
    };
    let ask = format!("A vented box is tuned to {tuning} Hz. Where is the corner that lies {words}?");
    let factor = decimal(rule.factor(), 4);
    let draft = Draft::number(ask, &[("tuning_hz", tuning)], corner, Quantity::Frequency, figures)
        .working(format!("corner = tuning x {factor} = {tuning} x {factor} = {corner:.3} Hz"))
        .mistake(tuning, TUNING)
        .mistake(tuning / rule.factor(), "That is above the tuning: the corner lies below it.");
    match rule {
        Rule::ThreeQuarters => draft
            .mistake(tuning / 4.0, "That is the quarter that is taken off: asked is what is left.")
            .mistake(tuning / 2.0, "That is a whole octave in place of half of one."),
        Rule::HalfOctave => draft.mistake(tuning / 2.0, "That is a whole octave in place of half of one.").mistake(
            tuning * 0.75,
            "That is the trade's half octave: the true one is the tuning over the root of two.",
        ),
        Rule::Octave => draft
            .mistake(tuning * Rule::HalfOctave.factor(), "That is half an octave in place of a whole one.")
            .mistake(tuning * 0.75, "That is three quarters of the tuning: an octave below is half of it."),
    }
}

pub(super) fn octaves_between(figures: Figures, chance: &mut Chance) -> Draft {
    /// One, two and three octaves, a half, and one and a half: 17 to 24 Hz is a half to the nearest hertz.
    const KIND: [(f64, f64); 12] = [
        (16.0, 32.0),
        (24.0, 48.0),
        (28.0, 56.0),
        (12.0, 48.0),
        (18.0, 72.0),
        (9.0, 72.0),
        (12.0, 17.0),
        (17.0, 24.0),
        (24.0, 34.0),
        (34.0, 48.0),
        (12.0, 34.0),
        (17.0, 48.0),
    ];
    let (low, high) = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => {
            let low = between(chance, 14.1, 29.9, 1);
            (low, between(chance, 1.2 * low, 4.0 * low, 1))
        }
    };
    let octaves = (high / low).log2();
    let ask = format!("How many octaves lie between {low} Hz and {high} Hz?");
    let draft = Draft::number(ask, &[("low_hz", low), ("high_hz", high)], octaves, Quantity::Plain, figures)
        .working(format!("octaves = log({high} / {low}) / log 2 = log {:.4} / 0.3010 = {octaves:.4}", high / low));
    let draft = match figures {
        Figures::Two => draft
            .working("by head: x 2 is an octave, x 1.41 half of one")
            .mistake(high - low, "That is the difference in hertz: octaves come from the ratio."),
        Figures::Three => {
            draft.mistake(high / low - 1.0, "That counts along a straight line: each octave doubles the frequency.")
        }
    };
    draft
        .mistake(high / low, "That is the ratio of the frequencies: each factor of two is one octave.")
        .mistake((high / low).log10(), "That counts decades: a decade is a factor of ten, an octave a factor of two.")
        .mistake(
            (high / low).ln(),
            "That is the key ln, not divided: octaves are the log of the ratio over the log of 2.",
        )
}

pub(super) fn octaves_below(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 6] = [32.0, 36.0, 44.0, 48.0, 56.0, 64.0];
    const KIND_OCTAVES: [f64; 4] = [0.5, 1.0, 1.5, 2.0];
    const OCTAVES: [f64; 7] = [0.25, 0.3, 0.4, 0.6, 0.75, 1.25, 1.6];
    let (from, octaves) = match figures {
        Figures::Two => (*chance.one_of(&KIND), *chance.one_of(&KIND_OCTAVES)),
        Figures::Three => (between(chance, 24.1, 89.9, 1), *chance.one_of(&OCTAVES)),
    };
    let below = Hertz::new(from).times((-octaves).exp2()).hz();
    let noun = if octaves == 1.0 { "octave" } else { "octaves" };
    let ask = format!("Which frequency lies {octaves} {noun} below {from} Hz?");
    let draft =
        Draft::number(ask, &[("frequency_hz", from), ("octaves", octaves)], below, Quantity::Frequency, figures)
            .working(format!("frequency = {from} / 2^{octaves} = {from} / {:.4} = {below:.3} Hz", octaves.exp2()))
            .mistake(from * octaves.exp2(), "That lies above: below means divided.")
            .mistake(from / 10f64.powf(octaves), "That counts decades: an octave is a factor of two.");
    if octaves < 1.0 {
        draft.mistake(from / 2.0, "That is a whole octave in place of a part of one.")
    } else if octaves == 1.0 {
        draft.mistake(from * Rule::HalfOctave.factor(), "That is half an octave in place of a whole one.")
    } else if octaves == 2.0 {
        draft.mistake(from / 2.0, "That is one octave: each of them divides by two again.")
    } else {
        draft.mistake(from / (2.0 * octaves), "That multiplies the octaves: each of them divides by two again.")
    }
}
