//! `cornerset tuning` at a terminal: the dialogue by dimensions and by impedance, with a simulated box on the bench.

mod common;
#[path = "common/vented.rs"]
mod vented;

use common::Shop;
use common::pty::{CTRL_C, Terminal, Window};
use vented::Box;

const SERIES: f64 = 47.0;
const SOURCE: f64 = 2.0;
const STEP: f64 = 0.001;

/// A box of our own.
const BENCH: Box =
    Box { fs: 26.0, qes: 0.5, qms: 5.0, stiffness: 1.2, tuning: 31.0, leakage_q: 8.0, re: 3.3, le: 0.001 };

fn window(shop: &Shop) -> Window<'_> {
    Window::new(shop, 80, 24)
}

fn by_dimensions(terminal: &mut Terminal) {
    for (word, text) in [
        ("method", ""),
        ("volume", "48"),
        ("port", "round"),
        ("port-diameter", "10.2"),
        ("port-length", "22"),
        ("ports", ""),
        ("flanged-ends", ""),
    ] {
        terminal.answer(word, text);
    }
}

/// As far as the first reading.
fn to_the_first_reading(terminal: &mut Terminal) {
    for (word, text) in [
        ("method", "impedance"),
        ("caution", "understood"),
        ("series-ohm", "47"),
        ("source-v", "2"),
        ("meter-resolution", ""),
    ] {
        terminal.answer(word, text);
    }
}

/// The tone that is asked for.
fn tone(terminal: &Terminal) -> f64 {
    let everything = terminal.everything();
    let asked = everything.rsplit("Play ").next().expect("a tone");
    asked.split(" Hz").next().and_then(|hz| hz.parse().ok()).unwrap_or_else(|| panic!("{everything}"))
}

fn shown(bench: &Box, hz: f64) -> String {
    format!("{:.3}", bench.across(hz, SERIES, SOURCE, STEP))
}

/// Reads the box at every tone that is asked for, until another question comes: that question, and the tones.
fn read_it_all(terminal: &mut Terminal, bench: &Box) -> (String, Vec<f64>) {
    let mut tones = vec![];
    loop {
        let prompt = terminal.prompt();
        if prompt.word != "reading" {
            return (prompt.word, tones);
        }
        let asked = tone(terminal);
        tones.push(asked);
        assert!(tones.len() <= 30, "{}", terminal.everything());
        terminal.type_line(&shown(bench, asked));
    }
}

#[test]
fn by_dimensions_with_slips_and_second_thoughts() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&["tuning"]);
    terminal.answer("method", "?");
    terminal.answer("method", "<");
    terminal.at("method");
    assert!(terminal.since_typed().contains("first question"), "{}", terminal.since_typed());
    terminal.type_line("dimensions");
    for slip in ["", "48 kg", "0", "1,234.5", "forty-eight"] {
        terminal.answer("volume", slip);
        terminal.at("volume");
        assert!(terminal.since_typed().contains("! volume: "), "{}", terminal.since_typed());
    }
    terminal.type_line("48");
    for (word, text) in [("port", "slot"), ("slot", "4x28"), ("port-length", "40"), ("ports", "<")] {
        terminal.answer(word, text);
    }
    // Nothing typed is lost on the way back.
    assert_eq!(terminal.at("port-length"), Some("40".to_owned()));
    terminal.type_line("<");
    assert_eq!(terminal.at("slot"), Some("4x28".to_owned()));
    terminal.type_line("<");
    terminal.answer("port", "round");
    terminal.answer("port-diameter", "4 in");
    assert_eq!(terminal.at("port-length"), Some("40".to_owned()));
    terminal.type_line("22");
    terminal.answer("ports", "");
    terminal.answer("flanged-ends", "");
    assert_eq!(terminal.at("take"), Some("yes".to_owned()));
    terminal.type_line("");
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    let last = terminal.since_typed();
    assert!(
        last.contains("48 l, 1 round port 10.16 cm x 22 cm, 1") && last.contains("`cornerset set`, tuning 41.7"),
        "{last}"
    );
    assert!(shop.journals().is_empty() && shop.records().is_empty());
}

