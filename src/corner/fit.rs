//! Which filter do several readings say: family, slope and corner by least squares in dB.

use std::f64::consts::LN_10;

use super::reference::{COVERAGE, Mark, RatioForm, Reading};
use super::search::{best_start, is_within};
use crate::filter::Alignment;
use crate::meter::MeterSpec;
use crate::quantity::{Decibels, Hertz};

/// Nepers to decibels of voltage: 20 / ln 10.
pub(super) const DB: f64 = 20.0 / LN_10;
/// Two filters are told apart where their chi-squares differ by more than this: the 95 % point of chi-square with one
/// degree of freedom (3.841, any table of the distribution).
pub const TOLD_APART: f64 = 3.84;
/// Gauss-Newton steps at most; from the best point of the search it needs a handful.
const REFINEMENTS: usize = 60;
/// A sum of squared slopes, in dB2, below which the readings do not depend on the corner.
const LEVEL: f64 = 1e-12;
/// A step of ln corner too small for the sum of squares to see.
const DESCENDED: f64 = 1e-9;

/// A reading at a tone, with a reference of its own where it has one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The tone.
    pub tone: Hertz,
    /// What the meter showed with the filter in.
    pub reading: Reading,
    /// What it showed at the same tone for the reference.
    pub reference: Option<Reading>,
}

/// The reference of every pair that has none of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedReference {
    /// As read.
    pub reading: Reading,
    /// The tone at which it was read; matters where the filter stood at a mark.
    pub tone: Hertz,
}

/// A filter that was fitted, and how well.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The filter that fits best.
    pub alignment: Alignment,
    /// Its corner.
    pub corner: Hertz,
    /// Standard error of the corner from the scatter of the residuals, n - 1 degrees of freedom.
    pub standard_error: Hertz,
    /// Expanded uncertainty of the corner, k = 2, from the meter (and the mark).
    pub uncertainty: Hertz,
    /// For each pair, the measured level less the fitted one: above zero where the meter showed more volts.
    pub residuals: Vec<Decibels>,
    /// Root mean square of the residuals, over n.
    pub rms_residual: Decibels,
    /// Every other filter considered, best first.
    pub alternatives: Vec<Alternative>,
}

/// Another filter held against the same readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alternative {
    /// The filter.
    pub alignment: Alignment,
    /// The corner that fits it best; `None` where it has none anywhere near the tones.
    pub corner: Option<Hertz>,
    /// Root mean square of its residuals.
    pub rms_residual: Decibels,
    /// Whether the readings tell it from the best one.
    pub told_apart: bool,
}

/// Why nothing could be fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoFit {
    /// One reading fits every filter.
    #[error("a fit needs at least two readings")]
    TooFew,
    /// Readings at one tone alone fit every filter.
    #[error("readings at one tone fit every filter: give the family and slope, or another tone")]
    OneTone,
    /// A pair without a reference, and none shared.
    #[error("a reading has no reference of its own and none is shared")]
    NoReference,
    /// No filter follows the readings with a corner anywhere near the tones.
    #[error("no filter fits: the readings do not fall towards lower tones as a high-pass filter makes them")]
    NoCorner,
}

impl Fit {
    /// Fits every one of `candidates` to the pairs and keeps the one with the least rms residual.
    ///
    /// Unweighted least squares of the level in dB over ln corner: a search over the whole range, then Gauss-Newton.
    /// Where `mark` is given the filter could not be taken out: every reference was read with the filter at that mark,
    /// so each candidate is also reckoned out of the reference.
    ///
    /// # Errors
    /// See [`NoFit`].
    pub fn of(
        pairs: &[Pair],
        shared: Option<SharedReference>,
        mark: Option<Mark>,
        meter: MeterSpec,
        candidates: impl IntoIterator<Item = Alignment>,
    ) -> Result<Self, NoFit> {
        if pairs.len() < 2 {
            return Err(NoFit::TooFew);
        }
        let candidates: Vec<Alignment> = candidates.into_iter().collect();
        if candidates.len() > 1 && !several_tones(pairs, 0.0) {
            return Err(NoFit::OneTone);
        }
        let data = Data::new(pairs, shared, mark, meter).ok_or(NoFit::NoReference)?;
        let mut fitted: Vec<Candidate> = candidates.into_iter().map(|alignment| data.best_corner(alignment)).collect();
        fitted.sort_by(|a, b| a.squares.total_cmp(&b.squares));
        match fitted.split_first() {
            Some((best, others)) if !best.at_end => Ok(data.report(best, others)),
            _ => Err(NoFit::NoCorner),
        }
    }

