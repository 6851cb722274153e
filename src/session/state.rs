//! Where a session stands: a fold over its log.

use std::collections::BTreeMap;

use super::entry::{EntryMode, LogEntry};
use super::memo::Memo;
use super::moment::Moment;
use super::question::Question;
use super::words::{Answer, OWN};
use crate::corner::{Fit, LEAST_STEPS, Mark, NoFit, Pair, Reading, Reference, SharedReference, several_tones};
use crate::displacement::{Analysis, Setup};
use crate::filter::{Alignment, Family};
use crate::meter::{MeterSpec, Verdict};
use crate::plan::{Judged, Plan};

/// What was fixed when the session was opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The session's id, later the record's.
    pub id: String,
    /// The bench.
    pub bench: String,
    /// Who typed first.
    pub entry: EntryMode,
    /// Whether the readings come from a simulated bench.
    pub practice: bool,
    /// The program and its version.
    pub tool: String,
    /// When.
    pub at: Moment,
}

/// An answer that holds: as typed, and what it means.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    pub typed: String,
    pub answer: Answer,
    pub default: bool,
}

/// A reading in a list of several tones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Listed {
    /// Its number, from 1.
    pub number: u32,
    /// Tone, reading and its own reference.
    pub pair: Pair,
    /// Whether it was struck out.
    pub struck: bool,
}

/// A filter that a sweep found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The filter.
    pub alignment: Alignment,
    /// Those that the readings did not tell from it.
    pub others: Vec<Alignment>,
}

/// A reading that was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken {
    /// Its number, from 1.
    pub number: u32,
    /// What it said.
    pub judged: Judged,
    /// Whether it was struck out.
    pub struck: bool,
}

/// Where a session stands.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    opened: Opened,
    log: Vec<LogEntry>,
    pub(super) answers: BTreeMap<Question, Given>,
    /// Answers that an earlier question's new answer has set aside, to be taken again; `None` where it was the default.
    pub(super) set_aside: BTreeMap<Question, Option<String>>,
    pub(super) explored: Vec<Listed>,
    pub(super) explore_count: u32,
    /// What a sweep found, where the knob is set again for it.
    pub(super) found: Option<Found>,
    pub(super) plan: Option<Plan>,
    pub(super) readings: Vec<Taken>,
    /// How many readings were taken against a reference that no longer holds.
    pub(super) outdated: usize,
    pub(super) swept: Vec<Listed>,
    pub(super) sweep_count: u32,
    pub(super) resumed_by_script: bool,
    pub(super) fits: Memo<FitInputs, Result<Fit, NoFit>>,
    pub(super) analyses: Memo<Setup, Analysis>,
}

/// What a fit is made from, but the candidates that always are.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FitInputs {
    pub pairs: Vec<Pair>,
    pub shared: Option<SharedReference>,
    pub mark: Option<Mark>,
    pub meter: MeterSpec,
    /// A candidate besides.
    pub own: Option<Alignment>,
}

impl State {
    /// A session that was just opened.
    pub const fn new(opened: Opened) -> Self {
        Self {
            opened,
            log: Vec::new(),
            answers: BTreeMap::new(),
            set_aside: BTreeMap::new(),
            explored: Vec::new(),
            explore_count: 0,
            found: None,
            plan: None,
            readings: Vec::new(),
            outdated: 0,
            swept: Vec::new(),
            sweep_count: 0,
            resumed_by_script: false,
            fits: Memo::new(),
            analyses: Memo::new(),
        }
    }

    /// What was fixed when the session was opened.
    pub const fn opened(&self) -> &Opened {
        &self.opened
    }

    /// Everything that happened.
    pub fn log(&self) -> &[LogEntry] {
        &self.log
    }

    pub(super) fn push(&mut self, entry: LogEntry) {
        self.log.push(entry);
    }

    /// Script, where any part was typed by one.
    pub fn entry_mode(&self) -> EntryMode {
        if self.resumed_by_script { EntryMode::Script } else { self.opened.entry }
    }

