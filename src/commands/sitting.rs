//! A session from its opening to its record, whoever answers.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use serde_json::json;

use super::error::{CommandError, Exit, signals_refused, told};
use super::panel::PanelEvent;
use super::signing::Signing;
use crate::meter::Verdict;
use crate::quantity::text::visible;
use crate::record::{Record, Signer};
use crate::screens::{self, Emphasis};
use crate::session::{Clock, Desk, EntryMode, LogEntry, Memory, Opened, Operator, ResumeEntry, State, Stop, run};
use crate::store::{Closing, FileJournal, Store, StoreError, new_id};
use crate::terminal::{Interrupts, ProgressBar, SystemClock, Voice, stop_on_signal};

/// A session that is open, with its journal.
pub(super) struct Sitting {
    state: State,
    journal: FileJournal,
    /// What is logged first, where it was taken up again.
    resumed: Option<LogEntry>,
}

/// What a session is worked with.
pub(super) struct Around<'a> {
    pub store: &'a Store,
    pub voice: &'a Voice,
    pub signing: &'a Signing,
    /// The command that takes the session up again.
    pub resume: &'a dyn Fn(&str) -> String,
    /// What was answered before.
    pub memory: Option<&'a Memory>,
    /// Who types.
    pub entry: EntryMode,
    /// What stands on the bench, where it is a simulated one.
    pub panel: Option<PanelEvent>,
}

/// How a sitting ended.
pub(super) struct Ended {
    pub exit: Exit,
    /// The session, as it was left.
    pub state: State,
}

impl Sitting {
    /// Opens a session of this bench.
    pub fn open(
        store: &Store,
        bench: String,
        practice: bool,
        entry: EntryMode,
        voice: &Voice,
    ) -> Result<Self, CommandError> {
        let tool = concat!("cornerset ", env!("CARGO_PKG_VERSION")).to_owned();
        let opened = Opened { id: new_id(), bench, entry, practice, tool, at: SystemClock.now() };
        let (state, journal) = store.open_session(opened)?;
        if entry == EntryMode::Keyboard {
            voice.show(&screens::opening(voice.screen()));
        }
        Ok(Self { state, journal, resumed: None })
    }

    /// Takes up a session again, and says where it stands.
    pub fn take_up(store: &Store, id: &str, entry: EntryMode, voice: &Voice) -> Result<Self, CommandError> {
        let resumed = store.resume(id)?;
        if entry == EntryMode::Keyboard {
            voice.show(&screens::opening(voice.screen()));
        }
        voice.show(&screens::recap(&resumed.state, resumed.dropped_bytes, voice.screen()));
        let note = ResumeEntry { at: SystemClock.now(), entry, dropped_bytes: resumed.dropped_bytes };
        Ok(Self { state: resumed.state, journal: resumed.journal, resumed: Some(LogEntry::Resume(note)) })
    }

    /// Where it stands.
    pub const fn state(&self) -> &State {
        &self.state
    }
}

impl Around<'_> {
    /// Leads a session to its end and writes its record.
    pub fn lead(&self, sitting: Sitting, operator: &mut dyn Operator) -> Result<Ended, CommandError> {
        let Self { store, voice, memory, .. } = *self;
        let Sitting { mut state, mut journal, resumed } = sitting;
        let closing = Arc::new(AtomicBool::new(false));
        let id = state.opened().id.clone();
        let resume = (self.resume)(&id);
        if self.entry == EntryMode::Script {
            let farewell = format!(
                "\nStopped. The session is kept; nothing that was logged is lost. Turn the level down.\nGo on with:\n  \
                 {resume}\n"
            );
            stop_on_signal(farewell, i32::from(Exit::Interrupted.code()), Arc::clone(&closing))
                .map_err(signals_refused)?;
        }
        let told = voice.event(&json!({"event": "session", "id": id})).map_err(Stop::from);
        let told = told.and_then(|()| self.panel.as_ref().map_or(Ok(()), |panel| Ok(voice.event(panel)?)));
        let ended = told.and_then(|()| {
            let mut desk = Desk { operator, clock: &mut SystemClock, journal: &mut journal, memory };
            match resumed.map_or(Ok(()), |note| desk.keep(&mut state, note)) {
                Ok(()) => run(&mut state, &mut desk),
                Err(stop) => Err(stop),
            }
        });
        let exit = match ended {
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
                let name = state.signed_off().map_or("", |(name, _)| name);
                let stopped = screens::stopped(&state, &resume, voice.screen());
                let signed = self.signing.signer(store, name, voice, &interrupts).and_then(|signer| {
                    if interrupts.came() {
                        return Err(CommandError::Interrupted);
                    }
                    finish(store, &state, journal, signer, &interrupts, voice)
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
                voice.show(&screens::stopped(&state, &resume, voice.screen()));
                Ok(Exit::Interrupted)
            }
            Err(Stop::Input(why)) => Err(CommandError::Usage(format!("{why}. The session stays open: {resume}"))),
            Err(Stop::NotTold(why)) => Err(CommandError::Storage(format!("{why}. The session stays open: {resume}"))),
            Err(Stop::NotKept(why)) => Err(CommandError::Storage(format!("{why}. Go on with: {resume}"))),
        };
        Ok(Ended { exit: exit?, state })
    }
}

/// Writes the record and says so.
fn finish(
    store: &Store,
    state: &State,
    journal: FileJournal,
    signer: Option<Box<dyn Signer>>,
    interrupts: &Interrupts,
    voice: &Voice,
) -> Result<Exit, CommandError> {
    let bar = ProgressBar::new("reading records to find the end of the chain");
    let closing = Closing { signer, progress: &|read, of| bar.at(read, of), stop: &|| interrupts.came() };
    let closed = store.close_with(state, journal, closing)?;
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
        store.remember(state, closed.record.closed_at);
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

impl From<StoreError> for CommandError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Stopped => Self::Interrupted,
            error if error.is_storage() => Self::Storage(error.to_string()),
            error => Self::Usage(error.to_string()),
        }
    }
}
