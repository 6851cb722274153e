//! A plan as JSON: the keys of `targets --json`, and the same with every other input as a record keeps it.

use serde::{Deserialize, Serialize};

use super::made::Plan;
use super::points::Point;
use super::setting::Setting;
use crate::filter::{Family, Rule, Slope};
use crate::quantity::{Decibels, Hertz, Percent, Volts};

/// What `targets --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TargetsDocument {
    /// The tuning; null with a corner of one's own.
    pub tuning_hz: Option<Hertz>,
    /// The rule; null with a corner of one's own.
    pub rule: Option<Rule>,
    /// The wanted corner.
    pub corner_hz: Hertz,
    /// The family.
    pub family: Family,
    /// The slope.
    pub slope_db_per_octave: Slope,
    /// The Q of a second-order filter; null else.
    pub q: Option<f64>,
    /// The reference as read.
    pub reference_v: Volts,
    /// Where the filter stood when it was read; null where it was out.
    pub reference_mark_hz: Option<Hertz>,
    /// The reference with the filter reckoned out.
    pub true_reference_v: Volts,
    /// The tolerance as a share of the corner; null where it is a level.
    pub tolerance_percent: Option<Percent>,
    /// The tolerance as a level; null where it is a share of the corner.
    pub tolerance_db: Option<Decibels>,
    /// The point at which the knob is set.
    pub setting: SettingDocument,
    /// The dB-down points.
    pub points: Vec<PointDocument>,
    /// What a person should know.
    pub warnings: Vec<String>,
}

/// The plan in a record: the keys of [`TargetsDocument`] and every other input.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanDocument {
    /// As in [`TargetsDocument`].
    pub tuning_hz: Option<Hertz>,
    /// As in [`TargetsDocument`].
    pub rule: Option<Rule>,
    /// As in [`TargetsDocument`].
    pub corner_hz: Hertz,
    /// As in [`TargetsDocument`].
    pub family: Family,
    /// As in [`TargetsDocument`].
    pub slope_db_per_octave: Slope,
    /// As in [`TargetsDocument`].
    pub q: Option<f64>,
    /// As in [`TargetsDocument`].
    pub reference_v: Volts,
    /// As in [`TargetsDocument`].
    pub reference_mark_hz: Option<Hertz>,
    /// How far the print of the mark may be off; null where the filter was out.
    pub mark_uncertainty_percent: Option<Percent>,
    /// As in [`TargetsDocument`].
    pub true_reference_v: Volts,
    /// As in [`TargetsDocument`].
    pub tolerance_percent: Option<Percent>,
    /// As in [`TargetsDocument`].
    pub tolerance_db: Option<Decibels>,
    /// The meter's share of reading.
    pub meter_accuracy_percent: Percent,
    /// The meter's steps of the last digit.
    pub meter_digits: u32,
    /// One display step.
    pub meter_resolution_v: Volts,
    /// Whether the meter stayed on one range.
    pub range_held: bool,
    /// As in [`TargetsDocument`].
    pub setting: SettingDocument,
    /// As in [`TargetsDocument`].
    pub points: Vec<PointDocument>,
    /// As in [`TargetsDocument`].
    pub warnings: Vec<String>,
}

/// The point at which the knob is set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingDocument {
    /// The tone that is played.
    pub tone_hz: Hertz,
    /// How far down it is against the true reference.
    pub down_db: Decibels,
    /// What the meter should read.
    pub target_v: Volts,
    /// The window's lower end.
    pub low_v: Volts,
    /// The window's upper end.
    pub high_v: Volts,
    /// The accept zone's lower end; null where the zone is empty.
    pub accept_low_v: Option<Volts>,
    /// The accept zone's upper end; null where the zone is empty.
    pub accept_high_v: Option<Volts>,
    /// The corner at the window's upper end; null where that passes the reference.
    pub corner_low_hz: Option<Hertz>,
    /// The corner at the window's lower end; null where that passes the reference.
    pub corner_high_hz: Option<Hertz>,
}

/// One dB-down point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointDocument {
    /// How far down.
    pub down_db: Decibels,
    /// The tone that is this far down.
    pub tone_hz: Hertz,
    /// The volts there.
    pub target_v: Volts,
    /// The window's lower end.
    pub low_v: Volts,
    /// The window's upper end.
    pub high_v: Volts,
    /// The accept zone's lower end; null where the zone is empty.
    pub accept_low_v: Option<Volts>,
    /// The accept zone's upper end; null where the zone is empty.
    pub accept_high_v: Option<Volts>,
}

impl From<&Plan> for TargetsDocument {
    fn from(plan: &Plan) -> Self {
        let inputs = &plan.inputs;
        Self {
            tuning_hz: inputs.corner.rule().and(inputs.corner.tuning()),
            rule: inputs.corner.rule(),
            corner_hz: inputs.corner.corner(),
            family: inputs.alignment.family(),
            slope_db_per_octave: inputs.alignment.slope(),
            q: inputs.alignment.q(),
            reference_v: inputs.reference.reading.volts,
            reference_mark_hz: inputs.reference.mark.map(|mark| mark.at),
            true_reference_v: plan.true_reference,
            tolerance_percent: inputs.tolerance.percent(),
            tolerance_db: inputs.tolerance.db(),
            setting: (&plan.setting).into(),
            points: plan.points.iter().map(PointDocument::from).collect(),
            warnings: plan.warnings.clone(),
        }
    }
}

impl From<&Plan> for PlanDocument {
    fn from(plan: &Plan) -> Self {
        let targets = TargetsDocument::from(plan);
        let inputs = &plan.inputs;
        Self {
            tuning_hz: targets.tuning_hz,
            rule: targets.rule,
            corner_hz: targets.corner_hz,
            family: targets.family,
            slope_db_per_octave: targets.slope_db_per_octave,
            q: targets.q,
            reference_v: targets.reference_v,
            reference_mark_hz: targets.reference_mark_hz,
            mark_uncertainty_percent: inputs.reference.mark.map(|mark| mark.uncertainty),
            true_reference_v: targets.true_reference_v,
            tolerance_percent: targets.tolerance_percent,
            tolerance_db: targets.tolerance_db,
            meter_accuracy_percent: inputs.meter.accuracy,
            meter_digits: inputs.meter.digits,
            meter_resolution_v: inputs.meter.resolution,
            range_held: inputs.range_held,
            setting: targets.setting,
            points: targets.points,
            warnings: targets.warnings,
        }
    }
}

impl From<&Setting> for SettingDocument {
    fn from(setting: &Setting) -> Self {
        Self {
            tone_hz: setting.tone,
            down_db: setting.down,
            target_v: setting.target,
            low_v: setting.window.low,
            high_v: setting.window.high,
            accept_low_v: setting.accept.low(),
            accept_high_v: setting.accept.high(),
            corner_low_hz: setting.corner_low,
            corner_high_hz: setting.corner_high,
        }
    }
}

impl From<&Point> for PointDocument {
    fn from(point: &Point) -> Self {
        Self {
            down_db: point.down,
            tone_hz: point.tone,
            target_v: point.target,
            low_v: point.window.low,
            high_v: point.window.high,
            accept_low_v: point.accept.low(),
            accept_high_v: point.accept.high(),
        }
    }
}
