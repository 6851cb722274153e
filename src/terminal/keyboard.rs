//! A person at the keyboard.
//!
//! Every answer is a line of text, so that `?`, `<`, `!` and `q` work at every prompt; what it means is the session's
//! business.

use serde_json::json;

use super::driver::{DRIVER, ask_driver, is_of_driver};
use super::find_tuning::{TUNING, find_tuning};
use super::prompt::read_line;
use super::signals::Interrupts;
use super::simulated::{Simulated, check_note, is_move};
use super::voice::Voice;
use crate::quantity::text::visible;
use crate::quantity::{Refusal, show};
use crate::screens::{self, Emphasis, Line, Screen};
use crate::session::{Ask, Known, LogEntry, Notes, Operator, Question, Reply, State, Stop, UNKNOWN};

/// Columns that a default may take in a prompt.
const DEFAULT_COLUMNS: usize = 40;

/// A person at the keyboard.
pub struct Keyboard<'a> {
    voice: &'a Voice,
    interrupts: Interrupts,
    show_working: bool,
    /// What is said of the key before this name signs.
    announced: &'a dyn Fn(&str) -> String,
    /// Answers taken from last time since the last question that was put.
    taken: Vec<(Question, String, Known)>,
    /// A name that is not the technician's and waits for a `yes` before it signs.
    signing: Option<String>,
    /// Notes that were kept on the way to an answer and need no word of their own.
    quiet_notes: usize,
    /// The question that was put last, so that it is not explained again after a slip.
    put: Option<Question>,
    /// The bench, where it is a simulated one.
    bench: Option<Simulated>,
}

impl<'a> Keyboard<'a> {
    /// A person who sees `voice`; `bench` where it is a simulated one.
    pub fn new(
        voice: &'a Voice,
        interrupts: Interrupts,
        show_working: bool,
        announced: &'a dyn Fn(&str) -> String,
        bench: Option<Simulated>,
    ) -> Self {
        let taken = Vec::new();
        Self { voice, interrupts, show_working, announced, taken, signing: None, quiet_notes: 0, put: None, bench }
    }

    fn line(&self, prompt: &str) -> Result<String, Stop> {
        read_line(self.voice, &self.interrupts, prompt)
    }

    /// The text of a note; nothing typed means no note.
    fn note(&self, text: &str) -> Result<Option<Reply>, Stop> {
        let text = if text.is_empty() {
            self.voice.show(&[Line::plain("A note for the record; Enter alone leaves it out.")]);
            self.line("note")?
        } else {
            text.to_owned()
        };
        Ok((!text.trim().is_empty()).then_some(Reply::Note(text)))
    }

    /// Whether a note can be kept: at a simulated bench not where it would be taken for a move.
    fn is_taken(&self, note: &Reply, screen: Screen) -> bool {
        let (Reply::Note(text) | Reply::Typed(text)) = note else { return true };
        match check_note(text) {
            Err(refusal) if self.bench.is_some() => {
                self.voice.show(&screen.item("! ", Emphasis::Warn, &refusal.to_string()));
                false
            }
            _ => true,
        }
    }

    /// A tuning that nobody knows, found from the box or with the meter; `unknown` where that is left.
    fn find_tuning(&mut self, earlier: &[String], notes: &mut dyn Notes) -> Result<Reply, Stop> {
        let mut note = quietly(notes, &mut self.quiet_notes);
        let Some(found) = find_tuning(earlier, self.voice, &self.interrupts, &mut note)? else {
            let text = "The tuning stays unknown; the corner is one of your own.";
            self.voice.show(&[Line::empty(), Line::plain(text)]);
            return Ok(Reply::Typed(UNKNOWN.to_owned()));
        };
        note(&screens::tuning_account(&found))?;
        self.voice.show(&screens::tuning_in_session(&found, self.voice.screen()));
        Ok(Reply::Typed(show::full_hertz(found.as_told())))
    }

