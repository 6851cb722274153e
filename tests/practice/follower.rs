//! Someone who knows only the sheet and what the session says, and does just that.

use cornerset::meter::{AcceptZone, Verdict};
use cornerset::practice::{Bench, Level, Move, note};
use cornerset::quantity::{Hertz, ranges, show};
use cornerset::session::{Advice, EntryMode, LogEntry, Moment, NoteEntry, Opened, Question, State};

/// The reference that is brought up with the volume: low, and far from the end of the range.
const REFERENCE: f64 = 7.5;
/// Turns of the knob at one setting, before the best one is taken.
const MOST_TURNS: usize = 14;
/// Turns that are tried on after a borderline reading.
const BORDERLINE_TURNS: usize = 3;
/// Tones of one list, more than the session ever names.
const MOST_TONES: usize = 6;
/// So often the knob is set again.
const MOST_AGAIN: usize = 3;

/// How the sweep is done where the filter cannot be taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Check {
    /// As the screens ask: with the session's reference, and with references at the mark only where the first readings do
    /// not confirm the filter.
    AsAsked,
    /// With a reference at the mark for every tone.
    OwnReferences,
}

/// What came out.
#[derive(Debug, Clone)]
pub struct Ended {
    pub seed: u64,
    /// Error of the true corner in per cent, by the session and by the plain rule.
    pub error: f64,
    pub plain: f64,
    /// Readings typed while the knob was turned to the target, and all turns of it.
    pub readings: usize,
    pub turns: usize,
    /// Whether the session and the truth agree on the filter.
    pub filter_found: bool,
    pub verdict: Verdict,
    pub confirmed: Option<bool>,
    /// Refused answers, in words.
    pub refused: Vec<String>,
}

pub struct Follower {
    pub bench: Bench,
    pub state: State,
    pub refused: Vec<String>,
    readings: usize,
    own_references: bool,
    /// Tones that were read beyond those named, because the screen said that one more tells more.
    more: usize,
}

fn at() -> Moment {
    Moment::new(chrono::DateTime::from_timestamp(1_790_000_000, 0).unwrap().fixed_offset())
}

impl Follower {
    pub fn new(level: Level, seed: u64, check: Check) -> Self {
        let opened = Opened {
            id: "01900000-0000-7000-8000-000000000000".to_owned(),
            bench: Bench::new(level, seed).name(),
            entry: EntryMode::Keyboard,
            practice: true,
            tool: "test".to_owned(),
            at: at(),
        };
        let bench = Bench::new(level, seed);
        let own_references = bench.sheet().has_switch || check == Check::OwnReferences;
        Self { bench, state: State::new(opened), refused: vec![], readings: 0, own_references, more: 0 }
    }

    /// Types an answer; whether it was taken.
    pub fn give(&mut self, question: Question, typed: &str) -> bool {
        match self.state.judge(question, typed, false, at()) {
            Ok(entry) => {
                self.state.apply(entry).unwrap();
                true
            }
            Err(refusal) => {
                self.refused.push(refusal.to_string());
                false
            }
        }
    }

    /// Makes a move, and keeps it as a session does.
    pub fn make(&mut self, a_move: Move) {
        self.bench.make(a_move).unwrap_or_else(|refusal| panic!("{refusal}"));
        let text = note(a_move, &self.bench.shown());
        self.state.apply(LogEntry::Note(NoteEntry { at: at(), question: Question::Reading, text })).unwrap();
    }

    /// What the meter shows, as it would be typed.
    pub fn read(&self) -> String {
        let shown = self.bench.shown();
        let number = |text: &String| text.parse::<f64>().unwrap_or_else(|_| panic!("{text}"));
        let by_value = |one: &&String, other: &&String| number(one).total_cmp(&number(other));
        let (low, high) = (shown.iter().min_by(by_value).unwrap(), shown.iter().max_by(by_value).unwrap());
        if number(low) < number(high) { format!("{low}..{high}") } else { low.clone() }
    }

    fn middle(&self) -> f64 {
        let shown = self.bench.shown();
        shown.iter().map(|text| text.parse::<f64>().unwrap_or(f64::INFINITY)).sum::<f64>() / shown.len() as f64
    }

    /// The filter out, or at its lowest mark; what it comes back to.
    pub fn take_out(&mut self) {
        self.make(if self.bench.sheet().has_switch { Move::Out } else { Move::Turn(0.0) });
    }

