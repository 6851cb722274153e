//! The time of this machine, with its offset.

use chrono::Local;

use crate::session::{Clock, Moment};

/// The clock of the machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&mut self) -> Moment {
        Moment::new(Local::now().fixed_offset())
    }
}
