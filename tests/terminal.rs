//! The guided session at a terminal: what a person types, what the screen shows, and what is left when it all stops.

mod common;

use std::io::Write;
use std::path::Path;

use common::pty::{CTRL_C, CTRL_D, CTRL_Z, ENTER, Prompt, Terminal, Window};
use common::{Shop, read_json};
use serde_json::Value;

/// A whole session: the questions in their order and what is typed; nothing is Enter alone.
const SESSION: [(&str, &str); 29] = [
    ("job", "Work order 0412, estate car"),
    ("technician", "A. Sample"),
    ("amplifier", "Bench amplifier 2"),
    ("meter", "Meter 3"),
    ("meter-accuracy", ""),
    ("meter-digits", ""),
    ("meter-resolution", ""),
    ("tuning", "36 Hz"),
    ("slope", "24"),
    ("family", ""),
    ("rule", ""),
    ("bypass", ""),
    ("tone", ""),
    ("tolerance", ""),
    ("range-held", ""),
    ("caution", "understood"),
    ("gain", ""),
    ("reference", "8.00"),
    ("reading", "7.02"),
    ("reading", "6.21"),
    ("reading", "5.64..5.68"),
    ("reading", ""),
    ("accept", "yes"),
    ("sweep", "20 = 2.29 / 8.03"),
    ("sweep", "38 = 7.75 / 7.98"),
    ("sweep", ""),
    ("dial-mark", "28 Hz"),
    ("note", "knob marked with a paint dot"),
    ("sign-off", "A. Sample"),
];

const READINGS: [&str; 3] = ["7.02", "6.21", "5.64..5.68"];

fn window(shop: &Shop) -> Window<'_> {
    Window::new(shop, 80, 24)
}

fn narrow(shop: &Shop) -> Window<'_> {
    Window::new(shop, 60, 24)
}

/// What the session types where a question comes up for the first time.
fn usual(word: &str) -> &'static str {
    SESSION.iter().find(|(question, _)| *question == word).map_or("", |(_, typed)| typed)
}

/// Answers as usual until this question waits for its answer: the questions that were asked before it.
#[track_caller]
fn lead_to(terminal: &mut Terminal, word: &str) -> Vec<String> {
    let mut asked = vec![];
    loop {
        let prompt = terminal.prompt();
        if prompt.word == word {
            return asked;
        }
        assert!(asked.len() < 60, "{word} never came up\n{}", terminal.everything());
        terminal.type_line(usual(&prompt.word));
        asked.push(prompt.word);
    }
}

/// Takes readings, and answers as usual from there to the end.
#[track_caller]
fn finish(terminal: &mut Terminal, readings: &[&str]) {
    lead_to(terminal, "reading");
    for reading in readings {
        terminal.answer("reading", reading);
    }
    for (word, text) in [("reading", ""), ("accept", "yes"), ("sweep", "")] {
        terminal.answer(word, text);
    }
    // A dial that had no print last time is not asked about again.
    if terminal.prompt().word == "dial-mark" {
        terminal.type_line("");
    }
    for (word, text) in [("note", ""), ("sign-off", "A. Sample")] {
        terminal.answer(word, text);
    }
}

/// Every entry of one kind in a record's log.
fn entries<'a>(record: &'a Value, event: &str) -> Vec<&'a Value> {
    record["log"].as_array().expect("a log").iter().filter(|entry| entry["event"] == event).collect()
}

fn typed(record: &Value, event: &str) -> Vec<String> {
    entries(record, event).iter().map(|entry| entry["typed"].as_str().expect("as typed").to_owned()).collect()
}

/// The id of the only open session.
fn open_session(shop: &Shop) -> String {
    let journals = shop.journals();
    assert_eq!(journals.len(), 1, "{journals:?}");
    journals[0].file_stem().expect("a name").to_string_lossy().into_owned()
}