    /// The question that comes next; `None` when the session is complete. While readings are taken it is
    /// [`Question::Reading`], until the setting is accepted.
    pub fn next(&self) -> Option<Question> {
        Question::ALL.into_iter().find(|question| !self.is_answered(*question) && self.comes_up(*question))
    }

    /// The question after a list that is ended: after the readings whether they are accepted.
    pub fn after(&self, list: Question) -> Option<Question> {
        Question::ALL
            .into_iter()
            .find(|question| *question > list && !self.is_answered(*question) && self.comes_up(*question))
    }

    /// The question before this one that came up and can be answered again.
    pub fn before(&self, question: Question) -> Option<Question> {
        Question::ALL
            .into_iter()
            .rev()
            .find(|earlier| *earlier < question && *earlier != Question::Accept && self.comes_up(*earlier))
    }

    /// Whether a question has its answer.
    pub fn is_answered(&self, question: Question) -> bool {
        match question {
            Question::Reading => self.accepted(),
            Question::Reference => self.plan.is_some(),
            _ => self.answers.contains_key(&question),
        }
    }

    /// Whether a question comes up at all, given the answers before it.
    pub fn comes_up(&self, question: Question) -> bool {
        match question {
            Question::Q => self.family() == Some(Some(Family::SecondOrder)),
            Question::Corner => self.word(Question::Rule) == Some(OWN),
            Question::ReferenceMark | Question::MarkUncertainty => self.yes(Question::Bypass) == Some(false),
            Question::RatedPower | Question::Load => self.yes(Question::Gain) == Some(false),
            Question::Explore => self.family() == Some(None),
            Question::ReferenceConfirmed => self.high_reference().is_some(),
            Question::SetAgain => self.refitted().is_some(),
            Question::Reason => self.accepted() && (self.accepted_outside() || self.filter_is_another()),
            _ => true,
        }
    }

    /// What the exploring readings say, with this reference for those without their own.
    pub fn explored_fit(&self, reference: Option<Reading>) -> Option<Result<Fit, NoFit>> {
        let pairs = self.telling_pairs();
        if pairs.is_empty() {
            return None;
        }
        let shared = reference.zip(self.tone()).map(|(reading, tone)| SharedReference { reading, tone });
        let meter = self.meter()?;
        Some(self.fit(FitInputs { pairs, shared, mark: self.mark(), meter, own: None }))
    }

    /// The fit of some readings over every candidate.
    pub(super) fn fit(&self, inputs: FitInputs) -> Result<Fit, NoFit> {
        self.fits.of(inputs, |inputs| {
            let candidates = Alignment::candidates().chain(inputs.own);
            Fit::of(&inputs.pairs, inputs.shared, inputs.mark, inputs.meter, candidates)
        })
    }

    /// The filter of a fit: the best one; where the readings cannot tell it from one of the slope that was told, that one.
    pub fn as_told(&self, fit: &Fit) -> Alignment {
        let Some(Some(told)) = self.slope() else {
            return fit.alignment;
        };
        fit.open().find(|alignment| alignment.slope() == told).unwrap_or(fit.alignment)
    }

    /// Whether every exploring reading has its own reference, so that the fit need not wait.
    pub fn explored_alone(&self) -> bool {
        self.explored().iter().all(|pair| pair.reference.is_some())
    }

    /// The exploring readings that are not struck.
    pub fn explored(&self) -> Vec<Pair> {
        live(&self.explored)
    }

    /// The exploring readings that a fit is made of: those that the meter shows in enough steps to tell anything, where they
    /// are two or more, else all.
    fn telling_pairs(&self) -> Vec<Pair> {
        let telling = self.explored_well();
        if several_tones(&telling, 0.0) { telling } else { self.explored() }
    }

    /// The exploring readings that the meter shows in enough steps.
    pub(super) fn explored_well(&self) -> Vec<Pair> {
        let least = self.meter().map_or(0.0, |meter| LEAST_STEPS * meter.resolution.volts());
        let mut pairs = self.explored();
        pairs.retain(|pair| pair.reading.volts.volts() >= least);
        pairs
    }

