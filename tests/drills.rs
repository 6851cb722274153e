//! Drills: every answer worked out again elsewhere, every known mistake told from it, what comes back when, the screens.

mod common;

#[path = "drills/asked.rs"]
mod asked;
#[path = "drills/elsewhere.rs"]
mod elsewhere;
#[path = "drills/judged.rs"]
mod judged;
#[path = "drills/kept.rs"]
mod kept;
#[path = "drills/shown.rs"]
mod shown;
#[path = "drills/spaced.rs"]
mod spaced;