    /// Every filter that the readings leave open: the best one first, then those they do not tell from it.
    pub fn open(&self) -> impl Iterator<Item = Alignment> {
        let others = self
            .alternatives
            .iter()
            .filter(|other| !other.told_apart && other.corner.is_some())
            .map(|other| other.alignment);
        std::iter::once(self.alignment).chain(others)
    }

    /// What these readings say of one filter: the best fit itself, or the alternative.
    pub fn told_apart_from(&self, alignment: Alignment) -> Option<bool> {
        if self.alignment == alignment {
            return Some(false);
        }
        self.alternatives.iter().find(|other| other.alignment == alignment).map(|other| other.told_apart)
    }
}

/// Whether there are readings at two tones that lie farther apart than this share of the lower one.
pub fn several_tones(pairs: &[Pair], apart: f64) -> bool {
    let lowest = pairs.iter().map(|pair| pair.tone.hz()).fold(f64::INFINITY, f64::min);
    pairs.iter().any(|pair| pair.tone.hz() > lowest * (1.0 + apart))
}

/// One pair, ready to fit.
#[derive(Clone)]
pub(super) struct Point {
    pub(super) tone: Hertz,
    /// Where the reference of this pair was read.
    pub(super) reference_tone: Hertz,
    /// Measured level against the reference as read, in dB: zero or below for a filter without a hump.
    pub(super) level: f64,
    /// Standard uncertainty of the level that belongs to this pair alone, in dB.
    pub(super) own: f64,
    /// Whether it uses the shared reference.
    pub(super) shares: bool,
}

impl Point {
    fn new(pair: Pair, shared: Option<SharedReference>, meter: MeterSpec) -> Option<Self> {
        let relative = |reading: Reading| reading.relative_uncertainty(meter, RatioForm::Full);
        let (reference, reference_tone, own_reference) = match pair.reference {
            Some(own) => (own, pair.tone, relative(own)),
            None => shared.map(|shared| (shared.reading, shared.tone, 0.0))?,
        };
        Some(Self {
            tone: pair.tone,
            reference_tone,
            level: -pair.reading.volts.down_from(reference.volts).db(),
            own: DB * relative(pair.reading).hypot(own_reference),
            shares: pair.reference.is_none(),
        })
    }
}

/// All pairs, and what they have in common.
#[derive(Clone)]
pub(super) struct Data {
    pub(super) points: Vec<Point>,
    shared: Option<Reading>,
    mark: Option<Mark>,
    meter: MeterSpec,
}

/// One filter at the corner that fits it best.
pub(super) struct Candidate {
    pub(super) alignment: Alignment,
    pub(super) corner: Hertz,
    residuals: Vec<f64>,
    squares: f64,
    /// d level / d ln corner for each pair, in dB.
    slopes: Vec<f64>,
    /// Whether the search ended at one of its ends: no corner anywhere near the tones.
    pub(super) at_end: bool,
}

impl Data {
    /// Pairs with their references; `None` where one has none.
    pub(super) fn new(
        pairs: &[Pair],
        shared: Option<SharedReference>,
        mark: Option<Mark>,
        meter: MeterSpec,
    ) -> Option<Self> {
        let points: Vec<Point> = pairs.iter().map(|pair| Point::new(*pair, shared, meter)).collect::<Option<_>>()?;
        Some(Self { points, shared: shared.map(|shared| shared.reading), mark, meter })
    }

    /// The level that a filter leaves at a tone against a reference read at another, in dB.
    pub(super) fn level(&self, alignment: Alignment, corner: Hertz, tone: Hertz, reference_tone: Hertz) -> f64 {
        self.level_at_mark(alignment, reference_tone) - alignment.response(tone, corner).down().db()
    }

    /// How far down the reference was itself, where it was read with the filter at its mark; in dB.
    pub(super) fn level_at_mark(&self, alignment: Alignment, reference_tone: Hertz) -> f64 {
        self.mark.map_or(0.0, |mark| alignment.response(reference_tone, mark.at).down().db())
    }

