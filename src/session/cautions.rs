//! What can hurt someone or something, said before a probe touches a terminal.

use crate::plan::HAZARDOUS;
use crate::quantity::{Ohms, Volts, Watts, show};

/// The answer that acknowledges the page.
pub const UNDERSTOOD: &str = "understood";

/// A reference that drives more than this into the load is far above what the filter work needs.
pub const MUCH_POWER: Watts = Watts::new(100.0);

/// The page of cautions, an item each.
pub const CAUTIONS: [&str; 7] = [
    "Speakers are disconnected, from every output, before any tone is played.",
    "More than 30 V rms is hazardous to touch, and amplifier outputs reach it. Hands off bare terminals while a tone \
     plays; one hand on the probe, none on the chassis.",
    "A bridged output has no ground side: both terminals are live against the chassis. Clip the meter across the two, \
     and connect no grounded instrument.",
    "Meter and leads are rated for the voltage, on AC volts, with the leads in the voltage sockets.",
    "Play the tone at the level that the reference needs and no higher, and turn it down before speakers go back on: a \
     low tone at full level can ruin drivers and hearing.",
    "The supply is fused, the battery is charged and vented, and nothing loose can bridge its posts.",
    "The maker's manual, local codes and licensed practice come before anything this program says.",
];

/// The page as one text, as the log keeps it.
pub fn caution_text() -> String {
    CAUTIONS.join("\n")
}

/// What must be said of a reference that passes the hazard line or means much power; `None` for a modest one.
pub fn high_reference_caution(reference: Volts, load: Option<Ohms>) -> Option<String> {
    let (ohms, known) = load.map_or((Ohms::new(4.0), false), |load| (load, true));
    let power = reference.power_into(ohms);
    let hazardous = reference > HAZARDOUS;
    if !hazardous && power <= MUCH_POWER {
        return None;
    }
    let into = if known { show::ohms(ohms) } else { format!("{}, if that is the load", show::ohms(ohms)) };
    let hazard = if hazardous {
        format!(" It is above {:.0} V rms and hazardous to touch.", HAZARDOUS.volts())
    } else {
        String::new()
    };
    Some(format!(
        "A reference of {:.2} V is {} into {into}.{hazard} A lower reference does the same job.",
        reference.volts(),
        show::watts(power),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_is_questioned_by_its_volts_or_its_watts() {
        let of = |volts: f64, ohms: Option<f64>| high_reference_caution(Volts::new(volts), ohms.map(Ohms::new));
        assert_eq!(of(8.0, None), None);
        assert_eq!(of(20.0, Some(4.0)), None);
        assert!(of(20.0, Some(2.0)).unwrap().contains("200 W into 2 ohm."));
        assert!(of(21.0, None).unwrap().contains("110 W into 4 ohm, if that is the load."));
        assert!(of(31.0, Some(16.0)).unwrap().contains("above 30 V rms and hazardous"));
    }
}
