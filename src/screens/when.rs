//! Times as a person reads them, each at the place where it was written down.

use crate::session::Moment;

/// The day: `2026-03-05`.
pub fn day(at: Moment) -> String {
    at.time().format("%Y-%m-%d").to_string()
}

/// The day and the minute: `2026-03-05 09:30`.
pub fn minute(at: Moment) -> String {
    at.minute()
}

/// The time of day, with the day where it is another one than that of the start: `09:30:12`.
pub(super) fn second(at: Moment, start: Moment) -> String {
    let time = at.time().format("%H:%M:%S");
    if day(at) == day(start) { time.to_string() } else { format!("{} {time}", day(at)) }
}

/// From when to when, and how far from UTC the clock stood: `2026-03-05 09:30 to 09:52 (UTC +01:00)`.
pub(super) fn span(from: Moment, to: Moment) -> String {
    let offset = |at: Moment| at.time().format("%:z").to_string();
    let from_offset = if offset(from) == offset(to) { String::new() } else { format!(" (UTC {})", offset(from)) };
    let end = if day(from) == day(to) { to.time().format("%H:%M").to_string() } else { minute(to) };
    format!("{}{from_offset} to {end} (UTC {})", minute(from), offset(to))
}
