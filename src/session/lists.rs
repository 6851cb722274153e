//! Lists of readings: pairs at several tones, strikes, and what ends a list.

use super::entry::{LogEntry, PairEntry, StrikeEntry};
use super::moment::Moment;
use super::question::Question;
use super::state::{Listed, State};
use super::words::{Answer, DONE, NONE};
use crate::corner::{Pair, Reading, several_tones};
use crate::quantity::entry;
use crate::quantity::ranges::{self, Range};
use crate::quantity::text::{NOTE_MAX, accept_line};
use crate::quantity::{Hertz, Refusal};

/// The most readings that a list takes: far more than a knob needs, and far fewer than a record could not hold.
const MOST_READINGS: usize = 5000;
/// The word that strikes a reading.
const STRIKE: &str = "strike";
/// Tones nearer to each other than this share are as good as one: their readings tell no shape.
const ONE_TONE: f64 = 0.02;
/// The fewest exploring readings that can tell anything.
const EXPLORE_AT_LEAST: usize = 2;

impl State {
    /// The end of the exploring readings: none, or enough of them.
    pub(super) fn end_of_exploring(&self, typed: &str) -> Result<Answer, Refusal> {
        let field = Question::Explore.word();
        let explored = self.explored();
        let enough = format!("{EXPLORE_AT_LEAST} tones or more, as TONE=VOLTS or TONE=VOLTS/REFERENCE");
        if explored.is_empty() {
            return match self.slope() {
                Some(None) => {
                    Err(Refusal::new(field, typed, "ends the list, but family and slope are unknown", enough))
                }
                _ => Ok(Answer::Word(DONE)),
            };
        }
        if !several_tones(&explored, ONE_TONE) {
            return Err(Refusal::new(field, typed, "comes after one tone, which fits every family", enough));
        }
        match self.explored_alone().then(|| self.explored_fit(None)).flatten() {
            Some(Err(why)) => Err(Refusal::new(field, typed, format!("cannot end the list: {why}"), enough)),
            _ => Ok(Answer::Word(DONE)),
        }
    }

    pub(super) fn judge_strike(&self, question: Question, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        let accepted = "`strike`, the number of a reading, and why: `strike 2 mistyped`";
        let refuse = |problem: String| Refusal::new(question.word(), typed, problem, accepted);
        let words = strike(typed).unwrap_or_default();
        let (number, reason) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
        let number: u32 = number.parse().map_err(|_| refuse("does not say which reading to strike".to_owned()))?;
        let listed = |list: &[Listed]| list.iter().find(|listed| listed.number == number).map(|listed| listed.struck);
        let struck = match question {
            Question::Explore => listed(&self.explored),
            Question::Sweep => listed(&self.swept),
            _ => self.readings.iter().find(|taken| taken.number == number).map(|taken| taken.struck),
        };
        match struck {
            None => return Err(refuse("names a reading that was not taken".to_owned())),
            Some(true) => {
                return Err(refuse("names a reading that is struck already; type it again to take it back".to_owned()));
            }
            Some(false) => {}
        }
        if reason.trim().is_empty() {
            return Err(refuse("does not say why".to_owned()));
        }
        let reason = accept_line(question.word(), reason, NOTE_MAX)?;
        Ok(LogEntry::Strike(StrikeEntry { at, question, number, reason }))
    }

    pub(super) fn judge_pair(&self, question: Question, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        let pair = self.pair(question, typed)?;
        let count = if question == Question::Explore { self.explore_count } else { self.sweep_count };
        check_count(question, typed, count as usize)?;
        let entry = PairEntry {
            at,
            number: count + 1,
            typed: typed.trim().to_owned(),
            volts: pair.reading.volts,
            tone_hz: pair.tone,
            reference_v: pair.reference.map(|reference| reference.volts),
        };
        Ok(if question == Question::Explore { LogEntry::Explore(entry) } else { LogEntry::Sweep(entry) })
    }

    pub(super) fn pair(&self, question: Question, typed: &str) -> Result<Pair, Refusal> {
        let field = question.word();
        let (tone, volts, reference) = entry::split_pair(typed, field)?;
        let reading = |text: &str, range: Range| {
            entry::parse_repeats_or_span(text, &range.named(field)).map(|typed| Reading::from(&typed))
        };
        let tone = Hertz::new(entry::parse(tone, &ranges::TONE.named(field))?);
        // So far down a meter shows nothing, and nothing is no reading.
        let nothing = |refusal: Refusal| match volts.trim_matches(|one: char| !one.is_ascii_digit() && one != '.') {
            zero if zero.parse() == Ok(0.0) => {
                let accepted = format!("{}; where the meter shows nothing, a higher tone", refusal.accepted);
                Refusal { accepted, ..refusal }
            }
            _ => refusal,
        };
        Ok(Pair {
            tone,
            reading: reading(volts, ranges::READING).map_err(nothing)?,
            reference: reference.map(|text| reading(text, ranges::REFERENCE)).transpose()?,
        })
    }
}

/// What follows the word that strikes a reading; `None` where something else was typed.
pub(super) fn strike(typed: &str) -> Option<&str> {
    let typed = typed.trim();
    let (word, rest) = typed.split_once(char::is_whitespace).unwrap_or((typed, ""));
    word.eq_ignore_ascii_case(STRIKE).then_some(rest.trim())
}

/// Refuses a reading where a list holds as many as a record is made for.
pub(super) fn check_count(question: Question, typed: &str, count: usize) -> Result<(), Refusal> {
    if count < MOST_READINGS {
        return Ok(());
    }
    let problem = format!("comes after {MOST_READINGS} readings, as many as one record takes");
    Err(Refusal::new(question.word(), typed, problem, "the end of the list"))
}

/// Whether this ends a list of readings instead of adding to it.
pub(super) fn ends_a_list(typed: &str) -> bool {
    [NONE, DONE].iter().any(|word| typed.trim().eq_ignore_ascii_case(word))
}
