//! Questions with checked answers, put to a person or answered by a script.

use serde::Serialize;
use serde_json::json;

use super::prompt::read_line;
use super::script_lines::{ScriptLines, ScriptSource};
use super::signals::Interrupts;
use super::voice::Voice;
use crate::learn::{self, Answer, Exercise, Judgement, Outcome, Quiz};
use crate::quantity::text::visible;
use crate::screens::{Emphasis, Line};
use crate::session::Stop;

/// The word of a script's line.
const ANSWER: &str = "answer";
/// The prompt that waits.
const GO_ON: &str = "go on [Enter]";
/// What shows the answer in place of giving one.
const PASS: &str = "show";

/// Who answers.
pub enum Answers {
    /// A person at the keyboard.
    Person(Interrupts),
    /// A script, `answer: ...` a line.
    Script(AnswerScript),
}

/// The lines of a script of answers.
pub struct AnswerScript(ScriptLines);

/// What was typed at a question.
enum Typed {
    /// An answer; where it stands, in a script.
    Answer(String, Option<u64>),
    /// Show it.
    Pass,
    /// Enough.
    Left,
}

/// How a quiz ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QuizEnd {
    /// Nothing is left to ask.
    Over,
    /// Left before that.
    Left,
}

impl Answers {
    /// Answers of a script.
    pub fn script(source: ScriptSource) -> Self {
        Self::Script(AnswerScript(ScriptLines::of(source)))
    }

    /// The number of a script's first line that nobody asked for, at the end.
    pub fn left_over(&mut self) -> Option<u64> {
        match self {
            Self::Person(_) => None,
            Self::Script(AnswerScript(lines)) => lines.left_over(),
        }
    }

    fn next(&mut self, exercise: &Exercise, voice: &Voice) -> Result<Typed, Stop> {
        match self {
            Self::Person(interrupts) => loop {
                let typed = read_line(voice, interrupts, ANSWER)?;
                match typed.trim() {
                    "?" => voice.show(&learn::question_help(exercise, voice.screen())),
                    "q" | "Q" => return Ok(Typed::Left),
                    typed if typed.eq_ignore_ascii_case(PASS) => return Ok(Typed::Pass),
                    typed => return Ok(Typed::Answer(typed.to_owned(), None)),
                }
            },
            Self::Script(AnswerScript(lines)) => {
                let Some(line) = lines.next()? else {
                    return Ok(Typed::Left);
                };
                if line.word != ANSWER {
                    return Err(Stop::Input(format!(
                        "line {} of the script is no answer: `{}`; accepted: `{ANSWER}: ...`",
                        line.number,
                        visible(&line.word)
                    )));
                }
                voice.show(&voice.screen().paragraph(
                    0,
                    Emphasis::Plain,
                    &format!("{ANSWER}: {}", visible(&line.answer)),
                ));
                Ok(match line.answer.as_str() {
                    "q" | "Q" => Typed::Left,
                    answer if answer.eq_ignore_ascii_case(PASS) => Typed::Pass,
                    _ => Typed::Answer(line.answer, Some(line.number)),
                })
            }
        }
    }
}

