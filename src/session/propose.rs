//! Which tone to read next, while a filter is explored or checked.

use super::question::Question;
use super::state::State;
use super::sweep::{POOR_FIT, SweepSays};
use crate::corner::{Evidence, Fit, Pair, SharedReference, playable};
use crate::filter::{Alignment, Corners};
use crate::quantity::{Decibels, Hertz, ranges};

/// More readings than these are not asked for; a person may still give them.
const MOST_EXPLORED: usize = 5;
const MOST_SWEPT: usize = 3;
/// The fewest that a check is made of.
const LEAST_SWEPT: usize = 2;
/// Less than this far down, the knob stands far below the tone and the reading says little of where.
const TOO_LITTLE: Decibels = Decibels::new(1.0);
/// More than this far down, the knob stands far above the tone.
const TOO_MUCH: Decibels = Decibels::new(24.0);

/// What to do next in a list of readings.
#[derive(Debug, Clone, PartialEq)]
pub enum Advice {
    /// Play a tone.
    Play(Proposal),
    /// Nothing: the readings tell one filter from all others.
    Decided,
    /// Nothing: these filters stay open, and one more tone would not tell them apart.
    Open(Vec<Alignment>),
    /// Look at what was typed: no filter fits.
    NoFit,
    /// Nothing more is asked for.
    Enough,
}

/// A tone that is proposed, and the filters that a reading there would tell from the likeliest one.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The tone.
    pub tone: Hertz,
    /// The filter that the readings so far are likeliest of; `None` while they say nothing.
    pub likeliest: Option<Alignment>,
    /// The filters that would be told apart.
    pub tells: Vec<Alignment>,
}

impl State {
    /// What to do next in a list.
    pub fn advice(&self, list: Question) -> Advice {
        let advice = match list {
            Question::Explore => self.next_to_explore(),
            Question::Sweep => self.next_to_sweep(),
            _ => None,
        };
        advice.unwrap_or(Advice::Enough)
    }

    /// The tone to read next in a list, where there is one.
    pub fn proposal(&self, list: Question) -> Option<Proposal> {
        match self.advice(list) {
            Advice::Play(proposal) => Some(proposal),
            _ => None,
        }
    }

    fn next_to_explore(&self) -> Option<Advice> {
        let explored = self.explored();
        let Some(last) = explored.last() else {
            return Some(bare(self.corner()?.corner().hz()));
        };
        let pairs = self.explored_well();
        let is_most = explored.len() >= MOST_EXPLORED;
        let Some(first) = pairs.first().filter(|_| !is_most || pairs.len() > 1) else {
            return if is_most { Some(Advice::Enough) } else { Some(bare(last.tone.hz() * 2.0)) };
        };
        let Some(reference) = first.reference else {
            // Without its own reference a reading says nothing until the session's is read.
            let lower = first.tone.hz() / std::f64::consts::SQRT_2;
            return Some(if pairs.len() < 2 { bare(lower) } else { Advice::Enough });
        };
        if pairs.iter().any(|pair| pair.reference.is_none()) {
            return Some(Advice::Enough);
        }
        if pairs.len() > 1 {
            return match self.explored_fit(None)? {
                // Nothing falls yet: the knob stands lower.
                Err(_) if !is_most && pairs.iter().all(|pair| down(pair) < Some(TOO_LITTLE)) => {
                    Some(bare(pairs.iter().map(|pair| pair.tone.hz()).fold(f64::INFINITY, f64::min) / 2.0))
                }
                Err(_) => Some(Advice::NoFit),
                Ok(fit) => Some(self.to_tell(&pairs, None, (fit.alignment, fit.corner), &fit, is_most)),
            };
        }
        let here = down(first)?;
        if here < TOO_LITTLE {
            return Some(bare(first.tone.hz() / 2.0));
        }
        if here > TOO_MUCH {
            return Some(bare(first.tone.hz() * 2.0));
        }
        let likely = Alignment::usual(self.slope().flatten());
        let corners = likely.corners_from_volts(first.tone, first.reading.volts, reference.volts);
        let Corners::One(corner) = corners else {
            return Some(bare(first.tone.hz() / 2.0));
        };
        let telling = self.telling(&pairs, None, (likely, corner));
        Some(telling.map_or_else(|| bare(first.tone.hz() / 2.0), Advice::Play))
    }

    fn next_to_sweep(&self) -> Option<Advice> {
        let inputs = self.plan()?.inputs;
        let last = self.last_reading()?.judged;
        let swept = self.swept();
        let (pairs, shared) = self.sweep_with_setting()?;
        let is_most = swept.len() >= MOST_SWEPT;
        match self.sweep() {
            SweepSays::NoFilterFits => Some(Advice::NoFit),
            SweepSays::Fits(fit, Some(false)) => {
                Some(self.to_tell(&pairs, Some(shared), (fit.alignment, fit.corner), &fit, is_most))
            }
            SweepSays::Fits(fit, _) if swept.len() >= LEAST_SWEPT => {
                let only = [inputs.alignment];
                let in_use = Fit::of(&pairs, Some(shared), inputs.reference.mark, inputs.meter, only).ok()?;
                Some(self.to_tell(&pairs, Some(shared), (inputs.alignment, in_use.corner), &fit, is_most))
            }
            SweepSays::Fits(..) | SweepSays::Nothing => {
                let corner = last.corners.single()?;
                let telling = self.telling(&pairs, Some(shared), (inputs.alignment, corner));
                // Where every other filter is told apart already, a second reading only confirms.
                let beside = if swept.iter().any(|pair| pair.tone < inputs.tone) { 1.4 } else { 0.7 };
                Some(telling.map_or_else(|| bare(corner.hz() * beside), Advice::Play))
            }
        }
    }

    /// The tone that tells the filters apart that a fit leaves open, if there is one and more readings are asked for.
    fn to_tell(
        &self,
        pairs: &[Pair],
        shared: Option<SharedReference>,
        assumed: (Alignment, Hertz),
        fit: &Fit,
        is_most: bool,
    ) -> Advice {
        if fit.rms_residual > POOR_FIT {
            return Advice::NoFit;
        }
        let open: Vec<Alignment> = fit.open().collect();
        if open.len() < 2 {
            return Advice::Decided;
        }
        let telling = if is_most { None } else { self.telling(pairs, shared, assumed) };
        telling.map_or(Advice::Open(open), Advice::Play)
    }

    fn telling(
        &self,
        pairs: &[Pair],
        shared: Option<SharedReference>,
        assumed: (Alignment, Hertz),
    ) -> Option<Proposal> {
        let evidence = Evidence { pairs, shared, mark: self.mark(), meter: self.meter()? };
        let telling = evidence.telling_tone(assumed, Alignment::candidates())?;
        let helps = !telling.tells.is_empty();
        helps.then_some(Proposal { tone: telling.tone, likeliest: Some(assumed.0), tells: telling.tells })
    }
}

/// How far down a reading is against its own reference.
fn down(pair: &Pair) -> Option<Decibels> {
    Some(pair.reading.volts.down_from(pair.reference?.volts))
}

/// A tone for its own sake, at or near a frequency.
fn bare(hz: f64) -> Advice {
    let tone = playable(Hertz::new(hz.clamp(ranges::TONE.low, ranges::TONE.high)));
    Advice::Play(Proposal { tone, likeliest: None, tells: vec![] })
}
