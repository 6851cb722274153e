//! Kinds of question, each made from chance.

mod cone;
mod draft;
mod kind;
mod level;
mod make;
mod meter;
mod numbers;
mod octave;
mod power;
pub(super) mod safety;
mod slope;
mod traps;
mod window;

pub use kind::Form;
