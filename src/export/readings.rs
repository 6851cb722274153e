//! The table `readings`.

use super::column::{Column, ReadingRow, columns};
use crate::meter::Verdict;
use crate::quantity::{Decibels, Hertz, Volts};
use crate::record::{Record, Strikes};
use crate::session::{LogEntry, Moment, Question};

/// Its own columns.
pub(super) const COLUMNS: &[Column] = columns! { Reading(row):
    number: u32 = row.entry.number, "The reading, counted from 1 over all that were typed in the session.";
    at: Moment = row.entry.at, "When it was taken.";
    typed: &str = &row.entry.typed, "As typed.";
    volts: Volts = row.entry.volts, "The volts taken.";
    span_low_v: Option<Volts> = row.entry.span_v.map(|[low, _]| low),
        "The lowest of several values; null where one was typed.";
    span_high_v: Option<Volts> = row.entry.span_v.map(|[_, high]| high),
        "The highest of several values; null where one was typed.";
    tone_hz: Hertz = row.entry.tone_hz, "The tone that was played.";
    down_db: Decibels = row.entry.down_db, "How far below the true reference.";
    corner_hz: Option<Hertz> = row.entry.corner_hz,
        "Where the corner stands; null where the reading does not say one corner.";
    verdict: Verdict = row.entry.verdict, "The verdict: `above`, `inside`, `below` or `borderline`.";
    struck: bool = row.strike_reason.is_some(), "Whether it was struck out; such a reading does not count.";
    strike_reason: Option<&str> = row.strike_reason, "Why it was struck out; null where it was not.";
    plan_setting_target_v: Option<Volts> = row.plan.map(|plan| plan.setting.target_v),
        "What the meter should have read. This and the four below are those of the final plan; null for a reading \
         that an earlier plan judged: one before the last reference, or before the knob was set again for another \
         filter.";
    plan_setting_low_v: Option<Volts> = row.plan.map(|plan| plan.setting.low_v),
        "The lower end of the window it was judged by.";
    plan_setting_high_v: Option<Volts> = row.plan.map(|plan| plan.setting.high_v),
        "The upper end of the window it was judged by.";
    plan_setting_accept_low_v: Option<Volts> = row.plan.and_then(|plan| plan.setting.accept_low_v),
        "The lower end of the accept zone: the window less the meter's uncertainty; null too where that leaves \
         nothing.";
    plan_setting_accept_high_v: Option<Volts> = row.plan.and_then(|plan| plan.setting.accept_high_v),
        "The upper end of the accept zone; null too where the zone is empty.";
};

/// The readings of a record, in the order of its log.
pub(super) fn of(record: &Record) -> impl Iterator<Item = ReadingRow<'_>> {
    let strikes = Strikes::of(record);
    let first_by_final_plan = record.log.iter().rposition(makes_a_plan).map_or(0, |last| last + 1);
    record.log.iter().enumerate().filter_map(move |(place, logged)| match logged {
        LogEntry::Reading(entry) => Some(ReadingRow {
            entry,
            strike_reason: strikes.reason(Question::Reading, entry.number),
            plan: (place >= first_by_final_plan).then_some(&record.plan),
        }),
        _ => None,
    })
}

/// Whether an entry of the log makes the plan anew: only a reference does, and the answer that sets the knob again for
/// another filter, which names that filter. Any other change of an input asks for the reference again.
fn makes_a_plan(entry: &LogEntry) -> bool {
    match entry {
        LogEntry::Reference(_) => true,
        LogEntry::Answer(answer) => answer.question == Question::SetAgain && answer.filter.is_some(),
        _ => false,
    }
}
