//! Kinds of question, each made from chance.

mod draft;
mod kind;
mod level;
mod make;

pub use kind::Form;
