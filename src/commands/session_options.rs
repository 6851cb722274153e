//! The guided session as an option of commands: at the keyboard or by script, at a real bench or a simulated one.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::Args;

use super::common::Common;
use super::error::{CommandError, Exit, signals_refused};
use super::panel::PanelEvent;
use super::signing::Signing;
use super::sitting::{Around, Ended, Sitting};
use super::unfinished::{Offer, unfinished};
use crate::practice::Bench;
use crate::quantity::Refusal;
use crate::quantity::text::{shell_word, short_id, visible};
use crate::screens::{self, Emphasis};
use crate::session::{EntryMode, Memory};
use crate::store::{Store, in_words};
use crate::terminal::{Interrupts, Keyboard, Script, ScriptSource, Simulated, Voice, survive_size_limits};

/// How a guided session is run.
#[derive(Debug, Args, Default)]
pub(super) struct SessionOptions {
    /// Take up an unfinished session again
    #[arg(long, value_name = "ID")]
    pub resume: Option<String>,
    /// Answers from a file, or from standard input with `-`: `id: answer`, one a line, `#` comments
    #[arg(long, value_name = "FILE")]
    pub script: Option<PathBuf>,
    /// Show every formula with its numbers
    #[arg(long)]
    pub show_working: bool,
    /// The OpenSSH key that signs off: a private key, or the public half of one that an agent or a security key holds
    /// [default: the key of whoever signs, from the store's `keys` folder]
    #[arg(long, value_name = "FILE", conflicts_with = "no_sign")]
    pub key: Option<PathBuf>,
    /// Sign off by name alone, without a key
    #[arg(long)]
    pub no_sign: bool,
}

/// Where a session takes place.
pub(super) struct Place<'a> {
    /// The command that leads there, as it is typed.
    pub command: String,
    pub common: &'a Common,
    pub voice: &'a Voice,
    pub store: Store,
    /// The simulated bench of a new session; `None` at a real one.
    pub simulated: Option<Bench>,
}

impl SessionOptions {
    /// Leads through a session; `None` where the person started none.
    pub fn run(&self, place: &Place<'_>) -> Result<Option<Ended>, CommandError> {
        survive_size_limits().map_err(signals_refused)?;
        self.signing(place).check(place.voice)?;
        match &self.script {
            Some(path) => self.by_script(path, place).map(Some),
            None => self.at_keyboard(place),
        }
    }

    /// Practice is signed where a key is named, to practise that too.
    fn signing(&self, place: &Place<'_>) -> Signing {
        match &self.key {
            _ if self.no_sign => Signing::ByName,
            Some(path) => Signing::With(path.clone()),
            None if place.simulated.is_some() => Signing::ByName,
            None => Signing::OwnKey,
        }
    }

    fn at_keyboard(&self, place: &Place<'_>) -> Result<Option<Ended>, CommandError> {
        needs_terminal("the guided session")?;
        let Place { voice, store, .. } = place;
        let interrupts = Interrupts::listen().map_err(signals_refused)?;
        let resume = match &self.resume {
            Some(id) => Some(id.clone()),
            None => match unfinished(store, voice, &interrupts)? {
                Offer::TakeUp(id) => Some(id),
                Offer::New => None,
                Offer::Stop => return Ok(None),
            },
        };
        // Every simulated bench is another one, of which nothing is known from last time.
        let memory = if place.simulated.is_none() { store.memory() } else { Memory::default() };
        let signing = self.signing(place);
        let announced = |name: &str| signing.announced(store, name);
        let (sitting, bench) = place.begin(resume.as_deref(), EntryMode::Keyboard)?;
        let panel = bench.as_ref().map(|bench| PanelEvent::of(bench.bench()));
        let mut operator = Keyboard::new(voice, interrupts, self.show_working, &announced, bench);
        let resume = |id: &str| self.resume_command(place, id);
        let entry = EntryMode::Keyboard;
        let around = Around { store, voice, signing: &signing, resume: &resume, memory: Some(&memory), entry, panel };
        around.lead(sitting, &mut operator).map(Some)
    }

