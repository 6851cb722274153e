//! What a record says of its readings, and of who stands for them.

use super::document::Record;
use crate::session::{LogEntry, Question, ReadingEntry, StrikeEntry};

impl Record {
    /// Whether the name that signed off is the technician's, however it is capitalised.
    pub fn is_signed_by_technician(&self) -> bool {
        self.sign_off.name.to_lowercase() == self.technician.to_lowercase()
    }

    /// Every reading taken while the knob was turned, struck ones too.
    pub fn readings(&self) -> impl DoubleEndedIterator<Item = &ReadingEntry> {
        self.log.iter().filter_map(|entry| match entry {
            LogEntry::Reading(reading) => Some(reading),
            _ => None,
        })
    }

    /// How a reading of a list was struck out, where it was.
    pub fn struck(&self, list: Question, number: u32) -> Option<&StrikeEntry> {
        self.log.iter().find_map(|entry| match entry {
            LogEntry::Strike(strike) if strike.question == list && strike.number == number => Some(strike),
            _ => None,
        })
    }

    /// The reading that was accepted: the last one that was not struck.
    pub fn accepted_reading(&self) -> Option<&ReadingEntry> {
        self.readings().rev().find(|reading| self.struck(Question::Reading, reading.number).is_none())
    }
}
