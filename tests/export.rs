//! Records as rows: what the program writes, held to what DuckDB and Python's own csv and json modules read, over the
//! sample records and over records whose every text is hostile.

#[path = "export/columns.rs"]
mod columns;
#[path = "export/formulas.rs"]
mod formulas;
#[cfg(feature = "parquet")]
#[path = "common/outside.rs"]
mod outside;
#[cfg(feature = "parquet")]
#[path = "export/readers.rs"]
mod readers;
#[path = "export/records.rs"]
mod records;
#[path = "export/trouble.rs"]
mod trouble;
#[path = "export/windows.rs"]
mod windows;