/// The readings in a journal, as typed.
fn journal_readings(journal: &Path) -> Vec<String> {
    let text = std::fs::read_to_string(journal).expect("a journal");
    text.match_indices(r#""event":"reading""#)
        .map(|(at, _)| {
            let entry = text[at..].lines().next().expect("a line");
            let typed = entry.split(r#""typed":""#).nth(1).expect("as typed");
            typed.split('"').next().expect("an end").to_owned()
        })
        .collect()
}

/// Codes that change colour or weight.
fn styles(raw: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(raw).into_owned();
    text.split("\x1b[")
        .skip(1)
        .filter_map(|rest| {
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != ';')?;
            rest[end..].starts_with('m').then(|| rest[..end].to_owned())
        })
        .collect()
}

#[test]
fn a_whole_session_leaves_the_record_that_was_typed() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    for (word, text) in SESSION {
        terminal.answer(word, text);
    }
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert!(!terminal.cursor_is_hidden());

    let record = shop.record();
    assert_eq!(record["entry"], "keyboard");
    assert_eq!(record["job"], "Work order 0412, estate car");
    assert_eq!(record["technician"], "A. Sample");
    assert_eq!(record["amplifier"]["name"], "Bench amplifier 2");
    assert_eq!(record["plan"]["tuning_hz"], 36.0);
    assert_eq!(record["plan"]["corner_hz"], 27.0);
    assert_eq!(record["plan"]["slope_db_per_octave"], 24);
    assert_eq!(record["outcome"]["verdict"], "inside");
    assert_eq!(record["sign_off"]["name"], "A. Sample");
    assert_eq!(typed(&record, "reference"), ["8.00"]);
    assert_eq!(typed(&record, "reading"), READINGS);
    assert_eq!(typed(&record, "sweep"), ["20 = 2.29 / 8.03", "38 = 7.75 / 7.98"]);
    assert_eq!(record["filter"]["dial_mark_hz"], 28.0);
    assert_eq!(entries(&record, "note")[0]["text"], "knob marked with a paint dot");
    // What was answered with Enter is logged as the default, what was typed as typed.
    for (word, text) in SESSION {
        if let Some(answer) = entries(&record, "answer").into_iter().find(|entry| entry["question"] == word) {
            if text.is_empty() {
                assert_eq!(answer["default"], true, "{answer}");
            } else if word != "sweep" {
                assert_eq!(answer["typed"], text, "{answer}");
            }
        }
    }
    assert!(shop.journals().is_empty(), "{:?}", shop.journals());

    let screen = terminal.screen();
    for text in ["Work order 0412, estate car", "INSIDE", "wanted", "27.0 Hz", "A. Sample"] {
        assert!(screen.contains(text), "{text} is missing\n{screen}");
    }
    // The path of the record may wrap.
    let path = shop.records()[0].display().to_string();
    assert!(terminal.everything().contains(&path), "{path}\n{}", terminal.everything());
}

#[test]
fn sixty_columns_hold_every_screen() {
    let shop = Shop::new();
    let mut terminal = narrow(&shop).run(&[]);
    let mut before = "";
    for (word, text) in SESSION {
        terminal.at(word);
        let screen = match (word, text) {
            ("caution", _) => Some("cautions"),
            ("reading", "7.02") => Some("plan"),
            ("reading", "6.21") => Some("reading-above"),
            ("reading", "") => Some("reading-inside"),
            ("accept", _) => Some("accept"),
            ("sweep", "") => Some("sweep"),
            ("sign-off", _) => Some("put-back"),
            _ => None,
        };
        if let Some(name) = screen {
            assert_screen!(format!("terminal-{name}"), terminal.screen());
        }
        if word != before {
            terminal.type_line("?");
            terminal.at(word);
            if word == "reading" {
                assert_screen!("terminal-help", terminal.screen());
            }
            if matches!(word, "meter-accuracy" | "tuning" | "slope" | "family" | "tone" | "caution" | "reference") {
                terminal.type_line("105H");
                terminal.at(word);
                assert!(terminal.since_typed().contains("! "), "{}", terminal.since_typed());
            }
        } else if text == "6.21" {
            terminal.type_line("w");
            terminal.at(word);
            assert_screen!("terminal-working", terminal.screen());
        }
        before = word;
        terminal.type_line(text);
    }
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());

    let everything = terminal.everything();
    let summary = everything.rfind("Work order 0412").expect("a summary");
    assert_screen!("terminal-summary", &everything[summary..]);

    // Written lines are what is seen: nothing wraps by itself, nothing is written over.
    let unwrapped = terminal.unwrapped();
    let path = shop.records()[0].display().to_string();
    for line in unwrapped.iter().filter(|line| !line.contains(&path)) {
        assert!(line.chars().count() <= 60, "{} columns: {line}", line.chars().count());
    }
    assert_eq!(unwrapped.join("\n"), everything);
}

