//! `cornerset set`: the guided session, at the keyboard or by script.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::Args;
use serde_json::json;

use super::common::Common;
use super::error::{CommandError, Exit, signals_refused, told};
use super::signing::Signing;
use crate::meter::Verdict;
use crate::quantity::text::{shell_word, short_id, visible};
use crate::record::{Record, Signer};
use crate::screens::{self, Emphasis, Line, Unfinished};
use crate::session::{Clock, Desk, EntryMode, LogEntry, Memory, Opened, Operator, ResumeEntry, State, Stop, run};
use crate::store::{Closing, FileJournal, OpenSession, Store, StoreError, in_words, new_id};
use crate::terminal::{
    Choice, Interrupts, Keyboard, ProgressBar, Script, ScriptSource, SystemClock, Voice, choose_unfinished,
    stop_on_signal, survive_size_limits,
};

/// The guided session: questions, tone and target, the knob, the record
#[derive(Debug, Args, Default)]
pub(super) struct Set {
    /// Take up an unfinished session again
    #[arg(long, value_name = "ID")]
    resume: Option<String>,
    /// Answers from a file, or from standard input with `-`: `id: answer`, one a line, `#` comments
    #[arg(long, value_name = "FILE")]
    script: Option<PathBuf>,
    /// Show every formula with its numbers
    #[arg(long)]
    show_working: bool,
    /// The OpenSSH key that signs off: a private key, or the public half of one that an agent or a security key holds
    /// [default: the key of whoever signs, from the store's `keys` folder]
    #[arg(long, value_name = "FILE", conflicts_with = "no_sign")]
    key: Option<PathBuf>,
    /// Sign off by name alone, without a key
    #[arg(long)]
    no_sign: bool,
}

/// A session that is open, with its journal.
struct Sitting {
    state: State,
    journal: FileJournal,
}

