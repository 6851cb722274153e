//! Third floor: from readings to the corner, with how well it is known.

mod fit;
mod one;
mod reference;
mod search;
mod telling;

pub use fit::{Alternative, Fit, NoFit, Pair, SharedReference, TOLD_APART, several_tones};
pub use one::{CornerSaid, FAR_ABOVE_PERCENT, corner_from_reading, far_above, percent_per_percent};
pub use reference::{COVERAGE, Mark, RatioForm, Reading, Reference};
pub use telling::{Evidence, LEAST_STEPS, TellingTone, playable};
