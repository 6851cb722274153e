//! The numbers, held to what was not computed here: tables made with general libraries, printed figures of standards
//! and handbooks, and properties that hold over the whole table of ranges.

#[path = "numbers/coverage.rs"]
mod coverage;
#[path = "numbers/displacements.rs"]
mod displacements;
#[path = "numbers/filters.rs"]
mod filters;
#[path = "numbers/fits.rs"]
mod fits;
#[path = "numbers/one.rs"]
mod one;
#[path = "common/outside.rs"]
mod outside;
#[path = "numbers/properties.rs"]
mod properties;
#[path = "numbers/published.rs"]
mod published;
#[path = "numbers/scripts.rs"]
mod scripts;
#[path = "numbers/table.rs"]
mod table;
#[path = "numbers/targets.rs"]
mod targets;
#[path = "numbers/tunings.rs"]
mod tunings;
#[path = "common/vented.rs"]
mod vented;
