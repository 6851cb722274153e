//! Records on a screen, and lists of them.

use cornerset::audit::{SignatureStanding, Standing};
use cornerset::record::{ChainLink, Record};
use cornerset::screens::{self, Line, ListedRecord, Listing, Screen};
use cornerset::session::{EntryMode, LogEntry, PauseEntry, Question, ResumeEntry, State};

use crate::common::lines::Lines;
use crate::common::samples::{by_name, sample, standings, with_signature};
use crate::play::{page, pages, play, text};

const PATH: &str = "/shop/records/2026/019cbd1a-7c40-7000-8000-000000000501.json";

fn shown(record: &Record, standing: &Standing, screen: Screen) -> Vec<Line> {
    screens::record(record, standing, Some(PATH), screen)
}

/// The record of a session that was played.
fn of(lines: &Lines) -> Record {
    Record::of(&play(lines), ChainLink { sequence: 12, previous: None }).expect("a complete session")
}

#[test]
fn samples() {
    let names = ["plain", "wrong-label", "filter-stays-in", "cone-decides", "accepted-outside", "unknown-family"];
    pages("record", |screen| names.map(|name| page(name, shown(&sample(name), &by_name(), screen))).to_vec());
}

/// What a session may hold besides: a tuning that was changed, pauses, another name, a second-order filter, a practice
/// record that was altered.
#[test]
fn unusual_records() {
    let mut left = of(&Lines::required().with("note", "two boxes, one port each").with("sign-off", "B. Sample"));
    let at = left.log[10].at();
    let resume = ResumeEntry { at, entry: EntryMode::Keyboard, dropped_bytes: 87 };
    left.log.splice(10..10, [LogEntry::Pause(PauseEntry { at }), LogEntry::Resume(resume)]);
    let q = || Lines::required().with("slope", "12").with("family", "second-order").with("q", "1.2");
    let two = of(&q().with("reading", "8.5").with("reason", "the knob is at its stop"));
    let hazard = of(&Lines::required().with("reference", "36").with("reading", "25.4").with("tolerance", "0.5 dB"));
    let mut practice = of(&Lines::required().with("reading", "5.93").with("reason", "as near as it gets"));
    practice.practice = true;
    let altered = Standing {
        altered: vec!["Its digest is that of other bytes.".to_owned(), "The record after it names another.".to_owned()],
        signature: SignatureStanding::None,
    };
    pages("record-unusual", |screen| {
        vec![
            page("left, and signed by another", shown(&left, &by_name(), screen)),
            page("two corners", shown(&two, &by_name(), screen)),
            page("a high reference", shown(&hazard, &by_name(), screen)),
            page("practice, borderline and altered", shown(&practice, &altered, screen)),
        ]
    });
}

/// Only what speaks against a signature stands at the head.
#[test]
fn signatures() {
    let record = with_signature(of(&Lines::required()));
    pages("record-signed", |screen| {
        standings()
            .into_iter()
            .map(|(name, signature)| {
                let lines = shown(&record, &Standing { altered: vec![], signature }, screen);
                let texts = |line: &&Line| !line.text.is_empty();
                let head: Vec<Line> = lines.iter().take_while(texts).cloned().collect();
                let foot = lines.iter().rposition(|line| line.text.starts_with("Signed off")).expect("a sign-off");
                let is_short = ["trusted", "no list", "not checked"].contains(&name);
                assert_eq!(head.iter().all(|line| !line.text.starts_with("!!")), is_short, "{name}");
                page(name, [&head[..], &lines[foot..]].concat())
            })
            .collect()
    });
}

/// The commands to check a record hold nothing of it that a shell would act on.
#[test]
fn commands_are_safe_to_type() {
    let mut record = with_signature(sample("plain"));
    record.id = "$(touch x); 'y'".to_owned();
    record.sign_off.name = "a $(touch x) b'c".to_owned();
    let lines = screens::record(&record, &by_name(), None, Screen::new(80, false));
    let commands: Vec<&str> = lines
        .iter()
        .map(|line| line.text.trim())
        .filter(|line| line.starts_with("cornerset ") || line.starts_with("ssh-keygen "))
        .collect();
    assert_eq!(
        commands,
        [
            r"cornerset records canonical '$(touch x); '\''y'\''' > record.bytes",
            r"ssh-keygen -Y verify -f allowed_signers -I a-touch-x-b-c -n cornerset-record -s record.sig < record.bytes",
        ]
    );
}

/// An answer that a person gives.
#[track_caller]
fn answer(state: &mut State, question: Question, typed: &str) {
    let at = state.log().last().expect("an entry").at();
    let entry = state.judge(question, typed, false, at).unwrap_or_else(|refusal| panic!("{question}: {refusal}"));
    state.apply(entry).expect("an entry that was judged");
}

/// The defaults of everything before this question.
fn by_default_to(state: &mut State, question: Question) {
    while let Some(next) = state.next().filter(|next| *next < question && *next != Question::Reading) {
        let default = match next {
            Question::Caution => "understood".to_owned(),
            Question::Slope => "24".to_owned(),
            next => state.default_answer(next).unwrap_or_else(|| panic!("{next} has no default")),
        };
        answer(state, next, &default);
    }
}

