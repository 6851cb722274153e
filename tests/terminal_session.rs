//! The session at a terminal, where it leads into other dialogues: a driver told value by value, a tuning that is looked for,
//! a filter that is another than its label says.

mod common;
#[path = "common/vented.rs"]
mod vented;

use common::Shop;
use common::pty::{CTRL_C, Terminal, Window};
use cornerset::quantity::{Hertz, show};
use vented::Box;

const OPENING: [(&str, &str); 7] = [
    ("job", "Van 12"),
    ("technician", "A. Sample"),
    ("amplifier", "Amp 2"),
    ("meter", "Meter 3"),
    ("meter-accuracy", ""),
    ("meter-digits", ""),
    ("meter-resolution", ""),
];

fn answers(terminal: &mut Terminal, list: &[(&str, &str)]) {
    for (word, text) in list {
        terminal.answer(word, text);
    }
}

/// As far as the tuning.
fn to_the_tuning(shop: &Shop) -> Terminal {
    let mut terminal = Window::new(shop, 80, 24).run(&[]);
    answers(&mut terminal, &OPENING);
    terminal.at("tuning");
    terminal
}

/// A driver told value by value, with a second thought and an interruption: nothing typed is lost, and the rule is put beside
/// what the cone does.
#[test]
fn a_driver_is_told_value_by_value() {
    let shop = Shop::new();
    let mut terminal = to_the_tuning(&shop);
    // A note of one's own and a try that was left are no part of what follows.
    answers(
        &mut terminal,
        &[("tuning", "! kind: sealed"), ("tuning", "values"), ("kind", "sealed"), ("volume_l", "40")],
    );
    answers(&mut terminal, &[("fs_hz", "q"), ("tuning", "values"), ("kind", ""), ("volume_l", "2.75 ft3")]);
    answers(&mut terminal, &[("fs_hz", "27"), ("qes", "0.46"), ("qms", "?"), ("qms", "55 mm"), ("qms", "5.5")]);
    terminal.at("sd_cm2");
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130, "{}", terminal.everything());

    let mut terminal = Window::new(&shop, 80, 24).run(&[]);
    answers(&mut terminal, &[("take up", "")]);
    terminal.at("tuning");
    assert!(terminal.since_typed().contains("`values` goes on there"), "{}", terminal.since_typed());
    terminal.type_line("values");
    terminal.at("sd_cm2");
    assert!(terminal.since_typed().contains("after 5 answers"), "{}", terminal.since_typed());
    terminal.type_line("<");
    assert_eq!(terminal.at("qms"), Some("5.5".to_owned()));
    answers(&mut terminal, &[("qms", ""), ("sd_cm2", "510"), ("vas_l", "96"), ("re_ohm", "3.5"), ("xmax_mm", "12")]);
    answers(&mut terminal, &[("xmech_mm", "10"), ("xmech_mm", "25"), ("lowest_hz", ""), ("power_w", "380")]);
    answers(&mut terminal, &[("load_ohm", "4"), ("tuning", "34"), ("slope", "24"), ("family", "")]);
    assert_eq!(terminal.at("rule"), Some("own".to_owned()), "{}", terminal.everything());
    assert!(terminal.since_typed().contains("lowest safe     26.6 Hz"), "{}", terminal.since_typed());
    terminal.type_line("");
    assert_eq!(terminal.at("corner"), Some("26.6 Hz".to_owned()));
}

