//! Volts and decibels: 20 log.

use super::draft::{Draft, between};
use crate::chance::Chance;
use crate::learn::exercise::Figures;
use crate::quantity::Decibels;
use crate::quantity::ranges::Quantity;

/// What is said where 10 log was taken.
pub(super) const TEN_LOG: &str = "That is 10 log in place of 20 log: power goes by 10 log, volts by 20 log.";
/// What is said where a ratio stands on its head.
pub(super) const UPSIDE_DOWN: &str = "That is the ratio upside down: what is down is less than the reference.";

/// Levels that are known by heart, or soon will be.
const KIND_LEVELS: [f64; 10] = [1.0, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0, 14.0, 18.0, 20.0];

/// How far down, in decibels.
pub(super) fn level(figures: Figures, chance: &mut Chance) -> f64 {
    match figures {
        Figures::Two => *chance.one_of(&KIND_LEVELS),
        Figures::Three => between(chance, 1.1, 24.0, 1),
    }
}

pub(super) fn ratio_of_down(figures: Figures, chance: &mut Chance) -> Draft {
    let down = level(figures, chance);
    let ratio = Decibels::new(down).down_ratio();
    let ask = format!("A tone is {down} dB down. Which share of the volts is left, as a plain number?");
    Draft::number(ask, &[("down_db", down)], ratio, Quantity::Plain, figures)
        .working(format!("volts / reference = 10^(-dB / 20) = 10^(-{down} / 20) = {ratio:.4}"))
        .mistake(10f64.powf(-down / 10.0), TEN_LOG)
        .mistake(ratio.recip(), UPSIDE_DOWN)
        .mistake(1.0 - down / 100.0, "That takes dB as per cent: decibels are a logarithm, not a share.")
}
