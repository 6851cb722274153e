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

/// Two moments as far as they differ, both by the clock of the second: to the minute, the second or the millisecond.
pub(super) fn told_apart(one: Moment, other: Moment) -> (String, String) {
    let (one, other) = (one.time().with_timezone(other.time().offset()), other.time());
    let forms = ["%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M:%S%.3f"];
    let mut written = forms.map(|form| (one.format(form).to_string(), other.format(form).to_string())).into_iter();
    let last = written.next_back().unwrap_or_default();
    written.find(|(one, other)| one != other).unwrap_or(last)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_moments_are_told_apart() {
        let moment = |text: &str| -> Moment { serde_json::from_str(&format!("\"{text}\"")).unwrap() };
        let at = "2026-03-05T09:30:12.250+01:00";
        for (other, first, second) in [
            ("2026-03-05T09:29:59.999+01:00", "2026-03-05 09:30", "2026-03-05 09:29"),
            ("2026-03-05T09:30:10.250+01:00", "2026-03-05 09:30:12", "2026-03-05 09:30:10"),
            ("2026-03-05T09:30:12.249+01:00", "2026-03-05 09:30:12.250", "2026-03-05 09:30:12.249"),
            // The same minute at another place.
            ("2026-03-05T10:30:10.250+02:00", "2026-03-05 10:30:12", "2026-03-05 10:30:10"),
        ] {
            assert_eq!(told_apart(moment(at), moment(other)), (first.to_owned(), second.to_owned()));
        }
    }
}
