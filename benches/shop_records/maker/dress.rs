//! A record of the pool as another job's: its names, its times, its place.

use chrono::{DateTime, FixedOffset};
use cornerset::record::{ChainLink, Record};
use cornerset::session::{
    AcceptEntry, AnswerEntry, CautionEntry, LogEntry, Moment, NoteEntry, PairEntry, PauseEntry, Question, ReadingEntry,
    ReferenceEntry, ResumeEntry, StrikeEntry,
};

use super::pool::{FINGERPRINT, Template};

/// What a record has of its own.
pub struct Own<'a> {
    pub id: String,
    pub bench: &'a str,
    pub link: ChainLink,
    pub closed_at: DateTime<FixedOffset>,
    pub job: String,
    pub technician: &'a str,
    pub amplifier: &'a str,
    /// Of the key that signs.
    pub fingerprint: Option<&'a str>,
}

/// The record of another job, not digested yet.
pub fn dress(template: &Template, own: Own<'_>) -> Record {
    let mut record = template.record.clone();
    let (shift, offset) = (own.closed_at - record.closed_at.time(), *own.closed_at.offset());
    let moved = |at: &mut Moment| *at = Moment::new((at.time() + shift).with_timezone(&offset));
    for at in [&mut record.opened_at, &mut record.closed_at, &mut record.sign_off.at] {
        moved(at);
    }
    record.cautions.iter_mut().for_each(|caution| moved(&mut caution.acknowledged_at));
    for entry in &mut record.log {
        moved(at_of(entry));
        if let LogEntry::Answer(answer) = entry {
            match answer.question {
                Question::Job => answer.typed.clone_from(&own.job),
                Question::Technician | Question::SignOff => own.technician.clone_into(&mut answer.typed),
                Question::Amplifier => own.amplifier.clone_into(&mut answer.typed),
                _ => {}
            }
        }
    }
    record.id = own.id;
    own.bench.clone_into(&mut record.bench);
    record.sequence = own.link.sequence;
    record.previous = own.link.previous;
    record.job = own.job;
    own.technician.clone_into(&mut record.technician);
    own.technician.clone_into(&mut record.sign_off.name);
    own.amplifier.clone_into(&mut record.amplifier.name);
    record.sign_off.statement = match own.fingerprint {
        Some(fingerprint) => record.sign_off.statement.replace(FINGERPRINT, fingerprint),
        None => template.unsigned_statement.clone(),
    };
    record
}

fn at_of(entry: &mut LogEntry) -> &mut Moment {
    match entry {
        LogEntry::Answer(AnswerEntry { at, .. })
        | LogEntry::Caution(CautionEntry { at, .. })
        | LogEntry::Reference(ReferenceEntry { at, .. })
        | LogEntry::Explore(PairEntry { at, .. })
        | LogEntry::Sweep(PairEntry { at, .. })
        | LogEntry::Reading(ReadingEntry { at, .. })
        | LogEntry::Strike(StrikeEntry { at, .. })
        | LogEntry::Accept(AcceptEntry { at, .. })
        | LogEntry::Note(NoteEntry { at, .. })
        | LogEntry::Pause(PauseEntry { at })
        | LogEntry::Resume(ResumeEntry { at, .. }) => at,
    }
}