    /// Residuals and slopes of one filter with its corner at e^z hertz.
    pub(super) fn at(&self, alignment: Alignment, z: f64) -> Candidate {
        let corner = Hertz::new(z.exp());
        let (residuals, slopes): (Vec<f64>, Vec<f64>) = self
            .points
            .iter()
            .map(|point| {
                let fitted = self.level(alignment, corner, point.tone, point.reference_tone);
                (point.level - fitted, DB * alignment.response(point.tone, corner).sensitivity())
            })
            .unzip();
        let squares = residuals.iter().map(|residual| residual * residual).sum();
        Candidate { alignment, corner, residuals, squares, slopes, at_end: false }
    }

    /// The corner with the least squares: a search over the whole range, a descent from its best point, and a last
    /// polish.
    pub(super) fn best_corner(&self, alignment: Alignment) -> Candidate {
        let start = best_start(self, alignment);
        let candidate = self.at(alignment, start.ln_corner);
        if start.at_end {
            return Candidate { at_end: true, ..candidate };
        }
        let found = self.descend(candidate);
        let found = if found.at_end { found } else { self.polish(found) };
        // Where nothing falls, the least squares lie at no corner: the descent runs off or stands on level ground.
        let at_end = found.at_end || !is_within(found.corner.hz().ln()) || found.curvature() <= LEVEL;
        Candidate { at_end, ..found }
    }

    /// Damped Gauss-Newton: each step is halved until it helps.
    pub(super) fn descend(&self, mut candidate: Candidate) -> Candidate {
        for _ in 0..REFINEMENTS {
            let mut move_by = candidate.step();
            if !move_by.is_finite() {
                return Candidate { at_end: true, ..candidate };
            }
            let improved = loop {
                let next = self.at(candidate.alignment, candidate.corner.hz().ln() + move_by);
                if next.squares < candidate.squares {
                    break Some(next);
                }
                move_by /= 2.0;
                if move_by.abs() < DESCENDED {
                    break None;
                }
            };
            match improved {
                Some(next) => candidate = next,
                None => break,
            }
        }
        candidate
    }

    /// Full steps as long as they grow shorter: near its least value the sum of squares is too flat to see the last
    /// digits of the corner, but its slope is not.
    fn polish(&self, mut candidate: Candidate) -> Candidate {
        let mut last = f64::INFINITY;
        for _ in 0..REFINEMENTS {
            let step = candidate.step();
            if !step.is_finite() || step.abs() >= last {
                break;
            }
            last = step.abs();
            candidate = self.at(candidate.alignment, candidate.corner.hz().ln() + step);
        }
        candidate
    }

    pub(super) fn chi_square(&self, candidate: &Candidate) -> f64 {
        candidate.residuals.iter().zip(&self.points).map(|(residual, point)| (residual / point.own).powi(2)).sum()
    }

    fn report(&self, best: &Candidate, others: &[Candidate]) -> Fit {
        let n = self.points.len() as f64;
        let rms = |candidate: &Candidate| Decibels::new((candidate.squares / n).sqrt());
        let best_chi_square = self.chi_square(best);
        let scatter = (best.squares / (n - 1.0)).sqrt();
        Fit {
            alignment: best.alignment,
            corner: best.corner,
            standard_error: best.corner.times(scatter / best.curvature().sqrt()),
            uncertainty: best.corner.times(COVERAGE * self.relative_corner_uncertainty(best)),
            residuals: best.residuals.iter().map(|residual| Decibels::new(*residual)).collect(),
            rms_residual: rms(best),
            alternatives: others
                .iter()
                .map(|other| Alternative {
                    alignment: other.alignment,
                    corner: Some(other.corner).filter(|_| !other.at_end),
                    rms_residual: rms(other),
                    told_apart: self.chi_square(other) - best_chi_square > TOLD_APART,
                })
                .collect(),
        }
    }

