//! The dialogue that asks for a driver and its box value by value.

use super::line::{Emphasis, Line, Screen};
use crate::quantity::text::visible;

/// The first lines of the dialogue.
pub fn driver_opening(screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty(), Line::strong("The driver and its box")];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "From the data sheet.  Enter takes what stands in brackets.  ?\u{a0}explain  <\u{a0}back  q\u{a0}leave",
    ));
    lines
}

/// What stands above the prompt of a value.
pub fn driver_question(key: &str, on_enter: Option<&str>, screen: Screen) -> Vec<Line> {
    let without = if on_enter == Some("") { " Enter where the sheet has none." } else { "" };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Plain, &format!("{}{without}", purpose(key))));
    lines
}

/// The prompt, with what Enter takes in brackets.
pub fn driver_prompt(key: &str, on_enter: Option<&str>) -> String {
    match on_enter {
        None => key.to_owned(),
        Some("") => format!("{key} [unknown]"),
        Some(default) => format!("{key} [{}]", visible(default)),
    }
}

/// What a value is, in one line.
fn purpose(key: &str) -> &'static str {
    match key {
        "kind" => "What is the driver mounted in: sealed, vented or free-air?",
        "volume_l" => "Net volume of the box in litres; also `1.7 ft3`.",
        "fs_hz" => "Resonance of the driver in free air, Fs, in Hz.",
        "qes" => "Electrical Q, Qes.",
        "qms" => "Mechanical Q, Qms.",
        "qts" => "Total Q, Qts.",
        "vas_l" => "Equivalent volume of the suspension, Vas, in litres.",
        "cms_mm_per_n" => "Compliance of the suspension, Cms, in mm/N.",
        "mms_g" => "Moving mass, Mms, in g.",
        "sd_cm2" => "Effective piston area, Sd, in cm2.",
        "effective_diameter_mm" => "Effective diameter, from the middle of the surround to its middle, in mm.",
        "re_ohm" => "Resistance of the voice coil to direct current, Re, in ohm.",
        "xmax_mm" => "Linear travel one way, Xmax, in mm.",
        "xmech_mm" => "Mechanical limit one way, Xmech, in mm.",
        "lowest_hz" => "The lowest frequency that the programme reaches, in Hz.",
        "power_w" => "The amplifier's power into this load, in W.",
        "load_ohm" => "The load that this power goes into, in ohm.",
        _ => "",
    }
}

/// What `?` says to a value.
pub fn driver_help(key: &str, screen: Screen) -> Vec<Line> {
    let text = match key {
        "kind" => {
            "A sealed box's air spring holds the cone at low frequencies; a vented one stops holding it below its tuning; \
             free air is a driver with no box, or one so large that it does not matter."
        }
        "volume_l" => "What is left for the air: without the driver, the port and the bracing.",
        "qes" | "qms" | "qts" => "Two of Qes, Qms and Qts are enough: 1/Qts = 1/Qes + 1/Qms.",
        "vas_l" | "cms_mm_per_n" | "mms_g" => {
            "One of Vas, Cms and Mms is enough: with Fs and the piston area the others follow."
        }
        "sd_cm2" | "effective_diameter_mm" => {
            "Half of the surround moves with the cone: the effective diameter ends in the middle of it."
        }
        "re_ohm" => {
            "An ohmmeter across the terminals shows it; it is a little below the nominal impedance. Two coils count as \
             they are wired."
        }
        "xmax_mm" => {
            "How far the coil stays in its even field, from rest to one side. A peak-to-peak figure is halved."
        }
        "xmech_mm" => {
            "How far the cone gets before something strikes or tears, from rest to one side. Past it is damage."
        }
        "lowest_hz" => {
            "The lowest frequency decides how far the cone must follow. Films and synthesised bass reach 10 Hz and \
             lower; most music ends about 30 Hz."
        }
        "power_w" | "load_ohm" => {
            "They give the drive voltage, sqrt(power x load). What the amplifier can do counts, not what is listened to."
        }
        _ => "The data sheet of the driver has it among the Thiele/Small parameters.",
    };
    [vec![Line::empty()], screen.paragraph(2, Emphasis::Plain, text)].concat()
}
