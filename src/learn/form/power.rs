//! Power: 10 log, and the voltage that drives it.

use super::draft::Draft;
use super::level::reference_and_reading;
use super::numbers::{between, load, volts};
use crate::chance::Chance;
use crate::learn::exercise::Figures;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Ohms, Volts, Watts};

/// What is said where a current was worked out.
const CURRENT: &str = "That is the current in amperes: volts over ohms, not squared.";

pub(super) fn power_of_down(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 8] = [1.0, 2.0, 3.0, 4.0, 6.0, 7.0, 12.0, 13.0];
    let down = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 1.1, 19.0, 1),
    };
    let share = 100.0 * 10f64.powf(-down / 10.0);
    let ask = format!("A tone is {down} dB down. How much of the power is left, in per cent?");
    Draft::number(ask, &[("down_db", down)], share, Quantity::Share, figures)
        .working(format!("power left = 10^(-dB / 10) = 10^(-{down} / 10) = {:.5} = {share:.3} %", share / 100.0))
        .mistake(
            100.0 * 10f64.powf(-down / 20.0),
            "That is 20 log in place of 10 log: that much is left of the volts, not of the power.",
        )
        .mistake(100.0 - down, "That takes dB for per cent: 1 dB is not 1 %, the share of the power is 10^(-dB / 10).")
        .mistake(100.0 - share, "That is the share that is lost: asked is the share that is left.")
}

pub(super) fn power_of_volts_share(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 7] = [0.1, 0.2, 0.25, 0.4, 0.5, 0.75, 0.8];
    let (reference, reading) = reference_and_reading(&KIND, figures, chance);
    let ratio = Volts::new(reading).over(Volts::new(reference));
    let ask = format!(
        "The volts at a load go from {} down to {}. How much of the power is left, in per cent?",
        volts(reference),
        volts(reading)
    );
    Draft::number(
        ask,
        &[("reference_v", reference), ("reading_v", reading)],
        100.0 * ratio * ratio,
        Quantity::Share,
        figures,
    )
    .working(format!(
        "power left = (volts / reference)^2 = ({reading} / {reference})^2 = {ratio:.5}^2 = {:.3} %",
        100.0 * ratio * ratio
    ))
    .mistake(100.0 * ratio, "That is the share of the volts: power goes with their square.")
    .mistake(100.0 * (1.0 - ratio * ratio), "That is the share that is lost: asked is the share that is left.")
    .mistake(100.0 * ratio.sqrt(), "That is the root in place of the square: power goes with the square of the volts.")
}

pub(super) fn volts_of_power(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 7] = [6.0, 8.0, 12.0, 16.0, 20.0, 24.0, 28.0];
    let load = load(figures, chance);
    let power = match figures {
        Figures::Two => chance.one_of(&KIND).powi(2) / load,
        Figures::Three => between(chance, 35.0, 900.0, 0),
    };
    let voltage = Watts::new(power).voltage_across(Ohms::new(load)).volts();
    let ask = format!("Which voltage drives {power} W into {load} ohm?");
    Draft::number(ask, &[("power_w", power), ("load_ohm", load)], voltage, Quantity::Voltage, figures)
        .working(format!("volts = root of (power x load) = root of ({power} x {load}) = {voltage:.4} V"))
        .mistake((power / load).sqrt(), "That is the current in amperes: the root of power over load.")
        .mistake(power * load, "The root is left out: power times load is the square of the volts.")
        .mistake(power / load, "That is power over load: the volts are the root of power times load.")
}

pub(super) fn power_of_volts(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 6] = [4.0, 6.0, 8.0, 12.0, 16.0, 20.0];
    let load = load(figures, chance);
    let voltage = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 4.01, 39.99, 2),
    };
    let power = Volts::new(voltage).power_into(Ohms::new(load)).watts();
    let ask = format!("A reference of {} would drive how many watts into {load} ohm?", volts(voltage));
    Draft::number(ask, &[("reference_v", voltage), ("load_ohm", load)], power, Quantity::Power, figures)
        .working(format!("power = volts^2 / load = {voltage}^2 / {load} = {power:.3} W"))
        .mistake(voltage / load, CURRENT)
        .mistake(voltage * voltage * load, "That multiplies by the load: the same volts drive less into more ohms.")
        .mistake(voltage * voltage, "The load is left out: that is the square of the volts.")
}
