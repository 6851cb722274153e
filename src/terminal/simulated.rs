//! A simulated bench under a real session: what is typed or scripted moves it, and it is told what the meter then shows.

use serde_json::json;

use super::voice::Voice;
use crate::practice::{self, Bench};
use crate::quantity::Refusal;
use crate::screens;
use crate::session::{LogEntry, Notes, Question, State, Stop};

/// The word that shows the whole bench again.
const PANEL: &str = "panel";
/// What is wrong with anything else, after it or after `nothing`.
const NO_MOVE: &str = "does not move anything there";

/// A simulated bench. A session keeps its moves as notes, so that it stands as it stood when the session is taken up again.
pub struct Simulated {
    bench: Bench,
}

impl Simulated {
    /// The bench of this session, every move that it keeps made again; `None` where its bench is a real one, or one of another
    /// version, where the moves do not lead to what they led to.
    pub fn of(state: &State) -> Option<Self> {
        if !state.opened().practice {
            return None;
        }
        let mut bench = Bench::from_name(&state.opened().bench)?;
        for entry in state.log() {
            if let LogEntry::Note(note) = entry
                && practice::noted(&note.text).is_some()
                && !bench.make_again(&note.text)
            {
                return None;
            }
        }
        Some(Self { bench })
    }

    /// The bench as it stands.
    pub const fn bench(&self) -> &Bench {
        &self.bench
    }

    /// What can be typed for the bench, as a sentence.
    pub(super) fn help(&self) -> String {
        format!("At the bench: {}; `{PANEL}` shows all of it.", self.bench.moves())
    }

    /// The bench as it stands, for good.
    pub fn into_bench(self) -> Bench {
        self.bench
    }

    /// Takes what a person typed at a question, where it is meant for the bench, and shows what it led to; `None` where it
    /// is not meant for the bench.
    pub(super) fn by_person(
        &mut self,
        question: Question,
        typed: &str,
        voice: &Voice,
        notes: &mut dyn Notes,
    ) -> Result<Option<Result<(), Refusal>>, Stop> {
        if typed.eq_ignore_ascii_case(PANEL) {
            voice.show(&screens::bench_panel(&self.bench, voice.screen()));
            return Ok(Some(Ok(())));
        }
        match Bench::read(typed) {
            None => return Ok(None),
            // A job or a reason may begin with `turn` or `play` too.
            Some(Err(_)) if is_free_text(question) && !looks_like_a_move(typed) => return Ok(None),
            Some(_) => {}
        }
        self.by_line(typed, voice, notes).map(Some)
    }

    /// Takes a line of a script that is meant for the bench.
    pub(super) fn by_line(
        &mut self,
        typed: &str,
        voice: &Voice,
        notes: &mut dyn Notes,
    ) -> Result<Result<(), Refusal>, Stop> {
        let made = Bench::read(typed).unwrap_or_else(|| Err(Refusal::new("bench", typed, NO_MOVE, self.bench.moves())));
        let mut moved = self.bench.clone();
        let a_move = match made.and_then(|a_move| moved.make(a_move).map(|()| a_move)) {
            Ok(a_move) => a_move,
            Err(refusal) => return Ok(Err(refusal)),
        };
        let shown = moved.shown();
        notes.keep(&practice::note(a_move, &shown))?;
        // It moves once that is kept.
        self.bench = moved;
        let volts: Vec<Option<f64>> = shown.iter().map(|text| text.parse().ok()).collect();
        let event = json!({"event": "bench", "move": a_move.to_string(), "shown": shown, "shown_v": volts});
        voice.event(&event)?;
        voice.show(&screens::bench_moved(&self.bench, voice.screen()));
        Ok(Ok(()))
    }
}

/// Refuses a note that would be taken for a move.
pub(super) fn check_note(text: &str) -> Result<(), Refusal> {
    match practice::noted(text) {
        None => Ok(()),
        Some(_) => Err(Refusal::new("note", text, "reads like a move at the bench", "other words")),
    }
}

/// Whether an entry keeps a move, of which more was shown already than a note says.
pub(super) fn is_move(entry: &LogEntry) -> bool {
    matches!(entry, LogEntry::Note(note) if practice::noted(&note.text).is_some())
}

/// Whether a text that begins as a move does goes on like one: with a number, or not at all.
fn looks_like_a_move(typed: &str) -> bool {
    let mut words = typed.split_whitespace().skip(1);
    let number =
        words.next().is_none_or(|word| word.starts_with(|first: char| first.is_ascii_digit() || ".-+".contains(first)));
    number && words.next().is_none()
}

/// Whether any text answers this question.
const fn is_free_text(question: Question) -> bool {
    matches!(
        question,
        Question::Job
            | Question::Technician
            | Question::Amplifier
            | Question::Meter
            | Question::Reason
            | Question::Note
            | Question::SignOff
    )
}
