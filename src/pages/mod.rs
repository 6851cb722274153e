//! Ninth floor: pages to keep and to hand on, as HTML and SVG that stand alone; nothing here writes a file.

mod audit;
mod excursion;
mod html;
mod record;
mod setting;
mod svg;

pub use audit::audit_page;
pub use excursion::{excursion, excursion_drawing};
pub use record::record_page;
