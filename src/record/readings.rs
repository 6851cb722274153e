//! What a record says of its readings, and of who stands for them.

use std::collections::HashMap;

use super::document::Record;
use crate::session::{LogEntry, Question, ReadingEntry};

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

    /// The reading that was accepted: the last one that was not struck.
    pub fn accepted_reading(&self) -> Option<&ReadingEntry> {
        let strikes = Strikes::of(self);
        self.readings().rev().find(|reading| strikes.reason(Question::Reading, reading.number).is_none())
    }
}

/// What was struck out of a record's lists, and why.
pub struct Strikes<'a>(HashMap<(Question, u32), &'a str>);

impl<'a> Strikes<'a> {
    /// The strikes of a record.
    pub fn of(record: &'a Record) -> Self {
        let strikes = record.log.iter().filter_map(|entry| match entry {
            LogEntry::Strike(strike) => Some(((strike.question, strike.number), strike.reason.as_str())),
            _ => None,
        });
        Self(strikes.collect())
    }

    /// Why a reading of a list was struck; `None` where it was not.
    pub fn reason(&self, list: Question, number: u32) -> Option<&'a str> {
        self.0.get(&(list, number)).copied()
    }
}
