//! Options that describe a plan: the corner and the filter.

use clap::Args;

use super::filter_options::{self, no_word};
use crate::filter::{Alignment, Family, Rule};
use crate::plan::CornerChoice;
use crate::quantity::{Hertz, Refusal, entry, ranges};

/// The corner and the filter, as the options give them.
#[derive(Debug, Args)]
pub(super) struct PlanOptions {
    /// The tuning of the box
    #[arg(long, value_name = "HZ", allow_hyphen_values = true, conflicts_with = "corner")]
    pub tuning: Option<String>,
    /// How the corner follows from the tuning: three-quarters, half-octave or octave [default: three-quarters]
    #[arg(long, value_name = "RULE", allow_hyphen_values = true, conflicts_with = "corner")]
    pub rule: Option<String>,
    /// A corner of your own
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    pub corner: Option<String>,
    /// The slope of the filter in dB/octave
    #[arg(long, value_name = "DB", allow_hyphen_values = true)]
    pub slope: Option<String>,
    /// butterworth, linkwitz-riley, bessel or second-order [default: butterworth]
    #[arg(long, value_name = "FAMILY", allow_hyphen_values = true)]
    pub family: Option<String>,
    /// The Q of a second-order filter
    #[arg(long, value_name = "Q", allow_hyphen_values = true)]
    pub q: Option<String>,
}

impl PlanOptions {
    /// The filter; a Butterworth where no family is given.
    ///
    /// # Errors
    /// Where a value is refused, or the slope is not given.
    pub fn alignment(&self) -> Result<Alignment, Refusal> {
        let slope = filter_options::slope(required("slope", self.slope.as_deref(), "--slope 24, in dB/octave")?)?;
        let family = self.family.as_deref().map_or(Ok(Family::Butterworth), filter_options::family)?;
        filter_options::alignment(family, slope, self.q.as_deref())
    }

    /// The corner, by rule or of one's own.
    ///
    /// # Errors
    /// Where a value is refused, or neither is given.
    pub fn corner(&self) -> Result<CornerChoice, Refusal> {
        if let Some(corner) = self.corner.as_deref() {
            return Ok(CornerChoice::Own(Hertz::new(entry::parse(corner, &ranges::CORNER)?), None));
        }
        let tuning = required("tuning", self.tuning.as_deref(), "--tuning, or --corner for a corner of your own")?;
        let tuning = Hertz::new(entry::parse(tuning, &ranges::TUNING)?);
        CornerChoice::by_rule(tuning, self.rule.as_deref().map_or(Ok(Rule::ThreeQuarters), rule)?)
    }
}

/// What an option gives.
///
/// # Errors
/// Where it is not given.
pub(super) fn required<'a>(field: &str, given: Option<&'a str>, accepted: &str) -> Result<&'a str, Refusal> {
    given.ok_or_else(|| Refusal::new(field, "", "was given", accepted))
}

fn rule(text: &str) -> Result<Rule, Refusal> {
    let word = text.trim().to_lowercase();
    Rule::ALL.into_iter().find(|rule| rule.word() == word).ok_or_else(|| {
        let words: Vec<&str> = Rule::ALL.into_iter().map(Rule::word).collect();
        no_word("rule", text, "is no rule", &words)
    })
}
