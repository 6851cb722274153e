//! What the meter should read: the plan, its warnings, its working.

use cornerset::plan::planning;
use cornerset::screens::{self, Line, Screen};
use cornerset::session::State;

use crate::common::lines::Lines;
use crate::play::{page, pages, play};

/// Sessions up to the reference, by name.
fn plans() -> Vec<(&'static str, State)> {
    let plain = || Lines::required().before("reading");
    let q = |q: &str| plain().with("slope", "12").with("family", "second-order").with("q", q);
    let cases = [
        ("as usual", plain()),
        ("the true half octave", plain().with("rule", "half-octave")),
        ("a tolerance in decibels", plain().with("tolerance", "0.5 dB").with("range-held", "no")),
        (
            "a filter at its mark",
            plain()
                .with("slope", "12")
                .with("family", "linkwitz-riley")
                .with("bypass", "no")
                .with("reference-mark", "18"),
        ),
        ("a tone that is not the corner", plain().with("family", "linkwitz-riley").with("tone", "31.5")),
        (
            "a corner of one's own, tuning unknown",
            plain().with("tuning", "unknown").with("rule", "own").with("corner", "24.75"),
        ),
        ("a corner above the tuning", plain().with("rule", "own").with("corner", "40.5")),
        ("second order with a hump", q("1.2")),
        ("a high hump", q("3")),
        ("Bessel", plain().with("family", "bessel")),
        ("a tone far above", plain().with("tone", "54")),
        ("a window that passes the reference", plain().with("tone", "54").with("tolerance", "0.5 dB")),
        ("an empty accept zone", plain().with("reference", "0.2")),
        (
            "a meter that may change range, and none of the zone left",
            plain().with("range-held", "no").with("meter-accuracy", "5"),
        ),
        ("a coarse display", plain().with("meter-resolution", "1 V")),
        ("a narrow zone", plain().with("meter-resolution", "0.1 V").with("meter-digits", "1").with("tolerance", "2")),
        ("a hazardous reference", plain().with("reference", "33")),
        ("a guessed family", plain().with("family", "unknown")),
        ("a guess that is none", plain().with("slope", "30").with("family", "unknown")),
        ("a corner at 5 % of a wide window", plain().with("tolerance", "5 %")),
    ];
    cases.into_iter().map(|(name, lines)| (name, play(&lines))).collect()
}

fn draw(lines: impl Fn(&State) -> Vec<Line>) -> Vec<(String, Vec<Line>)> {
    plans().iter().map(|(name, state)| page(name, lines(state))).collect()
}

#[test]
fn plans_and_their_warnings() {
    pages("plan", |screen: Screen| draw(|state| screens::plan(state.plan().expect("a plan"), screen)));
}

#[test]
fn the_working_of_a_plan() {
    pages("plan-working", |screen: Screen| {
        draw(|state| screens::working(&planning(state.plan().expect("a plan")), screen))
    });
}
