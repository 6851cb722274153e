//! Test tones: measured with general tools, named and listed as they should be, refused where they would do harm, played and
//! stopped.

mod common;

#[path = "tones/folder.rs"]
mod folder;
#[path = "tones/measured.rs"]
mod measured;
#[path = "tones/play.rs"]
mod play;
#[path = "tones/proposed.rs"]
mod proposed;
#[path = "tones/refused.rs"]
mod refused;
#[path = "tones/session.rs"]
mod session;
#[path = "tones/words.rs"]
mod words;
