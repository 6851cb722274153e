//! An analysis as JSON: what `excursion --json` prints.

use serde::Serialize;

use super::analysis::{Analysis, Choice};
use super::cone::CurvePoint;
use crate::filter::Rule;
use crate::quantity::{Decibels, Hertz, Millimetres, Volts};

/// Steps of the printed curve.
const CURVE_STEPS: usize = 400;

/// What `excursion --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExcursionDocument {
    drive_v: Volts,
    needed: bool,
    lowest_hz: Hertz,
    xmax_mm: Millimetres,
    xmech_mm: Option<Millimetres>,
    unfiltered: UnfilteredDocument,
    rules: Vec<RuleDocument>,
    lowest_safe_corner_hz: Option<Hertz>,
    limited_above_tuning: bool,
    highest_drive_v: Volts,
    filtered_corner_hz: Option<Hertz>,
    filtered: Option<ChoiceDocument>,
    curve: Vec<CurveDocument>,
    warnings: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct UnfilteredDocument {
    peak_mm: Millimetres,
    peak_hz: Hertz,
    over_xmax_below_hz: Option<Hertz>,
    within_xmech: Option<bool>,
    half_power_hz: Option<Hertz>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct RuleDocument {
    rule: Rule,
    corner_hz: Hertz,
    #[serde(flatten)]
    choice: ChoiceDocument,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ChoiceDocument {
    peak_mm: Millimetres,
    peak_hz: Hertz,
    within_xmax: bool,
    within_xmech: Option<bool>,
    loss_at_tuning_db: Option<Decibels>,
    half_power_hz: Option<Hertz>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CurveDocument {
    hz: Hertz,
    unfiltered_mm: Millimetres,
    filtered_mm: Option<Millimetres>,
}

impl ExcursionDocument {
    /// An analysis and what a person should know of it.
    pub fn new(analysis: &Analysis, warnings: Vec<String>) -> Self {
        let (setup, unfiltered) = (&analysis.setup, &analysis.unfiltered);
        Self {
            drive_v: analysis.drive,
            needed: analysis.is_needed(),
            lowest_hz: setup.drive.lowest,
            xmax_mm: setup.driver.xmax,
            xmech_mm: setup.driver.xmech,
            unfiltered: UnfilteredDocument {
                peak_mm: Millimetres::new(unfiltered.peak.value),
                peak_hz: unfiltered.peak.at,
                over_xmax_below_hz: unfiltered.over_xmax_below,
                within_xmech: unfiltered.within_xmech,
                half_power_hz: unfiltered.half_power,
            },
            rules: analysis
                .rules
                .iter()
                .map(|(rule, choice)| RuleDocument { rule: *rule, corner_hz: choice.corner, choice: choice.into() })
                .collect(),
            lowest_safe_corner_hz: analysis.lowest_safe.map(|choice| choice.corner),
            limited_above_tuning: analysis.above_tuning.is_some(),
            highest_drive_v: analysis.highest_drive,
            filtered_corner_hz: analysis.filtered.map(|choice| choice.corner),
            filtered: analysis.filtered.as_ref().map(ChoiceDocument::from),
            curve: analysis.curve(CURVE_STEPS).iter().map(CurveDocument::from).collect(),
            warnings,
        }
    }
}

impl From<&Choice> for ChoiceDocument {
    fn from(choice: &Choice) -> Self {
        Self {
            peak_mm: Millimetres::new(choice.peak.value),
            peak_hz: choice.peak.at,
            within_xmax: choice.within_xmax,
            within_xmech: choice.within_xmech,
            loss_at_tuning_db: choice.loss_at_tuning,
            half_power_hz: choice.half_power,
        }
    }
}

impl From<&CurvePoint> for CurveDocument {
    fn from(point: &CurvePoint) -> Self {
        Self { hz: point.at, unfiltered_mm: point.unfiltered, filtered_mm: point.filtered }
    }
}
