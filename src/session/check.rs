//! From what was typed to the next entry of the log, or a refusal; and the defaults.

use super::cautions::{UNDERSTOOD, caution_text};
use super::entry::{AcceptEntry, AnswerEntry, CautionEntry, LogEntry, NoteEntry, ReadingEntry, ReferenceEntry};
use super::lists::{check_count, ends_a_list, strike};
use super::moment::Moment;
use super::question::Question;
use super::state::State;
use super::sweep::POOR_FIT;
use super::words::{Answer, DONE, NONE, NOT_NAMED, OWN, UNKNOWN, choose};
use crate::corner::{Mark, Reading, Reference};
use crate::filter::{Alignment, Family, Rule};
use crate::meter::{MeterSpec, Tolerance};
use crate::plan::{CornerChoice, Inputs, Plan, family_guess, still_open};
use crate::quantity::entry::{self, Typed};
use crate::quantity::ranges::{self, Range};
use crate::quantity::text::{NAME_MAX, NOTE_MAX, accept_line};
use crate::quantity::{Hertz, Refusal, Volts, show};

const YES_NO: [&str; 2] = ["yes", "no"];

impl State {
    /// The documented default for a question, as it would be typed; `None` where there must be an answer.
    pub fn default_answer(&self, question: Question) -> Option<String> {
        let usual = MeterSpec::USUAL;
        Some(match question {
            Question::Amplifier | Question::Meter => NOT_NAMED.to_owned(),
            Question::MeterAccuracy => show::percent(usual.accuracy),
            Question::MeterDigits => usual.digits.to_string(),
            Question::MeterResolution => format!("{} V", usual.resolution.volts()),
            Question::Family if self.slope() == Some(None) => UNKNOWN.to_owned(),
            Question::Family => Family::Butterworth.word().to_owned(),
            Question::Driver => UNKNOWN.to_owned(),
            Question::Tuning => self.tuning_of_driver()?,
            Question::Rule if self.tuning_is_unknown() || self.rule_falls_short() => OWN.to_owned(),
            Question::Rule => Rule::ThreeQuarters.word().to_owned(),
            Question::Bypass | Question::RangeHeld | Question::Gain | Question::ReferenceConfirmed => "yes".to_owned(),
            Question::Corner => self.safe_corner()?,
            Question::SetAgain => "no".to_owned(),
            Question::MarkUncertainty => show::percent(Mark::USUAL_UNCERTAINTY),
            Question::Tone => show::full_hertz(self.default_tone()?),
            Question::Tolerance => "3 %".to_owned(),
            Question::RatedPower | Question::Load | Question::DialMark => UNKNOWN.to_owned(),
            Question::Explore if self.has_begun(Question::Explore) => DONE.to_owned(),
            Question::Sweep if self.has_begun(Question::Sweep) => DONE.to_owned(),
            Question::Explore | Question::Sweep | Question::Note => NONE.to_owned(),
            _ => return None,
        })
    }

    /// The corner, or lower where the filter has a hump.
    fn default_tone(&self) -> Option<Hertz> {
        let corner = self.corner()?.corner();
        Some(self.alignment().map_or(corner, |alignment| Inputs::default_tone(alignment, corner)))
    }

    /// Turns an answer into the next entry of the log.
    ///
    /// # Errors
    /// Where it is refused: the field, what was given and what is accepted.
    pub fn judge(&self, question: Question, typed: &str, default: bool, at: Moment) -> Result<LogEntry, Refusal> {
        self.check_turn(question, typed)?;
        match question {
            Question::Caution => {
                self.answer(question, typed)?;
                let (text, typed) = (caution_text(), typed.trim().to_owned());
                Ok(LogEntry::Caution(CautionEntry { at, question, text, typed, default }))
            }
            Question::ReferenceConfirmed => {
                self.answer(question, typed)?;
                let (text, typed) = (self.high_reference().unwrap_or_default(), typed.trim().to_owned());
                Ok(LogEntry::Caution(CautionEntry { at, question, text, typed, default }))
            }
            Question::Reference => self.judge_reference(typed, at),
            Question::Reading => self.judge_reading(typed, at),
            Question::Accept => self.judge_accept(typed, at),
            Question::Explore | Question::Sweep if strike(typed).is_some() => self.judge_strike(question, typed, at),
            Question::Explore | Question::Sweep if !ends_a_list(typed) => self.judge_pair(question, typed, at),
            Question::Note if typed.trim() != NONE => self.judge_note(question, typed, at),
            _ => {
                let answer = self.answer(question, typed)?;
                let turns = question == Question::SetAgain && answer == Answer::Word("yes");
                let filter = if turns { self.refitted().map(|(found, _)| found.alignment.to_string()) } else { None };
                Ok(LogEntry::Answer(AnswerEntry { at, question, typed: typed.trim().to_owned(), default, filter }))
            }
        }
    }

