//! Pages for those who run Cornerset rather than build on it. Text only; each page is a file beside this one.

#[doc = include_str!("trust.md")]
pub mod trust {}

#[doc = include_str!("scale.md")]
pub mod scale {}
