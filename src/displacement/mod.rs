//! Fourth floor: how far a cone travels, in which box, at which drive, and what a filter does about it.

mod advice;
pub mod air;
mod analysis;
mod circuit;
mod cone;
mod dialogue;
mod document;
mod driver;
mod enclosure;
mod fields;
mod file;
mod search;

pub use advice::{TENTH, up_to_tenth};
pub use analysis::{Analysis, Choice, Setup, Unfiltered};
pub use circuit::{Circuit, Motion};
pub use cone::{Cone, CurvePoint, Drive, HIGHEST};
pub use dialogue::{Dialogue, Told};
pub use document::ExcursionDocument;
pub use driver::{DataSheet, Driver, Mechanics};
pub use enclosure::{Enclosure, USUAL_LEAKAGE_Q};
pub use fields::Fields;
pub use search::{FilterIn, Peak};