/// Puts question after question, until nothing is left to ask, `most` were answered, or the person leaves. `told` hears of
/// every answer.
///
/// # Errors
/// Where the person stops altogether, or a script says what is no answer.
pub fn put_questions(
    quiz: &mut dyn Quiz,
    answers: &mut Answers,
    most: Option<usize>,
    voice: &Voice,
    told: &mut dyn FnMut(&Outcome) -> Result<(), Stop>,
) -> Result<QuizEnd, Stop> {
    let mut count = 0;
    loop {
        let Some(exercise) = quiz.exercise().cloned().filter(|_| most.is_none_or(|most| count < most)) else {
            return Ok(QuizEnd::Over);
        };
        voice.show(&quiz.shown(voice.screen()));
        voice.show(&quiz.asked(voice.screen()));
        voice.event(&QuestionEvent::of(&exercise))?;
        // Asked again after a slip, but not put again.
        let (typed, answer) = loop {
            match answers.next(&exercise, voice)? {
                Typed::Left => return Ok(QuizEnd::Left),
                Typed::Pass => match quiz.pass() {
                    Some(told) => break (PASS.to_owned(), told),
                    None => return Ok(QuizEnd::Over),
                },
                Typed::Answer(typed, line) => match (quiz.answer(&typed), line) {
                    (Ok(told), _) => break (typed, told),
                    (Err(refusal), Some(line)) => {
                        return Err(Stop::Input(format!("line {line} of the script: {refusal}")));
                    }
                    (Err(refusal), None) => {
                        voice.show(&voice.screen().item("! ", Emphasis::Warn, &refusal.to_string()));
                        voice.show(&[Line::empty()]);
                    }
                },
            }
        };
        count += 1;
        // Kept before anyone is told of it.
        told(&answer)?;
        voice.show(&learn::outcome(&answer, voice.screen()));
        voice.event(&AnswerEvent::of(&typed, &answer))?;
        // A page to read would push what was just said off the screen.
        if let Answers::Person(interrupts) = answers
            && !quiz.shown(voice.screen()).is_empty()
            && !go_on(voice, interrupts)?
        {
            return Ok(QuizEnd::Left);
        }
    }
}

/// Waits until the person has read what is there; `false` where the person leaves.
///
/// # Errors
/// Where the person stops altogether.
pub fn go_on(voice: &Voice, interrupts: &Interrupts) -> Result<bool, Stop> {
    Ok(!read_line(voice, interrupts, GO_ON)?.trim().eq_ignore_ascii_case("q"))
}

/// A question, as an event.
#[derive(Serialize)]
struct QuestionEvent<'a> {
    event: &'static str,
    form: &'static str,
    skill: &'static str,
    ask: &'a str,
    given: serde_json::Value,
    unit: Option<&'static str>,
    figures: Option<usize>,
    accepted: Option<&'static [&'static str]>,
}

impl<'a> QuestionEvent<'a> {
    fn of(exercise: &'a Exercise) -> Self {
        let (unit, figures, accepted) = match &exercise.answer {
            Answer::Number { quantity, figures, .. } => (Some(quantity.unit()), Some(figures.count()), None),
            Answer::Word { of, .. } => (None, None, Some(*of)),
        };
        let given: serde_json::Map<String, serde_json::Value> =
            exercise.given.iter().map(|(name, value)| ((*name).to_owned(), json!(value))).collect();
        Self {
            event: "question",
            form: exercise.form.word(),
            skill: exercise.form.skill().word(),
            ask: &exercise.ask,
            given: given.into(),
            unit,
            figures,
            accepted,
        }
    }
}

/// An answer, as an event.
#[derive(Serialize)]
struct AnswerEvent<'a> {
    event: &'static str,
    typed: &'a str,
    right: bool,
    is_first_try: bool,
    comes_back: bool,
    answer: String,
    /// The exact value, in the unit of the question; null where a word answers it.
    value: Option<f64>,
    mistake: Option<&'a str>,
}

impl<'a> AnswerEvent<'a> {
    fn of(typed: &'a str, told: &'a Outcome) -> Self {
        let mistake = match told.judgement {
            Judgement::Wrong(Some(index)) => told.exercise.mistakes.get(index).map(|mistake| mistake.name.as_str()),
            _ => None,
        };
        Self {
            event: "answer",
            typed,
            right: told.judgement == Judgement::Right,
            is_first_try: told.first,
            comes_back: told.comes_back,
            answer: told.exercise.right(),
            value: match &told.exercise.answer {
                Answer::Number { value, .. } => Some(*value),
                Answer::Word { .. } => None,
            },
            mistake,
        }
    }
}
