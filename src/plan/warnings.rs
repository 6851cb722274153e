//! What a person should know about a plan before the knob is touched, a sentence each.

use super::inputs::Inputs;
use super::setting::Setting;
use crate::corner::far_above;
use crate::filter::{Alignment, Family};
use crate::meter::AcceptZone;
use crate::quantity::{Hertz, Volts, show};

/// Above this many volts rms a live output can hurt: 30 V rms, the line at which IEC 61010-1:2010, 6.3.1 starts to
/// call a voltage hazardous live in normal condition (from memory).
pub const HAZARDOUS: Volts = Volts::new(30.0);

/// Every warning that this plan deserves.
pub(super) fn warnings(inputs: &Inputs, setting: &Setting) -> Vec<String> {
    [
        hazardous(inputs),
        above_tuning(inputs),
        far_above(inputs.alignment, inputs.tone, inputs.corner.corner()),
        passes_reference(setting),
        empty_zone(inputs, setting),
    ]
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
    let others: Vec<Alignment> = Family::at(guess.slope())
        .filter(|family| *family != guess.family())
        .filter_map(|family| Alignment::new(family, guess.slope()).ok())
        .collect();
    if others.is_empty() {
        return format!("The family is a guess, but at {} there is no other.", guess.slope());
    }
    match really(guess, &others, corner, tone) {
        Some(elsewhere) => format!("The family is a guess: {elsewhere}"),
        None => format!(
            "The family is a guess, but at {} and this tone another one would put the corner at the same place.",
            guess.slope()
        ),
    }
}

/// Where exploring leaves other filters open: how far off that can put the corner, as one sentence.
pub fn still_open(taken: Alignment, others: &[Alignment], corner: Hertz, tone: Hertz) -> Option<String> {
    let elsewhere = really(taken, others, corner, tone)?;
    Some(format!("The readings fit {} as well: {elsewhere}", show::plural(others.len(), "other filter")))
}

/// Where the corner really is when a filter is set as one that it is not, the farthest two of all cases; `None` where
/// none is half a per cent off.
fn really(taken: Alignment, others: &[Alignment], corner: Hertz, tone: Hertz) -> Option<String> {
    let down = taken.response(tone, corner).down();
    let mut elsewhere: Vec<(f64, String)> = others
        .iter()
        .filter_map(|other| {
            let really = other.corners_from_down(tone, down).single()?;
            let share = (really.hz() / corner.hz() - 1.0) * 100.0;
            (share.abs() >= 0.5).then(|| (share, format!("{} ({share:+.0} %) if it is {other}", show::hertz(really))))
        })
        .collect();
    elsewhere.sort_by(|(one, _), (other, _)| other.abs().total_cmp(&one.abs()));
    elsewhere.truncate(2);
    let elsewhere: Vec<&str> = elsewhere.iter().map(|(_, text)| text.as_str()).collect();
    (!elsewhere.is_empty()).then(|| {
        format!("set as {taken} for {}, the corner is really {}.", show::hertz(corner), show::list_or(&elsewhere))
    })
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
