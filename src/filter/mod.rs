//! First floor: high-pass filters, what they do to a tone, and where a corner is put.

mod alignment;
mod bessel;
mod response;
mod rule;

pub use alignment::{Alignment, Family, Slope};
pub use response::{Corners, Response};
pub use rule::Rule;
