//! `cornerset learn drill`: questions without end, by skill, that bring back what was missed.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::learner::{Learner, LearnerOption};
use super::lesson::{stopped, warn_of_left_over};
use super::seed::SeedOption;
use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit};
use crate::commands::words::one_of;
use crate::learn::{self, Drill, Figures, Progress, Score, Skill, Tries};
use crate::quantity::{entry, ranges};
use crate::terminal::{Answers, QuizEnd, Voice, go_on, put_questions};

/// Questions without end, by skill; what was missed comes back
///
/// By head, two significant figures are asked for; with --calculator, three. `show` shows an answer, which then counts as
/// missed; `q` ends and gives the score. The same --seed asks the same questions of whoever answers alike; without one, what
/// is new to the learner or was missed comes first.
#[derive(Debug, Args, Default)]
pub(in crate::commands) struct DrillSession {
    /// Only this skill: ratio, power, octave, slope, cone, meter, window, traps or safety; may be given several times
    /// [default: all]
    #[arg(long, value_name = "SKILL", value_parser = |typed: &str| one_of(typed, &Skill::ALL, Skill::word))]
    skill: Vec<Skill>,
    /// Three significant figures, with a calculator, in place of two by head
    #[arg(long)]
    calculator: bool,
    /// End after so many questions [default: never]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    count: Option<String>,
    #[command(flatten)]
    seed: SeedOption,
    /// Answers from a file, or from standard input with `-`: `answer: 0.71`, one a line, `#` comments
    #[arg(long, value_name = "FILE")]
    script: Option<PathBuf>,
    #[command(flatten)]
    pub(super) learner: LearnerOption,
}

impl DrillSession {
    pub fn run(&self, learner: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        let (learner, mut answers) = learner.with_answers("a drill", self.script.as_deref(), &store, voice)?;
        self.put(learner.as_ref(), &mut answers, voice)
    }

    /// Puts questions until the person has enough.
    pub fn put(&self, learner: Option<&Learner>, answers: &mut Answers, voice: &Voice) -> Result<Exit, CommandError> {
        let most = self.count.as_deref().map(|typed| entry::parse(typed, &ranges::QUESTIONS)).transpose()?;
        let progress = learner.map_or_else(|| Ok(Progress::new("")), Learner::progress)?;
        // A seed that is given asks everyone the same, whatever they did before.
        let before = if self.seed.given().is_some() { &Progress::new("") } else { &progress };
        let figures = if self.calculator { Figures::Three } else { Figures::Two };
        let seed = self.seed.seed()?;
        let mut drill = Drill::new(seed, &self.skill, figures, before);
        voice.show(&learn::drill_opening(seed, figures, voice.screen()));
        let ended = put_questions(&mut drill, answers, most.map(|most| most as usize), voice, &mut |outcome| {
            learner.map_or(Ok(()), |learner| learner.answered(outcome))
        });
        // The score would push the last answer off the screen.
        let read = match (&ended, &*answers) {
            (Ok(QuizEnd::Over), Answers::Person(interrupts)) => go_on(voice, interrupts).map(drop),
            _ => Ok(()),
        };
        let score = drill.score();
        if voice.style().json {
            voice.event(&ScoreEvent::of(score))?;
        } else {
            let progress = learner.map_or_else(|| Ok(drill.progress().clone()), Learner::progress)?;
            voice.print(&learn::score_said(score, &progress, voice.screen()))?;
        }
        ended.and(read).map_err(stopped)?;
        warn_of_left_over(answers, voice);
        let first = score.all().first;
        Ok(if first.right == first.asked { Exit::Done } else { Exit::Findings })
    }
}

/// The score of a drill, as an event.
#[derive(Serialize)]
struct ScoreEvent {
    event: &'static str,
    /// First tries, and how many of them were right.
    asked: u64,
    right: u64,
    /// Questions that came back after a miss.
    came_back: u64,
    came_back_right: u64,
    skills: Vec<SkillEvent>,
}

/// First tries of a skill.
#[derive(Serialize)]
struct SkillEvent {
    skill: &'static str,
    asked: u64,
    right: u64,
}

impl ScoreEvent {
    fn of(score: &Score) -> Self {
        let all = score.all();
        let skill = |(skill, Tries { asked, right }): (Skill, Tries)| SkillEvent { skill: skill.word(), asked, right };
        Self {
            event: "score",
            asked: all.first.asked,
            right: all.first.right,
            came_back: all.back.asked,
            came_back_right: all.back.right,
            skills: score.skills().map(|(of, score)| skill((of, score.first))).collect(),
        }
    }
}
