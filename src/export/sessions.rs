//! The table `sessions`.

use super::cell::Seconds;
use super::column::{Column, columns};
use super::readings;
use crate::filter::{Family, Rule, Slope};
use crate::meter::Verdict;
use crate::quantity::{Decibels, Hertz, Millimetres, Ohms, Percent, Volts, Watts};
use crate::record::{FamilyFrom, Record};
use crate::session::{EntryMode, LogEntry, Moment};

/// Its own columns.
pub(super) const COLUMNS: &[Column] = columns! { Record(record):
    format: &str = &record.format, "The name of the record's format.";
    version: u32 = record.version, "The version of that format.";
    entry: EntryMode = record.entry, "Who typed: `keyboard` for a person, `script` for a script, at least in part.";
    previous: Option<&str> = record.previous.as_deref(),
        "The digest of the record before in the chain; null for the first.";
    tool: &str = &record.tool, "The program that made the record, and its version.";
    opened_at: Moment = record.opened_at, "When the session was opened.";
    duration_s: Seconds = duration(record), "From opening to sign-off by the clock, breaks included.";
    amplifier_gain_set_before: bool = record.amplifier.gain_set_before, "Whether the gain was set before the session.";
    amplifier_rated_power_w: Option<Watts> = record.amplifier.rated_power_w,
        "Rated power, where it was given to set the gain by.";
    amplifier_load_ohm: Option<Ohms> = record.amplifier.load_ohm, "The load, where it was given.";
    filter_family: Family = record.filter.family,
        "The family that the filter was taken for: `butterworth`, `linkwitz-riley`, `bessel` or `second-order`.";
    filter_slope_db_per_octave: Slope = record.filter.slope_db_per_octave, "The slope that it was taken for.";
    filter_q: Option<f64> = record.filter.q, "The Q of a second-order filter; null else.";
    filter_family_from: FamilyFrom = record.filter.family_from,
        "Where the family comes from: `answer`, `fit` to readings, or `guess`.";
    filter_bypass: bool = record.filter.bypass, "Whether the filter can be taken out.";
    filter_dial_mark_hz: Option<Hertz> = record.filter.dial_mark_hz, "What the print at the knob says where it was left.";
    meter_accuracy_percent: Percent = record.meter.accuracy_percent, "The meter's share of reading.";
    meter_digits: u32 = record.meter.digits, "The meter's steps of the last digit.";
    meter_resolution_v: Volts = record.meter.resolution_v, "One display step.";
    meter_range_held: bool = record.meter.range_held, "Whether the meter stayed on one range.";
    box_tuning_hz: Option<Hertz> = record.enclosure.tuning_hz, "The tuning of the box; null where it is unknown.";
    box_driver: Option<&str> = record.enclosure.driver.as_deref(),
        "Driver, box and drive as the keys of a driver file on one line; null where they are unknown.";
    box_filter_needed: Option<bool> = record.enclosure.filter_needed,
        "Whether this driver in this box needs the filter; null where that is unknown.";
    box_lowest_safe_corner_hz: Option<Hertz> = record.enclosure.lowest_safe_corner_hz,
        "The lowest corner that keeps the cone within Xmax; null where none is known, needed or enough.";
    box_peak_mm: Option<Millimetres> = record.enclosure.peak_mm,
        "The farthest that the cone travels, one way, with the wanted corner; null where driver and box are unknown.";
    box_peak_hz: Option<Hertz> = record.enclosure.peak_hz, "Where it travels so far.";
    box_xmax_mm: Option<Millimetres> = record.enclosure.xmax_mm,
        "The linear limit of travel; null where driver and box are unknown.";
    box_within_xmax: Option<bool> = record.enclosure.within_xmax,
        "Whether the cone keeps within that; null where driver and box are unknown.";
    box_highest_drive_v: Option<Volts> = record.enclosure.highest_drive_v,
        "The most drive at which it would, with the wanted corner; null where driver and box are unknown.";
    plan_tuning_hz: Option<Hertz> = record.plan.tuning_hz,
        "The tuning that the corner follows from; null with a corner of one's own.";
    plan_rule: Option<Rule> = record.plan.rule,
        "How it follows: `three-quarters`, `half-octave` or `octave`; null with a corner of one's own.";
    plan_corner_hz: Hertz = record.plan.corner_hz, "The wanted corner.";
    plan_family: Family = record.plan.family, "The family planned for.";
    plan_slope_db_per_octave: Slope = record.plan.slope_db_per_octave, "The slope planned for.";
    plan_q: Option<f64> = record.plan.q, "The Q planned for; null unless the filter is second-order.";
    plan_reference_v: Volts = record.plan.reference_v, "The reference as read.";
    plan_reference_mark_hz: Option<Hertz> = record.plan.reference_mark_hz,
        "Where the filter stood when it was read; null where it was out.";
    plan_mark_uncertainty_percent: Option<Percent> = record.plan.mark_uncertainty_percent,
        "How far the print of that mark may be off; null where the filter was out.";
    plan_true_reference_v: Volts = record.plan.true_reference_v, "The reference with the filter reckoned out.";
    plan_tolerance_percent: Option<Percent> = record.plan.tolerance_percent,
        "The tolerance as a share of the corner; null where it is a level.";
    plan_tolerance_db: Option<Decibels> = record.plan.tolerance_db,
        "The tolerance as a level; null where it is a share of the corner.";
    plan_meter_accuracy_percent: Percent = record.plan.meter_accuracy_percent,
        "The meter's share of reading, as the plan took it.";
    plan_meter_digits: u32 = record.plan.meter_digits, "The meter's steps of the last digit, as the plan took them.";
    plan_meter_resolution_v: Volts = record.plan.meter_resolution_v, "One display step, as the plan took it.";
    plan_range_held: bool = record.plan.range_held, "Whether the meter stayed on one range, as the plan took it.";
    plan_setting_tone_hz: Hertz = record.plan.setting.tone_hz, "The tone that the knob is set by.";
    plan_setting_down_db: Decibels = record.plan.setting.down_db,
        "How far down that tone is against the true reference.";
    plan_setting_target_v: Volts = record.plan.setting.target_v, "What the meter should read at that tone.";
    plan_setting_low_v: Volts = record.plan.setting.low_v, "The lower end of the window.";
    plan_setting_high_v: Volts = record.plan.setting.high_v, "The upper end of the window.";
    plan_setting_accept_low_v: Option<Volts> = record.plan.setting.accept_low_v,
        "The lower end of the accept zone: the window less the meter's uncertainty; null where that leaves nothing.";
    plan_setting_accept_high_v: Option<Volts> = record.plan.setting.accept_high_v,
        "The upper end of the accept zone; null where the zone is empty.";
    plan_setting_corner_low_hz: Option<Hertz> = record.plan.setting.corner_low_hz,
        "The corner at the window's upper end; null where that passes the reference.";
    plan_setting_corner_high_hz: Option<Hertz> = record.plan.setting.corner_high_hz,
        "The corner at the window's lower end; null where that passes the reference.";
    outcome_verdict: Verdict = record.outcome.verdict,
        "The verdict on the last reading: `above`, `inside`, `below` or `borderline`.";
    outcome_corner_hz: Option<Hertz> = record.outcome.corner_hz,
        "The corner that the last reading says; null where it is not one.";
    outcome_corner_uncertainty_hz: Option<Hertz> = record.outcome.corner_uncertainty_hz,
        "Expanded uncertainty of that corner, k = 2.";
    outcome_fit_corner_hz: Option<Hertz> = record.outcome.fit.as_ref().map(|fit| fit.corner_hz),
        "The corner that the sweep fits. This and the three below are null without a sweep.";
    outcome_fit_corner_standard_error_hz: Option<Hertz> =
        record.outcome.fit.as_ref().map(|fit| fit.corner_standard_error_hz),
        "Its standard error.";
    outcome_fit_family: Option<Family> = record.outcome.fit.as_ref().map(|fit| fit.family),
        "The family that the sweep fits.";
    outcome_fit_slope_db_per_octave: Option<Slope> = record.outcome.fit.as_ref().map(|fit| fit.slope_db_per_octave),
        "The slope that the sweep fits.";
    outcome_family_confirmed: Option<bool> = record.outcome.family_confirmed,
        "Whether the sweep confirms the filter in use; null where it cannot tell.";
    outcome_reason: Option<&str> = record.outcome.reason.as_deref(),
        "Why the setting was accepted outside its window; null where it was not.";
    readings_count: usize = readings::of(record).count(), "Readings while the knob was turned, struck ones too.";
    struck_count: usize = readings::of(record).filter(|reading| reading.strike_reason.is_some()).count(),
        "How many of those readings were struck out.";
    explore_count: usize = count(record, |entry| matches!(entry, LogEntry::Explore(_))),
        "Readings to find out an unknown filter, struck ones too.";
    sweep_count: usize = count(record, |entry| matches!(entry, LogEntry::Sweep(_))),
        "Readings to check the filter, struck ones too.";
    notes_count: usize = count(record, |entry| matches!(entry, LogEntry::Note(_))), "Notes in the log.";
    warnings_count: usize = record.plan.warnings.len(), "Warnings of the plan.";
    sign_off_name: &str = &record.sign_off.name, "Who signed off, as typed.";
    sign_off_at: Moment = record.sign_off.at, "When.";
    sign_off_statement: &str = &record.sign_off.statement, "What the name stands for.";
    sign_off_digest: &str = &record.sign_off.digest, "The digest of the record.";
    sign_off_signed: bool = record.sign_off.signature.is_some(),
        "Whether a key signed as well. That it did so rightly is not checked here.";
};

/// To the millisecond, as both moments are. Below zero where the clock was set back.
fn duration(record: &Record) -> Seconds {
    let time = record.closed_at.time() - record.opened_at.time();
    Seconds(time.num_milliseconds() as f64 / 1000.0)
}

fn count(record: &Record, is_one: impl Fn(&LogEntry) -> bool) -> usize {
    record.log.iter().filter(|entry| is_one(entry)).count()
}
