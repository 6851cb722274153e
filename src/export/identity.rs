//! The columns that every table starts with: whose row it is.

use super::column::{Column, columns};
use crate::session::Moment;

/// See the head of this file.
pub(super) const COLUMNS: &[Column] = columns! { Record(record):
    id: &str = &record.id, "The session, a UUID of version 7.";
    bench: &str = &record.bench, "The bench, whose records form a chain.";
    sequence: u64 = record.sequence, "The record's place in that chain, from 1.";
    practice: bool = record.practice, "Whether the readings come from a simulated bench; such a record never counts.";
    closed_at: Moment = record.closed_at, "When the session was signed off.";
    job: &str = &record.job, "The job.";
    technician: &str = &record.technician, "The technician.";
    amplifier_name: &str = &record.amplifier.name, "The amplifier as named.";
    meter_name: &str = &record.meter.name, "The meter as named.";
};
