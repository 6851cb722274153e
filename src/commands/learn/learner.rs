//! Who learns, and what is kept of it.

use std::path::Path;

use clap::Args;

use crate::commands::error::{CommandError, signals_refused};
use crate::commands::session_options::{needs_terminal, open_script};
use crate::learn::{FinishedLesson, Outcome, Progress, TriedBench};
use crate::practice::Bench;
use crate::quantity::text::visible;
use crate::quantity::{Hertz, Refusal};
use crate::screens::Emphasis;
use crate::session::{Clock, Stop};
use crate::store::Store;
use crate::terminal::{Answers, Interrupts, SystemClock, Voice, read_line};

/// What `?` says where a name is asked for.
const WHY_A_NAME: &str = "Under this name the program keeps which lessons you finished, which questions you got right, and how near you \
     set each bench. It stays in the store; `cornerset learn forget NAME` forgets it.";

/// The longest name.
const MOST_CHARACTERS: usize = 80;

/// Who learns.
#[derive(Debug, Clone, Args, Default)]
pub(super) struct LearnerOption {
    /// Whose progress is kept [default: whoever learnt last; in a script nobody's]
    #[arg(long, value_name = "NAME")]
    learner: Option<String>,
}

/// A learner whose progress is kept.
#[derive(Debug, Clone)]
pub(super) struct Learner {
    store: Store,
    name: String,
}

impl LearnerOption {
    /// The name that was given.
    pub fn given(&self) -> Option<&str> {
        self.learner.as_deref()
    }

    /// This one, else the one that was named before the command's own name.
    pub fn or(&self, above: &Self) -> Self {
        Self { learner: self.learner.clone().or_else(|| above.learner.clone()) }
    }

    /// The learner that was named.
    pub fn named(&self, store: &Store) -> Result<Option<Learner>, Refusal> {
        self.learner.as_deref().map(|name| Learner::new(store, name)).transpose()
    }

    /// The learner that was named, or learnt last; `None` where there is none yet.
    pub fn last(&self, store: &Store, voice: &Voice) -> Result<Option<Learner>, CommandError> {
        if let Some(named) = self.named(store)? {
            return Ok(Some(named));
        }
        let (learners, damaged) = store.learners()?;
        for error in damaged {
            voice.show(&voice.screen().item("! ", Emphasis::Warn, &error.to_string()));
        }
        let Some(last) = learners.iter().find_map(|last| Learner::new(store, &last.learner).ok()) else {
            return Ok(None);
        };
        let text = format!("Learner: {}; `--learner NAME` for somebody else.", visible(&last.name));
        voice.show(&voice.screen().paragraph(0, Emphasis::Faint, &text));
        Ok(Some(last))
    }

    /// The learner of what is asked, and who answers: a script, for nobody unless it is told whom, or a person.
    pub fn with_answers(
        &self,
        what: &str,
        script: Option<&Path>,
        store: &Store,
        voice: &Voice,
    ) -> Result<(Option<Learner>, Answers), CommandError> {
        if let Some(path) = script {
            return Ok((self.named(store)?, Answers::script(open_script(path)?)));
        }
        needs_terminal(what)?;
        let interrupts = Interrupts::listen().map_err(signals_refused)?;
        Ok((self.at_keyboard(store, voice, &interrupts)?, Answers::Person(interrupts)))
    }

    /// The learner that was named, or learnt last, or is asked for; `None` where nobody gives a name, and nothing is kept.
    pub fn at_keyboard(
        &self,
        store: &Store,
        voice: &Voice,
        interrupts: &Interrupts,
    ) -> Result<Option<Learner>, CommandError> {
        if let Some(named) = self.named(store)? {
            return Ok(Some(named));
        }
        if let Some(last) = self.last(store, voice)? {
            return Ok(Some(last));
        }
        let text = "Your name, so that what you learn is kept; Enter alone keeps nothing.";
        voice.show(&voice.screen().paragraph(0, Emphasis::Plain, text));
        loop {
            let typed = read_line(voice, interrupts, "learner").map_err(|_| CommandError::Interrupted)?;
            match typed.trim() {
                "" => return Ok(None),
                "?" => {
                    voice.show(&voice.screen().paragraph(0, Emphasis::Plain, WHY_A_NAME));
                    continue;
                }
                _ => {}
            }
            match Learner::new(store, &typed) {
                Ok(learner) => return Ok(Some(learner)),
                Err(refusal) => voice.show(&voice.screen().item("! ", Emphasis::Warn, &refusal.to_string())),
            }
        }
    }
}

impl Learner {
    fn new(store: &Store, name: &str) -> Result<Self, Refusal> {
        let name = name.trim();
        let count = name.chars().count();
        if count == 0 || count > MOST_CHARACTERS || !name.chars().any(char::is_alphanumeric) {
            let accepted = format!("a name of up to {MOST_CHARACTERS} characters, with a letter or a digit in it");
            return Err(Refusal::new("learner", name, "is no name", accepted));
        }
        Ok(Self { store: store.clone(), name: name.to_owned() })
    }

    /// The name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What this learner did so far.
    pub fn progress(&self) -> Result<Progress, CommandError> {
        Ok(self.store.progress(&self.name)?)
    }

    /// Keeps an answer.
    pub fn answered(&self, outcome: &Outcome) -> Result<(), Stop> {
        self.add(|progress| progress.answered(outcome)).map_err(|error| Stop::NotTold(error.to_string()))
    }

    /// Keeps that a lesson was gone through.
    pub fn finished(&self, lesson: FinishedLesson) -> Result<(), CommandError> {
        self.add(|progress| progress.lessons.push(lesson))
    }

    /// Keeps that a bench was set.
    pub fn tried(&self, bench: &Bench, wanted: Hertz) -> Result<(), CommandError> {
        let tried = TriedBench {
            at: SystemClock.now(),
            level: bench.level().word().to_owned(),
            seed: bench.seed(),
            corner_error_percent: Some(bench.truth().corner.error_against(wanted)),
        };
        self.add(|progress| progress.benches.push(tried))
    }

    fn add(&self, add: impl FnOnce(&mut Progress)) -> Result<(), CommandError> {
        self.store.add_progress(&self.name, add)?;
        Ok(())
    }
}