    /// Refuses an answer to a question that does not come up, or not yet.
    fn check_turn(&self, question: Question, typed: &str) -> Result<(), Refusal> {
        let next = self.next();
        let in_turn = next.is_some_and(|next| question <= next)
            || (next == Some(Question::Reading) && question == Question::Accept);
        if in_turn && self.comes_up(question) {
            return Ok(());
        }
        let accepted =
            next.map_or("nothing: the session is complete".to_owned(), |next| format!("`{next}` comes next"));
        let problem =
            if self.comes_up(question) { "comes too early" } else { "answers a question that does not come up" };
        Err(Refusal::new(question.word(), typed, problem, accepted))
    }

    /// A note, at whatever question the session stands.
    ///
    /// # Errors
    /// Where it is empty, too long or holds what cannot be seen.
    pub fn judge_note(&self, question: Question, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        Ok(LogEntry::Note(NoteEntry { at, question, text: accept_line("note", typed, NOTE_MAX)? }))
    }

    /// What an answer to a question without an entry of its own means.
    pub(super) fn answer(&self, question: Question, typed: &str) -> Result<Answer, Refusal> {
        let field = question.word();
        let number = |range: Range| entry::parse(typed, &range.named(field)).map(Answer::Number);
        let number_or_unknown = |range: Range| {
            if typed.trim().eq_ignore_ascii_case(UNKNOWN) {
                return Ok(Answer::Word(UNKNOWN));
            }
            number(range).map_err(or_unknown)
        };
        let word = |words: &[&'static str]| choose(field, typed, words).map(Answer::Word);
        match question {
            Question::Job | Question::Technician | Question::Amplifier | Question::Meter | Question::SignOff => {
                accept_line(field, typed, NAME_MAX).map(Answer::Text)
            }
            Question::Reason | Question::Note => accept_line(field, typed, NOTE_MAX).map(Answer::Text),
            Question::MeterAccuracy => number(ranges::METER_ACCURACY),
            Question::MeterDigits => number(ranges::METER_DIGITS),
            Question::MeterResolution => number(ranges::METER_RESOLUTION),
            Question::Driver => Self::driver_answer(typed),
            Question::Tuning => number_or_unknown(ranges::TUNING),
            Question::Slope => self.slope_answer(typed),
            Question::Family => self.family_answer(typed),
            Question::Q => number(ranges::Q),
            Question::Rule => self.rule_answer(typed),
            Question::Corner => self.corner_answer(typed),
            Question::ReferenceMark => self.mark_answer(typed),
            Question::MarkUncertainty => number(ranges::MARK_UNCERTAINTY),
            Question::Tone => self.tone_answer(typed),
            Question::Tolerance => Tolerance::parse(typed).map(Answer::Tolerance),
            Question::Bypass
            | Question::RangeHeld
            | Question::Gain
            | Question::ReferenceConfirmed
            | Question::SetAgain => word(&YES_NO),
            Question::Caution => self.caution_answer(typed),
            Question::RatedPower => number_or_unknown(ranges::RATED_POWER),
            Question::Load => number_or_unknown(ranges::LOAD),
            Question::DialMark => number_or_unknown(ranges::MARK),
            Question::Accept => word(&YES_NO),
            Question::Explore => self.end_of_exploring(typed),
            Question::Sweep => Ok(Answer::Word(DONE)),
            Question::Reference => {
                entry::parse_repeats_or_span(typed, &ranges::REFERENCE).map(|typed| Answer::Number(typed.middle()))
            }
            Question::Reading => {
                entry::parse_repeats_or_span(typed, &ranges::READING).map(|typed| Answer::Number(typed.middle()))
            }
        }
    }

    fn slope_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        if typed.trim().eq_ignore_ascii_case(UNKNOWN) {
            return Ok(Answer::Word(UNKNOWN));
        }
        let slope = entry::parse_slope_number(typed, Question::Slope.word()).map_err(or_unknown)?;
        Ok(Answer::Number(f64::from(slope)))
    }

