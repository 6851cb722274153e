//! Safety at the bench, in words.

use super::draft::Draft;
use super::kind::Form;
use super::numbers::{between, volts};
use crate::chance::Chance;
use crate::learn::exercise::{Exercise, Figures};
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
    let ask = format!(
        "A meter shows {} rms at an amplifier's terminals. Is that above the line that the cautions name?",
        volts(reading)
    );
    let draft = |right| Draft::word(ask, &[("reading_v", reading)], right, &["yes", "no"]);
    let line = HAZARDOUS.volts();
    if Volts::new(reading) > HAZARDOUS {
        draft("yes")
            .working(format!("{reading} V > {line} V rms, the line that the cautions name"))
            .mistaken_word("no", format!("It is above {line} V rms, which the cautions call hazardous to touch."))
    } else {
        draft("no")
            .working(format!("{reading} V < {line} V rms, the line that the cautions name"))
            .mistaken_word("yes", format!("It is below {line} V rms; hands stay off all the same."))
    }
}

/// A question about the page of cautions.
struct Case {
    ask: &'static str,
    right: &'static str,
    of: &'static [&'static str],
    /// What is said of each word that is wrong.
    wrong: &'static [(&'static str, &'static str)],
    /// What answers it.
    because: &'static str,
}

/// The places of the cases that the lesson on safety asks about.
pub(in crate::learn) const WHAT_FIRST: usize = 10;
pub(in crate::learn) const EVERY_OUTPUT: usize = 1;
pub(in crate::learn) const BEFORE_SPEAKERS: usize = 11;
pub(in crate::learn) const FIRST_SOUND: usize = 12;

const CASES: [Case; 13] = [
    Case {
        ask: "Where are the speakers before any tone is played?",
        right: "disconnected",
        of: &["disconnected", "connected"],
        wrong: &[("connected", "A low tone through a speaker can ruin it, and its impedance is no matter here.")],
        because: CAUTIONS[0],
    },
    Case {
        ask: "One channel of an amplifier with several is set. From which outputs are speakers taken off?",
        right: "every",
        of: &["every", "that one"],
        wrong: &[("that one", "A tone or a mistake can reach the other channels too.")],
        because: CAUTIONS[0],
    },
    Case {
        ask: "While a probe touches a live terminal, how many hands are on the chassis?",
        right: "none",
        of: &["none", "one"],
        wrong: &[("one", "A hand on the chassis closes the path through the body.")],
        because: CAUTIONS[1],
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
        because: CAUTIONS[2],
    },
    Case {
        ask: "Where is the meter clipped on a bridged output: across the two terminals, or from one of them to the chassis?",
        right: "across",
        of: &["across", "chassis"],
        wrong: &[(
            "chassis",
            "From one terminal to the chassis it shows half the voltage, and ties a live side to it.",
        )],
        because: CAUTIONS[2],
    },
    Case {
        ask: "May a grounded instrument be connected to a bridged output?",
        right: "no",
        of: &["yes", "no"],
        wrong: &[("yes", "Its ground lead would short one of the live terminals.")],
        because: CAUTIONS[2],
    },
    Case {
        ask: "Which function is the meter switched to?",
        right: "ac volts",
        of: &["ac volts", "dc volts", "amperes"],
        wrong: &[
            ("dc volts", "A tone is AC: a meter on DC shows next to nothing, and looks safe."),
            ("amperes", "On amperes the meter is a short across the output."),
        ],
        because: CAUTIONS[3],
    },
    Case {
        ask: "Which sockets of the meter do the leads go into?",
        right: "voltage",
        of: &["voltage", "current"],
        wrong: &[("current", "In the current sockets the meter is a short across the output.")],
        because: CAUTIONS[3],
    },
    Case {
        ask: "What is done with the level before the speakers go back on?",
        right: "turned down",
        of: &["turned down", "left", "turned up"],
        wrong: &[
            ("left", "The first tone through the speakers would be at that level."),
            ("turned up", "A low tone at full level can ruin drivers and hearing."),
        ],
        because: CAUTIONS[4],
    },
    Case {
        ask: "This program and the maker's manual say different things. Which of them counts?",
        right: "manual",
        of: &["manual", "program"],
        wrong: &[("program", "The program knows no product; the maker does.")],
        because: CAUTIONS[6],
    },
    Case {
        ask: "The amplifier is on the bench, its speakers still connected. Which comes first, the tone or taking the \
              speakers off?",
        right: "speakers",
        of: &["speakers", "tone"],
        wrong: &[(
            "tone",
            "A low tone at the level of the measurement can ruin the driver before the first reading is taken.",
        )],
        because: CAUTIONS[0],
    },
    Case {
        ask: "The knob stands right. What comes first now: level down, or speakers on?",
        right: "level",
        of: &["level", "speakers"],
        wrong: &[(
            "speakers",
            "The tone still plays at the level of the reference. It would go straight into the driver.",
        )],
        because: CAUTIONS[4],
    },
    Case {
        ask: "The knob stands right and the speakers are back on. What is the first sound: quiet music, or the test tone \
              once more?",
        right: "music",
        of: &["music", "tone"],
        wrong: &[("tone", "That is the sound that ruins a driver where something is still wrong.")],
        because: "After a measurement quiet music comes first: a low tone can be far louder than it sounds.",
    },
];

pub(super) fn bench(_: Figures, chance: &mut Chance) -> Draft {
    case(chance.below(CASES.len()))
}

/// The question about the page of cautions that stands at this place.
fn case(place: usize) -> Draft {
    let case = &CASES[place];
    let draft = Draft::word(case.ask.to_owned(), &[("case", place as f64)], case.right, case.of).working(case.because);
    case.wrong.iter().fold(draft, |draft, (word, why)| draft.mistaken_word(word, *why))
}

/// The same as a question of a lesson.
pub(in crate::learn) fn bench_case(place: usize) -> Exercise {
    case(place).into_exercise(Form::SafeBench)
}
