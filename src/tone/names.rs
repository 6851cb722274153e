//! Names of a plan's files: they sort in the order of the work and say what each is, on a radio's display too.

use super::of_plan::{PlanTone, Purpose};
use crate::quantity::show;

/// What the file with every tone is called after its number.
pub(super) const ALL_TONES: &str = "all-tones";
/// The list of a folder's tones.
pub const TRACK_LIST: &str = "track-list.txt";

/// `01-set-27.0-hz.wav`, `04-down-6-db-22.43-hz.wav`.
pub fn file_name(number: usize, tone: &PlanTone) -> String {
    let what = match tone.purposes.first() {
        Some(Purpose::Check) => "check".to_owned(),
        Some(Purpose::Down(down)) => format!("down-{:.0}-db", down.db()),
        Some(Purpose::Set) | None => "set".to_owned(),
    };
    let hertz = show::tone(tone.tone).replace(' ', "-").to_lowercase();
    format!("{number:02}-{what}-{hertz}.wav")
}

/// Whether a name is one of those above: such a file may be replaced, and speaks of a plan.
pub fn is_own_name(name: &str) -> bool {
    let Some((number, what)) = name.strip_suffix(".wav").and_then(|name| name.split_once('-')) else {
        return false;
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let tone = |text: &str| {
        text.strip_suffix("-hz")
            .and_then(|hertz| hertz.split_once('.'))
            .is_some_and(|(one, two)| digits(one) && digits(two))
    };
    let down = |text: &str| text.split_once("-db-").is_some_and(|(db, rest)| digits(db) && tone(rest));
    digits(number)
        && number.len() == 2
        && (what == ALL_TONES
            || ["set-", "check-"].iter().any(|kind| what.strip_prefix(kind).is_some_and(tone))
            || what.strip_prefix("down-").is_some_and(down))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Decibels, Hertz};

    #[test]
    fn names_say_what_they_are_and_are_known_again() {
        let cases = [
            (1, 27.0, Purpose::Set, "01-set-27.0-hz.wav"),
            (2, 38.2719, Purpose::Check, "02-check-38.27-hz.wav"),
            (11, 13.54, Purpose::Down(Decibels::new(24.0)), "11-down-24-db-13.54-hz.wav"),
        ];
        for (number, hz, purpose, name) in cases {
            let tone = PlanTone { tone: Hertz::new(hz), purposes: vec![purpose] };
            assert_eq!(file_name(number, &tone), name);
            assert!(is_own_name(name));
        }
        assert!(is_own_name("12-all-tones.wav"));
        for other in [
            "01-set.wav",
            "1-set-27.0-hz.wav",
            "01-set-27-hz.wav",
            "01-song.wav",
            "01-set-27.0-hz.mp3",
            "all-tones.wav",
            "01-down-x-db-1.0-hz.wav",
        ] {
            assert!(!is_own_name(other), "{other}");
        }
    }
}
