//! What a learner has done so far, as one JSON document. Where it is kept is no business of this file.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::exercise::Judgement;
use super::form::Form;
use super::lesson::Lesson;
use super::quiz::Outcome;
use super::skill::Skill;
use crate::practice::Level;
use crate::quantity::Percent;
use crate::session::Moment;

/// The version of the document.
const VERSION: u32 = 1;
/// More questions than anyone is asked in a life.
const MOST_ASKED: u64 = 1 << 40;
/// How many outcomes of a form are kept.
pub const KEPT: usize = 10;
/// So many first tries in a row must be right for a form to hold.
pub const IN_A_ROW: usize = 2;

/// What a learner has done.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Progress {
    /// The version of the document.
    version: u32,
    /// The learner's name.
    pub learner: String,
    /// Every form that was asked, each once.
    forms: Vec<Practised>,
    /// Lessons that were finished, the latest last.
    pub lessons: Vec<FinishedLesson>,
    /// Simulated benches that were tried, the latest last.
    pub benches: Vec<TriedBench>,
}

/// How a form went: first tries only, for a question that comes back soon after its working says little.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Practised {
    form: Form,
    asked: u64,
    right: u64,
    /// The last [`KEPT`] outcomes, oldest first.
    last: Vec<bool>,
}

/// A lesson that was finished.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FinishedLesson {
    /// The lesson's word.
    pub lesson: String,
    /// When.
    pub at: Moment,
    /// How many questions it had.
    pub questions: usize,
    /// How many of them were answered right at once.
    pub right_at_once: usize,
}

/// A simulated bench that was tried.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TriedBench {
    /// The level's word.
    pub level: String,
    /// The seed.
    pub seed: u64,
    /// How far off the corner was left; null where none was left.
    pub corner_error_percent: Option<Percent>,
    /// When.
    pub at: Moment,
}

/// How a form stands with a learner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// It was never asked.
    New,
    /// It was asked, and does not hold.
    Weak,
    /// Its last [`IN_A_ROW`] first tries were right.
    Holds,
}

/// First tries: how many, and how many were right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tries {
    /// How many.
    pub asked: u64,
    /// How many were right.
    pub right: u64,
}

/// Why a document is no progress.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProgressError {
    /// It cannot be read.
    #[error("it cannot be read as a learner's progress: {0}")]
    Damaged(String),
    /// It is of another version.
    #[error("it has version {0}, and this program knows version {VERSION} only")]
    Version(u64),
    /// It contradicts itself.
    #[error("what it says of `{0}` contradicts itself")]
    Contradiction(&'static str),
}

impl Progress {
    /// That of a learner who has done nothing yet.
    pub fn new(learner: impl Into<String>) -> Self {
        Self { version: VERSION, learner: learner.into(), forms: vec![], lessons: vec![], benches: vec![] }
    }

    /// Reads a document.
    ///
    /// # Errors
    /// Where it is damaged, of another version, has a key that is not known, or contradicts itself.
    pub fn from_json(bytes: &[u8]) -> Result<Self, ProgressError> {
        /// Another version may have any keys.
        #[derive(Deserialize)]
        struct Versioned {
            version: u64,
        }
        let damaged = |error: serde_json::Error| ProgressError::Damaged(error.to_string());
        let Versioned { version } = serde_json::from_slice(bytes).map_err(damaged)?;
        if version != u64::from(VERSION) {
            return Err(ProgressError::Version(version));
        }
        let progress: Self = serde_json::from_slice(bytes).map_err(damaged)?;
        for (place, practised) in progress.forms.iter().enumerate() {
            let twice = progress.forms[..place].iter().any(|earlier| earlier.form == practised.form);
            if twice || !practised.is_possible() {
                return Err(ProgressError::Contradiction(practised.form.word()));
            }
        }
        Ok(progress)
    }

    /// The document, ending with a line end.
    ///
    /// # Errors
    /// Where a corner error is not finite.
    pub fn to_json(&self) -> Result<String, ProgressError> {
        serde_json::to_string_pretty(self)
            .map(|text| text + "\n")
            .map_err(|error| ProgressError::Damaged(error.to_string()))
    }