    /// Another name than the technician's is asked for once more: what was typed ahead must not sign.
    fn signature(&mut self, state: &State, typed: &str) -> Option<Reply> {
        let technician = state.technician().unwrap_or_default();
        match self.signing.take() {
            Some(name) if typed == "yes" => return Some(Reply::Typed(name)),
            _ if typed.is_empty() => return Some(Reply::Typed(typed.to_owned())),
            // However it is capitalised, it is the same person.
            _ if typed.to_lowercase() == technician.to_lowercase() => return Some(Reply::Typed(technician.to_owned())),
            _ => {}
        }
        let (technician, name) = (visible(technician), visible(typed));
        let text = format!("The technician is {technician}. `yes` signs as {name}, or type another name.");
        self.voice.show(&self.voice.screen().item("! ", Emphasis::Warn, &text));
        let key = (self.announced)(typed);
        self.voice.show(&self.voice.screen().paragraph(2, Emphasis::Plain, &key));
        self.signing = Some(typed.to_owned());
        None
    }
}

impl Operator for Keyboard<'_> {
    fn reply(&mut self, state: &State, ask: &Ask, notes: &mut dyn Notes) -> Result<Reply, Stop> {
        let event = json!({"event": "question", "id": ask.question, "default": ask.default});
        self.voice.event(&event)?;
        let screen = self.voice.screen();
        if ask.known == Known::Elsewhere {
            return Ok(Reply::Default);
        }
        if let (Known::LastTime | Known::Before, Some(default)) = (ask.known, &ask.default) {
            self.taken.push((ask.question, default.clone(), ask.known));
            return Ok(Reply::Default);
        }
        if !self.taken.is_empty() {
            self.voice.show(&screens::taken(&std::mem::take(&mut self.taken), screen));
        }
        if self.put == Some(ask.question) {
            self.voice.show(&[Line::empty()]);
        } else {
            self.voice.show(&screens::question(state, ask, screen));
            if ask.question == Question::SignOff {
                let text = (self.announced)(state.technician().unwrap_or_default());
                self.voice.show(&screen.paragraph(0, Emphasis::Plain, &text));
            }
        }
        self.put = Some(ask.question);
        loop {
            let typed = self.line(&screens::prompt(ask, DEFAULT_COLUMNS))?;
            let typed = typed.trim();
            if let Some(bench) = &mut self.bench
                && let Some(moved) = bench.by_person(ask.question, typed, self.voice, notes)?
            {
                if let Err(refusal) = moved {
                    self.voice.show(&screen.item("! ", Emphasis::Warn, &refusal.to_string()));
                }
                continue;
            }
            match understand(ask, typed) {
                Understood::Reply(reply) => {
                    if ask.question != Question::Note || self.is_taken(&reply, screen) {
                        return Ok(reply);
                    }
                }
                Understood::Note(text) => {
                    let Some(note) = self.note(text)? else { continue };
                    if self.is_taken(&note, screen) {
                        return Ok(note);
                    }
                }
                Understood::Signature => {
                    if let Some(reply) = self.signature(state, typed) {
                        return Ok(reply);
                    }
                }
                Understood::NoQuestion(name) => {
                    let text = format!("`{}` names no question; `<` alone goes back by one.", visible(name));
                    self.voice.show(&screen.item("! ", Emphasis::Warn, &text));
                }
                Understood::Driver => {
                    let earlier = state.on_the_way(DRIVER);
                    let mut note = quietly(notes, &mut self.quiet_notes);
                    if let Some(line) =
                        ask_driver(typed, state.driver().as_deref(), &earlier, self.voice, &self.interrupts, &mut note)?
                    {
                        return Ok(Reply::TypedFor(Question::Driver, line));
                    }
                }
                Understood::FindTuning if state.box_is_closed() => return Ok(Reply::Typed(typed.to_owned())),
                Understood::FindTuning => return self.find_tuning(&state.on_the_way(TUNING), notes),
                Understood::Help => {
                    self.voice.show(&screens::help(ask.question, screen));
                    if let Some(bench) = &self.bench {
                        self.voice.show(&screen.paragraph(2, Emphasis::Plain, &bench.help()));
                    }
                }
                Understood::Working => self.voice.show(&screens::all_working(state, screen)),
            }
        }
    }

    fn refused(&mut self, _ask: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        let screen = self.voice.screen();
        self.voice.show(&screen.item("! ", Emphasis::Warn, &refusal.to_string()));
        Ok(())
    }

    fn logged(&mut self, state: &State, entry: &LogEntry) -> Result<(), Stop> {
        self.put = None;
        if self.bench.is_some() && is_move(entry) {
            // Shown already.
        } else if self.quiet_notes > 0 {
            self.quiet_notes -= 1;
        } else {
            self.voice.show(&screens::news(state, entry, self.show_working, self.voice.screen()));
        }
        Ok(self.voice.event(entry)?)
    }
}