    fn put_back(&mut self, dial: f64) {
        self.make(if self.bench.sheet().has_switch { Move::In } else { Move::Turn(dial) });
    }

    /// The volume at which the meter shows a low, round reading.
    pub fn bring_up(&mut self) {
        let mut step = 0;
        self.make(Move::Volume(step));
        while self.middle() < REFERENCE && f64::from(step) < ranges::VOLUME_STEP.high {
            step += 1;
            self.make(Move::Volume(step));
        }
        self.make(Move::Volume(step.saturating_sub(1)));
    }

    /// The tone nearest to one that is asked for which the source has and which was not read yet.
    fn another_tone(&self, asked: Hertz, read: &[Hertz]) -> Option<Hertz> {
        let Some(list) = self.bench.sheet().tones.list() else { return Some(asked) };
        let away = |tone: &Hertz| (tone.hz() / asked.hz()).ln().abs();
        let fresh = list.into_iter().filter(|tone| read.iter().all(|other| (tone.hz() / other.hz()).ln().abs() > 0.02));
        fresh.min_by(|one, other| away(one).total_cmp(&away(other)))
    }

    /// What the sheet says to a question.
    fn sheet_says(&self, question: Question) -> Option<String> {
        let sheet = self.bench.sheet();
        let spec = sheet.meter.spec;
        Some(match question {
            Question::Job => "practice".to_owned(),
            Question::Technician | Question::SignOff => "A. Sample".to_owned(),
            Question::Amplifier => sheet.amplifier.clone(),
            Question::MeterAccuracy => show::percent(spec.accuracy),
            Question::MeterDigits => spec.digits.to_string(),
            Question::MeterResolution => format!("{} V", spec.resolution.volts()),
            Question::Tuning => show::full_hertz(sheet.tuning),
            Question::Slope => sheet.label.slope.db_per_octave().to_string(),
            Question::Family => sheet.label.family.map_or("unknown", |family| family.word()).to_owned(),
            Question::Q => sheet.label.q?.to_string(),
            Question::Bypass => if sheet.has_switch { "yes" } else { "no" }.to_owned(),
            Question::ReferenceMark => show::full_hertz(sheet.lowest_mark().corner),
            Question::MarkUncertainty => show::percent(sheet.mark_tolerance),
            Question::RangeHeld => if sheet.meter.range_held { "yes" } else { "no" }.to_owned(),
            Question::Caution => "understood".to_owned(),
            Question::ReferenceConfirmed => "yes".to_owned(),
            Question::Reason => "as near as it can be set".to_owned(),
            _ => return self.state.default_answer(question),
        })
    }

    /// The setting tone: the nearest to the default that the session takes.
    fn answer_tone(&mut self) {
        let wanted = Hertz::new(ranges_tone(&self.state.default_answer(Question::Tone).unwrap()));
        let mut tone = self.bench.sheet().tones.nearest(wanted);
        while !self.give(Question::Tone, &show::full_hertz(tone)) {
            let list = self.bench.sheet().tones.list().expect("any tone would have been taken");
            tone = list.into_iter().rev().find(|lower| *lower < tone).expect("a lower tone");
        }
    }

    /// Exploring: the knob in mid-travel, each tone with its own reference.
    fn explore(&mut self) {
        const MIDDLE: f64 = 5.0;
        let mut read = vec![];
        let mut nothing_at = None;
        while let (Advice::Play(proposal), true) = (self.state.advice(Question::Explore), read.len() < MOST_TONES) {
            // Where nothing at all is left of a tone, a higher one it is.
            let asked = nothing_at.map_or(proposal.tone, |tone: Hertz| tone.times(2.0));
            let Some(tone) = self.another_tone(asked, &read) else { break };
            self.make(Move::Play(tone));
            self.take_out();
            if read.is_empty() {
                self.bring_up();
            }
            let reference = self.read();
            self.put_back(MIDDLE);
            self.make(Move::Turn(MIDDLE));
            let volts = self.read();
            read.push(tone);
            let is_taken = self.give(Question::Explore, &format!("{}={volts}/{reference}", tone.hz()));
            nothing_at = Some(tone).filter(|_| !is_taken);
        }
        self.give(Question::Explore, "done");
    }

    fn reference(&mut self) -> bool {
        let tone = self.state.tone().unwrap();
        self.make(Move::Play(tone));
        self.take_out();
        self.bring_up();
        let reference = self.read();
        self.give(Question::Reference, &reference)
    }

