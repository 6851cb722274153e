//! Leading a person through a dialogue of several steps: asking, explaining, going back, and leaving.

use super::prompt::read_line;
use super::signals::Interrupts;
use super::voice::Voice;
use crate::quantity::Refusal;
use crate::screens::{Emphasis, Line};
use crate::session::{LEFT, Stop};

/// What goes before the name of a step that was gone back to, in a note.
const BACK_TO: &str = "back to ";

/// A dialogue of several steps.
pub(super) trait Guided {
    /// What it ends with.
    type End;

    /// Its name, with which its notes begin.
    const NAME: &'static str;

    /// The first lines.
    fn opening(&self, voice: &Voice) -> Vec<Line>;

    /// The word of the step, as prompts and notes name it.
    fn word(&self) -> String;

    /// What stands above the prompt of the step.
    fn question(&self, voice: &Voice) -> Vec<Line>;

    /// The prompt.
    fn prompt(&self) -> String;

    /// What `?` says.
    fn help(&self, voice: &Voice) -> Vec<Line>;

    /// Takes an answer; gives the note to keep of it.
    ///
    /// # Errors
    /// Where it is refused; nothing has changed then.
    fn answer(&mut self, typed: &str) -> Result<String, Refusal>;

    /// Goes back by one; `false` at the first step.
    fn back(&mut self) -> bool;

    /// What it ends with, once it has ended.
    fn end(&self) -> Option<Self::End>;
}

/// Keeps a note.
pub(super) type Note<'a> = &'a mut dyn FnMut(&str) -> Result<(), Stop>;

/// Leads through a dialogue to its end; `None` where the person leaves it. `earlier` are the notes of the same dialogue that
/// was cut short: it goes on where they end.
///
/// # Errors
/// Where the person stops altogether, or a note cannot be kept.
pub(super) fn lead<G: Guided>(
    guided: &mut G,
    earlier: &[String],
    voice: &Voice,
    interrupts: &Interrupts,
    note: Note<'_>,
) -> Result<Option<G::End>, Stop> {
    let mut note = |text: &str| note(&format!("{}: {text}", G::NAME));
    voice.show(&guided.opening(voice));
    let retraced = retrace(guided, earlier);
    if retraced > 0 {
        let text = format!("Taken up where it was left, after {retraced} answers; `<` goes back by one.");
        voice.show(&voice.screen().paragraph(0, Emphasis::Strong, &text));
        // What ended is not ended again unseen: its last answer is asked for once more.
        if guided.end().is_some() {
            guided.back();
        }
    }
    loop {
        if let Some(end) = guided.end() {
            return Ok(Some(end));
        }
        voice.show(&guided.question(voice));
        // Asked again after a slip or an explanation, but not put again.
        loop {
            let typed = read_line(voice, interrupts, &guided.prompt())?;
            match typed.trim() {
                "?" => voice.show(&guided.help(voice)),
                "q" | "Q" => {
                    note(LEFT)?;
                    return Ok(None);
                }
                "<" if guided.back() => {
                    note(&format!("{BACK_TO}{}", guided.word()))?;
                    break;
                }
                "<" => warn(voice, "This is the first question; `q` leaves."),
                typed => match guided.answer(typed) {
                    Ok(taken) => {
                        note(&taken)?;
                        break;
                    }
                    Err(refusal) => warn(voice, &refusal.to_string()),
                },
            }
        }
    }
}

/// Goes the way again that these notes tell of; how many answers are taken at its end.
fn retrace<G: Guided>(guided: &mut G, earlier: &[String]) -> usize {
    let mut taken = 0;
    for text in earlier {
        if text.starts_with(BACK_TO) {
            taken -= usize::from(taken > 0 && guided.back());
        } else if let Some((head, typed)) = text.split_once(": ")
            && head.split(' ').next() == Some(guided.word().as_str())
            && guided.end().is_none()
        {
            taken += usize::from(guided.answer(typed).is_ok());
        }
    }
    taken
}

fn warn(voice: &Voice, text: &str) {
    voice.show(&voice.screen().item("! ", Emphasis::Warn, text));
    voice.show(&[Line::empty()]);
}
