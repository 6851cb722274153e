//! What a learner did at a simulated bench that was not as the session took it: found by making every move again and holding
//! each entry of the log against what the meter showed then.

use std::fmt;

use super::looked::{Filtered, Miss, Needed, Value};
use crate::practice::{Bench, Standing, noted};
use crate::quantity::{Hertz, Volts, show};
use crate::screens::{Fate, fates};
use crate::session::{LogEntry, PairEntry, Question, ReadingEntry, ReferenceEntry, State};

/// A slip is said to be most of an error where less than this share of it is left without the slip, ...
const MOST: f64 = 0.5;
/// ... and the error is worth a word: half a per cent.
const WORTH_A_WORD: f64 = 0.005;
/// A knob that was moved by less of its dial, or by less of its corner, was not moved.
const DIAL: f64 = 0.02;
const CORNER: f64 = 0.01;

/// A slip, and what it did.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// What happened, as a sentence.
    pub what: String,
    /// The corner at which the knob would have been left without it, where that follows.
    pub without: Option<Hertz>,
    /// What is said of that corner, where the slip is most of the error.
    effect: Option<String>,
}

/// As sentences.
impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)?;
        self.effect.as_ref().map_or(Ok(()), |effect| write!(f, " {effect}"))
    }
}

impl Slip {
    pub(super) const fn told(what: String) -> Self {
        Self { what, without: None, effect: None }
    }
}

/// The slips of a session on a simulated bench, the one that did most to the corner first. Those in readings that were struck
/// out, or that count no longer, are left out.
pub fn slips(state: &State) -> Vec<Slip> {
    let Some(told) = Told::of(state) else {
        return vec![];
    };
    let mut slips: Vec<Slip> = [told.reference(), told.readings(), told.knob()].concat();
    slips.iter_mut().for_each(|slip| told.weigh(slip));
    let off = |slip: &Slip| slip.without.map_or(0.0, |corner| (corner.hz() / told.end().hz()).ln().abs());
    slips.sort_by(|one, other| off(other).total_cmp(&off(one)));
    let pairs = told.pairs();
    let answers = super::left::answers(state, told.left());
    // What was read or answered wrongly led to another filter where one was taken; else it did nothing.
    if super::left::filter_is_another(state, told.left()) {
        [pairs, answers, slips].concat()
    } else {
        [slips, pairs, answers].concat()
    }
}

/// The bench at the last reading that counts, and as it was left.
pub(super) fn at_last_reading(state: &State) -> Option<(Bench, Bench)> {
    let told = Told::of(state)?;
    Some((told.read().clone(), told.left().clone()))
}

/// A voltage in the log, and where in the row of looks at the meter it was typed.
struct Entry<'a> {
    entry: &'a LogEntry,
    counts: bool,
    /// The look at the voltage before; for a list the one at the reading or the reference before.
    first: usize,
    last: usize,
}

/// The log with the bench beside it.
struct Told<'a> {
    state: &'a State,
    /// The bench as it was opened, and after each move; the last one is as it was left.
    looks: Vec<Bench>,
    entries: Vec<Entry<'a>>,
    reference: usize,
    /// The last reading that counts.
    last: usize,
    wanted: Hertz,
}

impl<'a> Told<'a> {
    fn of(state: &'a State) -> Option<Self> {
        let mut looks = vec![Bench::from_name(&state.opened().bench)?];
        let (mut entries, mut before, mut list) = (vec![], 0, 0);
        for (entry, fate) in state.log().iter().zip(fates(state.log())) {
            let last = looks.len() - 1;
            let first = match entry {
                LogEntry::Note(note) => {
                    if noted(&note.text).is_some() {
                        let mut bench = looks[last].clone();
                        // A bench of another version is not the one that was sat at: nothing is said of it.
                        if !bench.make_again(&note.text) {
                            return None;
                        }
                        looks.push(bench);
                    }
                    continue;
                }
                LogEntry::Reference(_) | LogEntry::Reading(_) => {
                    list = last;
                    before
                }
                LogEntry::Explore(_) | LogEntry::Sweep(_) => list,
                _ => continue,
            };
            entries.push(Entry { entry, counts: counts(state, fate), first, last });
            before = last;
        }
        let reference = entries.iter().rposition(|one| matches!(one.entry, LogEntry::Reference(_)))?;
        let number = state.last_reading()?.number;
        let last = entries
            .iter()
            .rposition(|one| matches!(one.entry, LogEntry::Reading(reading) if reading.number == number))?;
        let wanted = state.plan()?.inputs.corner.corner();
        Some(Self { state, looks, entries, reference, last, wanted })
    }