#[test]
fn a_box_on_the_bench_is_tuned_tone_by_tone() {
    let shop = Shop::new();
    let mut terminal = Window::new(&shop, 60, 24).run(&["tuning"]);
    to_the_first_reading(&mut terminal);
    // What is no reading is asked for again; the tone stays.
    for slip in ["2.1", "2", "0", "412", "nan"] {
        terminal.answer("reading", slip);
        terminal.at("reading");
        assert!(terminal.since_typed().contains("! reading: "), "{}", terminal.since_typed());
        assert_eq!(tone(&terminal), 14.0);
    }
    terminal.type_line("0.5");
    terminal.answer("reading", "<");
    assert_eq!(terminal.at("reading"), Some("0.5".to_owned()));
    terminal.type_line("?");
    let (word, tones) = read_it_all(&mut terminal, &BENCH);
    assert_eq!(word, "take", "{}", terminal.everything());
    assert!((8..=14).contains(&tones.len()), "{tones:?}");
    // The last reading back, and given once more.
    terminal.type_line("<");
    let (word, again) = read_it_all(&mut terminal, &BENCH);
    assert_eq!((word.as_str(), again.as_slice()), ("take", &tones[tones.len() - 1..]));
    terminal.type_line("yes");
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert!(!terminal.cursor_is_hidden());
    let account = terminal.since_typed().replace('\n', " ");
    let numbers: Vec<f64> = account
        .split("Tuning ")
        .nth(1)
        .and_then(|said| said.split(" Hz").next())
        .map(|said| said.split(" +- ").filter_map(|number| number.parse().ok()).collect())
        .unwrap_or_default();
    let [tuning, uncertainty] = numbers[..] else { panic!("{account}") };
    assert!((tuning - 31.0).abs() < uncertainty && uncertainty < 2.0, "{account}");
    for line in terminal.unwrapped() {
        assert!(line.chars().count() <= 60, "{line}");
    }
}

#[test]
fn a_sealed_box_says_so_and_can_be_left() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run(&["tuning"]);
    to_the_first_reading(&mut terminal);
    let sealed = Box { tuning: 0.0, ..BENCH };
    assert_eq!(read_it_all(&mut terminal, &sealed).0, "again");
    assert!(terminal.since_typed().contains("one peak only"), "{}", terminal.since_typed());
    terminal.type_line("dimensions");
    terminal.answer("volume", "q");
    assert_eq!(terminal.exit(), 130, "{}", terminal.everything());
    assert!(terminal.since_typed().contains("Left without a tuning."), "{}", terminal.since_typed());
}

#[test]
fn ctrl_c_leaves_a_sound_terminal() {
    let shop = Shop::new();
    let mut terminal = window(&shop).run_then_look_at_modes("tuning");
    to_the_first_reading(&mut terminal);
    terminal.at("reading");
    terminal.keys(CTRL_C);
    terminal.wait_for("the end");
    assert_eq!(terminal.exit(), 0);
    let everything = terminal.everything();
    assert!(everything.contains("status 130") && !terminal.cursor_is_hidden(), "{everything}");
    for mode in ["icanon", "echo", "isig"] {
        assert!(everything.split_whitespace().any(|found| found == mode), "{mode} is off\n{everything}");
    }
}

#[test]
fn the_result_goes_to_standard_output() {
    let shop = Shop::new();
    let mut terminal = window(&shop).shell("cornerset tuning --json > document; echo \"status $?\"");
    by_dimensions(&mut terminal);
    terminal.answer("take", "");
    terminal.wait_for("status 0");
    let document = common::read_json(&shop.path().join("document"));
    assert_eq!(document["method"], "dimensions");
    assert!((document["tuning_hz"].as_f64().unwrap() - 41.840).abs() < 0.001, "{document}");
}

#[test]
fn without_a_terminal_it_names_its_options() {
    let shop = Shop::new();
    for script in
        ["echo q | cornerset tuning", "cornerset tuning < /dev/null", "cornerset tuning 2> advice; cat advice"]
    {
        let mut terminal = window(&shop).shell(&format!("{script}; echo \"the end\""));
        terminal.wait_for("the end");
        let everything = terminal.everything();
        for option in ["--volume", "--slot", "--impedance", "--series-ohm", "--source-v"] {
            assert!(everything.contains(option), "{script}: {everything}");
        }
    }
}