/// What counts on the screen is what counted in the session, which the session itself knows best.
#[test]
fn what_counts_is_what_counted_in_the_session() {
    use cornerset::screens::{Fate, fates};
    let cases = [
        Lines::required(),
        Lines::required().and("reading", "5.70").and("reading", "strike 1 mistyped").and("reading", "5.66"),
        Lines::required().with("sweep", "14=0.58/8").and("sweep", "20=2.31/8").and("sweep", "strike 1 the level moved"),
    ];
    for lines in cases {
        let state = play(&lines);
        let counting = |list: Question| {
            let log = state.log();
            log.iter()
                .zip(fates(log))
                .filter(|(entry, fate)| *fate == Fate::Counts && entry.event() == list.word())
                .count()
        };
        let (first, last) = state.counting_readings().expect("readings");
        let struck =
            state.readings().iter().filter(|taken| taken.struck && (first..=last).contains(&taken.number)).count();
        assert_eq!(counting(Question::Reading), (last - first) as usize + 1 - struck, "{lines:?}");
        assert_eq!(counting(Question::Sweep), state.swept().len(), "{lines:?}");
        let accepted = state.last_reading().map(|taken| taken.number);
        assert_eq!(of(&lines).accepted_reading().map(|reading| reading.number), accepted, "{lines:?}");
        let counts = fates(state.log()).into_iter().zip(state.log()).rev().find_map(|(fate, entry)| match entry {
            LogEntry::Reading(reading) if fate == Fate::Counts => Some(reading.number),
            _ => None,
        });
        assert_eq!(counts, accepted, "{lines:?}");
    }
    // Another tuning after two readings sets both aside; those after it count, and so does the sweep after the last of them.
    let mut state = play(&Lines::required().and("reading", "5.70").before("accept"));
    answer(&mut state, Question::Tuning, "40 Hz");
    assert!(state.counting_readings().is_none());
    assert!(fates(state.log()).iter().all(|fate| matches!(fate, Fate::Counts | Fate::SetAside(_))));
    let set_aside = |state: &State| fates(state.log()).iter().filter(|fate| matches!(fate, Fate::SetAside(_))).count();
    assert_eq!(set_aside(&state), 2);
    for (question, typed) in [(Question::Reference, "8.00"), (Question::Reading, "5.70"), (Question::Accept, "yes")] {
        by_default_to(&mut state, question);
        answer(&mut state, question, typed);
    }
    answer(&mut state, Question::Sweep, "20=1.45/8");
    assert_eq!((state.counting_readings(), state.swept().len(), set_aside(&state)), (Some((3, 3)), 1, 2));
    answer(&mut state, Question::Reading, "5.66");
    assert_eq!((state.counting_readings(), state.swept().len(), set_aside(&state)), (Some((3, 4)), 0, 3));
    // One that was set again: only what was read after the knob was set again counts.
    let record = sample("wrong-label");
    let set_aside = fates(&record.log).iter().filter(|fate| matches!(fate, Fate::SetAside(_))).count();
    assert_eq!((set_aside, record.accepted_reading().map(|reading| reading.number)), (3, Some(4)));
}

#[test]
fn lists() {
    let row = ListedRecord {
        id: "01a213ba-2d36",
        closed_at: "2026-11-25",
        job: "Work order 0417, van",
        technician: "B. Sample",
        amplifier: "Bench amplifier 5",
        corner: "27.0 Hz",
        verdict: "inside",
        standing: Listing::Signed,
    };
    let rows = [
        row,
        ListedRecord { corner: "26.88 Hz", verdict: "borderline", standing: Listing::ByName, ..row },
        ListedRecord {
            id: "01a213ba-2d36-73ac",
            job: "Work order 0502, the estate car with the two boxes behind the rear seat",
            technician: "A technician with a name that is rather long",
            corner: "none",
            verdict: "above",
            standing: Listing::Altered,
            ..row
        },
        ListedRecord { job: "\u{1b}[31mred", technician: "\u{202e}", amplifier: "東京".repeat(30).leak(), ..row },
    ];
    pages("records", |screen| {
        vec![
            page("several", screens::records_list(&rows, screen)),
            page("one", screens::records_list(&rows[..1], screen)),
            page("none", screens::records_list(&[], screen)),
        ]
    });
}

/// Every text of a record, hostile: nothing acts, and no line is wider than the screen.
#[test]
fn hostile_text_is_harmless() {
    let mut record = with_signature(sample("plain"));
    let hostile = "\u{1b}]0;x\u{7}\u{202e}\n".repeat(12);
    for field in [
        &mut record.job,
        &mut record.technician,
        &mut record.bench,
        &mut record.tool,
        &mut record.amplifier.name,
        &mut record.meter.name,
        &mut record.sign_off.name,
        &mut record.sign_off.statement,
    ] {
        field.clone_from(&hostile);
    }
    record.plan.warnings.push(hostile.clone());
    (record.outcome.reason, record.enclosure.driver) = (Some(hostile.clone()), Some(hostile.clone()));
    for entry in &mut record.log {
        match entry {
            LogEntry::Reading(reading) => reading.typed.clone_from(&hostile),
            LogEntry::Note(note) => note.text.clone_from(&hostile),
            LogEntry::Reference(reference) => reference.typed.clone_from(&hostile),
            _ => {}
        }
    }
    let standing = Standing {
        altered: vec![hostile.clone()],
        signature: SignatureStanding::OtherName { fingerprint: "SHA256:x".to_owned(), principals: hostile },
    };
    for width in [40, 60, 80] {
        text(&shown(&record, &standing, Screen::new(width, false)), width);
    }
}