#[test]
fn colour_is_for_those_who_want_it() {
    let shown = |window: &Window<'_>, arguments: &[&str]| {
        let mut terminal = window.run(arguments);
        finish(&mut terminal, &["7.02", "5.66"]);
        assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
        (styles(&terminal.raw()), terminal.everything())
    };
    let (coloured, gray, plain, dumb) = (Shop::new(), Shop::new(), Shop::new(), Shop::new());
    let (styled, large) = shown(&window(&coloured), &[]);
    assert!(styled.iter().any(|style| style == "32"), "{styled:?}");
    assert!(styled.iter().any(|style| style == "33"), "{styled:?}");
    assert!(large.contains("#####"));

    let (styled, same) = shown(&window(&gray).with("NO_COLOR", "1"), &[]);
    assert_eq!(styled, Vec::<String>::new());
    assert!(same.contains("#####") && same.contains("leave the knob"), "{same}");

    let (styled, small) = shown(&window(&plain), &["--plain"]);
    assert_eq!(styled, Vec::<String>::new());
    assert!(!small.contains("#####") && small.contains("ABOVE") && small.contains("INSIDE"), "{small}");

    let (styled, _) = shown(&window(&dumb).with("TERM", "dumb"), &[]);
    assert_eq!(styled, Vec::<String>::new());
}

/// How a session at the keyboard can be cut short from outside.
#[derive(Clone, Copy, PartialEq)]
enum Cut {
    CtrlC,
    Signal(&'static str),
}

/// Stops at a prompt and looks at what is left: the status, the terminal, the advice, and the session taken up again.
fn cut_at(word: &str, readings: &[&str], cut: Cut) {
    let shop = Shop::new();
    let mut terminal = window(&shop).run_then_look_at_modes("set");
    if word == "accept" || word == "reading" {
        lead_to(&mut terminal, "reading");
        for reading in readings {
            terminal.answer("reading", reading);
        }
        if word == "accept" {
            terminal.answer("reading", "");
        }
    } else {
        lead_to(&mut terminal, word);
    }
    terminal.at(word);
    match cut {
        Cut::CtrlC => terminal.keys(CTRL_C),
        Cut::Signal(name) => terminal.signal(name),
    }
    terminal.wait_for("the end");
    assert_eq!(terminal.exit(), 0);
    let everything = terminal.everything();
    assert!(everything.contains("status 130"), "{everything}");
    assert!(!terminal.cursor_is_hidden(), "{everything}");
    let modes = everything.split("status 130").nth(1).expect("modes");
    for mode in ["icanon", "echo", "isig", "icrnl", "opost"] {
        assert!(modes.split_whitespace().any(|found| found == mode), "{mode} is off\n{everything}");
    }

    // The advice works as it stands.
    let id = open_session(&shop);
    let advice = everything.lines().find(|line| line.contains("--resume")).expect("advice").trim().to_owned();
    let named = advice.split("set --resume ").nth(1).unwrap_or_else(|| panic!("{advice}"));
    assert!(!named.is_empty() && id.starts_with(named), "{advice}, {id}");
    assert_eq!(journal_readings(&shop.journals()[0]), readings);
    let mut terminal = window(&shop).shell(&advice);
    terminal.prompt();
    let held = match readings.len() {
        1 => "1 reading".to_owned(),
        count => format!("{count} readings"),
    };
    assert!(terminal.everything().contains(&held), "{}", terminal.everything());
    finish(&mut terminal, &["5.66"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    let mut expected = readings.to_vec();
    expected.push("5.66");
    assert_eq!(typed(&shop.record(), "reading"), expected);
}

fn cut_everywhere(cut: Cut) {
    cut_at("job", &[], cut);
    cut_at("caution", &[], cut);
    cut_at("reading", &["7.02", "6.21"], cut);
    cut_at("accept", &["7.02"], cut);
}

#[test]
fn ctrl_c_keeps_the_session_and_the_terminal() {
    cut_everywhere(Cut::CtrlC);
}

#[test]
fn sigterm_keeps_the_session_and_the_terminal() {
    cut_everywhere(Cut::Signal("TERM"));
}

#[test]
fn sighup_keeps_the_session_and_the_terminal() {
    cut_everywhere(Cut::Signal("HUP"));
}

#[test]
fn ctrl_c_in_the_offer_of_unfinished_sessions_leaves_them_alone() {
    let shop = Shop::new();
    let mut first = window(&shop).run(&[]);
    lead_to(&mut first, "tuning");
    first.type_line("q");
    assert_eq!(first.exit(), 130);
    let before = std::fs::read(&shop.journals()[0]).unwrap();

    let mut terminal = window(&shop).run_then_look_at_modes("set");
    terminal.at("take up");
    terminal.keys(CTRL_C);
    terminal.wait_for("the end");
    assert!(terminal.everything().contains("status 130"), "{}", terminal.everything());
    assert!(!terminal.cursor_is_hidden());
    assert_eq!(std::fs::read(&shop.journals()[0]).unwrap(), before);
}

#[test]
fn a_kill_at_every_prompt_loses_nothing() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    let mut kills = 0;
    let mut readings: Vec<&str> = vec![];
    for (word, text) in SESSION {
        terminal.at(word);
        terminal.kill();
        kills += 1;
        assert_eq!(journal_readings(&shop.journals()[0]), readings, "before {word} {text}");
        terminal = window(&shop).run(&["set", "--resume", &open_session(&shop)]);
        if word == "accept" {
            // That the knob is done with is not logged until it is accepted.
            terminal.answer("reading", "");
        }
        terminal.at(word);
        if !readings.is_empty() {
            let held = format!("{} reading", readings.len());
            assert!(terminal.everything().contains(&held), "{held}\n{}", terminal.everything());
        }
        terminal.type_line(text);
        if word == "reading" && !text.is_empty() {
            readings.push(text);
        }
    }
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert!(kills >= 20, "{kills}");
    let record = shop.record();
    assert_eq!(typed(&record, "reading"), READINGS);
    assert_eq!(entries(&record, "resume").len(), kills);
    let asked: Vec<&str> =
        entries(&record, "answer").iter().map(|entry| entry["question"].as_str().expect("a question")).collect();
    let mut once = asked.clone();
    once.dedup();
    assert_eq!(asked, once, "an answer was logged twice");
}

#[test]
fn a_pause_is_offered_at_the_next_start() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "reading");
    terminal.answer("reading", "7.02");
    terminal.answer("reading", "q");
    assert_eq!(terminal.exit(), 130);
    assert!(terminal.since_typed().contains("Stopped."), "{}", terminal.since_typed());
    assert!(terminal.since_typed().contains("set --resume "), "{}", terminal.since_typed());

