//! Known gear. A convenience: where it cannot be read it is empty, where it cannot be written nothing is lost.

use super::Store;
use super::disk::{Existing, put, read_up_to};
use crate::session::{Memory, Moment, State};

/// Far more than the gear that is remembered takes.
const MOST: u64 = 4 * 1024 * 1024;

impl Store {
    /// What is remembered of earlier sessions.
    pub fn memory(&self) -> Memory {
        let read = read_up_to(&self.root().join("gear.json"), MOST).ok();
        read.and_then(|bytes| serde_json::from_slice(&bytes).ok()).unwrap_or_default()
    }

    /// Remembers the gear of a finished session, where the disk lets it. The gear of a simulated bench is none.
    pub fn remember(&self, state: &State, at: Moment) {
        if state.opened().practice {
            return;
        }
        let Ok(_lock) = self.lock() else { return };
        let mut memory = self.memory();
        memory.remember(state, at);
        if let Ok(mut bytes) = serde_json::to_vec_pretty(&memory) {
            bytes.push(b'\n');
            let _ = put(&self.root().join("gear.json"), &bytes, Existing::Replaced);
        }
    }
}