    /// Standard uncertainty of ln corner: each pair's own part as independent, the shared reference and the mark as
    /// common to the pairs that use them (JCGM 100:2008, 5.1.2 and 5.2.2).
    fn relative_corner_uncertainty(&self, best: &Candidate) -> f64 {
        let weights: Vec<f64> = best.slopes.iter().map(|slope| slope / best.curvature()).collect();
        let own = weights.iter().zip(&self.points).fold(0.0f64, |sum, (weight, point)| sum.hypot(weight * point.own));
        let shared = self.shared.map_or(0.0, |reading| {
            let weight: f64 = weights.iter().zip(&self.points).filter(|(_, point)| point.shares).map(|(w, _)| w).sum();
            weight * DB * reading.relative_uncertainty(self.meter, RatioForm::Full)
        });
        // One print moves every reference, each with its sign: on a hump the effects partly cancel.
        let mark = self.mark.map_or(0.0, |mark| {
            let moves = |point: &Point| best.alignment.response(point.reference_tone, mark.at).sensitivity();
            let common: f64 = weights.iter().zip(&self.points).map(|(weight, point)| weight * moves(point)).sum();
            common * DB * mark.uncertainty.fraction() / 3f64.sqrt()
        });
        own.hypot(shared).hypot(mark)
    }
}

impl Candidate {
    /// The Gauss-Newton step of ln corner.
    fn step(&self) -> f64 {
        let gradient: f64 = self.slopes.iter().zip(&self.residuals).map(|(slope, residual)| slope * residual).sum();
        gradient / self.curvature()
    }

    /// The sum of squared slopes.
    fn curvature(&self) -> f64 {
        self.slopes.iter().map(|slope| slope * slope).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::{Family, Slope};
    use crate::quantity::Volts;

    fn alignment(family: Family, slope: u32) -> Alignment {
        Alignment::new(family, Slope::new(slope).unwrap()).unwrap()
    }

    fn pairs(filter: Alignment, corner: f64, tones: &[f64]) -> Vec<Pair> {
        tones
            .iter()
            .map(|tone| {
                let tone = Hertz::new(*tone);
                let volts = Volts::new(8.0 * filter.response(tone, Hertz::new(corner)).ratio());
                Pair { tone, reading: Reading::steady(volts), reference: Some(Reading::steady(Volts::new(8.0))) }
            })
            .collect()
    }

    #[test]
    fn every_candidate_is_found_again_from_exact_readings() {
        for filter in Alignment::candidates() {
            let fit = Fit::of(
                &pairs(filter, 26.3, &[15.0, 20.0, 26.0, 35.0]),
                None,
                None,
                MeterSpec::USUAL,
                Alignment::candidates(),
            )
            .unwrap();
            assert_eq!(fit.alignment, filter);
            assert!((fit.corner.hz() / 26.3 - 1.0).abs() < 1e-9, "{filter}: {}", fit.corner.hz());
            assert!(fit.rms_residual.db() < 1e-9);
        }
    }

    #[test]
    fn a_filter_that_stayed_in_is_reckoned_out_of_a_shared_reference() {
        let filter = alignment(Family::LinkwitzRiley, 24);
        let mark = Mark { at: Hertz::new(18.0), uncertainty: Mark::USUAL_UNCERTAINTY };
        let reference_tone = Hertz::new(27.0);
        let as_read = Volts::new(8.0 * filter.response(reference_tone, mark.at).ratio());
        let mut pairs = pairs(filter, 27.0, &[18.0, 22.0, 27.0, 36.0]);
        for pair in &mut pairs {
            pair.reference = None;
        }
        let shared = SharedReference { reading: Reading::steady(as_read), tone: reference_tone };
        let fit = Fit::of(&pairs, Some(shared), Some(mark), MeterSpec::USUAL, Alignment::candidates()).unwrap();
        assert_eq!(fit.alignment, filter);
        assert!((fit.corner.hz() - 27.0).abs() < 1e-7);
    }

    #[test]
    fn what_cannot_be_fitted_says_why() {
        let of = |pairs: &[Pair]| Fit::of(pairs, None, None, MeterSpec::USUAL, Alignment::candidates());
        let good = pairs(alignment(Family::Butterworth, 24), 27.0, &[20.0, 27.0]);
        assert_eq!(of(&[]), Err(NoFit::TooFew));
        assert_eq!(of(&good[..1]), Err(NoFit::TooFew));
        let mut bare = good.clone();
        bare[0].reference = None;
        assert_eq!(of(&bare), Err(NoFit::NoReference));
        let mut flat = good;
        for pair in &mut flat {
            pair.reading = Reading::steady(Volts::new(8.0));
        }
        assert_eq!(of(&flat), Err(NoFit::NoCorner));
    }
}
