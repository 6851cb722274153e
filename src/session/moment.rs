//! A moment with the offset of the place where it was written down.

use std::fmt;

use chrono::{DateTime, FixedOffset, SecondsFormat};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A moment, to the millisecond, that prints as RFC 3339 with its offset.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(DateTime<FixedOffset>);

impl Moment {
    /// Cuts a time to milliseconds.
    pub fn new(time: DateTime<FixedOffset>) -> Self {
        let millis = time.timestamp_millis();
        let cut = DateTime::from_timestamp_millis(millis).map(|utc| utc.with_timezone(time.offset()));
        Self(cut.unwrap_or(time))
    }

    /// The day and the minute where it was written down: `2026-03-05 09:30`.
    pub fn minute(self) -> String {
        self.0.format("%Y-%m-%d %H:%M").to_string()
    }

    /// The time.
    pub const fn time(self) -> DateTime<FixedOffset> {
        self.0
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.to_rfc3339_opts(SecondsFormat::Millis, false))
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(MomentVisitor)
    }
}

struct MomentVisitor;

impl de::Visitor<'_> for MomentVisitor {
    type Value = Moment;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a time as in RFC 3339")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Moment, E> {
        DateTime::parse_from_rfc3339(text).map(Moment::new).map_err(|error| E::custom(format!("not a time: {error}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_keeps_its_offset_and_its_milliseconds() {
        let text = "\"2026-03-05T14:07:09.250+05:30\"";
        let moment: Moment = serde_json::from_str(text).unwrap();
        assert_eq!(serde_json::to_string(&moment).unwrap(), text);
        assert_eq!(Moment::new(moment.time()), moment);
    }

    /// RFC 3339, section 5.6, sets no limit to the digits of a second.
    #[test]
    fn what_is_read_is_cut_to_what_is_written() {
        for text in ["\"2026-03-05T14:07:09.250999999+05:30\"", "\"2016-12-31T23:59:60.5Z\""] {
            let moment: Moment = serde_json::from_str(text).unwrap();
            let written = serde_json::to_string(&moment).unwrap();
            assert_eq!(serde_json::from_str::<Moment>(&written).unwrap(), moment, "{text}");
        }
    }
}
