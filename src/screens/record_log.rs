//! What happened in a session: which readings count and why others do not, as tables and as sentences.

use std::collections::HashMap;

use super::columns::{Row, Table};
use super::line::Emphasis;
use super::reading::down_or_up;
use super::when::second;
use crate::meter::Verdict;
use crate::quantity::{Volts, show};
use crate::record::Record;
use crate::session::{EntryMode, LogEntry, PairEntry, Question, ReadingEntry};

/// The lists of readings.
const LISTS: [Question; 3] = [Question::Explore, Question::Reading, Question::Sweep];

/// Whether a reading counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fate<'a> {
    /// It does.
    Counts,
    /// It was struck out, for this reason.
    Struck(&'a str),
    /// It was taken before this entry, which sets it aside.
    SetAside(&'a LogEntry),
}

/// The log with what became of each entry.
///
/// An entry for a question sets aside every list that is asked for later, as in the session itself.
pub fn fates(log: &[LogEntry]) -> Vec<Fate<'_>> {
    let mut strikes: HashMap<(Question, u32), &str> = HashMap::new();
    let mut causes: [Option<&LogEntry>; LISTS.len()] = [None; LISTS.len()];
    let mut fates: Vec<Fate<'_>> = log
        .iter()
        .rev()
        .map(|entry| {
            let fate = listed(entry).map_or(Fate::Counts, |(list, number)| {
                let cause = LISTS.iter().position(|one| *one == list).and_then(|at| causes[at]);
                match (strikes.get(&(list, number)), cause) {
                    (Some(reason), _) => Fate::Struck(reason),
                    (None, Some(cause)) => Fate::SetAside(cause),
                    (None, None) => Fate::Counts,
                }
            });
            if let LogEntry::Strike(strike) = entry {
                strikes.insert((strike.question, strike.number), &strike.reason);
            }
            if let Some(question) = sets_aside_after(entry) {
                for (list, cause) in LISTS.iter().zip(&mut causes) {
                    if *list > question {
                        *cause = Some(entry);
                    }
                }
            }
            fate
        })
        .collect();
    fates.reverse();
    fates
}

/// The list and the number of a reading.
const fn listed(entry: &LogEntry) -> Option<(Question, u32)> {
    match entry {
        LogEntry::Explore(pair) => Some((Question::Explore, pair.number)),
        LogEntry::Reading(reading) => Some((Question::Reading, reading.number)),
        LogEntry::Sweep(pair) => Some((Question::Sweep, pair.number)),
        _ => None,
    }
}

/// The question after which an entry sets everything aside.
fn sets_aside_after(entry: &LogEntry) -> Option<Question> {
    match entry {
        LogEntry::Answer(answer) if answer.filter.is_some() => Some(Question::ReferenceConfirmed),
        LogEntry::Answer(answer) => Some(answer.question),
        LogEntry::Caution(caution) => Some(caution.question),
        LogEntry::Reference(_) => Some(Question::Reference),
        LogEntry::Strike(strike) => Some(strike.question),
        LogEntry::Reading(_) | LogEntry::Accept(_) => Some(Question::Reading),
        LogEntry::Explore(_) => Some(Question::Explore),
        LogEntry::Sweep(_) => Some(Question::Sweep),
        LogEntry::Note(_) | LogEntry::Pause(_) | LogEntry::Resume(_) => None,
    }
}

/// Why a reading does not count; empty where it does.
fn remark(fate: Fate<'_>) -> String {
    match fate {
        Fate::Counts => String::new(),
        Fate::Struck(reason) => format!("struck: {reason}"),
        Fate::SetAside(cause) => format!("set aside: {}", cause_says(cause)),
    }
}

fn cause_says(cause: &LogEntry) -> String {
    match cause {
        LogEntry::Answer(answer) => match &answer.filter {
            Some(_) => "the knob was set again".to_owned(),
            None => format!("{} was answered anew", answer.question),
        },
        LogEntry::Caution(caution) => format!("{} was answered anew", caution.question),
        LogEntry::Reference(_) => "the reference was read anew".to_owned(),
        LogEntry::Explore(_) => "the filter was explored anew".to_owned(),
        LogEntry::Strike(strike) => format!("{} {} was struck", strike.question, strike.number),
        _ => "the knob was turned again".to_owned(),
    }
}

