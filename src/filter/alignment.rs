//! Which filter: family, slope and, for a second-order section, its Q.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::quantity::Refusal;

/// The steepness far below the corner, in dB per octave: a multiple of 6, from 6 to 48.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct Slope(u32);

impl Slope {
    /// Every slope, gentlest first.
    pub const ALL: [Self; 8] = [Self(6), Self(12), Self(18), Self(24), Self(30), Self(36), Self(42), Self(48)];

    /// What is taken where nobody says otherwise: 24 dB per octave.
    pub const USUAL: Self = Self(24);

    /// The only slope of a second-order section.
    pub const SECOND_ORDER: Self = Self(12);

    /// A slope from its number of dB per octave; `None` unless it is 6, 12, 18, 24, 30, 36, 42 or 48.
    pub fn new(db_per_octave: u32) -> Option<Self> {
        Self::ALL.into_iter().find(|slope| slope.0 == db_per_octave)
    }

    /// The number of dB per octave.
    pub const fn db_per_octave(self) -> u32 {
        self.0
    }

    /// The order of the filter: one for every 6 dB per octave.
    pub const fn order(self) -> u32 {
        self.0 / 6
    }
}

impl TryFrom<u32> for Slope {
    type Error = String;

    fn try_from(value: u32) -> Result<Self, String> {
        Self::new(value).ok_or_else(|| format!("{value} is not a slope: 6, 12, 18, 24, 30, 36, 42 or 48 dB/octave"))
    }
}

impl From<Slope> for u32 {
    fn from(slope: Slope) -> Self {
        slope.0
    }
}

impl fmt::Display for Slope {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} dB/octave", self.0)
    }
}

/// The shape of a filter's response around its corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Family {
    /// Maximally flat; 3.01 dB down at the corner.
    Butterworth,
    /// Two equal Butterworths in a row; 6.02 dB down at the corner.
    LinkwitzRiley,
    /// Maximally flat delay, here scaled to be 3.01 dB down at the corner.
    Bessel,
    /// A second-order section of any Q: its response at the corner is its Q.
    SecondOrder,
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 4] = [Self::Butterworth, Self::LinkwitzRiley, Self::Bessel, Self::SecondOrder];

    /// The word for options, scripts and records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Butterworth => "butterworth",
            Self::LinkwitzRiley => "linkwitz-riley",
            Self::Bessel => "bessel",
            Self::SecondOrder => "second-order",
        }
    }

    /// The family of a word, in any case; `lr` and `bw` are what the trade writes.
    pub fn from_word(word: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "lr" => Some(Self::LinkwitzRiley),
            "bw" => Some(Self::Butterworth),
            word => Self::ALL.into_iter().find(|family| family.word() == word),
        }
    }

    /// The families that exist at a slope.
    pub fn at(slope: Slope) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |family| family.has(slope))
    }

    /// The name in a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Butterworth => "Butterworth",
            Self::LinkwitzRiley => "Linkwitz-Riley",
            Self::Bessel => "Bessel",
            Self::SecondOrder => "second-order",
        }
    }

    /// Whether filters of this family exist at this slope.
    ///
    /// Butterworth 6 to 48 dB/octave; Linkwitz-Riley 12, 24, 36 and 48 (it is a pair of equal halves);
    /// Bessel 12, 18 and 24; second-order 12.
    pub fn has(self, slope: Slope) -> bool {
        match self {
            Self::Butterworth => true,
            Self::LinkwitzRiley => slope.order().is_multiple_of(2),
            Self::Bessel => (2..=4).contains(&slope.order()),
            Self::SecondOrder => slope == Slope::SECOND_ORDER,
        }
    }

    /// The slopes at which this family exists.
    pub fn slopes(self) -> impl Iterator<Item = Slope> {
        Slope::ALL.into_iter().filter(move |slope| self.has(*slope))
    }
}

impl fmt::Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A filter without its corner: family, slope and Q, checked to belong together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alignment {
    family: Family,
    slope: Slope,
    q: Option<f64>,
}

impl Alignment {
    /// A filter of a family that needs no Q.
    ///
    /// # Errors
    /// Where the family does not exist at that slope, or is second-order, which needs a Q.
    pub fn new(family: Family, slope: Slope) -> Result<Self, Refusal> {
        check(family, slope)?;
        if family == Family::SecondOrder {
            return Err(Refusal::new("q", "", "was given, but a second-order filter needs its Q", "0.3 to 5"));
        }
        Ok(Self { family, slope, q: None })
    }

    /// A second-order section, 12 dB/octave, of this Q.
    pub const fn second_order(q: f64) -> Self {
        Self { family: Family::SecondOrder, slope: Slope::SECOND_ORDER, q: Some(q) }
    }

    /// What a filter is taken for while nobody knows better: a Butterworth of this slope, of 24 dB/octave where that is
    /// unknown too.
    pub fn usual(slope: Option<Slope>) -> Self {
        Self { family: Family::Butterworth, slope: slope.unwrap_or(Slope::USUAL), q: None }
    }

    /// The family.
    pub const fn family(self) -> Family {
        self.family
    }

    /// The slope.
    pub const fn slope(self) -> Slope {
        self.slope
    }

    /// The Q, for a second-order section only.
    pub const fn q(self) -> Option<f64> {
        self.q
    }

    /// Every filter that a fit considers: all families and slopes but second-order, whose Q would be one more unknown.
    pub fn candidates() -> impl Iterator<Item = Self> {
        [Family::Butterworth, Family::LinkwitzRiley, Family::Bessel]
            .into_iter()
            .flat_map(|family| family.slopes().map(move |slope| Self { family, slope, q: None }))
    }
}

impl fmt::Display for Alignment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.q {
            Some(q) => write!(f, "second-order Q {q}"),
            None => write!(f, "{} {}", self.family, self.slope),
        }
    }
}

/// Refuses a family at a slope where it does not exist.
fn check(family: Family, slope: Slope) -> Result<(), Refusal> {
    if family.has(slope) {
        return Ok(());
    }
    let slopes: Vec<String> = family.slopes().map(|slope| slope.db_per_octave().to_string()).collect();
    Err(Refusal::new(
        "slope",
        slope.to_string(),
        format!("does not exist as {family}"),
        format!("{} dB/octave for {family}", crate::quantity::show::list_or(&slopes)),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_family_exists_at_its_own_slopes_only() {
        let slopes = |family: Family| family.slopes().map(Slope::db_per_octave).collect::<Vec<_>>();
        assert_eq!(slopes(Family::Butterworth), [6, 12, 18, 24, 30, 36, 42, 48]);
        assert_eq!(slopes(Family::LinkwitzRiley), [12, 24, 36, 48]);
        assert_eq!(slopes(Family::Bessel), [12, 18, 24]);
        assert_eq!(slopes(Family::SecondOrder), [12]);
        assert_eq!(Alignment::candidates().count(), 15);
    }

    #[test]
    fn a_family_at_a_foreign_slope_is_refused_with_the_slopes_it_has() {
        let refusal = Alignment::new(Family::Bessel, Slope(48)).unwrap_err();
        assert_eq!(
            refusal.to_string(),
            "slope: `48 dB/octave` does not exist as Bessel; accepted: 12, 18 or 24 dB/octave for Bessel"
        );
    }
}
