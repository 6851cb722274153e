//! Which tone to read next: the one that tells a filter best from the others that the readings still allow.

use super::fit::{Candidate, DB, Data, Pair, Point, SharedReference, TOLD_APART};
use super::reference::{Mark, RatioForm, Reading};
use crate::filter::Alignment;
use crate::meter::MeterSpec;
use crate::quantity::{Hertz, Volts, ranges};

/// A reading below so many display steps says little: half a step is 2.5 % of it, and the digits of a usual specification
/// are a quarter of it.
pub const LEAST_STEPS: f64 = 20.0;
/// Tones are looked for from this share of the corner ...
const LOWEST: f64 = 0.2;
/// ... to this one: beyond it a high-pass filter does nothing.
const HIGHEST: f64 = 3.0;
/// Lower than this few sources and meters go; where the corner lies low, half of it will do.
const EASY: f64 = 10.0;
/// Below this, tones are proposed in half hertz, above it in whole ones: any source can play them.
const HALVES_BELOW_HZ: f64 = 20.0;
/// A tone this near to one that was read already, as a share, is no other tone.
const ANOTHER: f64 = 0.05;

/// What was read so far, and with what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evidence<'a> {
    /// The readings; there may be none.
    pub pairs: &'a [Pair],
    /// The reference of those that have none of their own.
    pub shared: Option<SharedReference>,
    /// The mark at which the filter stood while references were read.
    pub mark: Option<Mark>,
    /// The meter.
    pub meter: MeterSpec,
}

/// A tone that is worth one more reading.
#[derive(Debug, Clone, PartialEq)]
pub struct TellingTone {
    /// The tone.
    pub tone: Hertz,
    /// The filters that a reading there would tell apart, if the filter is the assumed one.
    pub tells: Vec<Alignment>,
    /// Those that it would still leave open.
    pub leaves: Vec<Alignment>,
}

impl Evidence<'_> {
    /// The tone at which one more reading, with a reference of its own, best tells `assumed` from the `others` that the
    /// readings leave open; `None` where they leave none, or no tone would add anything.
    ///
    /// For each tone the reading is worked out that the assumed filter would leave; every other filter is fitted to it and
    /// to what was read; the tone is the one after which the most filters would be told apart and, among equals, after
    /// which the nearest filter would fit worst (chi-square, as in the fit).
    pub fn telling_tone(
        &self,
        assumed: (Alignment, Hertz),
        others: impl IntoIterator<Item = Alignment>,
    ) -> Option<TellingTone> {
        let data = Data::new(self.pairs, self.shared, self.mark, self.meter)?;
        let (alignment, corner) = assumed;
        let told_already = data.chi_square(&data.at(alignment, corner.hz().ln()));
        let open: Vec<Candidate> = others
            .into_iter()
            .filter(|other| *other != alignment)
            .filter_map(|other| self.start(&data, other, corner))
            .filter(|other| data.chi_square(other) - told_already <= TOLD_APART)
            .collect();
        if open.is_empty() {
            return None;
        }
        let reference = self.usual_reference()?;
        let trial = |tone: Hertz| self.trial(&data, &open, assumed, tone, reference);
        let better = |one: &Trial, other: &Trial| {
            let count = |trial: &Trial| trial.rises.iter().filter(|rise| **rise > TOLD_APART).count();
            let nearest = |trial: &Trial| trial.rises.iter().copied().fold(f64::INFINITY, f64::min);
            count(one).cmp(&count(other)).then(nearest(one).total_cmp(&nearest(other)))
        };
        let best = self.tones(corner).filter_map(trial).max_by(better)?;
        let (tells, leaves): (Vec<_>, Vec<_>) = open.iter().zip(&best.rises).partition(|(_, rise)| **rise > TOLD_APART);
        let filters = |list: Vec<(&Candidate, &f64)>| list.into_iter().map(|(other, _)| other.alignment).collect();
        Some(TellingTone { tone: best.tone, tells: filters(tells), leaves: filters(leaves) })
    }

    /// Another filter where it fits what was read best; with nothing read yet, at the same corner.
    fn start(&self, data: &Data, other: Alignment, corner: Hertz) -> Option<Candidate> {
        if self.pairs.is_empty() {
            return Some(data.at(other, corner.hz().ln()));
        }
        Some(data.best_corner(other)).filter(|candidate| !candidate.at_end)
    }

    /// What one more reading at a tone would do; `None` where the meter could not show it for every filter that is open.
    fn trial(
        &self,
        data: &Data,
        open: &[Candidate],
        assumed: (Alignment, Hertz),
        tone: Hertz,
        reference: Volts,
    ) -> Option<Trial> {
        let (alignment, corner) = assumed;
        let left =
            |filter: Alignment, corner: Hertz| reference.times((data.level(filter, corner, tone, tone) / DB).exp());
        let is_read = |volts: Volts| volts.volts() >= LEAST_STEPS * self.meter.resolution.volts();
        // Whichever filter it is, the meter must be able to show it: a tone far down a steep slope misleads.
        if !is_read(left(alignment, corner)) || !open.iter().all(|other| is_read(left(other.alignment, other.corner))) {
            return None;
        }
        let (volts, level) = (left(alignment, corner), data.level(alignment, corner, tone, tone));
        let relative = |volts: Volts| Reading::steady(volts).relative_uncertainty(self.meter, RatioForm::Full);
        let own = DB * relative(volts).hypot(relative(reference));
        let mut more = data.clone();
        more.points.push(Point { tone, reference_tone: tone, level, own, shares: false });
        let assumed = more.chi_square(&more.at(alignment, corner.hz().ln()));
        let rises = open
            .iter()
            .map(|other| {
                let refitted = more.descend(more.at(other.alignment, other.corner.hz().ln()));
                more.chi_square(&refitted) - assumed
            })
            .collect();
        Some(Trial { tone, rises })
    }

    /// The highest reference so far.
    fn usual_reference(&self) -> Option<Volts> {
        let own = self.pairs.iter().filter_map(|pair| pair.reference).map(|reading| reading.volts);
        let shared = self.shared.map(|shared| shared.reading.volts);
        own.chain(shared).reduce(|one, other| if other > one { other } else { one })
    }

    /// Round tones about a corner that were not read yet.
    fn tones(&self, corner: Hertz) -> impl Iterator<Item = Hertz> {
        let (low, high) = ((corner.hz() * LOWEST).max(EASY.min(corner.hz() / 2.0)), corner.hz() * HIGHEST);
        let halves = (1..).map(|half| f64::from(half) / 2.0).take_while(|hz| *hz < HALVES_BELOW_HZ);
        let wholes = (HALVES_BELOW_HZ as u32..).map(f64::from).take_while(|hz| *hz <= ranges::TONE.high);
        halves
            .chain(wholes)
            .filter(move |hz| (low..=high).contains(hz) && ranges::TONE.contains(*hz))
            .filter(|hz| self.pairs.iter().all(|pair| (hz / pair.tone.hz()).ln().abs() > ANOTHER))
            .map(Hertz::new)
    }
}

