//! The roof: arguments, one command a file, exit codes.

mod arguments;
mod common;
mod corner;
mod error;
mod excursion;
mod filter_options;
mod meter_options;
mod set;
mod signing;
mod targets;
mod tuning;

pub use arguments::{Arguments, run};
pub use error::{CommandError, Exit};