    /// Where the prints say that a corner is.
    fn by_prints(&self, wanted: Hertz) -> f64 {
        let prints = &self.bench.sheet().prints;
        let pair = prints.windows(2).find(|pair| pair[1].corner >= wanted).unwrap();
        let share = (wanted.hz() / pair[0].corner.hz()).ln() / (pair[1].corner.hz() / pair[0].corner.hz()).ln();
        pair[0].dial + share.max(0.0) * (pair[1].dial - pair[0].dial)
    }

    /// Turns until the session says to leave it: the first time by the prints, then by the share of the last turn that is
    /// left; with one reading only by the prints' spacing.
    fn turn(&mut self) {
        let wanted = self.state.plan().unwrap().inputs.corner.corner();
        let mut dial = if self.state.found().is_some() { self.bench.dial() } else { self.by_prints(wanted) };
        let slope = {
            let prints = &self.bench.sheet().prints;
            (prints[4].corner.hz() / prints[0].corner.hz()).ln() / 10.0
        };
        // Where the knob stood, and how far it was off in octaves (natural ones).
        let mut past: Vec<(f64, f64)> = vec![];
        let mut borderline: Vec<(f64, f64)> = vec![];
        for _ in 0..MOST_TURNS {
            self.put_back(dial);
            self.make(Move::Turn(dial));
            let typed = self.read();
            if !self.give(Question::Reading, &typed) {
                dial = (dial - 1.0).max(0.0);
                continue;
            }
            self.readings += 1;
            let judged = self.state.last_reading().unwrap().judged;
            let target = self.state.plan().unwrap().setting.target;
            match judged.verdict {
                Verdict::Inside => return,
                Verdict::Borderline => {
                    borderline.push((self.bench.dial(), judged.reading.volts.over(target).ln().abs()));
                    if judged.accept == AcceptZone::Empty || borderline.len() > BORDERLINE_TURNS {
                        break;
                    }
                }
                Verdict::Above | Verdict::Below => {}
            }
            let here = self.bench.dial();
            let Some(corner) = judged.corners.single() else {
                // Too little is taken off: up it is.
                dial = (here + 1.0).min(10.0);
                continue;
            };
            let off = (wanted.hz() / corner.hz()).ln();
            let rate = past
                .last()
                .filter(|(before, _)| (before - here).abs() > 0.005)
                .map(|(before, was_off)| (was_off - off) / (here - before))
                .filter(|rate| *rate > slope / 10.0)
                .unwrap_or(slope);
            past.push((here, off));
            let step = (off / rate).clamp(-3.0, 3.0);
            dial = (here + step).clamp(0.0, 10.0);
        }
        // Back to the best of them.
        if let Some((best, _)) = borderline.into_iter().min_by(|one, other| one.1.total_cmp(&other.1))
            && self.bench.dial() != best
        {
            self.make(Move::Turn(best));
            let typed = self.read();
            self.give(Question::Reading, &typed);
        }
    }

    /// The check: the knob stays; a reference of its own for each tone where the filter can be taken out. Where it cannot
    /// and the readings do not confirm the filter, the screen asks for references at the mark before they are believed.
    fn sweep(&mut self) {
        let mut read: Vec<(Hertz, String)> = vec![(self.state.tone().unwrap(), String::new())];
        let dial = self.bench.dial();
        while let (Advice::Play(proposal), true) = (self.state.advice(Question::Sweep), read.len() <= MOST_TONES) {
            let tones: Vec<Hertz> = read.iter().map(|(tone, _)| *tone).collect();
            let Some(tone) = self.another_tone(proposal.tone, &tones) else { break };
            self.make(Move::Play(tone));
            let volts = self.read();
            read.push((tone, volts.clone()));
            let reference = self.own_references.then(|| self.reference_here(dial));
            let reference = reference.map_or(String::new(), |reference| format!("/{reference}"));
            self.give(Question::Sweep, &format!("{}={volts}{reference}", tone.hz()));
        }
        if !self.own_references && self.state.sweep().confirmed() != Some(true) && read.len() > 1 {
            let first = self.sweep_number();
            for (place, (tone, volts)) in read.iter().skip(1).enumerate() {
                self.make(Move::Play(*tone));
                let reference = self.reference_here(dial);
                self.give(Question::Sweep, &format!("strike {} no reference of its own", first + place as u32));
                self.give(Question::Sweep, &format!("{}={volts}/{reference}", tone.hz()));
            }
        }
        self.make(Move::Play(self.state.tone().unwrap()));
        self.give(Question::Sweep, if read.len() > 1 { "done" } else { "none" });
    }

