//! Above the line: the terminal, the clock, the keyboard and the script. The only place that prints or asks.

mod clock;
mod driver;
mod driver_file;
mod find_tuning;
mod keyboard;
#[cfg(unix)]
mod keys;
#[cfg(unix)]
mod layout;
mod lead;
#[cfg(unix)]
mod line;
#[cfg(unix)]
mod line_editor;
#[cfg(unix)]
mod modes;
mod passphrase;
mod player;
mod progress;
mod prompt;
mod quiz;
mod script;
mod script_lines;
mod secret;
mod signals;
mod simulated;
mod voice;

pub use clock::SystemClock;
pub use driver_file::{file_shown, read_driver_file};
pub use find_tuning::find_tuning;
pub use keyboard::{Choice, Keyboard, choose_unfinished};
pub use passphrase::{Asker, NoPassphrase};
pub use player::{NotPlayed, Player};
pub use progress::ProgressBar;
pub use prompt::read_line;
pub use quiz::{Answers, QuizEnd, go_on, put_questions};
pub use script::Script;
pub use script_lines::ScriptSource;
pub use signals::{Interrupts, stop_on_signal, survive_size_limits};
pub use simulated::Simulated;
pub use voice::{OutputError, Style, Voice};