    let mut terminal = window(&shop).run(&[]);
    terminal.answer("take up", "new");
    terminal.answer("job", "Work order 0413, van");
    lead_to(&mut terminal, "tuning");
    terminal.type_line("q");
    assert_eq!(terminal.exit(), 130);

    let mut terminal = window(&shop).run(&[]);
    terminal.at("take up");
    let screen = terminal.screen();
    let number = screen
        .lines()
        .find(|line| line.contains("Work order 0412, estate car"))
        .and_then(|line| line.split_whitespace().next())
        .unwrap_or_else(|| panic!("no number\n{screen}"))
        .to_owned();
    assert!(screen.contains("Work order 0413, van"), "{screen}");
    for wrong in ["0", "3", "-1", "x"] {
        terminal.answer("take up", wrong);
        terminal.at("take up");
        assert!(terminal.since_typed().contains("! take up"), "{}", terminal.since_typed());
    }
    terminal.type_line(&number);
    terminal.at("reading");
    assert!(terminal.since_typed().contains("1 reading"), "{}", terminal.since_typed());
    finish(&mut terminal, &["5.66"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());

    let record = shop.record();
    assert_eq!(record["job"], "Work order 0412, estate car");
    assert_eq!(typed(&record, "reading"), ["7.02", "5.66"]);
    assert_eq!(entries(&record, "pause").len(), 1);
    assert_eq!(shop.journals().len(), 1);
}

#[test]
fn a_session_that_is_open_elsewhere_is_not_offered() {
    let shop = Shop::new();
    let mut first = window(&shop).run(&[]);
    lead_to(&mut first, "tuning");
    let mut second = window(&shop).run(&[]);
    second.answer("job", "Work order 0413, van");
    finish(&mut second, &["5.66"]);
    assert_eq!(second.exit(), 0, "{}", second.everything());
    finish(&mut first, &["5.65"]);
    assert_eq!(first.exit(), 0, "{}", first.everything());
    let mut sequence: Vec<u64> =
        shop.records().iter().map(|path| read_json(path)["sequence"].as_u64().expect("a sequence")).collect();
    sequence.sort_unstable();
    assert_eq!(sequence, [1, 2]);
}

#[test]
fn going_back_changes_an_answer_and_offers_the_later_ones() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "slope");
    terminal.answer("slope", "24");
    terminal.answer("family", "linkwitz-riley");
    lead_to(&mut terminal, "tolerance");
    terminal.answer("tolerance", "2 %");
    lead_to(&mut terminal, "reading");
    terminal.answer("reading", "7.02");

    terminal.answer("reading", "< tuning");
    assert_eq!(terminal.at("tuning").as_deref(), Some("36 Hz"));
    assert!(terminal.since_typed().contains("reading 1 counts no longer"), "{}", terminal.since_typed());
    terminal.type_line("33");
    // What was answered before is taken again, and said; only the reference has to be read anew.
    assert_eq!(terminal.at("reference"), None);
    let said = terminal.since_typed();
    assert!(said.contains("As before: slope 24, family linkwitz-riley") && said.contains("tolerance 2 %"), "{said}");
    assert!(said.contains("Play 24.75 Hz"), "{said}");
    // One of them again, and on.
    terminal.type_line("< tolerance");
    assert_eq!(terminal.at("tolerance").as_deref(), Some("2 %"));
    terminal.type_line("");
    let asked = lead_to(&mut terminal, "reading");
    assert_eq!(asked, ["reference"]);

    terminal.answer("reading", "< sign-off");
    terminal.at("reading");
    assert!(terminal.since_typed().contains("! "), "{}", terminal.since_typed());
    // A Linkwitz-Riley 24 dB/octave filter is 6.02 dB down at its corner.
    finish(&mut terminal, &["4.00"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    let record = shop.record();
    assert_eq!(record["plan"]["tuning_hz"], 33.0);
    assert_eq!(record["plan"]["family"], "linkwitz-riley");
    assert_eq!(record["plan"]["tolerance_percent"], 2.0);
    assert_eq!(typed(&record, "reading"), ["7.02", "4.00"]);
    let tunings: Vec<&Value> =
        entries(&record, "answer").into_iter().filter(|entry| entry["question"] == "tuning").collect();
    assert_eq!(tunings.len(), 2, "nothing that was typed is deleted: {tunings:?}");
}

#[test]
fn notes_strikes_and_working_at_the_knob() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "tuning");
    terminal.type_line("! box opened, port measured");
    terminal.wait_for("Noted.");
    lead_to(&mut terminal, "reading");
    terminal.answer("reading", "55.6");
    terminal.answer("reading", "!");
    terminal.answer("note", "the probe slipped");
    terminal.answer("reading", "strike 2 mistyped");
    terminal.at("reading");
    assert!(terminal.since_typed().contains("! reading"), "{}", terminal.since_typed());
    terminal.type_line("strike 1 mistyped");
    terminal.wait_for("Reading 1 is struck.");
    terminal.answer("reading", "");
    terminal.at("reading");
    assert!(terminal.since_typed().contains("at least one reading"), "{}", terminal.since_typed());
    terminal.type_line("5.66");
    terminal.answer("reading", "w");
    terminal.wait_for("working:");
    finish(&mut terminal, &[]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());

    let record = shop.record();
    let notes: Vec<&Value> = entries(&record, "note").into_iter().map(|note| &note["text"]).collect();
    assert_eq!(notes, ["box opened, port measured", "the probe slipped"]);
    assert_eq!(typed(&record, "reading"), ["55.6", "5.66"]);
    let strikes = entries(&record, "strike");
    assert_eq!(strikes.len(), 1);
    assert_eq!((&strikes[0]["number"], &strikes[0]["reason"]), (&Value::from(1), &Value::from("mistyped")));
    assert_eq!(record["outcome"]["verdict"], "inside");
}