    /// The bench as it was left.
    fn left(&self) -> &Bench {
        &self.looks[self.looks.len() - 1]
    }

    fn end(&self) -> Hertz {
        self.left().truth().corner
    }

    /// The bench when an entry was typed.
    fn bench(&self, entry: &Entry<'_>) -> &Bench {
        &self.looks[entry.last]
    }

    fn looks(&self, entry: &Entry<'_>) -> Vec<&Bench> {
        self.looks[entry.first..=entry.last].iter().collect()
    }

    /// The bench at the last reading.
    fn read(&self) -> &Bench {
        self.bench(&self.entries[self.last])
    }

    /// The volume at which the reference was read.
    fn volume(&self) -> u32 {
        self.bench(&self.entries[self.reference]).volume()
    }

    /// Says of a slip that it is most of the error, where it is.
    fn weigh(&self, slip: &mut Slip) {
        let Some(without) = slip.without else { return };
        let off = |corner: Hertz| (corner.hz() / self.wanted.hz()).ln().abs();
        if off(self.end()) >= WORTH_A_WORD && off(without) < MOST * off(self.end()) {
            slip.effect = Some(format!(
                "That is most of the error: without it the knob would stand at {:.1} Hz ({} off).",
                without.hz(),
                show::signed_percent(without.error_against(self.wanted))
            ));
        }
    }

    /// The corner at the end, had the knob been left so at the last reading.
    fn at_the_end(&self, corner: Hertz) -> Hertz {
        corner.times(self.end().hz() / self.read().truth().corner.hz())
    }

    fn reference(&self) -> Vec<Slip> {
        let entry = &self.entries[self.reference];
        let LogEntry::Reference(ReferenceEntry { volts, tone_hz, mark_hz, .. }) = entry.entry else { return vec![] };
        let needed = Needed {
            tone: *tone_hz,
            filter: mark_hz.map_or(Filtered::Out, |mark| Filtered::at_mark(self.bench(entry), mark)),
            volume: self.bench(entry).volume(),
        };
        let value = Value { name: "Reference".to_owned(), volts: *volts, needed, looks: self.looks(entry) };
        let slip = |miss: Miss| {
            // The target would have been another, and the knob turned until the meter showed that.
            let shown = self.read().standing().filter(|standing| standing.corner.is_some());
            let without = shown.and_then(|standing| {
                let right = self.read().expected(standing).volts.times(miss.right.over(*volts));
                self.read().corner_showing(standing, right).map(|corner| self.at_the_end(corner))
            });
            Slip { without, ..Slip::told(miss.what) }
        };
        value.missed().map(slip).into_iter().collect()
    }

    /// The last reading; those before it only where it is right.
    fn readings(&self) -> Vec<Slip> {
        let last: Vec<Slip> = self.reading(self.last).into_iter().collect();
        if !last.is_empty() {
            return last;
        }
        let before = (self.reference..self.last).filter(|at| self.entries[*at].counts);
        before.filter_map(|at| self.reading(at)).map(|slip| Slip { without: None, ..slip }).collect()
    }

    fn reading(&self, at: usize) -> Option<Slip> {
        let entry = &self.entries[at];
        let LogEntry::Reading(ReadingEntry { volts, tone_hz, number, .. }) = entry.entry else { return None };
        let (bench, corner) = (self.bench(entry), self.bench(entry).truth().corner);
        let needed = Needed { tone: *tone_hz, filter: Filtered::In(bench.dial(), corner), volume: self.volume() };
        let value = Value { name: format!("Reading {number}"), volts: *volts, needed, looks: self.looks(entry) };
        let miss = value.missed()?;
        // The knob would have been turned until the meter, rightly read, showed what was typed.
        let standing = Standing { tone: *tone_hz, corner: Some(corner), volume: self.volume() };
        let without = bench.corner_showing(standing, *volts).map(|corner| self.at_the_end(corner));
        Some(Slip { without, ..Slip::told(miss.what) })
    }

