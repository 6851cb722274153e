#![doc = include_str!("columns.md")]

mod cell;
mod column;
mod dictionary;
mod error;
mod exporter;
mod guard;
mod identity;
mod pairs;
mod partition;
mod readings;
mod sessions;
mod table;
mod write_csv;
mod write_ndjson;
#[cfg(feature = "parquet")]
mod write_parquet;

pub use cell::{Cell, Kind};
pub use column::Column;
pub use dictionary::{dictionary, dictionary_page};
pub use error::ExportError;
pub use exporter::{Exporter, Format};
pub use partition::Partition;
pub use table::{FORMAT, Rows, VERSION, columns};
