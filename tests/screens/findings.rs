//! What several readings say: exploring, the sweep, and the lines that lead there.

use cornerset::screens::{self, Line};
use cornerset::session::State;

use crate::common::lines::Lines;
use crate::play::{page, pages, play, told};

/// A session up to the reference, in which these pairs found the family.
fn explored(pairs: &[&str]) -> State {
    let lines = Lines::required().with("slope", "unknown").with("meter-resolution", "0.001").before("reading");
    play(&pairs.iter().fold(lines, |lines, pair| lines.and("explore", pair)))
}

/// A session after the sweep.
fn swept(lines: Lines, pairs: &[&str]) -> State {
    let lines = pairs.iter().fold(lines, |lines, pair| lines.and("sweep", pair)).with("note", "swept");
    play(&lines.without("sign-off"))
}

#[test]
fn what_exploring_finds() {
    pages("explored", |screen| {
        vec![
            page("one filter only", screens::explored(&explored(&["18=0.918/8", "30=4.000/8", "48=6.940/8"]), screen)),
            page("others are left open", screens::explored(&explored(&["27=5.657/8", "29=6.387/8"]), screen)),
            page(
                "against the reference of the session",
                screens::explored(&explored(&["18=0.918", "30=4.000"]), screen),
            ),
            page("nothing was explored", screens::explored(&play(&Lines::required().before("reading")), screen)),
        ]
    });
}

#[test]
fn what_the_sweep_finds() {
    let plain = Lines::required;
    pages("swept", |screen| {
        let show = |state: State| screens::swept(&state, screen);
        vec![
            page("confirmed", show(swept(plain(), &["14 = 0.58 / 8", "20=2.31/8", "38=7.75/8"]))),
            page("confirmed, others left open", show(swept(plain(), &["30 = 6.74 / 8"]))),
            page("another filter", show(swept(plain().with("reason", "it stays"), &["20=3.90/8", "38=7.00/8"]))),
            page("cannot rule out the one in use", show(swept(plain(), &["28 = 5.98 / 8"]))),
            page("a poor fit", show(swept(plain().with("reason", "it stays"), &["20=9/8", "38=9/8"]))),
            page("no filter fits", show(swept(plain().with("reason", "it stays"), &["20=30/8", "38=30/8"]))),
            page("no sweep", show(swept(plain(), &[]))),
        ]
    });
}

/// Everything that is said along the way of a session with both.
#[test]
fn what_is_said_along_the_way() {
    pages("news", |screen| {
        let lines = Lines::required()
            .with("family", "unknown")
            .with("gain", "no")
            .with("rated-power", "450 W")
            .with("load", "2 ohm")
            .with("explore", "20=2.31/8")
            .and("explore", "36=7.67")
            .with("reading", "7.02")
            .and("reading", "5.66")
            .with("sweep", "20=2.31")
            .and("sweep", "38=7.75/7.98")
            .with("note", "painted");
        let mut said: Vec<(String, Vec<Line>)> = vec![];
        told(&lines, |state, entry| {
            let lines = screens::news(state, entry, false, screen);
            if !lines.is_empty() {
                said.push(page(entry.event(), lines));
            }
        });
        said
    });
}
