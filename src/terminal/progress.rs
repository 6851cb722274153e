//! A progress bar for work that may take a while; it shows on a terminal only, and only once there is much to do.

use indicatif::{ProgressBar as Bar, ProgressDrawTarget, ProgressStyle};

/// Fewer steps than this are over before a bar could be read.
const WORTH_A_BAR: usize = 500;

/// A bar on standard error that is gone when it is dropped.
pub struct ProgressBar {
    bar: Bar,
}

impl ProgressBar {
    /// A bar with this label.
    pub fn new(label: &'static str) -> Self {
        let bar = Bar::with_draw_target(None, ProgressDrawTarget::hidden());
        // The template is a constant; were it wrong, the plain bar would do.
        if let Ok(style) = ProgressStyle::with_template("{msg}: {pos} of {len}") {
            bar.set_style(style);
        }
        bar.set_message(label);
        Self { bar }
    }

    /// So many of so many.
    pub fn at(&self, done: usize, of: usize) {
        if of >= WORTH_A_BAR && done.is_multiple_of(32) {
            if self.bar.is_hidden() && done == 0 {
                self.bar.set_draw_target(ProgressDrawTarget::stderr());
            }
            self.bar.set_length(of as u64);
            self.bar.set_position(done as u64);
        }
    }
}

impl Drop for ProgressBar {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
