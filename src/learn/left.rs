//! What is off where no reading was: what was answered otherwise than it is printed, the filter that was taken for another,
//! and what is left of the error.

use super::looked::Filtered;
use super::slips::{Slip, slips};
use crate::filter::{Alignment, Family, Rule};
use crate::plan::CornerChoice;
use crate::practice::Bench;
use crate::quantity::{Hertz, Percent, Volts, show};
use crate::session::State;

/// What moves the corner by less, in per cent, is not named.
const WORTH_A_WORD: f64 = 0.25;

/// What two filters leave of a tone differs by less than this where they are one.
const SAME_FILTER: f64 = 1e-3;

/// Whether the knob was set for another filter than it has.
pub(super) fn filter_is_another(state: &State, bench: &Bench) -> bool {
    // Two names may be one filter: a second-order one with a Q of 0.707 is a Butterworth.
    state.plan().is_some_and(|plan| {
        let (taken, truth, corner) = (plan.inputs.alignment, bench.truth().alignment, plan.inputs.corner.corner());
        [0.5, 1.0, 2.0].iter().any(|times| {
            let ratio = |filter: Alignment| filter.response(corner.times(*times), corner).ratio();
            (ratio(taken) / ratio(truth) - 1.0).abs() > SAME_FILTER
        })
    })
}

/// What was answered otherwise than it is printed. The filter's label may be wrong: what was answered of it is told only where
/// the filter was taken for another in the end.
pub(super) fn answers(state: &State, bench: &Bench) -> Vec<Slip> {
    let sheet = bench.sheet();
    let mut told = vec![];
    if let Some(tuning) = state.tuning().filter(|tuning| *tuning != sheet.tuning) {
        told.push(format!(
            "Tuning: typed {}, the job says {}; its corner is {}.",
            show::hertz(tuning),
            show::hertz(sheet.tuning),
            show::hertz(sheet.wanted())
        ));
    }
    let choice = state.plan().map(|plan| plan.inputs.corner);
    let wanted = choice.map(CornerChoice::corner);
    match choice.and_then(CornerChoice::rule) {
        Some(rule) if rule != Rule::ThreeQuarters => {
            told.push(format!("Rule: typed {rule}, the job says {}.", Rule::ThreeQuarters));
        }
        None if wanted.is_some_and(|wanted| (wanted.hz() / sheet.wanted().hz() - 1.0).abs() > SAME_FILTER) => {
            let own = wanted.map_or_else(String::new, show::exact_hertz);
            told.push(format!("Corner: {own} of your own, the job's is {}.", show::exact_hertz(sheet.wanted())));
        }
        _ => {}
    }
    if let Some(meter) = state.meter().filter(|meter| {
        let print = sheet.meter.spec;
        meter.accuracy != print.accuracy || meter.digits != print.digits
    }) {
        told.push(format!(
            "Meter: typed +-({} + {} digits), its manual says {}.",
            show::percent(meter.accuracy),
            meter.digits,
            sheet.meter.accuracy()
        ));
    }
    let mark = state.mark().filter(|mark| sheet.prints.iter().all(|print| print.corner != mark.at));
    if let Some(mark) = mark {
        let (typed, print) = (show::hertz(mark.at), show::hertz(sheet.lowest_mark().corner));
        told.push(format!("Mark: typed {typed}, the print says {print}."));
    }
    let label = sheet.label;
    if filter_is_another(state, bench) {
        if let Some(slope) = state.slope().flatten().filter(|slope| *slope != label.slope) {
            told.push(format!("Slope: typed {slope}, the label says {}.", label.slope));
        }
        match (state.family().flatten(), label.family) {
            (Some(typed), Some(printed)) if typed != printed => {
                told.push(format!("Family: typed {typed}, the label says {printed}."));
            }
            (Some(Family::SecondOrder), Some(_)) if state.alignment().and_then(Alignment::q) != label.q => {
                let typed = state.alignment().and_then(Alignment::q).map_or_else(String::new, show::figures);
                let printed = label.q.map_or_else(String::new, show::figures);
                told.push(format!("Q: typed {typed}, the label says {printed}."));
            }
            (Some(typed), None) => told.push(format!("Family: typed {typed}, and no family is printed.")),
            _ => {}
        }
    }
    told.into_iter().map(Slip::told).collect()
}

/// What is left of the error where there is no slip, and the filter where it is another: a sentence each. Every share is worked
/// out by making the session's reckoning again with what is really so.
pub fn left(state: &State) -> Vec<String> {
    let Some(chain) = Chain::of(state) else {
        return vec![];
    };
    let mut said: Vec<String> = chain.filter().into_iter().collect();
    if slips(state).is_empty() {
        said.extend(chain.rest());
    }
    said
}

/// The corner from the wanted one to the one that it is, a step for each thing that is off.
struct Chain {
    wanted: Hertz,
    /// By the session's own reckoning.
    said: Hertz,
    /// By the filter that it is.
    by_filter: Hertz,
    /// And by where its mark really is.
    by_mark: Hertz,
    /// Where it stood at the last reading, and at the end.
    read: Hertz,
    end: Hertz,
    taken: Alignment,
    filter: Alignment,
    is_inside: bool,
}

impl Chain {
    fn of(state: &State) -> Option<Self> {
        let (read, bench) = super::slips::at_last_reading(state)?;
        let (plan, judged, truth) = (state.plan()?, state.last_reading()?.judged, bench.truth());
        let inputs = &plan.inputs;
        let reference = inputs.reference;
        let corner = |reference: Volts| {
            truth.alignment.corners_from_volts(inputs.tone, judged.reading.volts, reference).single()
        };
        let at_mark = |mark: Hertz| truth.alignment.response(inputs.tone, mark).ratio();
        let lowest = reference.mark.map_or(1.0, |mark| {
            let dial = Filtered::mark_on_dial(&bench, mark.at);
            at_mark(bench.corner_at(dial))
        });
        Some(Self {
            wanted: inputs.corner.corner(),
            said: judged.corners.single()?,
            by_filter: corner(reference.true_volts(truth.alignment, inputs.tone))?,
            by_mark: corner(Volts::new(reference.reading.volts.volts() / lowest))?,
            read: read.truth().corner,
            end: truth.corner,
            taken: inputs.alignment,
            filter: truth.alignment,
            is_inside: plan.setting.window.low <= judged.reading.volts
                && judged.reading.volts <= plan.setting.window.high,
        })
    }

    fn filter(&self) -> Option<String> {
        let share = worth_a_word(self.by_filter, self.said)?;
        (self.taken != self.filter)
            .then(|| format!("Set for {}, which it is not: {share}. It is {}.", self.taken, self.filter))
    }

    fn rest(&self) -> Option<String> {
        let window = if self.is_inside {
            "the reading stood in the window, not on the target"
        } else {
            "the reading stood outside the window"
        };
        let steps = [
            (window, self.wanted, self.said),
            ("the print of the mark is off", self.by_filter, self.by_mark),
            ("the meter's digits and ranges", self.by_mark, self.read),
            ("the knob has play and did not come back to its place", self.read, self.end),
        ];
        let said: Vec<String> = steps
            .iter()
            .filter_map(|(what, before, after)| Some(format!("{what} ({})", worth_a_word(*after, *before)?)))
            .collect();
        (!said.is_empty()).then(|| format!("No slip was found. What is left: {}.", show::list_and(&said)))
    }
}

fn worth_a_word(corner: Hertz, before: Hertz) -> Option<String> {
    let share: Percent = corner.error_against(before);
    (share.percent().abs() >= WORTH_A_WORD).then(|| show::signed_percent(share))
}