    /// Where the screen says that one more tone tells more, one is read; whether it was.
    fn one_more_tone(&mut self) -> bool {
        const MOST_MORE: usize = 2;
        let Some((found, plan)) = self.state.refitted() else { return false };
        if found.others.is_empty() || self.more >= MOST_MORE {
            return false;
        }
        self.more += 1;
        let tones: Vec<Hertz> = self.state.swept().iter().map(|pair| pair.tone).chain([plan.inputs.tone]).collect();
        let octave_lower = plan.inputs.tone.times(0.5);
        let Some(tone) = self.another_tone(octave_lower, &tones) else { return false };
        let dial = self.bench.dial();
        self.make(Move::Play(tone));
        let volts = self.read();
        let reference = self.reference_here(dial);
        self.make(Move::Play(plan.inputs.tone));
        self.give(Question::Sweep, &format!("{}={volts}/{reference}", tone.hz()))
    }

    /// What the meter shows at this tone with the filter out or at its mark; the knob comes back.
    fn reference_here(&mut self, dial: f64) -> String {
        self.take_out();
        let reference = self.read();
        self.put_back(dial);
        reference
    }

    /// The number of the first reading of the sweep that stands.
    fn sweep_number(&self) -> u32 {
        let numbers: Vec<u32> = self
            .state
            .log()
            .iter()
            .filter_map(|entry| match entry {
                LogEntry::Sweep(pair) => Some(pair.number),
                _ => None,
            })
            .collect();
        numbers.last().unwrap() + 1 - self.state.swept().len() as u32
    }

    /// Answers by the sheet up to the reference, with nothing explored.
    pub fn prepare(&mut self) {
        self.prepare_until(Question::Reference);
    }

    /// Answers by the sheet up to a question.
    pub fn prepare_until(&mut self, last: Question) {
        while let Some(question) = self.state.next().filter(|question| *question != last) {
            match question {
                Question::Tone => self.answer_tone(),
                Question::Explore => {
                    self.give(Question::Explore, "done");
                }
                question => {
                    let again = self.state.default_answer(question);
                    let typed = self.sheet_says(question).or(again).unwrap_or_else(|| panic!("{question}"));
                    assert!(self.give(question, &typed), "{question}: {:?}", self.refused);
                }
            }
        }
    }

    fn go(&mut self) {
        let (mut again, mut tries) = (0, 0);
        while let Some(question) = self.state.next() {
            tries += 1;
            if tries > 80 {
                break;
            }
            match question {
                Question::Tone => self.answer_tone(),
                Question::Explore => self.explore(),
                Question::Reference => {
                    if !self.reference() {
                        // The exploring readings fit no filter: the usual one is taken.
                        self.give(Question::Family, "butterworth");
                    }
                }
                Question::Reading => {
                    self.turn();
                    self.give(Question::Accept, "yes");
                }
                Question::Sweep => self.sweep(),
                Question::SetAgain if self.one_more_tone() => {}
                Question::SetAgain => {
                    again += 1;
                    self.give(Question::SetAgain, if again <= MOST_AGAIN { "yes" } else { "no" });
                }
                question => {
                    let typed = self.sheet_says(question).unwrap_or_else(|| panic!("{question}"));
                    if !self.give(question, &typed) {
                        break;
                    }
                }
            }
        }
    }

    fn ended(self) -> Ended {
        let wanted = self.bench.sheet().wanted();
        let truth = self.bench.truth();
        let set_by = self.state.plan().map(|plan| plan.inputs.alignment);
        Ended {
            seed: self.bench.seed(),
            error: truth.error(wanted).percent(),
            plain: self.bench.plain_rule(wanted).error(wanted).percent(),
            readings: self.readings,
            turns: truth.turns,
            filter_found: set_by == Some(truth.alignment),
            verdict: self.state.last_reading().map_or(Verdict::Above, |taken| taken.judged.verdict),
            confirmed: self.state.sweep().confirmed(),
            refused: self.refused,
        }
    }
}

fn ranges_tone(text: &str) -> f64 {
    text.trim_end_matches(" Hz").parse().unwrap()
}

/// Follows the session through a bench.
pub fn follow(level: Level, seed: u64, check: Check) -> Ended {
    followed(level, seed, check).ended()
}

/// Someone who has followed it to its end.
pub fn followed(level: Level, seed: u64, check: Check) -> Follower {
    let mut follower = Follower::new(level, seed, check);
    follower.go();
    follower
}
