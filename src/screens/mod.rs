//! Seventh floor: every screen as text. Nothing here prints or asks; a terminal only renders these lines.

mod banner;
mod closing;
mod cone;
mod findings;
mod gauge;
mod help;
mod line;
mod news;
mod plan;
mod question;
mod reading;
mod session;
mod tables;

pub use closing::summary;
pub use findings::{explored, swept};
pub use help::help;
pub use line::{Emphasis, Line, Screen, WIDEST};
pub use news::{all_working, news};
pub use plan::{plan, working};
pub use question::{prompt, question};
pub use reading::reading;
pub use session::{Unfinished, gain_voltage, opening, recap, stopped, taken, unfinished};
pub use tables::{corner_table, fit_table, targets_table};
