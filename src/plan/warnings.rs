//! What a person should know about a plan before the knob is touched, a sentence each.

use super::inputs::Inputs;
use super::setting::Setting;
use crate::corner::{FAR_ABOVE_PERCENT, percent_per_percent};
use crate::filter::{Alignment, Family};
use crate::meter::AcceptZone;
use crate::quantity::{Hertz, Volts, show};

/// Above this many volts rms a live output can hurt: 30 V rms, the line at which IEC 61010-1:2010, 6.3.1 starts to
/// call a voltage hazardous live in normal condition (from memory).
pub const HAZARDOUS: Volts = Volts::new(30.0);

/// Every warning that this plan deserves.
pub(super) fn warnings(inputs: &Inputs, setting: &Setting) -> Vec<String> {
    [hazardous(inputs), above_tuning(inputs), far_above(inputs), passes_reference(setting), empty_zone(inputs, setting)]
        .into_iter()
        .flatten()
        .collect()
}

fn hazardous(inputs: &Inputs) -> Option<String> {
    let reference = inputs.reference.reading.volts;
    (reference > HAZARDOUS).then(|| {
        format!(
            "The reference of {:.1} V is above {:.0} V rms and hazardous to touch: a lower reference does the same job.",
            reference.volts(),
            HAZARDOUS.volts()
        )
    })
}

fn above_tuning(inputs: &Inputs) -> Option<String> {
    let corner = inputs.corner.corner();
    let tuning = inputs.corner.tuning().filter(|tuning| corner >= *tuning)?;
    Some(format!(
        "The corner of {} is not below the tuning of {}: the filter takes off bass that the box plays safely.",
        show::hertz(corner),
        show::hertz(tuning)
    ))
}

fn far_above(inputs: &Inputs) -> Option<String> {
    let (tone, corner) = (inputs.tone, inputs.corner.corner());
    let share = percent_per_percent(inputs.alignment, tone, corner);
    (share > FAR_ABOVE_PERCENT).then(|| {
        format!(
            "The tone of {} says little about a corner of {}: 1 % of voltage there is {:.0} % of corner; a lower tone \
             says more.",
            show::hertz(tone),
            show::hertz(corner),
            share.percent()
        )
    })
}

fn passes_reference(setting: &Setting) -> Option<String> {
    setting.corner_low.is_none().then(|| {
        "The window reaches up to the reference, so it sets no lower limit to the corner: use a lower tone or a \
         narrower tolerance."
            .to_owned()
    })
}

fn empty_zone(inputs: &Inputs, setting: &Setting) -> Option<String> {
    (setting.accept == AcceptZone::Empty).then(|| {
        let held = if inputs.range_held { "" } else { ", a meter held on one range" };
        format!(
            "This meter cannot tell inside from outside here, so every reading is borderline at best: a higher \
             reference, a finer range{held} or a wider tolerance would help."
        )
    })
}

/// Where the family is only a guess: how far off that can put the corner, as one sentence.
///
/// The knob is turned until the meter shows the target of the guessed filter; for every other family of that slope,
/// the corner at which it would show the same.
pub fn family_guess(guess: Alignment, corner: Hertz, tone: Hertz) -> String {
    let down = guess.response(tone, corner).down();
    let others: Vec<Alignment> = [Family::Butterworth, Family::LinkwitzRiley, Family::Bessel]
        .into_iter()
        .filter(|family| *family != guess.family())
        .filter_map(|family| Alignment::new(family, guess.slope()).ok())
        .collect();
    if others.is_empty() {
        return format!("The family is a guess, but at {} there is no other.", guess.slope());
    }
    let elsewhere: Vec<String> = others
        .into_iter()
        .filter_map(|other| {
            let really = other.corners_from_down(tone, down).single()?;
            let share = (really.hz() / corner.hz() - 1.0) * 100.0;
            (share.abs() >= 0.5).then(|| format!("{} ({share:+.0} %) if it is {}", show::hertz(really), other.family()))
        })
        .collect();
    if elsewhere.is_empty() {
        return format!(
            "The family is a guess, but at {} and this tone another one would put the corner at the same place.",
            guess.slope()
        );
    }
    format!(
        "The family is a guess: set as {guess} for {}, the corner is really {}.",
        show::hertz(corner),
        show::list_or(&elsewhere)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::Slope;

    /// Linkwitz-Riley 24 turned to 0.708 on a 27 Hz tone stands at 21.7 Hz, 0.80224 of what was wanted (algebra).
    #[test]
    fn a_wrong_family_is_said_in_hertz() {
        let guess = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
        let text = family_guess(guess, Hertz::new(27.0), Hertz::new(27.0));
        assert!(text.contains("21.7 Hz (-20 %) if it is Linkwitz-Riley"), "{text}");
        // A Bessel is 3.01 dB down at its corner too, so on this tone it makes no difference; off it, it does.
        assert!(!text.contains("Bessel"), "{text}");
        let off = family_guess(guess, Hertz::new(27.0), Hertz::new(22.0));
        assert!(off.contains("if it is Bessel"), "{off}");
    }
}
