//! The options of a line of the trust list: what the key may sign, and when.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};

use super::NAMESPACE;
use super::pattern::{Match, Patterns};
use crate::quantity::text::visible;

/// The time at a place, given the clock on its wall.
pub(super) type Local<'a> = &'a dyn Fn(NaiveDateTime) -> Option<DateTime<FixedOffset>>;

/// What the options of a line say.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Options {
    /// Whether the key may sign records; without a list of namespaces it may sign anything.
    pub(super) namespace: Option<bool>,
    /// From when on, that second included.
    pub(super) after: Option<DateTime<FixedOffset>>,
    /// Until when, that second included.
    pub(super) before: Option<DateTime<FixedOffset>>,
}

impl Options {
    /// Reads options between commas.
    pub(super) fn parse(text: &str, local: Local<'_>) -> Result<Self, String> {
        let mut options = Self::default();
        let mut rest = text;
        loop {
            let end = rest.find(['=', ',']).unwrap_or(rest.len());
            let (name, after_name) = rest.split_at(end);
            let value;
            (value, rest) = match after_name.strip_prefix('=') {
                Some(quoted) => unquote(quoted).map(|(value, rest)| (Some(value), rest))?,
                None => (None, after_name),
            };
            options.set(&name.to_ascii_lowercase(), value, local)?;
            if rest.is_empty() {
                break;
            }
            rest = rest.strip_prefix(',').ok_or("there is no comma after an option")?;
        }
        match (options.after, options.before) {
            (Some(after), Some(before)) if before <= after => Err("it ends before it begins".to_owned()),
            _ => Ok(options),
        }
    }

    fn set(&mut self, name: &str, value: Option<String>, local: Local<'_>) -> Result<(), String> {
        let twice = match (name, value) {
            ("cert-authority", None) => return Err("certificates are not used here".to_owned()),
            ("namespaces", Some(list)) => {
                let patterns = Patterns::parse(&list).ok_or("a namespace is too long")?;
                self.namespace.replace(patterns.look_up(NAMESPACE) == Match::Has).is_some()
            }
            ("valid-after", Some(text)) => self.after.replace(time(&text, local, Ord::max)?).is_some(),
            ("valid-before", Some(text)) => self.before.replace(time(&text, local, Ord::min)?).is_some(),
            _ => return Err(format!("`{}` is not an option that OpenSSH knows", visible(name))),
        };
        if twice { Err(format!("{name} is there twice")) } else { Ok(()) }
    }
}

/// A value between quotes, and what comes after it. `\"` is a quote in the value.
fn unquote(text: &str) -> Result<(String, &str), String> {
    let inside = text.strip_prefix('"').ok_or("a value is not between quotes")?;
    let mut value = String::new();
    let mut characters = inside.char_indices().peekable();
    while let Some((place, character)) = characters.next() {
        match character {
            '"' => return Ok((value, &inside[place + 1..])),
            '\\' if characters.next_if(|next| next.1 == '"').is_some() => value.push('"'),
            _ => value.push(character),
        }
    }
    Err("a quote is not closed".to_owned())
}

/// A time as `YYYYMMDD`, `YYYYMMDDHHMM` or `YYYYMMDDHHMMSS`, with `Z` for UTC.
///
/// Where clocks are put forward in summer, OpenSSH takes a time without `Z` for one by the winter clock. Of that and the
/// time on the wall the stricter one counts, so that nothing is trusted here that OpenSSH would refuse.
fn time(
    text: &str,
    local: Local<'_>,
    stricter: impl Fn(DateTime<FixedOffset>, DateTime<FixedOffset>) -> DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, String> {
    let unusable = || format!("`{}` is not a time as YYYYMMDD or YYYYMMDDHHMM[SS], with Z for UTC", visible(text));
    let digits = text.strip_suffix(['Z', 'z']);
    let clock = clock(digits.unwrap_or(text)).ok_or_else(unusable)?;
    let time = if digits.is_some() {
        clock.and_utc().fixed_offset()
    } else {
        let wall = local(clock).ok_or_else(unusable)?;
        let winter = winter_offset(clock.year(), local).ok_or_else(unusable)?;
        let by_winter = clock.and_local_timezone(winter).single().ok_or_else(unusable)?;
        stricter(wall, by_winter)
    };
    if time.timestamp() > 0 { Ok(time) } else { Err(unusable()) }
}

/// Date and clock in 8, 12 or 14 digits.
fn clock(digits: &str) -> Option<NaiveDateTime> {
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) || !matches!(digits.len(), 8 | 12 | 14) {
        return None;
    }
    let number = |from: usize, to: usize| digits.get(from..to).map_or(Some(0), |part| part.parse::<u32>().ok());
    let date = NaiveDate::from_ymd_opt(i32::try_from(number(0, 4)?).ok()?, number(4, 6)?, number(6, 8)?)?;
    Some(date.and_time(NaiveTime::from_hms_opt(number(8, 10)?, number(10, 12)?, number(12, 14)?)?))
}

/// The offset of a year's winter, on either half of the globe: the lesser of January's and July's.
fn winter_offset(year: i32, local: Local<'_>) -> Option<FixedOffset> {
    let offset = |month| {
        let noon = NaiveDate::from_ymd_opt(year, month, 1)?.and_hms_opt(12, 0, 0)?;
        local(noon).map(|time| *time.offset())
    };
    let (january, july) = (offset(1)?, offset(7)?);
    Some(if january.local_minus_utc() <= july.local_minus_utc() { january } else { july })
}
