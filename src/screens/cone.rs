//! What driver and box say of the corner, beside the rules, in the session.

use super::choices::{TRAVEL_COLUMNS, choices};
use super::line::{Emphasis, Line, Screen};
use crate::displacement::{Analysis, up_to_tenth};
use crate::quantity::show;
use crate::session::State;

/// Whether the filter is needed, the corner that protects the cone, and what each rule's corner does; empty where driver
/// and box are not known.
pub(super) fn cone_says(state: &State, screen: Screen) -> Vec<Line> {
    let Some(analysis) = state.excursion() else {
        return vec![];
    };
    let mut lines = vec![Line::empty()];
    lines.extend(verdict(&analysis, &safe_corner(&analysis), screen));
    lines.extend(choices(&analysis).lines(TRAVEL_COLUMNS, screen));
    for warning in analysis.warnings() {
        lines.extend(screen.item("! ", Emphasis::Warn, &warning));
    }
    if state.alignment().is_none() || state.guessed().is_some() {
        let text = format!(
            "The filter is not known yet: {} is taken for it here. Look at this again once it is.",
            analysis.setup.alignment
        );
        lines.extend(screen.item("! ", Emphasis::Warn, &text));
    }
    lines
}

/// Whether the filter is needed, as soon as driver and box are told; the corner follows once the filter is.
pub(super) fn need_says(state: &State, screen: Screen) -> Vec<Line> {
    let Some(analysis) = state.excursion() else {
        return vec![];
    };
    let mut lines = vec![Line::empty()];
    lines.extend(verdict(&analysis, "", screen));
    lines
}

/// What is said once a corner is chosen that does not protect the cone.
pub(super) fn chosen_corner_says(state: &State, screen: Screen) -> Vec<Line> {
    corner_says(state.excursion(), screen)
}

/// What is to be said of the corner that an analysis was given: nothing where it keeps the cone within Xmax.
pub(super) fn corner_says(analysis: Option<Analysis>, screen: Screen) -> Vec<Line> {
    let Some(analysis) = analysis else {
        return vec![];
    };
    analysis.corner_falls_short().map_or_else(Vec::new, |text| screen.item("! ", Emphasis::Warn, &text))
}

fn safe_corner(analysis: &Analysis) -> String {
    analysis.lowest_safe.map_or_else(
        || "; no corner of this filter keeps it there".to_owned(),
        |safe| {
            let corner = show::hertz(up_to_tenth(safe.corner));
            format!("; the lowest safe corner of {} is {corner}", analysis.setup.alignment)
        },
    )
}

fn verdict(analysis: &Analysis, corner: &str, screen: Screen) -> Vec<Line> {
    let (driver, peak) = (&analysis.setup.driver, analysis.unfiltered.peak);
    let travel = format!("{} at {}", analysis.travel(peak), show::hertz(peak.at));
    let xmax = show::millimetres(driver.xmax);
    let drive = format!("{:.1} V", analysis.drive.volts());
    if !analysis.is_needed() {
        let text =
            format!("Driver and box need no filter at {drive}: the cone travels {travel} at most, and Xmax is {xmax}.");
        return screen.paragraph(0, Emphasis::Good, &text);
    }
    let text = format!(
        "Driver and box need the filter at {drive}: without it the cone travels {travel}, and Xmax is {xmax}{corner}."
    );
    screen.paragraph(0, Emphasis::Strong, &text)
}