/// The plug is pulled in the middle of an impedance sweep: the tones that were read are there, and the sweep goes on.
#[test]
fn a_sweep_for_the_tuning_outlives_a_flat_battery() {
    const BENCH: Box =
        Box { fs: 26.0, qes: 0.5, qms: 5.0, stiffness: 1.2, tuning: 31.0, leakage_q: 8.0, re: 3.3, le: 0.001 };
    let shop = Shop::new();
    let read = |terminal: &mut Terminal| {
        terminal.at("reading");
        let everything = terminal.everything();
        let asked = everything.rsplit("Play ").next().unwrap().split(" Hz").next().unwrap().to_owned();
        let volts = BENCH.across(asked.parse().unwrap(), 47.0, 2.0, 0.001);
        terminal.type_line(&format!("{volts:.3}"));
        asked
    };
    let mut terminal = to_the_tuning(&shop);
    answers(&mut terminal, &[("tuning", "unknown"), ("method", "impedance"), ("caution", "understood")]);
    answers(&mut terminal, &[("series-ohm", "47"), ("source-v", "2"), ("meter-resolution", "")]);
    let tones: Vec<String> = (0..4).map(|_| read(&mut terminal)).collect();
    terminal.at("reading");
    terminal.kill();

    let mut terminal = Window::new(&shop, 80, 24).run(&[]);
    answers(&mut terminal, &[("take up", ""), ("tuning", "unknown")]);
    terminal.at("reading");
    assert!(terminal.since_typed().contains("after 9 answers"), "{}", terminal.since_typed());
    let mut more = vec![];
    while terminal.prompt().word == "reading" {
        more.push(read(&mut terminal));
        assert!(more.len() < 30, "{}", terminal.everything());
    }
    assert!(more.iter().all(|tone| !tones.contains(tone)), "{tones:?} and {more:?}");
    answers(&mut terminal, &[("take", "")]);
    terminal.at("slope");
    assert!(terminal.since_typed().contains("the box") && terminal.since_typed().contains("disconnected"));
    let journal = std::fs::read_to_string(&shop.journals()[0]).unwrap();
    for tone in tones.iter().chain(&more) {
        let tone = show::tone(Hertz::new(tone.parse().unwrap()));
        assert!(journal.contains(&format!("tuning: reading at {tone}: ")), "{tone}: {journal}");
    }
}

/// By its label a Butterworth, really a Linkwitz-Riley: the offer wants an answer, and `yes` leads back to the knob.
#[test]
fn the_offer_to_set_it_again_wants_an_answer() {
    let shop = Shop::new();
    let mut terminal = to_the_tuning(&shop);
    answers(&mut terminal, &[("tuning", "36"), ("slope", "24"), ("family", ""), ("rule", ""), ("bypass", "")]);
    answers(&mut terminal, &[("tone", ""), ("tolerance", ""), ("range-held", ""), ("caution", "understood")]);
    answers(
        &mut terminal,
        &[("gain", ""), ("reference", "8"), ("reading", "5.66"), ("reading", ""), ("accept", "yes")],
    );
    // Linkwitz-Riley 24 dB/octave at 21.66 Hz: 8 / (1 + (21.66/17.5)^4).
    answers(&mut terminal, &[("sweep", "17.5=2.39/8"), ("sweep", "")]);
    assert_eq!(terminal.at("set-again"), None);
    let said = terminal.since_typed();
    assert!(
        said.contains("NOT WHAT IT WAS TAKEN FOR") && said.contains("4.00 V at 27.0 Hz (3.77 V to 4.24 V)"),
        "{said}"
    );
    answers(&mut terminal, &[("set-again", ""), ("set-again", "yes"), ("reading", "4.01")]);
    terminal.at("reading");
    assert!(terminal.since_typed().contains("INSIDE"), "{}", terminal.since_typed());
}

/// Exact bytes go to a terminal only where none of them acts on it, and a binary file never does.
#[test]
fn what_a_terminal_would_act_on_is_not_written_to_one() {
    let shop = Shop::new();
    shop.script(&common::lines::Lines::required().text()).expect(0);
    let path = shop.records()[0].clone();
    let file = path.to_str().unwrap();
    let canonical = ["records", "canonical", file];
    let run = |arguments: &[&str]| {
        let mut terminal = Window::new(&shop, 80, 24).run(arguments);
        (terminal.exit(), terminal.everything(), terminal.raw())
    };
    let (code, said, _) = run(&canonical);
    assert!(code == 0 && said.contains("cornerset-record"), "{said}");
    let (code, said, raw) = run(&["records", "export", "--format", "parquet", "-o", "-"]);
    assert!(
        code == 2 && said.contains("nothing for a terminal") && !raw.windows(4).any(|four| four == b"PAR1"),
        "{said}"
    );
    let text = std::fs::read_to_string(&path).unwrap().replace("Work order 0501", "Work\u{9b}31m order");
    std::fs::write(&path, text).unwrap();
    let (code, said, raw) = run(&canonical);
    assert!(code == 2 && said.contains("to a file or a pipe"), "{said}");
    assert!(!String::from_utf8_lossy(&raw).contains('\u{9b}'));
    // To a pipe they go as they are.
    assert!(shop.run(&canonical).expect(1).stdout.contains('\u{9b}'));
}
