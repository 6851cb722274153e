//! What several readings say of the filter: after exploring, and after the sweep.

use super::line::{Emphasis, Line, Screen};
use crate::corner::Fit;
use crate::filter::Alignment;
use crate::quantity::show;
use crate::session::{POOR_FIT, State, SweepSays};

/// What the exploring readings say; empty where there is nothing to say yet.
pub fn explored(state: &State, screen: Screen) -> Vec<Line> {
    let reference = state.reference().map(|reference| reference.reading);
    let Some(Ok(fit)) = state.explored_fit(reference) else {
        return vec![];
    };
    let mut lines = vec![Line::empty()];
    let looks_like =
        format!("The filter looks like {}, rms {:.2} dB off the readings.", state.as_told(&fit), fit.rms_residual.db());
    if fit.rms_residual > POOR_FIT {
        let text = format!(
            "NO FILTER FITS THESE READINGS. {looks_like} Check tones, range and level, and read them again (`< explore`)."
        );
        lines.extend(screen.paragraph(0, Emphasis::Warn, &text));
        return lines;
    }
    lines.extend(screen.paragraph(0, Emphasis::Strong, &looks_like));
    lines.extend(undecided(&fit, state.as_told(&fit), screen));
    lines
}

/// Which other filters the readings leave open.
fn undecided(fit: &Fit, taken: Alignment, screen: Screen) -> Vec<Line> {
    let open: Vec<String> = fit.open().filter(|other| *other != taken).map(|other| other.to_string()).collect();
    if open.is_empty() {
        return vec![];
    }
    screen.paragraph(
        0,
        Emphasis::Warn,
        &format!("These readings cannot tell it from {}; a tone an octave lower may.", show::list_or(&open)),
    )
}

/// What a filter that is confirmed rests on where its tones shared a reference.
const CONFIRMED_ON_ONE: &str = "One reference served several tones: this is as sure as the meter is even over them. A meter that droops at low tones \
     can make one filter look like another; TONE=VOLTS/REFERENCE is surer.";

/// What the sweep says of the filter in use.
pub fn swept(state: &State, screen: Screen) -> Vec<Line> {
    let Some(plan) = state.plan() else {
        return vec![];
    };
    let in_use = plan.inputs.alignment;
    match state.sweep() {
        SweepSays::Nothing => vec![],
        SweepSays::NoFilterFits => {
            let mut lines = vec![Line::empty()];
            lines.extend(screen.paragraph(
                0,
                Emphasis::Warn,
                &format!("No filter fits these readings, {in_use} least of all: check tones, range and level."),
            ));
            lines
        }
        SweepSays::Fits(fit, confirmed) => {
            let mut lines = vec![Line::empty()];
            let corner = format!(
                "corner {:.1} +- {:.1} Hz, rms {:.2} dB",
                fit.corner.hz(),
                fit.uncertainty.hz().max(0.05),
                fit.rms_residual.db()
            );
            let (emphasis, text) = match confirmed {
                _ if fit.rms_residual > POOR_FIT => (
                    Emphasis::Warn,
                    format!(
                        "No filter fits these readings well; the nearest is {}, {corner}. Check tones, range and level.",
                        fit.alignment
                    ),
                ),
                Some(true) => (Emphasis::Good, format!("The sweep fits {in_use}, the filter in use: {corner}.")),
                Some(false) => (
                    Emphasis::Warn,
                    format!(
                        "THE FILTER IS NOT WHAT IT WAS TAKEN FOR. Taken for {in_use}, it looks like {}: {corner}, where {} \
                         was wanted.",
                        fit.alignment,
                        show::hertz(plan.inputs.corner.corner())
                    ),
                ),
                None => (
                    Emphasis::Warn,
                    format!(
                        "The readings agree with {in_use}, the filter in use; they would fit {} as well ({corner}).",
                        fit.alignment
                    ),
                ),
            };
            lines.extend(screen.paragraph(0, emphasis, &text));
            if state.swept().iter().any(|pair| pair.reference.is_none()) {
                let text = if confirmed == Some(true) {
                    CONFIRMED_ON_ONE.to_owned()
                } else {
                    let at = if state.mark().is_some() { ", read with the knob at its mark" } else { "" };
                    format!(
                        "One reference served several tones, and meters droop at low ones: before you believe it, go back \
                         (`< sweep`), strike the reading (`strike 1 no reference of its own`) and type it again as \
                         TONE=VOLTS/REFERENCE{at}."
                    )
                };
                lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
            }
            if confirmed == Some(true) {
                lines.extend(undecided(&fit, in_use, screen));
            }
            lines
        }
    }
}
