//! The simulated bench: against scipy, against itself, and under someone who does just what the session says.

mod common;

#[path = "practice/drawn.rs"]
mod drawn;
#[path = "practice/fair.rs"]
mod fair;
#[path = "practice/followed.rs"]
mod followed;
#[path = "practice/follower.rs"]
mod follower;
#[path = "practice/properties.rs"]
mod properties;
#[path = "practice/responses.rs"]
mod responses;
#[path = "practice/slipped.rs"]
mod slipped;
#[path = "practice/told.rs"]
mod told;
