//! Fifth floor: the session as a pure state machine. A session is a function of its log.
//!
//! [`State`] is a fold over [`LogEntry`]s; [`State::judge`] turns what an operator typed into the next entry or a
//! refusal; [`run`] asks, judges, has the entry written, and only then applies it.

mod answered;
mod apply;
mod ask;
mod cautions;
mod check;
mod cone;
mod entry;
mod entry_json;
mod lists;
mod memo;
mod memory;
mod moment;
mod ports;
mod propose;
mod question;
mod replay;
mod runner;
mod same;
mod state;
mod sweep;
mod words;

pub use answered::LEFT;
pub use ask::{Ask, Known};
pub use cautions::{CAUTIONS, MUCH_POWER, UNDERSTOOD, caution_text, high_reference_caution};
pub use entry::{
    AcceptEntry, AnswerEntry, CautionEntry, EntryMode, LogEntry, NoteEntry, PairEntry, PauseEntry, ReadingEntry,
    ReferenceEntry, ResumeEntry, StrikeEntry,
};
pub use memory::{Gear, Memory};
pub use moment::Moment;
pub use ports::{Clock, Journal, NotKept, Notes, Operator, Reply, Stop};
pub use propose::{Advice, Proposal};
pub use question::Question;
pub use replay::{NotReplayed, replay};
pub use runner::{Desk, run};
pub use same::{Difference, differences};
pub use state::{Found, Listed, Opened, State, Taken};
pub use sweep::{POOR_FIT, SweepSays};
pub use words::{Answer, DONE, NONE, OWN, UNKNOWN};
