//! Which tone to read next, while a filter is explored or checked.

use super::question::Question;
use super::state::State;
use super::sweep::SweepSays;
use crate::corner::{Evidence, Fit, LEAST_STEPS, Pair, SharedReference};
use crate::filter::{Alignment, Corners, Family, Slope};
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
    /// The tone to read next in a list; `None` where enough is known, or nothing more would help.
    pub fn proposal(&self, list: Question) -> Option<Proposal> {
        match list {
            Question::Explore => self.next_to_explore(),
            Question::Sweep => self.next_to_sweep(),
            _ => None,
        }
    }

    fn next_to_explore(&self) -> Option<Proposal> {
        let explored = self.explored();
        let bare = |hz: f64| Some(Proposal { tone: round(hz), likeliest: None, tells: vec![] });
        let Some(last) = explored.last() else {
            return bare(self.corner()?.corner().hz());
        };
        if explored.len() >= MOST_EXPLORED {
            return None;
        }
        let least = LEAST_STEPS * self.meter()?.resolution.volts();
        let pairs: Vec<Pair> = explored.iter().copied().filter(|pair| pair.reading.volts.volts() >= least).collect();
        let Some(first) = pairs.first() else {
            return bare(last.tone.hz() * 2.0);
        };
        let Some(reference) = first.reference else {
            // Without its own reference a reading says nothing until the session's is read.
            let lower = first.tone.hz() / std::f64::consts::SQRT_2;
            return if pairs.len() < 2 { bare(lower) } else { None };
        };
        if pairs.len() == 1 {
            let down = first.reading.volts.down_from(reference.volts);
            if down < TOO_LITTLE {
                return bare(first.tone.hz() / 2.0);
            }
            if down > TOO_MUCH {
                return bare(first.tone.hz() * 2.0);
            }
            let likely = self.likely()?;
            let Corners::One(corner) = likely.corners_from_volts(first.tone, first.reading.volts, reference.volts)
            else {
                return bare(first.tone.hz() / 2.0);
            };
            return self.telling(&pairs, None, (likely, corner));
        }
        let fit = self.explored_fit(None)?.ok()?;
        self.telling(&pairs, None, (fit.alignment, fit.corner))
    }

    /// What a filter is taken for while nothing is known of its family.
    fn likely(&self) -> Option<Alignment> {
        Alignment::new(Family::Butterworth, self.slope().flatten().or(Slope::new(24))?).ok()
    }

    fn next_to_sweep(&self) -> Option<Proposal> {
        let inputs = self.plan()?.inputs;
        let last = self.last_reading()?.judged;
        let swept = self.swept();
        let decided = match self.sweep() {
            SweepSays::Nothing => false,
            SweepSays::NoFilterFits => true,
            SweepSays::Fits(_, confirmed) => confirmed == Some(false),
        };
        if decided || swept.len() >= MOST_SWEPT {
            return None;
        }
        let shared = SharedReference { reading: inputs.reference.reading, tone: inputs.tone };
        let setting = Pair { tone: inputs.tone, reading: last.reading, reference: None };
        let pairs: Vec<Pair> = [setting].into_iter().chain(swept.iter().copied()).collect();
        let corner = if swept.is_empty() {
            last.corners.single()?
        } else {
            let only = [inputs.alignment];
            Fit::of(&pairs, Some(shared), inputs.reference.mark, inputs.meter, only).ok()?.corner
        };
        let telling = self.telling(&pairs, Some(shared), (inputs.alignment, corner));
        match telling {
            // Every other filter is told apart already: a second reading only confirms.
            None if swept.len() < LEAST_SWEPT => {
                let tone = if swept.iter().any(|pair| pair.tone < inputs.tone) { 1.4 } else { 0.7 };
                Some(Proposal { tone: round(corner.hz() * tone), likeliest: None, tells: vec![] })
            }
            other => other,
        }
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

/// A tone that any source can play: whole hertz, half ones below 20 Hz.
fn round(hz: f64) -> Hertz {
    let round = if hz < 20.0 { (hz * 2.0).round() / 2.0 } else { hz.round() };
    Hertz::new(round.clamp(ranges::TONE.low, ranges::TONE.high))
}
