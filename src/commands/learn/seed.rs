//! The seed of a drill or a bench: given, so that a class has the same one, or any.

use clap::Args;

use crate::quantity::{Refusal, entry, ranges};
use crate::store::any_seed;

/// The seed that everything random comes from.
#[derive(Debug, Clone, Args, Default)]
pub(super) struct SeedOption {
    /// A number from 1 to 9999 that everything random comes from: the same number, the same questions [default: any]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    seed: Option<String>,
}

impl SeedOption {
    /// The seed as it was given.
    pub fn given(&self) -> Option<&str> {
        self.seed.as_deref()
    }

    /// The seed.
    pub fn seed(&self) -> Result<u64, Refusal> {
        let Some(typed) = self.given() else {
            return Ok(any_seed());
        };
        Ok(entry::parse(typed, &ranges::SEED)? as u64)
    }
}
