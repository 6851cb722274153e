//! A tone with its reading, and perhaps its own reference: `27=5.66` or `27=5.66/8`.

use super::single::check_length;
use crate::quantity::Refusal;

/// Splits `TONE=VOLTS` or `TONE=VOLTS/REFERENCE` into its texts, trimmed: tone, volts, reference. None is read yet.
///
/// # Errors
/// Refused when a part is missing, or when `=` or `/` stands more than once.
pub fn split_pair<'a>(text: &'a str, field: &str) -> Result<(&'a str, &'a str, Option<&'a str>), Refusal> {
    check_length(text).and_then(|()| split(text)).map_err(|problem| {
        Refusal::new(field, text, problem, "TONE=VOLTS or TONE=VOLTS/REFERENCE, such as 27=5.66 or 27=5.66/8")
    })
}

fn split(text: &str) -> Result<(&str, &str, Option<&str>), String> {
    if text.trim().is_empty() {
        return Err("was given".to_owned());
    }
    let (tone, readings) = text.split_once('=').ok_or("has no `=` between tone and volts")?;
    let (volts, reference) = match readings.split_once('/') {
        Some((volts, reference)) => (volts, Some(reference)),
        None => (readings, None),
    };
    if readings.contains('=') {
        return Err("has `=` more than once".to_owned());
    }
    if reference.is_some_and(|reference| reference.contains('/')) {
        return Err("has `/` more than once".to_owned());
    }
    let (tone, volts, reference) = (tone.trim(), volts.trim(), reference.map(str::trim));
    if tone.is_empty() {
        Err("has no tone before the `=`".to_owned())
    } else if volts.is_empty() {
        Err("has no volts after the `=`".to_owned())
    } else if reference.is_some_and(str::is_empty) {
        Err("has no reference after the `/`".to_owned())
    } else {
        Ok((tone, volts, reference))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn pairs() {
        assert_eq!(split_pair("27=5.66", "sweep"), Ok(("27", "5.66", None)));
        assert_eq!(split_pair(" 27 Hz = 5,66 V ", "sweep"), Ok(("27 Hz", "5,66 V", None)));
        assert_eq!(split_pair("27=5.61..5.70 / 8 V", "sweep"), Ok(("27", "5.61..5.70", Some("8 V"))));
    }

    #[test]
    fn half_pairs_are_refused() {
        for (text, problem) in [
            ("", "was given"),
            ("27", "has no `=` between tone and volts"),
            ("27 5.66", "has no `=` between tone and volts"),
            ("27=5=6", "has `=` more than once"),
            ("27=5.66/8/9", "has `/` more than once"),
            ("=5.66", "has no tone before the `=`"),
            ("27=", "has no volts after the `=`"),
            ("27=/8", "has no volts after the `=`"),
            ("27=5.66/", "has no reference after the `/`"),
        ] {
            assert_eq!(split_pair(text, "sweep").unwrap_err().problem, problem, "{text}");
        }
    }

    proptest! {
        #[test]
        fn nothing_panics(text in any::<String>()) {
            let _ = split_pair(&text, "sweep");
        }

        #[test]
        fn parts_come_back(tone in "[0-9.]{1,5}", volts in "[0-9.]{1,5}", reference in "[0-9.]{1,5}") {
            let text = format!("{tone}={volts}/{reference}");
            prop_assert_eq!(split_pair(&text, "sweep"), Ok((tone.as_str(), volts.as_str(), Some(reference.as_str()))));
        }
    }
}