    /// Notes how a form went at the first try.
    pub fn note(&mut self, form: Form, right: bool) {
        let place = self.forms.iter().position(|practised| practised.form == form).unwrap_or_else(|| {
            self.forms.push(Practised { form, asked: 0, right: 0, last: vec![] });
            self.forms.len() - 1
        });
        let practised = &mut self.forms[place];
        practised.asked += 1;
        practised.right += u64::from(right);
        practised.last.push(right);
        let surplus = practised.last.len().saturating_sub(KEPT);
        practised.last.drain(..surplus);
    }

    /// Notes an answer, where it was a first try.
    pub fn answered(&mut self, outcome: &Outcome) {
        if outcome.first {
            self.note(outcome.exercise.form, outcome.judgement == Judgement::Right);
        }
    }

    /// The last time a lesson was finished.
    pub fn lesson(&self, lesson: Lesson) -> Option<&FinishedLesson> {
        self.lessons.iter().rev().find(|finished| finished.lesson == lesson.word())
    }

    /// The bench of a level that was set best.
    pub fn best_on(&self, level: Level) -> Option<Percent> {
        let of_level = self.benches.iter().filter(|tried| tried.level == level.word());
        let errors = of_level.filter_map(|tried| tried.corner_error_percent.map(Percent::magnitude));
        errors.min_by(|one, other| one.percent().total_cmp(&other.percent()))
    }

    /// The last outcomes of a form, oldest first.
    pub fn last(&self, form: Form) -> &[bool] {
        self.practised(form).map_or(&[], |practised| &practised.last)
    }

    /// All first tries of a form.
    pub fn tries(&self, form: Form) -> Tries {
        self.practised(form).map_or_else(Tries::default, |it| Tries { asked: it.asked, right: it.right })
    }

    /// All first tries of a skill.
    pub fn tries_of(&self, skill: Skill) -> Tries {
        forms_of(skill).map(|form| self.tries(form)).fold(Tries::default(), |sum, tries| Tries {
            asked: sum.asked + tries.asked,
            right: sum.right + tries.right,
        })
    }

    /// How a form stands.
    pub fn standing(&self, form: Form) -> Standing {
        let last = self.last(form);
        match last.len().checked_sub(IN_A_ROW) {
            _ if last.is_empty() => Standing::New,
            Some(start) if last[start..].iter().all(|right| *right) => Standing::Holds,
            _ => Standing::Weak,
        }
    }

    /// Whether a skill holds: every one of its forms does. Five right answers to the easiest question of a skill would say
    /// nothing of the others.
    pub fn holds(&self, skill: Skill) -> bool {
        self.held(skill).len() == self.counted(skill)
    }

    /// How many forms of a skill count: all, without those that take a calculator and were never asked.
    pub fn counted(&self, skill: Skill) -> usize {
        forms_of(skill).filter(|form| form.is_by_head() || self.standing(*form) != Standing::New).count()
    }

    /// The forms of a skill that hold.
    pub fn held(&self, skill: Skill) -> Vec<Form> {
        forms_of(skill).filter(|form| self.standing(*form) == Standing::Holds).collect()
    }

    /// Every form that was asked and does not hold.
    pub fn weak(&self) -> Vec<Form> {
        Form::ALL.into_iter().filter(|form| self.standing(*form) == Standing::Weak).collect()
    }

    fn practised(&self, form: Form) -> Option<&Practised> {
        self.forms.iter().find(|practised| practised.form == form)
    }
}

impl Practised {
    /// Whether the counts can come from the outcomes that are kept.
    fn is_possible(&self) -> bool {
        let kept = self.last.len() as u64;
        let right = self.last.iter().filter(|right| **right).count() as u64;
        self.asked > 0
            && self.asked <= MOST_ASKED
            && kept == self.asked.min(KEPT as u64)
            && right <= self.right
            && self.right <= self.asked
            && self.right - right <= self.asked - kept
    }
}

/// The forms that train a skill.
pub fn forms_of(skill: Skill) -> impl Iterator<Item = Form> {
    Form::ALL.into_iter().filter(move |form| form.skill() == skill)
}

impl Serialize for Form {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

impl<'de> Deserialize<'de> for Form {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let word = String::deserialize(deserializer)?;
        Self::from_word(&word).ok_or_else(|| de::Error::custom("an unknown kind of question"))
    }
}