/// Keeps notes that need no word of their own, and counts them.
fn quietly<'a>(notes: &'a mut dyn Notes, kept: &'a mut usize) -> impl FnMut(&str) -> Result<(), Stop> {
    move |text| {
        notes.keep(text)?;
        *kept += 1;
        Ok(())
    }
}

/// What a line means before the session sees it.
enum Understood<'a> {
    Reply(Reply),
    Note(&'a str),
    Signature,
    Driver,
    FindTuning,
    NoQuestion(&'a str),
    Help,
    Working,
}

fn understand<'a>(ask: &Ask, typed: &'a str) -> Understood<'a> {
    let reply = |reply| Understood::Reply(reply);
    if let Some(text) = typed.strip_prefix('!') {
        return Understood::Note(text.trim());
    }
    if let Some(target) = typed.strip_prefix('<') {
        let target = target.trim();
        return match (target.is_empty(), Question::from_word(target)) {
            (true, _) => reply(Reply::Back(None)),
            (false, Some(question)) => reply(Reply::Back(Some(question))),
            (false, None) => Understood::NoQuestion(target),
        };
    }
    match typed {
        "?" => Understood::Help,
        "q" | "Q" => reply(Reply::Pause),
        "w" | "W" if matches!(ask.question, Question::Reading | Question::Accept) => Understood::Working,
        "" | "yes" | "done" if ask.question == Question::Reading => reply(Reply::Done),
        // Another turn of the knob, typed where it is asked whether to accept the last one.
        _ if ask.question == Question::Accept && is_of_the_knob(typed) => {
            reply(Reply::TypedFor(Question::Reading, typed.to_owned()))
        }
        _ if ask.question == Question::SignOff => Understood::Signature,
        _ if ask.question == Question::Tuning && is_of_driver(typed) => Understood::Driver,
        _ if ask.question == Question::Tuning && typed.eq_ignore_ascii_case(UNKNOWN) => Understood::FindTuning,
        _ if ask.question == Question::Driver && !typed.is_empty() && !typed.eq_ignore_ascii_case(UNKNOWN) => {
            Understood::Driver
        }
        "" if ask.default.is_some() && !ask.question.guards() => reply(Reply::Default),
        _ => reply(Reply::Typed(typed.to_owned())),
    }
}

/// A reading, or a strike.
fn is_of_the_knob(typed: &str) -> bool {
    typed.starts_with(|first: char| first.is_ascii_digit() || first == '.')
        || typed.split_whitespace().next().is_some_and(|word| word.eq_ignore_ascii_case("strike"))
}

/// What a person chooses of the unfinished sessions: an index into the list, or none of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// Take this one up again.
    TakeUp(usize),
    /// Put this one away.
    PutAway(usize),
    /// Start a new one.
    New,
}

/// Lets a person choose from unfinished sessions that are on the screen.
///
/// # Errors
/// Where the person stops here.
pub fn choose_unfinished(voice: &Voice, interrupts: &Interrupts, count: usize) -> Result<Choice, Stop> {
    let index = |number: &str| number.trim().parse::<usize>().ok().filter(|number| (1..=count).contains(number));
    loop {
        let typed = read_line(voice, interrupts, "take up [1]")?;
        let typed = typed.trim();
        if typed.is_empty() {
            return Ok(Choice::TakeUp(0));
        }
        if typed.eq_ignore_ascii_case("new") {
            return Ok(Choice::New);
        }
        if matches!(typed, "q" | "Q") {
            return Err(Stop::Interrupted);
        }
        if let Some(number) = typed.strip_prefix("away").and_then(index) {
            return Ok(Choice::PutAway(number - 1));
        }
        if let Some(number) = index(typed) {
            return Ok(Choice::TakeUp(number - 1));
        }
        let numbers = if count == 1 { "1".to_owned() } else { format!("1 to {count}") };
        let text = format!(
            "take up: `{}` is no session in this list; accepted: {numbers}, `new`, `away` and a number, q to leave",
            visible(typed)
        );
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
    }
}
