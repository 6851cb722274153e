//! Safety at the bench, in words.

use super::draft::Draft;
use super::numbers::{between, volts};
use crate::chance::Chance;
use crate::learn::exercise::Figures;
use crate::plan::HAZARDOUS;
use crate::quantity::Volts;
use crate::session::CAUTIONS;

pub(super) fn hazard(figures: Figures, chance: &mut Chance) -> Draft {
    let places = match figures {
        Figures::Two => 0,
        Figures::Three => 2,
    };
    let (low, high) = *chance.one_of(&[(8.0, 27.0), (34.0, 90.0)]);
    let reading = between(chance, low, high, places);
    let ask = format!("A meter shows {} rms at an amplifier's terminals. Are they hazardous to touch?", volts(reading));
    let draft = |right| Draft::word(ask, &[("reading_v", reading)], right, &["yes", "no"]);
    let line = HAZARDOUS.volts();
    if Volts::new(reading) > HAZARDOUS {
        draft("yes")
            .working(format!("{reading} V > {line} V rms, where hazardous to touch begins"))
            .mistaken_word("no", format!("That takes it for harmless: above {line} V rms an output can hurt."))
    } else {
        draft("no").working(format!("{reading} V < {line} V rms, where hazardous to touch begins")).mistaken_word(
            "yes",
            format!("Below {line} V rms it is not counted as hazardous; hands stay off all the same."),
        )
    }
}

/// A question about the page of cautions.
struct Case {
    ask: &'static str,
    right: &'static str,
    of: &'static [&'static str],
    /// What is said of each word that is wrong.
    wrong: &'static [(&'static str, &'static str)],
    /// The place of the caution that answers it.
    caution: usize,
}

const CASES: [Case; 10] = [
    Case {
        ask: "Where are the speakers before any tone is played?",
        right: "disconnected",
        of: &["disconnected", "connected"],
        wrong: &[("connected", "A low tone through a speaker can ruin it, and its impedance is no matter here.")],
        caution: 0,
    },
    Case {
        ask: "One channel of an amplifier with several is set. From which outputs are speakers taken off?",
        right: "every",
        of: &["every", "that one"],
        wrong: &[("that one", "A tone or a mistake can reach the other channels too.")],
        caution: 0,
    },
    Case {
        ask: "While a probe touches a live terminal, how many hands are on the chassis?",
        right: "none",
        of: &["none", "one"],
        wrong: &[("one", "A hand on the chassis closes the path through the body.")],
        caution: 1,
    },
    Case {
        ask: "Which terminals of a bridged output are live against the chassis?",
        right: "both",
        of: &["both", "plus", "minus", "neither"],
        wrong: &[
            ("plus", "A bridged output has no ground side: the minus terminal is driven too."),
            ("minus", "A bridged output has no ground side: the plus terminal is driven too."),
            ("neither", "A bridged output is driven at its two terminals."),
        ],
        caution: 2,
    },
    Case {
        ask: "Where is the meter clipped on a bridged output: across the two terminals, or from one of them to the chassis?",
        right: "across",
        of: &["across", "chassis"],
        wrong: &[(
            "chassis",
            "From one terminal to the chassis it shows half the voltage, and ties a live side to it.",
        )],
        caution: 2,
    },
    Case {
        ask: "May a grounded instrument be connected to a bridged output?",
        right: "no",
        of: &["yes", "no"],
        wrong: &[("yes", "Its ground lead would short one of the live terminals.")],
        caution: 2,
    },
    Case {
        ask: "Which function is the meter switched to?",
        right: "ac volts",
        of: &["ac volts", "dc volts", "amperes"],
        wrong: &[
            ("dc volts", "A tone has no direct part: a meter on DC shows next to nothing, and looks safe."),
            ("amperes", "On amperes the meter is a short across the output."),
        ],
        caution: 3,
    },
    Case {
        ask: "Which sockets of the meter do the leads go into?",
        right: "voltage",
        of: &["voltage", "current"],
        wrong: &[("current", "In the current sockets the meter is a short across the output.")],
        caution: 3,
    },
    Case {
        ask: "What is done with the level before the speakers go back on?",
        right: "turned down",
        of: &["turned down", "left", "turned up"],
        wrong: &[
            ("left", "The first tone through the speakers would be at that level."),
            ("turned up", "A low tone at full level can ruin drivers and hearing."),
        ],
        caution: 4,
    },
    Case {
        ask: "This program and the maker's manual say different things. Which of them counts?",
        right: "manual",
        of: &["manual", "program"],
        wrong: &[("program", "The program knows no product; the maker does.")],
        caution: 6,
    },
];

pub(super) fn bench(_: Figures, chance: &mut Chance) -> Draft {
    let place = chance.below(CASES.len());
    let case = &CASES[place];
    let draft = Draft::word(case.ask.to_owned(), &[("case", place as f64)], case.right, case.of)
        .working(CAUTIONS[case.caution]);
    case.wrong.iter().fold(draft, |draft, (word, why)| draft.mistaken_word(word, *why))
}
