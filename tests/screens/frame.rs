//! The frame of a session: opening, gain, stop, unfinished ones, resume, summary.

use std::path::Path;

use cornerset::record::{ChainLink, Record};
use cornerset::screens::{self, Line, Screen, Unfinished};
use cornerset::session::{Known, Question, State};

use crate::common::lines::Lines;
use crate::play::{opened, page, pages, play};

const RESUME: &str = "cornerset set --resume 019cbd1a-7c40-7000-8000-000000000501";

#[test]
fn opening_and_gear() {
    pages("opening", |screen| {
        let typed = [
            (Question::Meter, "Meter 3"),
            (Question::MeterAccuracy, "1 %"),
            (Question::MeterDigits, "5"),
            (Question::MeterResolution, "0.01 V"),
            (Question::Slope, "24"),
            (Question::Family, "linkwitz-riley"),
            (Question::Rule, "three-quarters"),
        ];
        let taken = |known| typed.map(|(question, typed)| (question, typed.to_owned(), known)).to_vec();
        vec![
            page("opening", screens::opening(screen)),
            page("as last time", screens::taken(&taken(Known::LastTime), screen)),
            page("as before", screens::taken(&taken(Known::Before), screen)),
            page("gain, known amplifier", screens::gain_voltage(&gain("450 W", "2 ohm"), screen)),
            page("gain, unknown amplifier", screens::gain_voltage(&gain("unknown", "unknown"), screen)),
        ]
    });
}

fn gain(power: &str, load: &str) -> State {
    play(&Lines::required().with("gain", "no").with("rated-power", power).with("load", load).before("reference"))
}

#[test]
fn stops_and_resumes() {
    let lines = Lines::required;
    pages("stopped", |screen| {
        let one = play(&lines().before("accept"));
        let two = play(&lines().and("reading", "5.70").before("accept"));
        let list = [
            Unfinished {
                job: "Work order 0501",
                technician: Some("A. Sample"),
                readings: 2,
                opened: "2026-03-05 09:30",
            },
            Unfinished { job: "no job yet", technician: None, readings: 0, opened: "2026-03-05 11:02" },
            Unfinished {
                job: "Work order 0502, the estate car with the two boxes behind the rear seat",
                technician: Some("B. Sample"),
                readings: 1,
                opened: "2026-03-06 08:15",
            },
        ];
        vec![
            page("stopped before anything", screens::stopped(&opened(), RESUME, screen)),
            page("stopped after one reading", screens::stopped(&one, RESUME, screen)),
            page("unfinished", screens::unfinished(&list, 0, screen)),
            page("unfinished, one elsewhere", screens::unfinished(&list[..1], 1, screen)),
            page("taken up before anything", screens::recap(&opened(), 0, screen)),
            page("taken up after two readings", screens::recap(&two, 0, screen)),
            page("taken up with a torn line", screens::recap(&play(&lines().before("reference")), 87, screen)),
            page("taken up after accepting", screens::recap(&play(&lines().before("sign-off")), 0, screen)),
        ]
    });
}

fn summary(lines: &Lines, screen: Screen) -> Vec<Line> {
    let link = ChainLink { sequence: 12, previous: Some(format!("sha256:{}", "0".repeat(64))) };
    let record = Record::of(&play(lines), link).expect("a complete session");
    screens::summary(&record, Path::new("/store/records/2026/019cbd1a-7c40-7000-8000-000000000501.json"), screen)
}

#[test]
fn summaries() {
    let plain = Lines::required;
    let outside = |reading: &str| {
        plain()
            .with("reading", reading)
            .with("reason", "the knob is at its upper stop; the next mark would need another amplifier")
    };
    let q = || plain().with("slope", "12").with("family", "second-order").with("q", "1.2").with("reading", "5.90");
    let cases = [
        ("inside", plain()),
        ("above, with a reason", outside("6.30")),
        ("borderline, with a reason", outside("5.93")),
        ("no corner", outside("8.00")),
        ("confirmed by the sweep", plain().with("sweep", "14=0.58/8").and("sweep", "20=2.31/8")),
        ("not confirmed", plain().with("sweep", "20=3.90/8").and("sweep", "38=7.00/8").with("reason", "it stays")),
        ("signed by another", plain().with("sign-off", "B. Sample")),
        ("a tolerance in decibels", plain().with("tolerance", "0.5 dB")),
        ("second order", q()),
        ("two corners", q().with("reading", "8.5").with("reason", "the knob is at its stop")),
    ];
    pages("summary", |screen| cases.iter().map(|(name, lines)| page(name, summary(lines, screen))).collect());
}
