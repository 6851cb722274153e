//! Options that describe the filter and the mark at which it stands.

use crate::corner::Mark;
use crate::filter::{Alignment, Family, Slope};
use crate::quantity::show::list_or;
use crate::quantity::{Hertz, Percent, Refusal, entry, ranges};

/// The family of a word.
///
/// # Errors
/// Lists the words.
pub(super) fn family(text: &str) -> Result<Family, Refusal> {
    Family::from_word(text).ok_or_else(|| {
        let words: Vec<&str> = Family::ALL.into_iter().map(Family::word).collect();
        no_word("family", text, "is no family that is known here", &words)
    })
}

/// Refuses a word that is none of these.
pub(super) fn no_word(field: &str, text: &str, problem: &str, words: &[&str]) -> Refusal {
    let problem = if text.trim().is_empty() { "was given" } else { problem };
    Refusal::new(field, text, problem, list_or(words))
}

/// The slope of a number of dB per octave.
///
/// # Errors
/// Where it is no slope.
pub(super) fn slope(text: &str) -> Result<Slope, Refusal> {
    let number = entry::parse_slope_number(text, "slope")?;
    Slope::new(number)
        .ok_or_else(|| Refusal::new("slope", text, "is no slope", "6, 12, 18, 24, 30, 36, 42 or 48 dB/octave"))
}

/// The filter of a family, a slope and, for second order, a Q.
///
/// # Errors
/// Where they do not belong together.
pub(super) fn alignment(family: Family, slope: Slope, q: Option<&str>) -> Result<Alignment, Refusal> {
    match (family, q) {
        (Family::SecondOrder, Some(q)) if slope == Slope::SECOND_ORDER => {
            Ok(Alignment::second_order(entry::parse(q, &ranges::Q)?))
        }
        (Family::SecondOrder, _) | (_, None) => Alignment::new(family, slope),
        (_, Some(q)) => Err(Refusal::new("q", q, "belongs to a second-order filter", "--family second-order with it")),
    }
}

/// The mark, where one is given.
///
/// # Errors
/// Where a value is refused, or the trust in a print is given without a mark.
pub(super) fn mark(at: Option<&str>, uncertainty: Option<&str>) -> Result<Option<Mark>, Refusal> {
    let uncertainty_given =
        uncertainty.map(|text| entry::parse(text, &ranges::MARK_UNCERTAINTY).map(Percent::new)).transpose()?;
    match (at, uncertainty) {
        (None, Some(text)) => Err(Refusal::new(
            "mark-uncertainty",
            text,
            "is given without a mark",
            "--reference-mark with it, where the filter cannot be taken out",
        )),
        (None, None) => Ok(None),
        (Some(at), _) => Ok(Some(Mark {
            at: Hertz::new(entry::parse(at, &ranges::MARK)?),
            uncertainty: uncertainty_given.unwrap_or(Mark::USUAL_UNCERTAINTY),
        })),
    }
}
