//! The log: one entry for everything that happened, in order. Nothing that was typed is ever taken out.

use serde::{Deserialize, Serialize};

use super::moment::Moment;
use super::question::Question;
use crate::meter::Verdict;
use crate::quantity::{Decibels, Hertz, Volts};

/// Who typed: a person at the keyboard, or a script.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum EntryMode {
    /// A person.
    Keyboard,
    /// A script, at least in part.
    Script,
}

/// One entry of the log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "lowercase", remote = "Self")]
pub enum LogEntry {
    /// An answer to a question that has no entry of its own.
    Answer(AnswerEntry),
    /// The page of cautions, or another caution, acknowledged.
    Caution(CautionEntry),
    /// The reference voltage.
    Reference(ReferenceEntry),
    /// A reading that finds out an unknown family.
    Explore(PairEntry),
    /// A reading while the knob is turned.
    Reading(ReadingEntry),
    /// A reading struck out.
    Strike(StrikeEntry),
    /// The setting accepted, or sent back to the knob.
    Accept(AcceptEntry),
    /// A reading at another tone, to check the filter.
    Sweep(PairEntry),
    /// A note.
    Note(NoteEntry),
    /// The session was left.
    Pause(PauseEntry),
    /// The session was taken up again.
    Resume(ResumeEntry),
}

/// See [`LogEntry::Answer`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AnswerEntry {
    /// When.
    pub at: Moment,
    /// To which question.
    pub question: Question,
    /// As typed.
    pub typed: String,
    /// Whether the default was taken.
    pub default: bool,
    /// The filter that the knob is set again for, where that is the answer; left out else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<String>,
}

/// See [`LogEntry::Caution`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionEntry {
    /// When it was acknowledged.
    pub at: Moment,
    /// The question that it answers.
    pub question: Question,
    /// The text shown.
    pub text: String,
    /// The answer as typed.
    pub typed: String,
    /// Whether the default was taken.
    pub default: bool,
}

/// See [`LogEntry::Reference`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReferenceEntry {
    /// When.
    pub at: Moment,
    /// As typed.
    pub typed: String,
    /// The volts taken.
    pub volts: Volts,
    /// Lowest and highest, where a span was typed.
    pub span_v: Option<[Volts; 2]>,
    /// The tone at which it was read.
    pub tone_hz: Hertz,
    /// The mark at which the filter stood; null where it was out.
    pub mark_hz: Option<Hertz>,
}

/// See [`LogEntry::Explore`] and [`LogEntry::Sweep`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairEntry {
    /// When.
    pub at: Moment,
    /// Counted from 1 over all that were typed.
    pub number: u32,
    /// As typed.
    pub typed: String,
    /// The volts taken.
    pub volts: Volts,
    /// The tone.
    pub tone_hz: Hertz,
    /// Its own reference; null where it uses the session's.
    pub reference_v: Option<Volts>,
}

/// See [`LogEntry::Reading`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingEntry {
    /// When.
    pub at: Moment,
    /// Counted from 1 over all that were typed, struck ones too.
    pub number: u32,
    /// As typed.
    pub typed: String,
    /// The volts taken.
    pub volts: Volts,
    /// Lowest and highest, where a span was typed.
    pub span_v: Option<[Volts; 2]>,
    /// The tone.
    pub tone_hz: Hertz,
    /// How far below the true reference.
    pub down_db: Decibels,
    /// Where the corner stands; null where the reading does not say one corner.
    pub corner_hz: Option<Hertz>,
    /// Every corner that the reading allows.
    pub corners_hz: Vec<Hertz>,
    /// The verdict.
    pub verdict: Verdict,
}

/// See [`LogEntry::Strike`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StrikeEntry {
    /// When.
    pub at: Moment,
    /// In which list: `reading`, which is left out, `explore` or `sweep`.
    #[serde(default = "reading", skip_serializing_if = "is_reading")]
    pub question: Question,
    /// Which of its readings.
    pub number: u32,
    /// Why.
    pub reason: String,
}

/// See [`LogEntry::Accept`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcceptEntry {
    /// When.
    pub at: Moment,
    /// As typed.
    pub typed: String,
    /// Whether the setting was accepted; if not, the knob is turned again.
    pub accepted: bool,
}

/// See [`LogEntry::Note`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteEntry {
    /// When.
    pub at: Moment,
    /// At which question it was typed: `note`, which is left out and whose answer it is, or another one.
    #[serde(default = "note", skip_serializing_if = "is_note")]
    pub question: Question,
    /// The note.
    pub text: String,
}

const fn reading() -> Question {
    Question::Reading
}

fn is_reading(question: &Question) -> bool {
    *question == Question::Reading
}

const fn note() -> Question {
    Question::Note
}

fn is_note(question: &Question) -> bool {
    *question == Question::Note
}

/// See [`LogEntry::Pause`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PauseEntry {
    /// When.
    pub at: Moment,
}

/// See [`LogEntry::Resume`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResumeEntry {
    /// When.
    pub at: Moment,
    /// Who types from here on.
    pub entry: EntryMode,
    /// How many bytes of a torn last line were dropped.
    pub dropped_bytes: u64,
}

impl LogEntry {
    /// When it happened.
    pub const fn at(&self) -> Moment {
        match self {
            Self::Answer(entry) => entry.at,
            Self::Caution(entry) => entry.at,
            Self::Reference(entry) => entry.at,
            Self::Explore(entry) | Self::Sweep(entry) => entry.at,
            Self::Reading(entry) => entry.at,
            Self::Strike(entry) => entry.at,
            Self::Accept(entry) => entry.at,
            Self::Note(entry) => entry.at,
            Self::Pause(entry) => entry.at,
            Self::Resume(entry) => entry.at,
        }
    }

    /// The word of the kind of entry, as JSON has it.
    pub const fn event(&self) -> &'static str {
        match self {
            Self::Answer(_) => "answer",
            Self::Caution(_) => "caution",
            Self::Reference(_) => "reference",
            Self::Explore(_) => "explore",
            Self::Reading(_) => "reading",
            Self::Strike(_) => "strike",
            Self::Accept(_) => "accept",
            Self::Sweep(_) => "sweep",
            Self::Note(_) => "note",
            Self::Pause(_) => "pause",
            Self::Resume(_) => "resume",
        }
    }
}
