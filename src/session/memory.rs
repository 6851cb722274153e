//! What was answered last time for this technician, amplifier and meter.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::moment::Moment;
use super::question::Question;
use super::state::State;
use super::words::{NOT_NAMED, OWN, UNKNOWN};

/// The answers of one signed-off session, as they were typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gear {
    /// When it was signed off.
    pub at: Moment,
    /// Who worked.
    pub technician: String,
    /// On which amplifier.
    pub amplifier: String,
    /// With which meter.
    pub meter: String,
    /// The answers about gear.
    pub answers: BTreeMap<Question, String>,
}

/// Known gear, the newest first.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Memory {
    /// One for each technician, amplifier and meter.
    pub gear: Vec<Gear>,
}

/// An answer that is remembered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Remembered {
    pub typed: String,
    /// Whether the gear is known as a whole, so that it need not be asked for.
    pub known: bool,
}

impl Memory {
    /// How many kinds of gear are kept.
    const MOST: usize = 200;

    /// Remembers a finished session; an older one with the same gear is forgotten. Gear without a name is no known gear.
    pub fn remember(&mut self, state: &State, at: Moment) {
        let (Some(technician), Some(amplifier), Some(meter)) =
            (state.technician(), state.amplifier(), state.meter_name())
        else {
            return;
        };
        if amplifier == NOT_NAMED {
            return;
        }
        let meter_is_known = meter != NOT_NAMED;
        let answers = Question::ALL
            .into_iter()
            .filter(|question| question.is_gear() && (meter_is_known || !question.is_of_meter()))
            .filter(|question| *question != Question::Tone || !state.is_default(Question::Tone))
            .filter_map(|question| Some((question, found_out(state, question).or_else(|| state.typed(question))?)))
            .collect();
        let gear = Gear {
            at,
            technician: technician.to_owned(),
            amplifier: amplifier.to_owned(),
            meter: meter.to_owned(),
            answers,
        };
        self.gear.retain(|old| !gear.is_same(old));
        self.gear.insert(0, gear);
        self.gear.truncate(Self::MOST);
    }

    /// What is remembered for a question, given the answers before it.
    pub(super) fn recall(&self, state: &State, question: Question) -> Option<Remembered> {
        let technician = state.technician();
        let newest = |fits: &dyn Fn(&Gear) -> bool| self.gear.iter().find(|gear| fits(gear));
        // However a name is capitalised, it is the same.
        let is = |name: &str, answered: Option<&str>| {
            answered.is_some_and(|other| name.to_lowercase() == other.to_lowercase())
        };
        let by_technician = |gear: &Gear| is(&gear.technician, technician);
        let of_amplifier = |gear: &Gear| is(&gear.amplifier, state.amplifier());
        let by_amplifier = |gear: &Gear| by_technician(gear) && of_amplifier(gear);
        let by_meter = |gear: &Gear| by_technician(gear) && is(&gear.meter, state.meter_name());
        let offered = |typed: &str| Some(Remembered { typed: typed.to_owned(), known: false });
        match question {
            Question::Technician => offered(&newest(&|_| true)?.technician),
            Question::Amplifier => offered(&newest(&by_technician)?.amplifier),
            Question::Meter => match newest(&by_amplifier) {
                Some(gear) => Some(Remembered { typed: gear.meter.clone(), known: true }),
                None => offered(&newest(&by_technician)?.meter),
            },
            _ if question.is_of_meter() => {
                let gear = newest(&by_meter)?;
                Some(Remembered { typed: gear.answers.get(&question)?.clone(), known: true })
            }
            _ if question.is_gear() => {
                // The filter is the amplifier's, whoever set it last; how it is worked at is everybody's own.
                let gear =
                    newest(&by_amplifier).or_else(|| newest(&of_amplifier).filter(|_| question.is_of_filter()))?;
                match gear.answers.get(&question) {
                    // A dial without a print has none the next time either; where it points is another matter each time.
                    Some(typed) if question == Question::DialMark => {
                        (typed == UNKNOWN).then(|| Remembered { typed: typed.clone(), known: true })
                    }
                    // What changes from job to job is offered, but asked.
                    Some(typed) if [OWN, UNKNOWN].contains(&typed.as_str()) => offered(typed),
                    Some(typed) if question == Question::Tone => offered(typed),
                    Some(typed) => Some(Remembered { typed: typed.clone(), known: true }),
                    // The tone was the usual one for its corner: so it is now.
                    None if question == Question::Tone => {
                        Some(Remembered { typed: state.default_answer(Question::Tone)?, known: true })
                    }
                    None => None,
                }
            }
            _ => None,
        }
    }
}

/// Family and slope as a sweep or exploring found them, where the readings tell every other filter apart.
fn found_out(state: &State, question: Question) -> Option<String> {
    let reference = state.reference().map(|reference| reference.reading);
    let explored = || {
        let fit = state.explored_fit(reference)?.ok()?;
        (fit.open().count() == 1).then_some(fit.alignment)
    };
    let swept = || state.found().filter(|found| found.others.is_empty()).map(|found| found.alignment);
    let alignment = swept().or_else(explored)?;
    match question {
        Question::Family => Some(alignment.family().word().to_owned()),
        Question::Slope => Some(alignment.slope().db_per_octave().to_string()),
        _ => None,
    }
}

impl Gear {
    fn is_same(&self, other: &Self) -> bool {
        self.technician == other.technician && self.amplifier == other.amplifier && self.meter == other.meter
    }
}