    /// The readings of the sweep that are not struck.
    pub fn swept(&self) -> Vec<Pair> {
        live(&self.swept)
    }

    /// The filter that is neither answered nor explored, but taken all the same: Butterworth at the slope.
    pub fn guessed(&self) -> Option<Alignment> {
        if self.family() == Some(None) && self.explored().is_empty() && self.found.is_none() {
            Alignment::new(Family::Butterworth, self.slope()??).ok()
        } else {
            None
        }
    }

    /// The filter in use as far as it is known without the reference: as answered, as fitted, or as guessed.
    pub fn alignment(&self) -> Option<Alignment> {
        if let Some(found) = &self.found {
            return Some(found.alignment);
        }
        match self.family()? {
            Some(Family::SecondOrder) => self.number(Question::Q).map(Alignment::second_order),
            Some(family) => Alignment::new(family, self.slope()??).ok(),
            None => match self.explored_fit(None) {
                Some(fit) => fit.ok().map(|fit| self.as_told(&fit)),
                None => self.guessed(),
            },
        }
    }

    /// The plan, once the reference is read.
    pub const fn plan(&self) -> Option<&Plan> {
        self.plan.as_ref()
    }

    /// The reference as read.
    pub fn reference(&self) -> Option<Reference> {
        self.plan.as_ref().map(|plan| plan.inputs.reference)
    }

    /// What must be said of the reference, where it is high.
    pub fn high_reference(&self) -> Option<String> {
        super::cautions::high_reference_caution(self.reference()?.reading.volts, self.load())
    }

    /// Every reading, struck ones and those against an earlier reference too.
    pub fn readings(&self) -> &[Taken] {
        &self.readings
    }

    /// The last reading that counts.
    pub fn last_reading(&self) -> Option<&Taken> {
        self.readings[self.outdated..].iter().rev().find(|taken| !taken.struck)
    }

    /// The reading that counts before the last one, to see which way the knob went.
    pub fn reading_before_last(&self) -> Option<&Taken> {
        self.readings[self.outdated..].iter().rev().filter(|taken| !taken.struck).nth(1)
    }

    /// Whether a list holds anything yet.
    pub fn has_begun(&self, list: Question) -> bool {
        match list {
            Question::Explore => !self.explored().is_empty(),
            Question::Reading => self.last_reading().is_some(),
            Question::Sweep => !self.swept().is_empty(),
            _ => false,
        }
    }

    /// Whether the setting was accepted.
    pub fn accepted(&self) -> bool {
        self.yes(Question::Accept) == Some(true)
    }

    /// Whether it was accepted although the last reading is not inside.
    pub fn accepted_outside(&self) -> bool {
        self.accepted() && self.last_reading().is_none_or(|taken| taken.judged.verdict != Verdict::Inside)
    }

    /// The filter that a sweep found where it was not the one that was told, and for which the knob is set again.
    pub const fn found(&self) -> Option<&Found> {
        self.found.as_ref()
    }

    /// Whether the sweep tells the filter in use apart from what it fits.
    pub fn filter_is_another(&self) -> bool {
        self.sweep().confirmed() == Some(false)
    }

    /// The reason for accepting all the same.
    pub fn reason(&self) -> Option<&str> {
        self.text(Question::Reason)
    }

    /// The name that signed off, and when.
    pub fn signed_off(&self) -> Option<(&str, Moment)> {
        let name = self.text(Question::SignOff)?;
        let at = self.log.iter().rev().find_map(|entry| match entry {
            LogEntry::Answer(answer) if answer.question == Question::SignOff => Some(answer.at),
            _ => None,
        })?;
        Some((name, at))
    }
}

fn live(list: &[Listed]) -> Vec<Pair> {
    list.iter().filter(|listed| !listed.struck).map(|listed| listed.pair).collect()
}
