//! The whole process: arguments and scripts in; status, output, errors and files out.

mod common;

#[path = "process/audits.rs"]
mod audits;
#[path = "process/canonical.rs"]
mod canonical;
#[path = "process/corner.rs"]
mod corner;
#[path = "process/environment.rs"]
mod environment;
#[path = "process/events.rs"]
mod events;
#[path = "process/excursion.rs"]
mod excursion;
#[path = "process/jcs.rs"]
mod jcs;
#[path = "process/keys.rs"]
mod keys;
#[path = "process/learn.rs"]
mod learn;
#[path = "process/listing.rs"]
mod listing;
#[path = "process/pages.rs"]
mod pages;
#[path = "process/partitions.rs"]
mod partitions;
#[path = "process/practice.rs"]
mod practice;
#[path = "process/record.rs"]
mod record;
#[path = "process/records.rs"]
mod records;
#[path = "process/resume.rs"]
mod resume;
#[path = "process/script.rs"]
mod script;
#[path = "process/signing.rs"]
mod signing;
#[path = "process/support.rs"]
mod support;
#[path = "process/synced.rs"]
mod synced;
#[path = "process/targets.rs"]
mod targets;
#[path = "process/together.rs"]
mod together;
#[path = "process/tuning.rs"]
mod tuning;
#[path = "process/witness.rs"]
mod witness;