impl Set {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        self.signing().check(voice)?;
        match &self.script {
            Some(path) => self.by_script(path, common, voice),
            None => self.at_keyboard(common, voice),
        }
    }

    fn signing(&self) -> Signing {
        match &self.key {
            _ if self.no_sign => Signing::ByName,
            Some(path) => Signing::With(path.clone()),
            None => Signing::OwnKey,
        }
    }

    fn at_keyboard(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
            return Err(CommandError::Usage(
                "the guided session needs a terminal on standard input and standard error; accepted: a terminal, or \
                 --script FILE with the answers (--script - reads them from standard input)"
                    .to_owned(),
            ));
        }
        let interrupts = Interrupts::listen().map_err(signals_refused)?;
        let store = common.open_store()?;
        let memory = store.memory();
        let resume = match &self.resume {
            Some(id) => Some(id.clone()),
            None => match unfinished(&store, voice, &interrupts)? {
                Offer::TakeUp(id) => Some(id),
                Offer::New => None,
                Offer::Stop => return Ok(Exit::Interrupted),
            },
        };
        let signing = self.signing();
        let announced = |name: &str| signing.announced(&store, name);
        let mut operator = Keyboard::new(voice, interrupts, self.show_working, &announced);
        self.sit(&store, common, voice, resume.as_deref(), EntryMode::Keyboard, Some(&memory), &mut operator)
    }

    fn by_script(&self, path: &Path, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let source = ScriptSource::open(path).map_err(|error| {
            CommandError::Usage(format!(
                "script: `{}` cannot be read: {}; accepted: a file of `id: answer` lines, or -",
                visible(&path.display().to_string()),
                in_words(&error)
            ))
        })?;
        let store = common.open_store()?;
        let mut operator = Script::new(voice, source, self.show_working);
        let exit = self.sit(&store, common, voice, self.resume.as_deref(), EntryMode::Script, None, &mut operator)?;
        if matches!(exit, Exit::Done | Exit::Findings)
            && let Some(line) = operator.left_over()
        {
            let text = format!("line {line} of the script and what follows was not asked for and is not taken.");
            voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
        }
        Ok(exit)
    }

    /// Opens or takes up a session, leads it to its end, writes its record.
    #[expect(clippy::too_many_arguments, reason = "each is a different thing that only this one place brings together")]
    fn sit(
        &self,
        store: &Store,
        common: &Common,
        voice: &Voice,
        resume: Option<&str>,
        entry: EntryMode,
        memory: Option<&Memory>,
        operator: &mut dyn Operator,
    ) -> Result<Exit, CommandError> {
        let mut clock = SystemClock;
        let closing = Arc::new(AtomicBool::new(false));
        survive_size_limits().map_err(signals_refused)?;
        let (mut sitting, resumed) = match resume {
            Some(id) => {
                let resumed = store.resume(id)?;
                if entry == EntryMode::Keyboard {
                    voice.show(&screens::opening(voice.screen()));
                }
                voice.show(&screens::recap(&resumed.state, resumed.dropped_bytes, voice.screen()));
                let at = clock.now();
                let note = LogEntry::Resume(ResumeEntry { at, entry, dropped_bytes: resumed.dropped_bytes });
                (Sitting { state: resumed.state, journal: resumed.journal }, Some(note))
            }
            None => {
                let sitting = open(store, entry, clock.now())?;
                if entry == EntryMode::Keyboard {
                    voice.show(&screens::opening(voice.screen()));
                }
                (sitting, None)
            }
        };
        let id = sitting.state.opened().id.clone();
        let resume = resume_command(common, store, &id, self.key.as_deref());
        if entry == EntryMode::Script {
            let farewell = format!(
                "\nStopped. The session is kept; nothing that was logged is lost. Turn the level down.\nGo on with:\n  \
                 {resume}\n"
            );
            stop_on_signal(farewell, i32::from(Exit::Interrupted.code()), Arc::clone(&closing))
                .map_err(signals_refused)?;
        }
        let told = voice.event(&json!({"event": "session", "id": id})).map_err(Stop::from);
        let ended = told.and_then(|()| {
            let mut desk = Desk { operator, clock: &mut clock, journal: &mut sitting.journal, memory };
            match resumed.map_or(Ok(()), |note| desk.keep(&mut sitting.state, note)) {
                Ok(()) => run(&mut sitting.state, &mut desk),
                Err(stop) => Err(stop),
            }
        });
        match ended {
            Ok(()) => {
                let stays_open = |error| match error {
                    CommandError::Storage(why) => CommandError::Storage(format!("{why}. Go on with: {resume}")),
                    CommandError::Usage(why) => CommandError::Usage(format!(
                        "{why}. Nothing is lost, the session stays open: {resume} (with --no-sign it is signed off by name \
                         alone)"
                    )),
                    error => error,
                };
                let interrupts = Interrupts::listen().map_err(signals_refused)?;
                // From here on a signal is minded here: a prompt leaves a sound terminal, and a program that signs is ended.
                closing.store(true, Ordering::SeqCst);
                let name = sitting.state.signed_off().map_or("", |(name, _)| name);
                let stopped = screens::stopped(&sitting.state, &resume, voice.screen());
                let signed = self.signing().signer(store, name, voice, &interrupts).and_then(|signer| {
                    if interrupts.came() {
                        return Err(CommandError::Interrupted);
                    }
                    finish(store, sitting, signer, &interrupts, voice)
                });
                match signed {
                    // Stopped at the passphrase; or what was asked to sign was ended by the signal that ends the program.
                    Err(error)
                        if matches!(error, CommandError::Interrupted)
                            || (matches!(error, CommandError::Usage(_)) && interrupts.came()) =>
                    {
                        voice.show(&stopped);
                        Ok(Exit::Interrupted)
                    }
                    other => other.map_err(stays_open),
                }
            }
            Err(Stop::Interrupted) => {
                voice.show(&screens::stopped(&sitting.state, &resume, voice.screen()));
                Ok(Exit::Interrupted)
            }
            Err(Stop::Input(why)) => Err(CommandError::Usage(format!("{why}. The session stays open: {resume}"))),
            Err(Stop::NotTold(why)) => Err(CommandError::Storage(format!("{why}. The session stays open: {resume}"))),
            Err(Stop::NotKept(why)) => Err(CommandError::Storage(format!("{why}. Go on with: {resume}"))),
        }
    }
}

fn open(store: &Store, entry: EntryMode, at: crate::session::Moment) -> Result<Sitting, CommandError> {
    let opened = Opened {
        id: new_id(),
        bench: store.bench()?,
        entry,
        practice: false,
        tool: concat!("cornerset ", env!("CARGO_PKG_VERSION")).to_owned(),
        at,
    };
    let (state, journal) = store.open_session(opened)?;
    Ok(Sitting { state, journal })
}

