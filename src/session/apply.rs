//! The fold: what an entry of the log does to the state.
//!
//! An entry for a question sets aside everything that was answered after it: a new tuning asks for the reference
//! again. The cautions stay acknowledged, and readings stay in the log with their numbers.

use super::entry::{EntryMode, LogEntry};
use super::question::Question;
use super::state::{Given, Listed, State, Taken};
use super::words::Answer;
use crate::corner::Reading;
use crate::quantity::Refusal;
use crate::quantity::entry;
use crate::quantity::ranges;

impl State {
    /// Takes an entry into the state.
    ///
    /// # Errors
    /// Where the entry does not follow from the state: what was typed would be refused here.
    pub fn apply(&mut self, log_entry: LogEntry) -> Result<(), Refusal> {
        match &log_entry {
            LogEntry::Answer(given) => self.give(given.question, &given.typed, given.default)?,
            LogEntry::Caution(given) => self.give(given.question, &given.typed, given.default)?,
            LogEntry::Reference(reference) => {
                let value = entry::parse_repeats_or_span(&reference.typed, &ranges::REFERENCE)?;
                let plan = self.plan_with(Reading::from(&value), &reference.typed)?;
                self.set_aside_after(Question::Reference);
                self.plan = Some(plan);
            }
            LogEntry::Reading(reading) => {
                let value = entry::parse_repeats_or_span(&reading.typed, &ranges::READING)?;
                let Some(plan) = &self.plan else {
                    return Err(Refusal::new("reading", &reading.typed, "comes before the reference", "a reference"));
                };
                let judged = plan.judge(Reading::from(&value));
                self.set_aside_after(Question::Reading);
                self.readings.push(Taken { number: reading.number, judged, struck: false });
            }
            LogEntry::Strike(strike) => {
                let listed = |list: &mut Vec<Listed>| {
                    list.iter_mut()
                        .filter(|listed| listed.number == strike.number)
                        .for_each(|listed| listed.struck = true);
                };
                match strike.question {
                    Question::Explore => {
                        self.found = None;
                        listed(&mut self.explored);
                    }
                    Question::Sweep => listed(&mut self.swept),
                    _ => self
                        .readings
                        .iter_mut()
                        .filter(|taken| taken.number == strike.number)
                        .for_each(|taken| taken.struck = true),
                }
                self.answers.remove(&strike.question);
                self.set_aside_after(strike.question);
            }
            LogEntry::Accept(accept) => {
                self.set_aside_after(Question::Reading);
                if accept.accepted {
                    self.give(Question::Accept, "yes", false)?;
                }
            }
            LogEntry::Explore(pair) => {
                let pair_read = self.pair(Question::Explore, &pair.typed)?;
                self.answers.remove(&Question::Explore);
                self.set_aside_after(Question::Explore);
                self.found = None;
                self.explored.push(Listed { number: pair.number, pair: pair_read, struck: false });
                self.explore_count = pair.number;
            }
            LogEntry::Sweep(pair) => {
                let pair_read = self.pair(Question::Sweep, &pair.typed)?;
                self.answers.remove(&Question::Sweep);
                self.set_aside_after(Question::Sweep);
                self.swept.push(Listed { number: pair.number, pair: pair_read, struck: false });
                self.sweep_count = pair.number;
            }
            LogEntry::Note(note) => {
                if note.question == Question::Note {
                    let answer = Answer::Text(note.text.clone());
                    self.answers.insert(Question::Note, Given { typed: note.text.clone(), answer, default: false });
                }
            }
            LogEntry::Pause(_) => {}
            LogEntry::Resume(resume) => self.resumed_by_script |= resume.entry == EntryMode::Script,
        }
        self.push(log_entry);
        Ok(())
    }

    fn give(&mut self, question: Question, typed: &str, default: bool) -> Result<(), Refusal> {
        let answer = self.answer(question, typed)?;
        if question == Question::SetAgain && answer == Answer::Word("yes") {
            return self.set_again(question, typed);
        }
        let names_a_filter = matches!(question, Question::Amplifier | Question::Slope | Question::Family | Question::Q);
        if names_a_filter && !self.is_taken_again(question, &answer, default) {
            self.found = None;
        }
        let sent_back = question == Question::ReferenceConfirmed && answer == Answer::Word("no");
        self.set_aside_after(question);
        if sent_back {
            self.plan = None;
            return Ok(());
        }
        self.set_aside.remove(&question);
        self.answers.insert(question, Given { typed: typed.to_owned(), answer, default });
        Ok(())
    }

    /// Whether an answer only takes up again what an earlier question's new answer has set aside. One that is given while
    /// the question has its answer is meant, the same one too.
    fn is_taken_again(&self, question: Question, answer: &Answer, default: bool) -> bool {
        match (self.answers.get(&question), self.set_aside.get(&question)) {
            (Some(_), _) => false,
            (None, Some(Some(typed))) => self.answer(question, typed).is_ok_and(|before| before == *answer),
            (None, Some(None)) => default,
            (None, None) => true,
        }
    }

    /// Turns to the filter that the sweep found: the same reference, a new target, and the knob once more.
    fn set_again(&mut self, question: Question, typed: &str) -> Result<(), Refusal> {
        let (found, plan) = self.refitted().ok_or_else(|| {
            Refusal::new(question.word(), typed, "has no other filter to be set for", "a sweep that finds one")
        })?;
        self.found = Some(found);
        self.plan = Some(plan);
        self.set_aside_from(Question::Reading);
        Ok(())
    }

    /// Sets aside everything later than a question.
    fn set_aside_after(&mut self, question: Question) {
        if let Some(next) = Question::ALL.into_iter().find(|later| *later > question) {
            self.set_aside_from(next);
        }
    }

    /// Sets aside a question's answer and everything later.
    fn set_aside_from(&mut self, first: Question) {
        let caution = self.answers.remove(&Question::Caution);
        for (question, given) in self.answers.split_off(&first) {
            self.set_aside.insert(question, (!given.default).then_some(given.typed));
        }
        if let Some(caution) = caution {
            self.answers.insert(Question::Caution, caution);
        }
        if first <= Question::Explore {
            self.explored.clear();
        }
        if first <= Question::Reference {
            self.plan = None;
        }
        if first <= Question::Reading {
            self.outdated = self.readings.len();
        }
        if first <= Question::Sweep {
            self.swept.clear();
        }
    }
}