#[test]
fn accepting_what_is_not_inside_needs_a_reason() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "reading");
    terminal.answer("reading", "6.21");
    terminal.answer("reading", "");
    for not_enough in ["", "maybe", "accept"] {
        terminal.answer("accept", not_enough);
    }
    terminal.answer("accept", "no");
    terminal.answer("reading", "");
    terminal.answer("accept", "yes");
    terminal.answer("sweep", "");
    terminal.answer("dial-mark", "");
    terminal.answer("reason", "");
    terminal.at("reason");
    assert!(terminal.since_typed().contains("! reason"), "{}", terminal.since_typed());
    terminal.type_line("the knob ends here");
    terminal.answer("note", "");
    terminal.answer("sign-off", "B. Sample");
    terminal.at("sign-off");
    assert!(terminal.since_typed().contains("The technician is A. Sample."), "{}", terminal.since_typed());
    terminal.type_line("yes");
    assert_eq!(terminal.exit(), 1, "{}", terminal.everything());
    let record = shop.record();
    assert_eq!(record["outcome"]["verdict"], "above");
    assert_eq!(record["outcome"]["reason"], "the knob ends here");
    for text in ["ABOVE", "the knob ends here", "B. Sample for A. Sample"] {
        assert!(terminal.since_typed().contains(text), "{text}\n{}", terminal.since_typed());
    }
}