/// Writes the record and says so.
fn finish(
    store: &Store,
    sitting: Sitting,
    signer: Option<Box<dyn Signer>>,
    interrupts: &Interrupts,
    voice: &Voice,
) -> Result<Exit, CommandError> {
    let bar = ProgressBar::new("reading records to find the end of the chain");
    let closing = Closing { signer, progress: &|read, of| bar.at(read, of), stop: &|| interrupts.came() };
    let closed = store.close_with(&sitting.state, sitting.journal, closing)?;
    drop(bar);
    for path in &closed.skipped {
        let text = format!("{} cannot be read as it was signed off and was passed over.", path.display());
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &visible(&text)));
    }
    if let Some(number) = closed.lost {
        let text = format!(
            "Record number {number}, which this store remembers as its last, is gone or is not what it was. This record names \
             it all the same; run `cornerset audit`."
        );
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
    }
    // What a script answers is its own; what a person answered is what the person is asked next time.
    if closed.record.entry == EntryMode::Keyboard {
        store.remember(&sitting.state, closed.record.closed_at);
    }
    let path = closed.path.to_string_lossy();
    let said = if voice.style().json {
        voice.event(&json!({"event": "record", "id": closed.record.id, "path": path}))
    } else {
        voice.print(&screens::summary(&closed.record, &closed.path, voice.screen()))
    };
    // The record is written, whether anyone reads of it or not.
    told(said, exit(&closed.record))
}

/// Inside, with one corner and a filter that is what it was taken for, or not.
fn exit(record: &Record) -> Exit {
    let outcome = &record.outcome;
    if outcome.verdict == Verdict::Inside && outcome.corner_hz.is_some() && outcome.family_confirmed != Some(false) {
        Exit::Done
    } else {
        Exit::Findings
    }
}

/// What the person chose of the unfinished sessions.
enum Offer {
    TakeUp(String),
    New,
    Stop,
}

fn unfinished(store: &Store, voice: &Voice, interrupts: &Interrupts) -> Result<Offer, CommandError> {
    loop {
        let (usable, elsewhere) = offered(store, voice)?;
        if usable.is_empty() {
            return Ok(Offer::New);
        }
        let opened: Vec<String> =
            usable.iter().map(|session| session.opened_at.map(screens::minute).unwrap_or_default()).collect();
        let list: Vec<Unfinished<'_>> = usable
            .iter()
            .zip(&opened)
            .map(|(session, opened)| Unfinished {
                job: session.job.as_deref().unwrap_or_default(),
                technician: session.technician.as_deref(),
                readings: session.readings,
                opened,
            })
            .collect();
        voice.show(&screens::unfinished(&list, elsewhere, voice.screen()));
        match choose_unfinished(voice, interrupts, usable.len()) {
            Ok(Choice::TakeUp(index)) => return Ok(Offer::TakeUp(usable[index].id.clone())),
            Ok(Choice::New) => return Ok(Offer::New),
            Ok(Choice::PutAway(index)) => {
                let path = store.put_away(&usable[index].id)?;
                let text = format!("Put away, not deleted: {}", visible(&path.display().to_string()));
                voice.show(&voice.screen().paragraph(0, Emphasis::Plain, &text));
            }
            Err(_) => {
                voice.show(&[Line::plain("Nothing was started; unfinished sessions stay as they are.")]);
                return Ok(Offer::Stop);
            }
        }
    }
}

/// The unfinished sessions that have a job and that no other window has open, and how many another one has open.
/// One that was left before its first answer holds nothing to take up. Damaged ones are told of.
fn offered(store: &Store, voice: &Voice) -> Result<(Vec<OpenSession>, usize), CommandError> {
    let (elsewhere, free): (Vec<OpenSession>, Vec<OpenSession>) =
        store.open_sessions()?.into_iter().partition(|session| session.in_use);
    let (usable, damaged): (Vec<OpenSession>, Vec<OpenSession>) =
        free.into_iter().partition(|session| session.problem.is_none());
    for session in damaged {
        let text = format!("session {}: {}", session.id, session.problem.unwrap_or_default());
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &visible(&text)));
    }
    // The newest first: Enter takes it.
    Ok((usable.into_iter().rev().filter(|session| session.job.is_some()).collect(), elsewhere.len()))
}

/// The command that goes on, as it can be typed; a store that was named is named again, wherever one stands then.
fn resume_command(common: &Common, store: &Store, id: &str, key: Option<&Path>) -> String {
    let word = |path: &Path| shell_word(&visible(&path.to_string_lossy()));
    let store = common.store.as_ref().map_or_else(String::new, |_| format!("--store {} ", word(store.root())));
    let absolute = |key: &Path| std::path::absolute(key).unwrap_or_else(|_| key.to_owned());
    let key = key.map_or_else(String::new, |key| format!(" --key {}", word(&absolute(key))));
    format!("cornerset {store}set --resume {}{key}", short_id(id))
}

impl From<StoreError> for CommandError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Stopped => Self::Interrupted,
            error if error.is_storage() => Self::Storage(error.to_string()),
            error => Self::Usage(error.to_string()),
        }
    }
}
