//! Entries of the log as JSON. One whose `event` stands first, as this program writes it, is read as it comes; another is
//! held as a whole until its `event` is known, which takes three times as long.

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::{Map, Value};

use super::entry::{
    AcceptEntry, AnswerEntry, CautionEntry, LogEntry, NoteEntry, PairEntry, PauseEntry, ReadingEntry, ReferenceEntry,
    ResumeEntry, StrikeEntry,
};

/// The key that says what an entry is.
const EVENT: &str = "event";

/// What it may say.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum Event {
    Answer,
    Caution,
    Reference,
    Explore,
    Reading,
    Strike,
    Accept,
    Sweep,
    Note,
    Pause,
    Resume,
}

impl Serialize for LogEntry {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Self::serialize(self, serializer)
    }
}

impl<'de> Deserialize<'de> for LogEntry {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(EntryVisitor)
    }
}

struct EntryVisitor;

impl<'de> Visitor<'de> for EntryVisitor {
    type Value = LogEntry;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an entry of a log")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<LogEntry, A::Error> {
        let first: Option<String> = entries.next_key()?;
        match first {
            Some(key) if key == EVENT => in_order(entries.next_value()?, MapAccessDeserializer::new(entries)),
            first => held(first, entries),
        }
    }
}

fn in_order<'de, D: Deserializer<'de>>(event: Event, rest: D) -> Result<LogEntry, D::Error> {
    Ok(match event {
        Event::Answer => LogEntry::Answer(AnswerEntry::deserialize(rest)?),
        Event::Caution => LogEntry::Caution(CautionEntry::deserialize(rest)?),
        Event::Reference => LogEntry::Reference(ReferenceEntry::deserialize(rest)?),
        Event::Explore => LogEntry::Explore(PairEntry::deserialize(rest)?),
        Event::Reading => LogEntry::Reading(ReadingEntry::deserialize(rest)?),
        Event::Strike => LogEntry::Strike(StrikeEntry::deserialize(rest)?),
        Event::Accept => LogEntry::Accept(AcceptEntry::deserialize(rest)?),
        Event::Sweep => LogEntry::Sweep(PairEntry::deserialize(rest)?),
        Event::Note => LogEntry::Note(NoteEntry::deserialize(rest)?),
        Event::Pause => LogEntry::Pause(PauseEntry::deserialize(rest)?),
        Event::Resume => LogEntry::Resume(ResumeEntry::deserialize(rest)?),
    })
}

fn held<'de, A: MapAccess<'de>>(mut key: Option<String>, mut entries: A) -> Result<LogEntry, A::Error> {
    let mut whole = Map::new();
    while let Some(name) = key {
        if whole.contains_key(&name) {
            return Err(Error::custom(format!("duplicate field `{name}`")));
        }
        let value: Value = entries.next_value()?;
        whole.insert(name, value);
        key = entries.next_key()?;
    }
    LogEntry::deserialize(Value::Object(whole)).map_err(Error::custom)
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: &str = r#""at":"2026-03-05T14:07:09.250+05:30""#;

    fn read(text: &str) -> Result<LogEntry, String> {
        serde_json::from_str(text).map_err(|error| error.to_string())
    }

    #[test]
    fn the_order_of_the_keys_is_nothing() {
        for (event, rest) in [
            ("note", r#""question":"reading","text":"x""#),
            ("pause", ""),
            ("accept", r#""typed":"yes","accepted":true"#),
            ("reference", r#""typed":"8","volts":8.0,"span_v":null,"tone_hz":27.0,"mark_hz":null"#),
        ] {
            let rest = [AT, rest].join(if rest.is_empty() { "" } else { "," });
            let (first, last) =
                (format!(r#"{{"event":"{event}",{rest}}}"#), format!(r#"{{{rest},"event":"{event}"}}"#));
            let entry = read(&first).unwrap_or_else(|error| panic!("{first}: {error}"));
            assert_eq!(read(&last).as_ref(), Ok(&entry));
            assert_eq!(entry.event(), event);
            assert!(serde_json::to_string(&entry).unwrap().starts_with(&format!(r#"{{"event":"{event}","at":"#)));
        }
    }

    #[test]
    fn what_is_there_twice_too_many_or_missing_is_refused_in_any_order() {
        for (text, why) in [
            (format!(r#"{{"event":"pause",{AT},{AT}}}"#), "duplicate field"),
            (format!(r#"{{{AT},"event":"pause",{AT}}}"#), "duplicate field"),
            (format!(r#"{{"event":"pause",{AT},"event":"pause"}}"#), "unknown field"),
            (format!(r#"{{{AT},"event":"pause","event":"pause"}}"#), "duplicate field"),
            (format!(r#"{{"event":"pause",{AT},"more":1}}"#), "unknown field"),
            (format!(r#"{{{AT},"event":"pause","more":1}}"#), "unknown field"),
            (format!(r#"{{"event":"guess",{AT}}}"#), "unknown variant"),
            (format!(r#"{{{AT},"event":"guess"}}"#), "unknown variant"),
            (format!("{{{AT}}}"), "missing field `event`"),
            (r#"{"event":"pause"}"#.to_owned(), "missing field `at`"),
            ("{}".to_owned(), "missing field `event`"),
            ("[]".to_owned(), "an entry of a log"),
        ] {
            let error = read(&text).unwrap_err();
            assert!(error.contains(why), "{text}: {error}");
        }
    }
}
