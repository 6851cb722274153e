//! Ninth floor: pages to keep and to hand on, as HTML and SVG that stand alone; nothing here writes a file.

mod excursion;
mod html;
mod svg;

pub use excursion::{excursion, excursion_drawing};
