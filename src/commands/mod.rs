//! The roof: arguments, one command a file, exit codes.

mod arguments;
mod audit;
mod common;
mod completions;
mod corner;
mod dates;
mod error;
mod excursion;
mod filter_options;
mod key;
mod learn;
mod man;
mod meter_options;
mod page_name;
mod panel;
mod plan_options;
mod records;
mod session_options;
mod set;
mod signing;
mod sitting;
mod stream;
mod targets;
mod tone;
mod trust;
mod tuning;
mod unfinished;
mod words;

pub use arguments::{Arguments, run};
pub use error::{CommandError, Exit};