#[test]
fn slips_of_the_keyboard_log_nothing() {
    const LEFT: &str = "\x1b[D";
    const UP: &str = "\x1b[A";
    const BACKSPACE: &str = "\x7f";
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "tuning");
    let before = std::fs::read(&shop.journals()[0]).unwrap();
    for slip in ["4 kHz", "1,234.5", "nan", "inf", "105H", "", "-36", "0", "1e2", "3 6", "< reading", "36 V"] {
        terminal.answer("tuning", slip);
        terminal.at("tuning");
        assert!(terminal.since_typed().contains("! tuning"), "{slip:?}\n{}", terminal.since_typed());
    }
    assert_eq!(std::fs::read(&shop.journals()[0]).unwrap(), before);
    lead_to(&mut terminal, "reading");
    let before = std::fs::read(&shop.journals()[0]).unwrap();
    for slip in ["5,660 mV", "5.6-5.7", "300", "reading: 5", ""] {
        terminal.answer("reading", slip);
        terminal.at("reading");
        assert!(terminal.since_typed().contains("! reading"), "{slip:?}\n{}", terminal.since_typed());
    }
    // Function keys, keys with Ctrl, and what a window puts around a paste.
    for nothing in [CTRL_D, CTRL_Z, UP, "\x1bOP", "\x1b[15~", "\x1b[1;5C", "\x1b[200~", "\x1b[201~"] {
        terminal.keys(nothing);
    }
    assert_eq!(std::fs::read(&shop.journals()[0]).unwrap(), before);
    // Corrected in place: 56 becomes 5.66. Two numbers that were pasted with the tab between them are two.
    terminal.type_line(&format!("569{BACKSPACE}{LEFT}.6"));
    finish(&mut terminal, &["5.64\t5.68"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert_eq!(typed(&shop.record(), "reading"), ["5.66", "5.64 5.68"]);
}

#[test]
fn the_window_may_change_its_size_at_a_prompt() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "range-held");
    terminal.resize(60, 24);
    terminal.keys(ENTER);
    terminal.at("caution");
    let wide = terminal.unwrapped().iter().skip_while(|line| !line.starts_with("Before a probe")).count();
    assert!(wide > 0);
    for line in terminal.unwrapped().iter().skip_while(|line| !line.starts_with("Before a probe")) {
        assert!(line.chars().count() <= 60, "{line}");
    }
    finish(&mut terminal, &["5.66"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
}

#[test]
fn known_gear_is_not_asked_for_again() {
    const MOST: usize = 7;
    let shop = Shop::new();
    let mut first = window(&shop).run(&[]);
    let asked_first = lead_to(&mut first, "reading").len();
    finish(&mut first, &["5.66"]);
    assert_eq!(first.exit(), 0, "{}", first.everything());

    let mut second = window(&shop).run(&[]);
    let mut asked = vec![];
    loop {
        let Prompt { word, default } = second.prompt();
        match (word.as_str(), default.as_deref()) {
            ("reading", _) => break,
            ("job", _) => second.type_line("Work order 0413, van"),
            ("technician", default) => {
                assert_eq!(default, Some("A. Sample"));
                second.type_line("");
            }
            ("amplifier", default) => {
                assert_eq!(default, Some("Bench amplifier 2"));
                second.type_line("");
            }
            ("tuning", default) => {
                assert_eq!(default, None, "another box");
                second.type_line("40");
            }
            (other, _) => second.type_line(usual(other)),
        }
        asked.push(word);
    }
    let _ = writeln!(
        std::io::stderr(),
        "questions before the first reading: {asked_first} at first, {} for a returning technician: {}",
        asked.len(),
        asked.join(", ")
    );
    assert!(asked.len() <= MOST, "{asked:?}");
    assert!(second.everything().contains("As last time"), "{}", second.everything());
    finish(&mut second, &["5.66"]);
    assert_eq!(second.exit(), 0, "{}", second.everything());

    let records: Vec<Value> = shop.records().iter().map(|path| read_json(path)).collect();
    assert_eq!(records.len(), 2);
    assert_eq!(records[0]["meter"], records[1]["meter"]);
    assert_eq!(records[1]["plan"]["corner_hz"], 30.0);
    assert_eq!(records[1]["plan"]["setting"]["tone_hz"], 30.0);
}

#[test]
fn a_closed_window_ends_the_program_and_keeps_the_session() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&[]);
    lead_to(&mut terminal, "reading");
    for text in ["7.02", "6.21", ""] {
        terminal.answer("reading", text);
    }
    terminal.at("accept");
    let ended = terminal.hang_up();
    assert_eq!(ended.exit_code(), 130, "{ended:?}");
    assert_eq!(journal_readings(&shop.journals()[0]), ["7.02", "6.21"]);
    assert!(shop.records().is_empty());

    let mut terminal = window(&shop).run(&["set", "--resume", &open_session(&shop)]);
    finish(&mut terminal, &["5.66"]);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert_eq!(typed(&shop.record(), "reading"), ["7.02", "6.21", "5.66"]);
}

