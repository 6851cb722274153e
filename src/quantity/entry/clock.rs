//! A length of time as a clock or a player shows it: `1:30`, `1:00:00`.

/// The seconds of minutes and seconds, or of hours, minutes and seconds, with a colon between; `None` where it is neither.
pub(super) fn seconds(text: &str) -> Option<f64> {
    let (first, rest) = text.trim().split_once(':')?;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u32>().ok())?;
    let below_sixty = |part: &str| digits(part).filter(|value| part.len() == 2 && *value < 60);
    let after: Option<Vec<u32>> = rest.split(':').map(below_sixty).collect();
    let after = after.filter(|after| after.len() <= 2)?;
    Some(after.into_iter().fold(f64::from(digits(first)?), |sum, part| sum * 60.0 + f64::from(part)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_and_seconds_and_hours() {
        for (text, value) in
            [("1:30", 90.0), ("0:05", 5.0), (" 90:00 ", 5400.0), ("1:00:00", 3600.0), ("1:02:03", 3723.0)]
        {
            assert_eq!(seconds(text), Some(value), "{text}");
        }
        let others = [
            "90",
            "1:3",
            "1:60",
            ":30",
            "1:",
            "-1:30",
            "+1:30",
            "1:+3",
            "1:30 min",
            "1.5:00",
            "1:00:00:00",
            "1:60:00",
            "1:5:00",
        ];
        for other in others {
            assert_eq!(seconds(other), None, "{other}");
        }
    }
}
