//! Cornerset: from a low-cut knob and a voltmeter to a corner that is known, with a record that says how.

#![forbid(unsafe_code)]

pub mod audit;
pub mod chance;
pub mod commands;
pub mod corner;
pub mod displacement;
pub mod export;
pub mod filter;
pub mod learn;
pub mod manual;
pub mod meter;
pub mod pages;
pub mod plan;
pub mod practice;
pub mod quantity;
pub mod record;
pub mod screens;
pub mod session;
pub mod signature;
pub mod store;
pub mod terminal;
pub mod tone;
pub mod tuning;
