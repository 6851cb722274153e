//! The table `pairs`.

use super::column::{Column, PairRow, columns};
use crate::quantity::{Hertz, Volts};
use crate::record::{Record, Strikes};
use crate::session::{LogEntry, Moment, Question};

/// Its own columns.
pub(super) const COLUMNS: &[Column] = columns! { Pair(row):
    event: &str = row.event, "`explore`: read to find out an unknown filter; `sweep`: read to check the filter.";
    number: u32 = row.entry.number, "The reading, counted from 1 over all of its kind that were typed in the session.";
    at: Moment = row.entry.at, "When it was taken.";
    typed: &str = &row.entry.typed, "As typed.";
    volts: Volts = row.entry.volts, "The volts taken.";
    tone_hz: Hertz = row.entry.tone_hz, "The tone that was played.";
    reference_v: Option<Volts> = row.entry.reference_v, "Its own reference; null where it uses the session's.";
    struck: bool = row.strike_reason.is_some(), "Whether it was struck out; such a reading does not count.";
    strike_reason: Option<&str> = row.strike_reason, "Why it was struck out; null where it was not.";
};

/// The pairs of a record, in the order of its log.
pub(super) fn of(record: &Record) -> impl Iterator<Item = PairRow<'_>> {
    let strikes = Strikes::of(record);
    record.log.iter().filter_map(move |logged| {
        let (list, entry) = match logged {
            LogEntry::Explore(entry) => (Question::Explore, entry),
            LogEntry::Sweep(entry) => (Question::Sweep, entry),
            _ => return None,
        };
        Some(PairRow { event: logged.event(), entry, strike_reason: strikes.reason(list, entry.number) })
    })
}
