//! Pages of records and audits, as other programs read them: Python's parsers of HTML and XML, and a browser.

mod common;

#[path = "pages/browser.rs"]
mod browser;
#[path = "pages/drawing.rs"]
mod drawing;
#[path = "pages/hostile.rs"]
mod hostile;
#[path = "pages/outline.rs"]
mod outline;
#[path = "pages/said.rs"]
mod said;
