//! Every screen as text, at 80 and at 60 columns, against `snapshots/`. No process but for `--help`, no files, a fixed
//! clock.

mod common;

#[path = "screens/audits.rs"]
mod audits;
#[path = "screens/excursion.rs"]
mod excursion;
#[path = "screens/findings.rs"]
mod findings;
#[path = "screens/frame.rs"]
mod frame;
#[path = "screens/options.rs"]
mod options;
#[path = "screens/plan.rs"]
mod plan;
#[path = "screens/play.rs"]
mod play;
#[path = "screens/questions.rs"]
mod questions;
#[path = "screens/readings.rs"]
mod readings;
#[path = "screens/records.rs"]
mod records;
#[path = "screens/tables.rs"]
mod tables;
#[path = "screens/tuning.rs"]
mod tuning;
