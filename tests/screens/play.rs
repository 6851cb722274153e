//! Sessions played to where a screen is wanted, and screens held against their snapshots.

use cornerset::quantity::text::visible;
use cornerset::screens::{self, Line, Screen};
use cornerset::session::{Ask, DONE, EntryMode, Known, LogEntry, Moment, NONE, Opened, Question, State};

use crate::common::lines::Lines;
use crate::common::snapshots;

/// The widths that every screen is looked at in.
const WIDTHS: [usize; 2] = [80, 60];

fn moment(seconds: usize) -> Moment {
    let start = chrono::DateTime::parse_from_rfc3339("2026-03-05T09:30:00+01:00").expect("a time");
    Moment::new(start + chrono::TimeDelta::seconds(i64::try_from(seconds).expect("few")))
}

/// A session that was just opened.
pub fn opened() -> State {
    State::new(Opened {
        id: "019cbd1a-7c40-7000-8000-000000000501".to_owned(),
        bench: "sample-bench".to_owned(),
        entry: EntryMode::Keyboard,
        practice: false,
        tool: "cornerset 0.1.0".to_owned(),
        at: moment(0),
    })
}

/// A session after these answers, as a script gives them.
#[track_caller]
pub fn play(lines: &Lines) -> State {
    told(lines, |_, _| {})
}

/// The same, with what was said after every entry.
#[track_caller]
pub fn told(lines: &Lines, mut tell: impl FnMut(&State, &LogEntry)) -> State {
    let mut state = opened();
    let mut take = |state: &mut State, question: Question, typed: &str, default: bool| {
        let at = moment(state.log().len() + 1);
        let entry = state.judge(question, typed, default, at).unwrap_or_else(|refusal| panic!("{question}: {refusal}"));
        state.apply(entry.clone()).expect("an entry that was judged");
        tell(state, &entry);
    };
    for (id, answer) in lines.pairs() {
        let question = Question::from_word(id).expect("a question");
        while let Some(next) = state.next().filter(|next| *next < question) {
            if next == Question::Reading && question == Question::Accept {
                break;
            }
            let begun = state.has_begun(next);
            let default = match state.default_answer(next) {
                Some(_) if next.repeats() => if begun { DONE } else { NONE }.to_owned(),
                Some(default) => default,
                None => panic!("{next} has no default before {id}"),
            };
            take(&mut state, next, &default, true);
        }
        take(&mut state, question, answer, false);
    }
    state
}

/// A question as it comes up in this state.
pub fn ask(state: &State, question: Question) -> Ask {
    Ask { question, default: state.default_answer(question), known: Known::No, revisited: false }
}

/// What is said after the last entry of the log.
pub fn last_news(state: &State, screen: Screen) -> Vec<Line> {
    screens::news(state, state.log().last().expect("an entry"), false, screen)
}

/// The text of a screen; no line is wider than it, or holds what acts on a terminal, or ends with a blank.
#[track_caller]
pub fn text(lines: &[Line], width: usize) -> String {
    for Line { text, .. } in lines {
        // A path and a command are typed as a whole: nobody wraps them.
        let is_whole = ["/", "cornerset ", "ssh-keygen ", "jq ", "sha256:"]
            .iter()
            .any(|whole| text.trim_start().starts_with(whole));
        assert!(text.chars().count() <= width || is_whole, "{width} columns: {text}");
        assert_eq!(visible(text), *text, "nothing that acts");
        assert_eq!(text.trim_end(), text, "no blank at the end");
    }
    lines.iter().map(|line| format!("{}\n", line.text)).collect()
}

/// Several screens under their names, in both widths.
#[track_caller]
pub fn pages(name: &str, draw: impl Fn(Screen) -> Vec<(String, Vec<Line>)>) {
    for width in WIDTHS {
        let mut page = String::new();
        for (title, lines) in draw(Screen::new(width, false)) {
            page.push_str(&format!("== {title}\n{}", text(&lines, width)));
        }
        snapshots().bind(|| insta::assert_snapshot!(format!("screen-{name}-{width}"), page));
        for line in page.lines() {
            // What belongs together: `2026-03-05`, `27.0 +- 0.2 Hz`, `! note`.
            assert!(!line.ends_with('-') && !line.ends_with(" !"), "{width} columns, broken inside: {line}");
        }
    }
}

/// A title and its lines.
pub fn page(title: &str, lines: Vec<Line>) -> (String, Vec<Line>) {
    (title.to_owned(), lines)
}
