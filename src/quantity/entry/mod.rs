//! Numbers as a person types them: `27`, `27 Hz`, `0.027 kHz`, `5,66`, `5660 mV`, `.5`, `5.61..5.70`.
//!
//! Only the digits 0 to 9 with one decimal mark make a number. What could be read in two ways is read only where the
//! field's range leaves one; nothing is guessed, and every refusal says what would be taken.

mod clock;
mod numeral;
mod pair;
mod several;
mod single;
mod slope;
mod tolerance;
mod unit;

pub use pair::split_pair;
pub use several::{MOST_REPEATS, Typed, parse_repeats_or_span};
pub use single::{MOST_CHARACTERS, parse};
pub use slope::parse_slope_number;
pub use tolerance::{ToleranceEntry, parse_tolerance};
