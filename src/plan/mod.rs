//! Fourth floor: from what is known to the tone, the targets and the windows.

mod document;
mod inputs;
mod made;
mod points;
mod restored;
mod setting;
mod warnings;
mod working;

pub use document::{PlanDocument, TargetsDocument};
pub use inputs::{CornerChoice, Inputs};
pub use made::{Judged, Plan};
pub use points::{DOWN_POINTS, MIN_STEPS, Point};
pub use setting::Setting;
pub use warnings::{HAZARDOUS, family_guess, still_open};
pub use working::{judging, planning};