    fn family_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        let slope = self.slope().flatten();
        let words: Vec<&'static str> =
            slope.into_iter().flat_map(Family::at).map(Family::word).chain([UNKNOWN]).collect();
        let named = Family::from_word(typed);
        let spelled = named.map_or(typed, |family| family.word());
        choose(Question::Family.word(), spelled, &words).map(Answer::Word).map_err(|mut refusal| {
            if let Some(family) = named {
                refusal.problem = match slope {
                    Some(slope) => format!("does not exist at {slope}"),
                    None => format!("cannot be told without its slope; {family} needs one"),
                };
            }
            refusal
        })
    }

    fn rule_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        let mut words: Vec<&'static str> = Rule::ALL.into_iter().map(Rule::word).chain([OWN]).collect();
        if self.tuning_is_unknown() {
            words = vec![OWN];
        }
        let word = choose(Question::Rule.word(), typed, &words)?;
        if let (Some(rule), Some(tuning)) = (Rule::ALL.into_iter().find(|rule| rule.word() == word), self.tuning()) {
            let corner = CornerChoice::by_rule(tuning, rule)?.corner();
            self.check_corner(corner)?;
        }
        Ok(Answer::Word(word))
    }

    fn corner_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        let corner = entry::parse(typed, &ranges::CORNER)?;
        self.check_corner(Hertz::new(corner))?;
        Ok(Answer::Number(corner))
    }

    /// Refuses a corner for which the filter that was answered leaves no tone to set it by.
    fn check_corner(&self, corner: Hertz) -> Result<(), Refusal> {
        self.alignment().map_or(Ok(()), |alignment| Inputs::check_corner(alignment, corner))
    }

    fn mark_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        let mark = entry::parse(typed, &ranges::MARK)?;
        if let Some(corner) = self.corner() {
            Inputs::check_mark(Hertz::new(mark), corner.corner())?;
        }
        Ok(Answer::Number(mark))
    }

    fn tone_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        let tone = Hertz::new(entry::parse(typed, &ranges::TONE)?);
        if let (Some(alignment), Some(corner)) = (self.alignment(), self.corner()) {
            Inputs::check_tone(alignment, corner.corner(), tone)?;
        }
        Ok(Answer::Number(tone.hz()))
    }

    fn caution_answer(&self, typed: &str) -> Result<Answer, Refusal> {
        if typed.trim().eq_ignore_ascii_case(UNDERSTOOD) {
            return Ok(Answer::Word(UNDERSTOOD));
        }
        Err(Refusal::new(
            Question::Caution.word(),
            typed,
            if typed.trim().is_empty() { "was given" } else { "does not acknowledge the cautions" },
            format!("the whole word `{UNDERSTOOD}`"),
        ))
    }

    fn judge_reference(&self, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        let value = entry::parse_repeats_or_span(typed, &ranges::REFERENCE)?;
        let plan = self.plan_with(Reading::from(&value), typed)?;
        Ok(LogEntry::Reference(ReferenceEntry {
            at,
            typed: typed.trim().to_owned(),
            volts: plan.inputs.reference.reading.volts,
            span_v: span(&value),
            tone_hz: plan.inputs.tone,
            mark_hz: plan.inputs.reference.mark.map(|mark| mark.at),
        }))
    }

    /// The plan that this reference makes.
    pub(super) fn plan_with(&self, reading: Reading, typed: &str) -> Result<Plan, Refusal> {
        let field = Question::Reference.word();
        let explored = self.explored_fit(Some(reading)).transpose().map_err(|why| {
            Refusal::new(
                field,
                typed,
                format!("does not go with the exploring readings: {why}"),
                "a reference with which they fall towards lower tones; or another answer to `family`",
            )
        })?;
        let alignment = match (&self.found, &explored) {
            (None, Some(fit)) => Some(self.as_told(fit)),
            _ => self.alignment(),
        };
        let missing =
            || Refusal::new(field, typed, "comes before its questions are answered", "the questions in order");
        let inputs = Inputs {
            corner: self.corner().ok_or_else(missing)?,
            alignment: alignment.ok_or_else(missing)?,
            reference: Reference { reading, mark: self.mark() },
            tone: self.tone().ok_or_else(missing)?,
            tolerance: self.tolerance().ok_or_else(missing)?,
            meter: self.meter().ok_or_else(missing)?,
            range_held: self.range_held().ok_or_else(missing)?,
        };
        let mut plan = Plan::new(inputs)?;
        let (taken, corner, tone) = (inputs.alignment, inputs.corner.corner(), inputs.tone);
        let explored_poorly =
            explored.as_ref().map(|fit| fit.rms_residual).filter(|rms| *rms > POOR_FIT && self.found.is_none());
        let doubt = match explored {
            _ if self.found.is_some() => {
                self.found.as_ref().and_then(|found| still_open(taken, &found.others, corner, tone))
            }
            Some(fit) => {
                let open: Vec<Alignment> = fit.open().filter(|other| *other != taken).collect();
                still_open(taken, &open, corner, tone)
            }
            None => self.guessed().map(|guess| family_guess(guess, corner, tone)),
        };
        let poor = explored_poorly.map(|rms| {
            format!(
                "No filter fits the exploring readings well: {taken} misses them by {}. Check tones, range and level before \
                 it is set by.",
                show::decibels(rms)
            )
        });
        let doubt = poor.into_iter().chain(doubt);
        let doubts: Vec<String> = self.cone_doubts(taken).into_iter().chain(doubt).collect();
        plan.warnings.splice(0..0, doubts);
        Ok(plan)
    }

    fn judge_reading(&self, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        if strike(typed).is_some() {
            return self.judge_strike(Question::Reading, typed, at);
        }
        check_count(Question::Reading, typed, self.readings.len())?;
        let Some(plan) = &self.plan else {
            return Err(Refusal::new("reading", typed, "comes before the reference", "the questions in order"));
        };
        let value = entry::parse_repeats_or_span(typed, &ranges::READING)?;
        let judged = plan.judge(Reading::from(&value));
        Ok(LogEntry::Reading(ReadingEntry {
            at,
            number: self.readings.len() as u32 + 1,
            typed: typed.trim().to_owned(),
            volts: judged.reading.volts,
            span_v: span(&value),
            tone_hz: plan.inputs.tone,
            down_db: judged.down,
            corner_hz: judged.corners.single(),
            corners_hz: judged.corners.all(),
            verdict: judged.verdict,
        }))
    }

    fn judge_accept(&self, typed: &str, at: Moment) -> Result<LogEntry, Refusal> {
        let answer = self.answer(Question::Accept, typed)?;
        if self.last_reading().is_none() {
            return Err(Refusal::new("reading", "", "was taken, or all are struck", "at least one reading"));
        }
        Ok(LogEntry::Accept(AcceptEntry {
            at,
            typed: typed.trim().to_owned(),
            accepted: answer == Answer::Word("yes"),
        }))
    }
}

fn or_unknown(mut refusal: Refusal) -> Refusal {
    refusal.accepted = format!("{}, or `{UNKNOWN}`", refusal.accepted);
    refusal
}

fn span(typed: &Typed) -> Option<[Volts; 2]> {
    typed.span().map(|(low, high)| [Volts::new(low), Volts::new(high)])
}
