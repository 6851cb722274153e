//! Ground floor: quantities, what a person types, and how a quantity is shown.

pub mod entry;
pub mod ranges;
mod refusal;
pub mod show;
pub mod text;
mod units;

pub use refusal::Refusal;
pub use units::{
    Centimetres, Decibels, FullScale, Grams, Hertz, Litres, Millihenries, Millimetres, MillimetresPerNewton, Ohms,
    Percent, Seconds, SquareCentimetres, Volts, Watts,
};