    fn by_script(&self, path: &Path, place: &Place<'_>) -> Result<Ended, CommandError> {
        let Place { voice, store, .. } = place;
        let source = open_script(path)?;
        let (sitting, bench) = place.begin(self.resume.as_deref(), EntryMode::Script)?;
        let panel = bench.as_ref().map(|bench| PanelEvent::of(bench.bench()));
        let mut operator = Script::new(voice, source, self.show_working, bench);
        let (signing, resume) = (self.signing(place), |id: &str| self.resume_command(place, id));
        let entry = EntryMode::Script;
        let around = Around { store, voice, signing: &signing, resume: &resume, memory: None, entry, panel };
        let ended = around.lead(sitting, &mut operator)?;
        if matches!(ended.exit, Exit::Done | Exit::Findings)
            && let Some(line) = operator.left_over()
        {
            let text = format!("line {line} of the script and what follows was not asked for and is not taken.");
            voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
        }
        Ok(ended)
    }

    /// The command that goes on, as it can be typed; a store that was named is named again, wherever one stands then.
    fn resume_command(&self, place: &Place<'_>, id: &str) -> String {
        let word = |path: &Path| shell_word(&visible(&path.to_string_lossy()));
        let named = place.common.store.as_deref();
        let absolute = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let store = named.map_or_else(String::new, |store| format!("--store {} ", word(&absolute(store))));
        let key = self.key.as_deref().map_or_else(String::new, |key| format!(" --key {}", word(&absolute(key))));
        format!("cornerset {store}{} --resume {}{key}", place.command, short_id(id))
    }
}

impl Place<'_> {
    /// Opens a session, or takes one up again; with the bench, where it is a simulated one.
    fn begin(&self, resume: Option<&str>, entry: EntryMode) -> Result<(Sitting, Option<Simulated>), CommandError> {
        let sitting = match (resume, &self.simulated) {
            (Some(id), _) => Sitting::take_up(&self.store, id, entry, self.voice)?,
            (None, Some(bench)) => Sitting::open(&self.store, bench.name(), true, entry, self.voice)?,
            (None, None) => Sitting::open(&self.store, self.store.bench()?, false, entry, self.voice)?,
        };
        let bench = Simulated::of(sitting.state());
        let is_practice = sitting.state().opened().practice;
        if is_practice != self.simulated.is_some() || is_practice != bench.is_some() {
            let id = &sitting.state().opened().id;
            let (what, command) = match (is_practice, &bench) {
                (true, None) => ("is practice on a bench that this version does not know", "another session"),
                (true, Some(_)) => ("is practice on a simulated bench", "`cornerset learn bench --resume`"),
                (false, _) => ("is no practice", "`cornerset set --resume`, with the store that it belongs to"),
            };
            return Err(Refusal::new("resume", id, what, command).into());
        }
        if let Some(bench) = &bench {
            self.voice.show(&screens::bench_panel(bench.bench(), self.voice.screen()));
        }
        Ok((sitting, bench))
    }
}

/// Opens a script.
pub(super) fn open_script(path: &Path) -> Result<ScriptSource, CommandError> {
    ScriptSource::open(path).map_err(|error| {
        CommandError::Usage(format!(
            "script: `{}` cannot be read: {}; accepted: a file of `id: answer` lines, or -",
            visible(&path.display().to_string()),
            in_words(&error)
        ))
    })
}

/// Refuses to ask where nobody can be asked.
pub(super) fn needs_terminal(what: &str) -> Result<(), CommandError> {
    if io::stdin().is_terminal() && io::stderr().is_terminal() {
        return Ok(());
    }
    Err(CommandError::Usage(format!(
        "{what} needs a terminal on standard input and standard error; accepted: a terminal, or --script FILE with the \
         answers (--script - reads them from standard input)"
    )))
}
