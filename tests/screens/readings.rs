//! What each reading says: verdicts, corners, trends, strikes.

use cornerset::screens::{self, Line, Screen};
use cornerset::session::State;

use crate::common::lines::Lines;
use crate::play::{last_news, page, pages, play, text};

/// A session up to the last of these readings.
fn after(readings: &[&str]) -> State {
    let lines = Lines::required().without("reading").before("accept");
    play(&readings.iter().fold(lines, |lines, reading| lines.and("reading", reading)))
}

fn hump(reading: &str) -> State {
    let lines = Lines::required().with("slope", "12").with("family", "second-order").with("q", "1.2");
    play(&lines.with("reading", reading).before("accept"))
}

/// Sessions with their last reading, by name.
fn sessions() -> Vec<(&'static str, State)> {
    let marked = Lines::required().with("bypass", "no").with("reference-mark", "18").with("reference", "7.85");
    let empty = Lines::required().with("reference", "0.2").with("reading", "0.14");
    vec![
        ("inside", after(&["5.66"])),
        ("above", after(&["7.02"])),
        ("below", after(&["4.40"])),
        ("borderline, too many volts", after(&["5.93"])),
        ("borderline, too few volts", after(&["5.34"])),
        ("off the scale", after(&["1.20"])),
        ("a span", after(&["5.61..5.70"])),
        ("repeats", after(&["5.61 5.64 5.66"])),
        ("the right way", after(&["7.02", "6.21"])),
        ("past it", after(&["7.02", "4.90"])),
        ("the wrong way", after(&["6.21", "7.02"])),
        ("at the reference", after(&["8.00"])),
        ("a slip", after(&["56.6"])),
        ("two corners", hump("8.5")),
        ("one corner below the hump", hump("5.90")),
        ("above any hump", hump("12")),
        ("with the filter at its mark", play(&marked.before("accept"))),
        ("no accept zone", play(&empty.before("accept"))),
    ]
}

#[test]
fn readings() {
    pages("reading", |screen| {
        sessions().iter().map(|(name, state)| page(name, screens::reading(state, screen))).collect()
    });
}

/// Without large letters and gauge every word is still there.
#[test]
fn plain_readings() {
    let mut all = String::new();
    for (name, state) in sessions() {
        let plain = screens::reading(&state, Screen::new(80, true));
        all.push_str(&format!("== {name}\n{}", text(&plain, 80)));
        let words = |lines: &[Line]| -> String {
            let kept = lines.iter().filter(|line| line.text.contains(|c: char| c.is_lowercase()));
            kept.map(|line| line.text.as_str()).collect::<Vec<_>>().join("\n")
        };
        assert_eq!(words(&plain), words(&screens::reading(&state, Screen::new(80, false))), "{name}");
    }
    crate::assert_screen!("screen-reading-plain", all);
}

#[test]
fn strikes() {
    pages("strike", |screen| {
        vec![
            page("one is left", last_news(&after(&["5.66", "76.8", "strike 2 decimal point"]), screen)),
            page("none is left", last_news(&after(&["76.8", "strike 1 decimal point"]), screen)),
        ]
    });
}

#[test]
fn the_working_of_a_reading() {
    pages("reading-working", |screen| {
        let mut all: Vec<(String, Vec<Line>)> =
            sessions().iter().map(|(name, state)| page(name, screens::all_working(state, screen))).collect();
        all.push(page("no reading yet", screens::all_working(&play(&Lines::required().before("reading")), screen)));
        all
    });
}