/// The nearest tone that any source can play: whole hertz, half ones below 20 Hz.
pub fn playable(tone: Hertz) -> Hertz {
    let steps = if tone.hz() < HALVES_BELOW_HZ { 2.0 } else { 1.0 };
    Hertz::new((tone.hz() * steps).round() / steps)
}

/// What one more reading at a tone would do to every open filter's chi-square.
struct Trial {
    tone: Hertz,
    rises: Vec<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::corner::Fit;
    use crate::filter::{Family, Slope};

    fn alignment(family: Family, slope: u32) -> Alignment {
        Alignment::new(family, Slope::new(slope).unwrap()).unwrap()
    }

    fn pair(filter: Alignment, corner: f64, tone: f64) -> Pair {
        let tone = Hertz::new(tone);
        let volts = Volts::new(8.0 * filter.response(tone, Hertz::new(corner)).ratio());
        Pair { tone, reading: Reading::steady(volts), reference: Some(Reading::steady(Volts::new(8.0))) }
    }

    fn evidence(pairs: &[Pair]) -> Evidence<'_> {
        Evidence { pairs, shared: None, mark: None, meter: MeterSpec::USUAL }
    }

    /// Whatever the filter, the tone that is named does what it promises: read there, exactly the filters named are told
    /// apart, and no other tone of the grid tells more of them.
    #[test]
    fn a_reading_at_the_tone_tells_what_was_promised() {
        for filter in Alignment::candidates() {
            let mut pairs = vec![pair(filter, 27.0, 27.0), pair(filter, 27.0, 31.0)];
            let fit = Fit::of(&pairs, None, None, MeterSpec::USUAL, Alignment::candidates()).unwrap();
            let open = fit.open().count();
            let corner = Hertz::new(27.0);
            let Some(telling) = evidence(&pairs).telling_tone((filter, corner), Alignment::candidates()) else {
                assert_eq!(open, 1, "{filter}");
                continue;
            };
            pairs.push(pair(filter, 27.0, telling.tone.hz()));
            let fit = Fit::of(&pairs, None, None, MeterSpec::USUAL, Alignment::candidates()).unwrap();
            assert_eq!(fit.alignment, filter);
            let still_open: Vec<Alignment> = fit.open().skip(1).collect();
            assert_eq!(still_open.len(), telling.leaves.len(), "{filter}: {still_open:?} {telling:?}");
            assert!(telling.leaves.iter().all(|other| still_open.contains(other)), "{filter}");
            pairs.pop();
            for hz in [14.0, 17.0, 20.0, 40.0, 54.0] {
                pairs.push(pair(filter, 27.0, hz));
                let fit = Fit::of(&pairs, None, None, MeterSpec::USUAL, Alignment::candidates()).unwrap();
                let readable = pairs[2].reading.volts.volts() >= LEAST_STEPS * MeterSpec::USUAL.resolution.volts();
                assert!(!readable || fit.open().count() > telling.leaves.len(), "{filter}: {hz} Hz tells more");
                pairs.pop();
            }
        }
    }

    #[test]
    fn where_nothing_is_open_no_tone_is_named() {
        let filter = alignment(Family::Butterworth, 24);
        let pairs: Vec<Pair> = [14.0, 20.0, 27.0, 38.0].map(|tone| pair(filter, 27.0, tone)).to_vec();
        let corner = Hertz::new(27.0);
        assert_eq!(evidence(&pairs).telling_tone((filter, corner), [filter]), None);
    }
}
