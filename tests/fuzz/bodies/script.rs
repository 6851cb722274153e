//! Scripts: a whole session from a script, on a real bench or a simulated one, with every screen and event it leads to.

use cornerset::practice::{Bench, Level};
use cornerset::quantity::text::visible;
use cornerset::session::{Desk, EntryMode, State, Stop, run as lead};
use cornerset::terminal::{Script, ScriptSource, Simulated, Style, Voice};
use serde_json::Value;

use super::{shown, sitting};

/// A script, once for people and once as events. One whose first line is `#practice` works on a simulated bench.
pub fn run(data: &[u8]) {
    if names_a_file(data) {
        return;
    }
    for json in [false, true] {
        session(data, json);
    }
}

/// Whether a driver is given by the name of a file: no input here reaches for a file.
fn names_a_file(data: &[u8]) -> bool {
    String::from_utf8_lossy(data).lines().any(|line| {
        let line = line.trim_start_matches('\u{feff}').trim();
        line.split_once(':').is_some_and(|(word, answer)| {
            word.trim() == "driver" && !answer.contains('=') && !answer.trim().eq_ignore_ascii_case("unknown")
        })
    })
}

fn session(data: &[u8], json: bool) {
    let practice = data.starts_with(b"#practice");
    let bench = if practice { Bench::new(Level::Usual, 7).name() } else { "bench".to_owned() };
    let mut state = State::new(sitting::opened(&bench, practice, EntryMode::Script));
    let voice = Voice::keeping(Style { plain: false, json });
    let simulated = Simulated::of(&state);
    assert_eq!(simulated.is_some(), practice);
    let mut script = Script::new(&voice, ScriptSource::Text(data.to_vec()), true, simulated);
    let (mut clock, mut journal) = (sitting::Ticking::default(), sitting::Held::default());
    let ended =
        lead(&mut state, &mut Desk { operator: &mut script, clock: &mut clock, journal: &mut journal, memory: None });
    let given = String::from_utf8_lossy(data);
    match ended {
        Ok(()) => {
            assert_eq!(state.next(), None);
            if let Some(line) = script.left_over() {
                assert!(line >= 1 && line <= data.split(|byte| *byte == b'\n').count() as u64);
            }
        }
        Err(Stop::Input(why)) => shown::text(&why, &given),
        Err(stop) => panic!("a script in memory stopped: {stop}"),
    }
    said(&voice.said(), json, &given);
    assert!(state.log() == journal.0, "what is kept is what is applied");
    assert_eq!(state.entry_mode(), EntryMode::Script);
    if practice {
        let again = Simulated::of(&state).expect("a bench is taken up again");
        shown::text(&visible(&again.bench().name()), &given);
    }
    // Once is enough: the session is the same.
    if !json {
        sitting::check(&state);
    }
}

fn said(text: &str, json: bool, given: &str) {
    shown::text(text, given);
    if json {
        let events = text.lines().filter(|line| line.starts_with("{\"")).map(serde_json::from_str::<Value>);
        assert!(events.filter(Result::is_ok).count() > 0, "a session has events");
    }
}
