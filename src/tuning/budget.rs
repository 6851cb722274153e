//! What makes a tuning uncertain, part by part.

use crate::corner::COVERAGE;
use crate::quantity::{Hertz, Percent};

/// One part of an uncertainty: what it comes from, and how much of the tuning it is on its own (k = 2).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// What it comes from, as the item of a list.
    pub what: &'static str,
    /// The expanded uncertainty that it would leave alone.
    pub share: Percent,
}

/// Every part, none of which depends on another.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget(Vec<Part>);

impl Budget {
    /// A budget of relative standard uncertainties of the tuning.
    pub(super) fn of(parts: impl IntoIterator<Item = (&'static str, f64)>) -> Self {
        let expanded = |u: f64| Percent::new(COVERAGE * u * 100.0);
        Self(parts.into_iter().map(|(what, u)| Part { what, share: expanded(u) }).collect())
    }

    /// The parts.
    pub fn parts(&self) -> &[Part] {
        &self.0
    }

    /// The expanded uncertainty of a tuning, k = 2: the parts' root sum of squares (JCGM 100:2008, 5.1.2 and 6.2.1).
    pub fn expanded(&self, tuning: Hertz) -> Hertz {
        tuning.times(self.0.iter().fold(0.0f64, |sum, part| sum.hypot(part.share.fraction())))
    }
}

/// The standard uncertainty of what lies within +-`limit`, nothing else known: limit / sqrt 3 (JCGM 100:2008, 4.3.7).
pub(super) fn within(limit: f64) -> f64 {
    limit / 3f64.sqrt()
}
