//! How a drill went: what was right at the first try, which mistakes were made, what to do next.

use std::collections::BTreeMap;

use super::exercise::{Exercise, Judgement};
use super::lesson::Lesson;
use super::progress::{Progress, Tries};
use super::skill::Skill;

/// How a drill went.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Score {
    skills: BTreeMap<Skill, SkillScore>,
    /// The names of mistakes, with how often each was made.
    mistakes: BTreeMap<String, u64>,
}

/// How a skill went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SkillScore {
    /// Questions that were asked for the first time.
    pub first: Tries,
    /// Questions that came back after a miss.
    pub back: Tries,
}

impl Score {
    /// Counts an answer. `first`: the question was not one that comes back.
    pub(super) fn note(&mut self, exercise: &Exercise, judgement: Judgement, first: bool) {
        let skill = self.skills.entry(exercise.form.skill()).or_default();
        let tries = if first { &mut skill.first } else { &mut skill.back };
        tries.asked += 1;
        tries.right += u64::from(judgement == Judgement::Right);
        if let Judgement::Wrong(Some(place)) = judgement
            && let Some(mistake) = exercise.mistakes.get(place)
        {
            *self.mistakes.entry(mistake.name.clone()).or_default() += 1;
        }
    }

    /// How each skill went that was asked, in the order in which they are best learnt.
    pub fn skills(&self) -> impl Iterator<Item = (Skill, SkillScore)> {
        self.skills.iter().map(|(skill, score)| (*skill, *score))
    }

    /// How all of them went.
    pub fn all(&self) -> SkillScore {
        let sum = |one: Tries, other: Tries| Tries { asked: one.asked + other.asked, right: one.right + other.right };
        self.skills.values().fold(SkillScore::default(), |all, score| SkillScore {
            first: sum(all.first, score.first),
            back: sum(all.back, score.back),
        })
    }

    /// Mistakes that were made, the most frequent first.
    pub fn mistakes(&self) -> Vec<(&str, u64)> {
        let mut mistakes: Vec<(&str, u64)> =
            self.mistakes.iter().map(|(name, count)| (name.as_str(), *count)).collect();
        mistakes.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        mistakes
    }

    /// The skill to go on with: of those that were missed here, the one that was right least often; where nothing was
    /// missed, the first that does not hold yet. `None` where all hold.
    pub fn next(&self, progress: &Progress) -> Option<Skill> {
        let mut worst: Option<(Skill, Tries)> = None;
        for (skill, SkillScore { first, .. }) in self.skills() {
            let missed = first.right < first.asked;
            // right / asked, without the division.
            let worse = |other: Tries| first.right * other.asked < other.right * first.asked;
            if missed && worst.is_none_or(|(_, other)| worse(other)) {
                worst = Some((skill, first));
            }
        }
        match worst {
            Some((skill, _)) => Some(skill),
            None => Skill::ALL.into_iter().find(|skill| !progress.holds(*skill)),
        }
    }
}

/// The lesson that teaches a skill.
pub const fn lesson_for(skill: Skill) -> Lesson {
    match skill {
        Skill::Ratio | Skill::Power => Lesson::Ratio,
        Skill::Octave => Lesson::Octave,
        Skill::Slope => Lesson::Slope,
        Skill::Cone => Lesson::Cone,
        Skill::Meter => Lesson::Meter,
        Skill::Window => Lesson::Tolerance,
        Skill::Traps => Lesson::Traps,
        Skill::Safety => Lesson::Safety,
    }
}