/// The corner that a reading says: `27.0 Hz`, `23.1 or 29.4 Hz`, `none`.
fn corner(reading: &ReadingEntry) -> String {
    match (reading.corner_hz, &reading.corners_hz[..]) {
        (Some(corner), _) => show::hertz(corner),
        (None, []) => "none".to_owned(),
        (None, corners) => show::list_or(&corners.iter().copied().map(show::hertz).collect::<Vec<_>>()),
    }
}

/// Every reading while the knob was turned.
pub fn readings_table(record: &Record) -> Table {
    let last = record.accepted_reading().map(|reading| reading.number);
    let row = |reading: &ReadingEntry, fate: Fate<'_>| {
        let is_accepted = Some(reading.number) == last;
        let remark = if is_accepted { "accepted".to_owned() } else { remark(fate) };
        let emphasis = match fate {
            _ if is_accepted => Emphasis::Strong,
            Fate::Counts => Emphasis::Plain,
            Fate::Struck(_) | Fate::SetAside(_) => Emphasis::Faint,
        };
        let cells = vec![
            reading.number.to_string(),
            second(reading.at, record.opened_at),
            reading.typed.clone(),
            show::volts(reading.volts, record.plan.meter_resolution_v),
            down_or_up(reading.down_db),
            corner(reading),
            reading.verdict.to_string(),
            remark,
        ];
        Row { cells, emphasis }
    };
    let rows = record.log.iter().zip(fates(&record.log)).filter_map(|(entry, fate)| match entry {
        LogEntry::Reading(reading) => Some(row(reading, fate)),
        _ => None,
    });
    let headings = ["reading", "time", "typed", "volts", "level", "corner", "verdict", "remark"];
    Table { headings: headings.map(str::to_owned).to_vec(), rows: rows.collect() }
}

/// Every reading at other tones; `None` where there is none.
pub fn pairs_table(record: &Record) -> Option<Table> {
    let step = record.plan.meter_resolution_v;
    let row = |name: &str, pair: &PairEntry, fate: Fate<'_>| {
        let against = against(record, pair);
        let cells = vec![
            format!("{name} {}", pair.number),
            second(pair.at, record.opened_at),
            pair.typed.clone(),
            show::tone(pair.tone_hz),
            show::volts(pair.volts, step),
            show::volts(against, step),
            down_or_up(pair.volts.down_from(against)),
            remark(fate),
        ];
        Row { cells, emphasis: if fate == Fate::Counts { Emphasis::Plain } else { Emphasis::Faint } }
    };
    let rows: Vec<Row> = record
        .log
        .iter()
        .zip(fates(&record.log))
        .filter_map(|(entry, fate)| match entry {
            LogEntry::Explore(pair) => Some(row("explore", pair, fate)),
            LogEntry::Sweep(pair) => Some(row("sweep", pair, fate)),
            _ => None,
        })
        .collect();
    let headings = ["reading", "time", "typed", "tone", "volts", "reference", "level", "remark"];
    (!rows.is_empty()).then(|| Table { headings: headings.map(str::to_owned).to_vec(), rows })
}

