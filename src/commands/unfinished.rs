//! The sessions that are not finished, offered at the start.

use super::error::CommandError;
use crate::practice::Bench;
use crate::quantity::text::visible;
use crate::screens::{self, Emphasis, Line, Unfinished};
use crate::store::{OpenSession, Store};
use crate::terminal::{Choice, Interrupts, Voice, choose_unfinished};

/// What the person chose of the unfinished sessions.
pub(super) enum Offer {
    TakeUp(String),
    New,
    Stop,
}

/// Lets the person choose; `New` where nothing is unfinished.
pub(super) fn unfinished(store: &Store, voice: &Voice, interrupts: &Interrupts) -> Result<Offer, CommandError> {
    loop {
        let (usable, elsewhere) = offered(store, voice)?;
        if usable.is_empty() {
            return Ok(Offer::New);
        }
        let opened: Vec<String> =
            usable.iter().map(|session| session.opened_at.map(screens::minute).unwrap_or_default()).collect();
        let jobs: Vec<String> = usable.iter().map(job).collect();
        let list: Vec<Unfinished<'_>> = usable
            .iter()
            .zip(&opened)
            .zip(&jobs)
            .map(|((session, opened), job)| Unfinished {
                job,
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

/// The job of a session; in practice with its bench, by which one knows it.
fn job(session: &OpenSession) -> String {
    let job = session.job.clone().unwrap_or_default();
    match session.bench.as_deref().and_then(Bench::from_name) {
        Some(bench) => format!("{job} ({})", bench.name()),
        None => job,
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