#[test]
fn a_guided_session_without_a_terminal_is_refused_with_advice() {
    let shop = Shop::new();
    for arguments in [&[][..], &["set"], &["set", "--json"]] {
        let ran = shop.run_with_input(arguments, b"99\n").expect(2);
        assert_eq!(ran.stdout, "");
        assert_eq!(ran.stderr.lines().count(), 1, "{}", ran.stderr);
        assert!(ran.stderr.contains("--script"), "{}", ran.stderr);
    }
    // Only one of the two is a terminal; the keyboard is not read behind the pipe's back.
    for (script, advice_in_file) in [
        ("echo 99 | cornerset set; echo \"status $?\"", false),
        ("cornerset set < /dev/null; echo \"status $?\"", false),
        ("cornerset set 2> advice; echo \"status $?\"", true),
    ] {
        let mut terminal = window(&shop).shell(script);
        terminal.wait_for("status ");
        assert_eq!(terminal.exit(), 0);
        let everything = terminal.everything();
        assert!(everything.contains("status 2"), "{script}\n{everything}");
        let advice = if advice_in_file {
            std::fs::read_to_string(shop.path().join("advice")).expect("advice")
        } else {
            everything
        };
        assert!(advice.contains("--script"), "{script}\n{advice}");
    }
    assert!(shop.journals().is_empty() && shop.records().is_empty());
}

#[test]
fn events_go_to_a_file_while_the_session_goes_on_at_the_terminal() {
    let shop = Shop::new();
    let mut terminal = window(&shop).shell("cornerset set --json > events; echo \"status $?\"");
    finish(&mut terminal, &["5.66"]);
    terminal.wait_for("status 0");
    let events: Vec<Value> = std::fs::read_to_string(shop.path().join("events"))
        .expect("events")
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON event a line"))
        .collect();
    assert_eq!(events.first().expect("an event")["event"], "session");
    assert_eq!(events.last().expect("an event")["event"], "record");
    let logged: Vec<&Value> = events
        .iter()
        .filter(|event| !matches!(event["event"].as_str(), Some("session" | "question" | "record")))
        .collect();
    let record = shop.record();
    assert_eq!(logged, record["log"].as_array().expect("a log").iter().collect::<Vec<_>>());
}