/// The reference that a pair is held against: its own, or the session's.
fn against(record: &Record, pair: &PairEntry) -> Volts {
    pair.reference_v.unwrap_or(record.plan.reference_v)
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Happened {
    /// When, as a time of day.
    pub at: String,
    /// What, as a sentence without its full stop.
    pub text: String,
    /// How it stands out.
    pub emphasis: Emphasis,
    /// Whether a table of readings has it too.
    pub is_reading: bool,
    /// Whether it is of the work at the program and not of the filter: answers changed, the session left and taken up.
    pub is_of_typing: bool,
}

/// Everything that happened, in order: readings and references, strikes, answers that were changed, notes, the acceptance.
pub fn happened(record: &Record) -> Vec<Happened> {
    let step = record.plan.meter_resolution_v;
    let last = record.accepted_reading().map(|reading| reading.number);
    let mut before: HashMap<Question, &str> = HashMap::new();
    let last_note = record.log.iter().rposition(is_answer_to_note);
    let mut events = vec![];
    for (place, (entry, fate)) in record.log.iter().zip(fates(&record.log)).enumerate() {
        let why_not = remark(fate);
        let why_not = if why_not.is_empty() { why_not } else { format!(" ({why_not})") };
        let (text, emphasis) = match entry {
            LogEntry::Answer(answer) => match (before.insert(answer.question, &answer.typed), &answer.filter) {
                (_, Some(filter)) => (format!("the knob is set again, for {filter}"), Emphasis::Plain),
                (Some(typed), _) if typed != answer.typed && !answer.question.repeats() => {
                    (format!("{} changed from `{typed}` to `{}`", answer.question, answer.typed), Emphasis::Plain)
                }
                _ => continue,
            },
            LogEntry::Caution(caution) => match caution.question {
                Question::Caution => ("cautions acknowledged".to_owned(), Emphasis::Plain),
                question => (format!("{question}: `{}`, after a caution", caution.typed), Emphasis::Plain),
            },
            LogEntry::Reference(reference) => {
                let filter = reference.mark_hz.map_or_else(
                    || "the filter out".to_owned(),
                    |mark| format!("the filter at its {} mark", show::hertz(mark)),
                );
                let (volts, tone) = (show::volts(reference.volts, step), show::tone(reference.tone_hz));
                let typed = typed(&reference.typed, &volts);
                (format!("reference {volts}{typed} at {tone}, {filter}"), Emphasis::Plain)
            }
            LogEntry::Explore(pair) | LogEntry::Sweep(pair) => {
                let against = against(record, pair);
                let text = format!(
                    "{} {}: {} of {} at {}, {}{why_not}",
                    entry.event(),
                    pair.number,
                    show::volts(pair.volts, step),
                    show::volts(against, step),
                    show::tone(pair.tone_hz),
                    down_or_up(pair.volts.down_from(against))
                );
                (text, Emphasis::Plain)
            }
            LogEntry::Reading(reading) => {
                let is_last = Some(reading.number) == last;
                let volts = show::volts(reading.volts, step);
                let text = format!(
                    "reading {}: {volts}{}, {}, corner {}: {}{why_not}",
                    reading.number,
                    typed(&reading.typed, &volts),
                    down_or_up(reading.down_db),
                    corner(reading),
                    reading.verdict
                );
                let stands_out = if reading.verdict == Verdict::Inside { Emphasis::Good } else { Emphasis::Warn };
                (text, if is_last { stands_out } else { Emphasis::Plain })
            }
            LogEntry::Strike(strike) => {
                (format!("{} {} struck: {}", strike.question, strike.number, strike.reason), Emphasis::Plain)
            }
            LogEntry::Accept(accept) if accept.accepted => ("setting accepted".to_owned(), Emphasis::Strong),
            LogEntry::Accept(_) => ("setting not accepted: back to the knob".to_owned(), Emphasis::Plain),
            LogEntry::Note(note) => (format!("note: {}", note.text), Emphasis::Plain),
            LogEntry::Pause(_) => ("session left".to_owned(), Emphasis::Plain),
            LogEntry::Resume(resume) => {
                let by = match resume.entry {
                    EntryMode::Keyboard => "at the keyboard",
                    EntryMode::Script => "by a script",
                };
                let bytes = show::plural(usize::try_from(resume.dropped_bytes).unwrap_or(usize::MAX), "byte");
                let torn =
                    if resume.dropped_bytes > 0 { format!("; {bytes} of a torn line dropped") } else { String::new() };
                (format!("session taken up again, {by}{torn}"), Emphasis::Plain)
            }
        };
        let emphasis = if fate == Fate::Counts { emphasis } else { Emphasis::Faint };
        let is_reading = listed(entry).is_some();
        let is_replaced = is_answer_to_note(entry) && Some(place) != last_note;
        let is_of_typing = is_replaced
            || matches!(entry, LogEntry::Answer(answer) if answer.filter.is_none())
            || matches!(entry, LogEntry::Pause(_) | LogEntry::Resume(_));
        events.push(Happened { at: second(entry.at(), record.opened_at), text, emphasis, is_reading, is_of_typing });
    }
    events
}

/// A note that answers the question for one: the last of them holds. Others stand beside it.
fn is_answer_to_note(entry: &LogEntry) -> bool {
    matches!(entry, LogEntry::Note(note) if note.question == Question::Note)
}

/// What was typed, where that is more than the volts.
fn typed(typed: &str, volts: &str) -> String {
    let number = |text: &str| text.trim_end_matches('V').trim().to_owned();
    if number(typed) == number(volts) { String::new() } else { format!(" (typed {typed})") }
}
