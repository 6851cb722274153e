//! The numbers that questions are made of: kind ones by head, awkward ones with a calculator.

use crate::chance::Chance;
use crate::filter::{Alignment, Family, Slope};
use crate::learn::exercise::Figures;
use crate::quantity::{Volts, show};

/// A number of so many decimals from `low` to `high`, both included.
pub(super) fn between(chance: &mut Chance, low: f64, high: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let (first, last) = ((low * scale).round(), (high * scale).round());
    let steps = (last - first) as usize + 1;
    decimal((first + chance.below(steps) as f64) / scale, decimals)
}

/// The number to so many decimals, as it would be read.
pub(super) fn decimal(value: f64, decimals: i32) -> f64 {
    let places = usize::try_from(decimals).unwrap_or(0);
    format!("{value:.places$}").parse().unwrap_or(value)
}

/// A reference voltage.
pub(super) fn reference(figures: Figures, chance: &mut Chance) -> f64 {
    const KIND: [f64; 8] = [4.0, 5.0, 6.0, 8.0, 12.0, 16.0, 20.0, 24.0];
    match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 5.01, 24.99, 2),
    }
}

/// The tuning of a box.
pub(super) fn tuning(figures: Figures, chance: &mut Chance) -> f64 {
    const KIND: [f64; 10] = [24.0, 26.0, 28.0, 32.0, 34.0, 36.0, 38.0, 42.0, 44.0, 48.0];
    match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => decimal(between(chance, 24.0, 48.0, 0) + between(chance, 0.1, 0.9, 1), 1),
    }
}

/// A corner, or a tone at one.
pub(super) fn corner(figures: Figures, chance: &mut Chance) -> f64 {
    const KIND: [f64; 8] = [16.0, 18.0, 20.0, 24.0, 26.0, 28.0, 32.0, 36.0];
    match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => decimal(between(chance, 18.0, 38.0, 0) + between(chance, 0.1, 0.9, 1), 1),
    }
}

/// How far down, in decibels. By head, two figures of the ratio are enough: none of these is 0.126, which 0.13 would miss.
pub(super) fn level(figures: Figures, chance: &mut Chance) -> f64 {
    const KIND: [f64; 10] = [1.0, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0, 14.0, 16.0, 20.0];
    match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 1.1, 24.0, 1),
    }
}

/// A load, in ohms.
pub(super) fn load(figures: Figures, chance: &mut Chance) -> f64 {
    const KIND: [f64; 3] = [2.0, 4.0, 8.0];
    const AWKWARD: [f64; 7] = [1.0, 1.3, 2.0, 2.7, 3.2, 5.6, 8.0];
    *match figures {
        Figures::Two => chance.one_of(&KIND),
        Figures::Three => chance.one_of(&AWKWARD),
    }
}

/// A slope that this family has, from the gentlest to the steepest of these.
pub(super) fn filter(family: Family, low: u32, high: u32, chance: &mut Chance) -> Alignment {
    let slopes: Vec<Slope> = family.slopes().filter(|slope| (low..=high).contains(&slope.db_per_octave())).collect();
    let usual = Alignment::usual(None);
    if slopes.is_empty() {
        return usual;
    }
    Alignment::new(family, *chance.one_of(&slopes)).unwrap_or(usual)
}

/// A filter's slope as a number.
pub(super) fn db_per_octave(filter: Alignment) -> f64 {
    f64::from(filter.slope().db_per_octave())
}

/// A voltage as a question says it: `8 V`, `8.37 V`.
pub(super) fn volts(value: f64) -> String {
    if value.fract() == 0.0 { format!("{value} V") } else { show::volts(Volts::new(value), Volts::new(0.01)) }
}

/// What a filter leaves of the volts, as a formula with its numbers.
pub(super) fn response(filter: Alignment, corner: f64, tone: f64) -> String {
    let order = filter.slope().order();
    match filter.family() {
        Family::LinkwitzRiley => format!("1 / (1 + ({corner} / {tone})^{order})"),
        _ => format!("1 / root of (1 + ({corner} / {tone})^{})", 2 * order),
    }
}
