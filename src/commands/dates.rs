//! Days, months and times as they are typed for options.

use chrono::{DateTime, Datelike, FixedOffset, Local, Months, NaiveDate, NaiveTime};

use crate::session::Moment;

/// A day or a month as the clock at the bench had it, or a moment.
#[derive(Debug, Clone, Copy)]
pub(super) enum When {
    /// From the first day to the last one.
    Days(NaiveDate, NaiveDate),
    /// A moment.
    Moment(DateTime<FixedOffset>),
}

const ACCEPTED: &str = "accepted: a day such as 2026-03-05, a month such as 2026-03, or a time with its offset";

impl When {
    /// Takes what was typed.
    pub fn parse(typed: &str) -> Result<Self, String> {
        let typed = typed.trim();
        // A year of two digits would be one of the first century.
        if typed.split('-').next().is_none_or(|year| year.len() != 4) {
            return Err(ACCEPTED.to_owned());
        }
        if let Ok(day) = NaiveDate::parse_from_str(typed, "%Y-%m-%d") {
            return Ok(Self::Days(day, day));
        }
        if let Ok(first) = NaiveDate::parse_from_str(&format!("{typed}-01"), "%Y-%m-%d") {
            let next = first.checked_add_months(Months::new(1)).and_then(|next| next.pred_opt());
            return next.map(|last| Self::Days(first, last)).ok_or_else(|| ACCEPTED.to_owned());
        }
        DateTime::parse_from_rfc3339(typed).map(Self::Moment).map_err(|_| ACCEPTED.to_owned())
    }

    /// Whether this ends before the other begins. A day and a moment are not compared: where the day is, is not known.
    pub fn is_before(self, other: Self) -> bool {
        match (self, other) {
            (Self::Days(_, last), Self::Days(first, _)) => last < first,
            (Self::Moment(end), Self::Moment(start)) => end < start,
            _ => false,
        }
    }

    /// Whether a month starts with this.
    pub fn starts_a_month(self) -> bool {
        matches!(self, Self::Days(first, _) if first.day() == 1)
    }

    /// Whether a month ends with this.
    pub fn ends_a_month(self) -> bool {
        matches!(self, Self::Days(_, last) if last.succ_opt().is_some_and(|next| next.day() == 1))
    }

    /// Whether a time is at the start of this, or later.
    pub fn has_begun_at(self, time: DateTime<FixedOffset>) -> bool {
        match self {
            Self::Days(first, _) => time.date_naive() >= first,
            Self::Moment(moment) => time >= moment,
        }
    }

    /// Whether a time is not after the end of this.
    pub fn has_not_ended_at(self, time: DateTime<FixedOffset>) -> bool {
        match self {
            Self::Days(_, last) => time.date_naive() <= last,
            Self::Moment(moment) => time <= moment,
        }
    }
}

/// The start of a day or month by this machine's clock, or a moment.
pub(super) fn parse_start(typed: &str) -> Result<Moment, String> {
    match When::parse(typed)? {
        When::Days(first, _) if first.year() < 1970 => Err("accepted: 1970 or later".to_owned()),
        When::Days(first, _) => {
            let start = first.and_time(NaiveTime::MIN).and_local_timezone(Local).earliest();
            start.map(|start| Moment::new(start.fixed_offset())).ok_or_else(|| "no such time here".to_owned())
        }
        When::Moment(moment) => Ok(Moment::new(moment)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_month_starts_and_ends_with_days_of_its_own() {
        for (typed, starts, ends) in [
            ("2028-02", true, true),
            ("2028-02-01", true, false),
            ("2028-02-28", false, false),
            ("2028-02-29", false, true),
            ("2027-02-28", false, true),
            ("2028-12-31", false, true),
            ("2028-02-01T00:00:00Z", false, false),
        ] {
            let when = When::parse(typed).unwrap();
            assert_eq!((when.starts_a_month(), when.ends_a_month()), (starts, ends), "{typed}");
        }
    }

    #[test]
    fn a_month_is_all_of_its_days() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap();
        let month = When::parse("2028-02").unwrap();
        for (time, since, until) in [
            ("2028-01-31T23:59:59+05:30", false, true),
            ("2028-02-01T00:00:00+05:30", true, true),
            ("2028-02-29T23:59:59-08:00", true, true),
            ("2028-03-01T00:00:00-08:00", true, false),
        ] {
            assert_eq!((month.has_begun_at(at(time)), month.has_not_ended_at(at(time))), (since, until), "{time}");
        }
        for (one, other, before) in [
            ("2028-02", "2028-03", true),
            ("2028-02", "2028-02-10", false),
            ("2028-02-10", "2028-02-10", false),
            ("2028-02-10T10:00:00+01:00", "2028-02-10T10:00:00Z", true),
            ("2028-02-10", "2028-02-11T10:00:00Z", false),
        ] {
            let [one_is, other_is] = [one, other].map(|typed| When::parse(typed).unwrap());
            assert_eq!(one_is.is_before(other_is), before, "{one} {other}");
        }
        for wrong in ["2028", "2028-13", "28-02-01", "yesterday", "2028-02-30"] {
            assert!(When::parse(wrong).is_err(), "{wrong}");
        }
    }
}