    /// The knob as it was left against where it stood at the last reading.
    fn knob(&self) -> Vec<Slip> {
        let (read, end) = (self.read(), self.left());
        if !is_moved(read, end) {
            return vec![];
        }
        let what = format!(
            "Knob: it stood at {} for the last reading and was left at {}.",
            show::figures(read.dial()),
            show::figures(end.dial())
        );
        vec![Slip { without: Some(read.truth().corner), ..Slip::told(what) }]
    }

    fn pairs(&self) -> Vec<Slip> {
        let mut slips = vec![];
        let mut explored: Option<&Bench> = None;
        let mut accepted: Option<&Bench> = None;
        for entry in &self.entries {
            match entry.entry {
                LogEntry::Reading(_) => accepted = Some(self.bench(entry)),
                LogEntry::Explore(pair) if entry.counts => {
                    let place = self.place(entry, pair);
                    slips.extend(self.pair("Explore", entry, pair, explored, "for the first tone"));
                    explored.get_or_insert(place);
                }
                LogEntry::Sweep(pair) if entry.counts => {
                    slips.extend(self.pair("Sweep", entry, pair, accepted, "for the accepted reading"));
                }
                _ => {}
            }
        }
        slips
    }

    /// Where the knob stood while the filter was read: where it stands at its mark for a reference, where it stood before.
    fn place(&self, entry: &Entry<'_>, pair: &PairEntry) -> &Bench {
        let Some(mark) = self.state.mark().filter(|_| pair.reference_v.is_some()) else {
            return self.bench(entry);
        };
        let dial = Filtered::mark_on_dial(self.bench(entry), mark.at);
        let at_mark = |bench: &Bench| (bench.dial() - dial).abs() <= DIAL;
        if !at_mark(self.bench(entry)) {
            return self.bench(entry);
        }
        self.looks(entry).into_iter().rev().find(|bench| !at_mark(bench)).unwrap_or_else(|| self.bench(entry))
    }

    /// A reading at another tone, its own reference, and the knob, which should be where it was.
    fn pair(&self, list: &str, entry: &Entry<'_>, pair: &PairEntry, before: Option<&Bench>, when: &str) -> Vec<Slip> {
        let place = self.place(entry, pair);
        let name = format!("{list} {} at {}", pair.number, show::tone(pair.tone_hz));
        let volume = if pair.reference_v.is_some() { self.bench(entry).volume() } else { self.volume() };
        let filter = Filtered::In(place.dial(), place.truth().corner);
        let needed = Needed { tone: pair.tone_hz, filter, volume };
        let volts = Value { name: name.clone(), volts: pair.volts, needed, looks: self.looks(entry) }.missed();
        let reference = pair.reference_v.and_then(|volts| self.own_reference(&name, volts, needed, entry));
        let moved = before.filter(|before| is_moved(before, place)).map(|before| {
            format!(
                "{name}: the knob stood at {}, {when} at {}.",
                show::figures(place.dial()),
                show::figures(before.dial())
            )
        });
        [volts, reference].into_iter().flatten().map(|miss| miss.what).chain(moved).map(Slip::told).collect()
    }

    fn own_reference(&self, name: &str, volts: Volts, needed: Needed, entry: &Entry<'_>) -> Option<Miss> {
        let filter = self.state.mark().map_or(Filtered::Out, |mark| Filtered::at_mark(self.bench(entry), mark.at));
        // The session's reference is what is often typed again.
        let looks = [vec![self.bench(&self.entries[self.reference])], self.looks(entry)].concat();
        let name = format!("{name}, its reference");
        Value { name, volts, needed: Needed { filter, ..needed }, looks }.missed()
    }
}

/// Whether an entry counts, or led to the filter that the knob was set again for.
fn counts(state: &State, fate: Fate<'_>) -> bool {
    match fate {
        Fate::Counts => true,
        Fate::Struck(_) => false,
        Fate::SetAside(LogEntry::Answer(answer)) => {
            answer.question == Question::SetAgain
                && answer.filter.is_some()
                && state.found().is_some_and(|found| answer.filter == Some(found.alignment.to_string()))
        }
        Fate::SetAside(_) => false,
    }
}

/// Whether the knob was moved between two looks, by so much of a corner that it shows.
fn is_moved(one: &Bench, other: &Bench) -> bool {
    let share = (one.truth().corner.hz() / other.truth().corner.hz()).ln().abs();
    (one.dial() - other.dial()).abs() > DIAL && share > CORNER
}
