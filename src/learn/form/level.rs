//! Volts and decibels: 20 log.

use super::draft::Draft;
use super::numbers::{between, decimal, level, reference, volts};
use crate::chance::Chance;
use crate::learn::exercise::Figures;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Volts};

/// What is said where 10 log was taken.
const TEN_LOG: &str = "That is 10 log in place of 20 log: power goes by 10 log, volts by 20 log.";
/// What is said where a ratio stands on its head.
const UPSIDE_DOWN: &str = "That is the ratio upside down: what is down is less than the reference.";
/// What is said where decibels count as per cent.
const AS_PER_CENT: &str = "That takes dB for per cent: 1 dB is not 1 %, the share is 10^(-dB / 20).";
/// What is said where per cent count as decibels.
const LOST_AS_DB: &str = "That is the per cent that are lost: decibels come from the ratio, by 20 log.";

pub(super) fn ratio_of_down(figures: Figures, chance: &mut Chance) -> Draft {
    let down = level(figures, chance);
    let ratio = Decibels::new(down).down_ratio();
    let ask = format!("A tone is {down} dB down. Which share of the volts is left, as a plain number?");
    Draft::number(ask, &[("down_db", down)], ratio, Quantity::Plain, figures)
        .working(format!("volts / reference = 10^(-dB / 20) = 10^(-{down} / 20) = {ratio:.4}"))
        .mistake(10f64.powf(-down / 10.0), TEN_LOG)
        .mistake(ratio.recip(), UPSIDE_DOWN)
        .mistake(1.0 - down / 100.0, AS_PER_CENT)
}

pub(super) fn down_of_ratio(figures: Figures, chance: &mut Chance) -> Draft {
    /// Put together from 1, 3, 6 and 20 dB, so that no logarithm is needed.
    const KIND: [f64; 11] = [0.05, 0.1, 0.125, 0.2, 0.25, 0.35, 0.45, 0.5, 0.63, 0.71, 0.79];
    let ratio = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 0.061, 0.939, 3),
    };
    let down = Volts::new(ratio).down_from(Volts::new(1.0)).db();
    let ask = format!("A tone leaves {ratio} of the volts of the reference. How many dB down is it?");
    Draft::number(ask, &[("ratio", ratio)], down, Quantity::Level, figures)
        .working(format!("dB down = 20 log(1 / {ratio}) = {down:.4} dB"))
        .mistake(down / 2.0, TEN_LOG)
        .mistake(100.0 * (1.0 - ratio), LOST_AS_DB)
        .mistake(-20.0 * ratio.ln(), "That is the natural logarithm: decibels take the one to the base of ten.")
}

/// A reference and a reading below it; by head the reading is one of these shares.
pub(super) fn reference_and_reading(kind: &[f64], figures: Figures, chance: &mut Chance) -> (f64, f64) {
    let reference = reference(figures, chance);
    let reading = match figures {
        Figures::Two => decimal(reference * chance.one_of(kind), 2),
        Figures::Three => between(chance, 0.1 * reference, 0.92 * reference, 2),
    };
    (reference, reading)
}

pub(super) fn down_of_volts(figures: Figures, chance: &mut Chance) -> Draft {
    /// Halves and tenths: each half is 6 dB, each tenth 20 dB.
    const KIND: [f64; 7] = [0.05, 0.1, 0.125, 0.2, 0.25, 0.4, 0.5];
    let (reference, reading) = reference_and_reading(&KIND, figures, chance);
    let down = Volts::new(reading).down_from(Volts::new(reference)).db();
    let ask = format!(
        "The reference is {}. With the filter in the meter shows {}. How many dB down is that?",
        volts(reference),
        volts(reading)
    );
    Draft::number(ask, &[("reference_v", reference), ("reading_v", reading)], down, Quantity::Level, figures)
        .working(format!("dB down = 20 log(reference / reading) = 20 log({reference} / {reading}) = {down:.4} dB"))
        .mistake(down / 2.0, TEN_LOG)
        .mistake(reference - reading, "That is the difference in volts: decibels come from the ratio.")
        .mistake(100.0 * (1.0 - reading / reference), LOST_AS_DB)
}

pub(super) fn volts_of_down(figures: Figures, chance: &mut Chance) -> Draft {
    let (reference, down) = (reference(figures, chance), level(figures, chance));
    let ratio = Decibels::new(down).down_ratio();
    let target = Volts::new(reference).times(ratio).volts();
    let ask =
        format!("The reference is {}. What does the meter show where the tone is {down} dB down?", volts(reference));
    Draft::number(ask, &[("reference_v", reference), ("down_db", down)], target, Quantity::Voltage, figures)
        .working(format!(
            "volts = reference x 10^(-dB / 20) = {reference} x 10^(-{down} / 20) = {reference} x {ratio:.4} = {target:.4} V"
        ))
        .mistake(reference * 10f64.powf(-down / 10.0), TEN_LOG)
        .mistake(reference / ratio, UPSIDE_DOWN)
        .mistake(reference * (1.0 - down / 100.0), AS_PER_CENT)
        .mistake((reference - down).abs(), "That takes dB as volts: decibels are a ratio and take off a share.")
}
