//! What can be done at the bench, and how it is typed.

use std::fmt;

use crate::quantity::{Hertz, Refusal, entry, ranges};

/// What can be done at the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// Turn the knob to a place on its dial, 0 to 10.
    Turn(f64),
    /// Play a tone.
    Play(Hertz),
    /// Set the amplifier's volume, in its own steps.
    Volume(u32),
    /// Switch the filter in.
    In,
    /// Switch the filter out.
    Out,
    /// Look at the meter again.
    Look,
}

impl fmt::Display for Move {
    /// As it is typed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Turn(dial) => write!(f, "turn {dial}"),
            Self::Play(tone) => write!(f, "play {}", tone.hz()),
            Self::Volume(step) => write!(f, "volume {step}"),
            Self::In => f.write_str("in"),
            Self::Out => f.write_str("out"),
            Self::Look => f.write_str("look"),
        }
    }
}

/// A move, where the first word names one.
pub(super) fn read(typed: &str) -> Option<Result<Move, Refusal>> {
    let typed = typed.trim();
    let (word, rest) = typed.split_once(char::is_whitespace).unwrap_or((typed, ""));
    let rest = rest.trim();
    let to = rest.strip_prefix("to ").unwrap_or(rest);
    let alone = |a_move: Move| rest.is_empty().then_some(Ok(a_move));
    match word.to_lowercase().as_str() {
        "turn" => Some(entry::parse(to, &ranges::DIAL).map(Move::Turn)),
        "play" => Some(entry::parse(rest, &ranges::TONE.named("play")).map(|hz| Move::Play(Hertz::new(hz)))),
        "volume" => Some(entry::parse(to, &ranges::VOLUME_STEP).map(|step| Move::Volume(step as u32))),
        "in" => alone(Move::In),
        "out" => alone(Move::Out),
        "look" => alone(Move::Look),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn moves_as_people_type_them() {
        for (typed, a_move) in [
            ("turn 4.2", Move::Turn(4.2)),
            ("  TURN   4,2 ", Move::Turn(4.2)),
            ("turn 0", Move::Turn(0.0)),
            ("turn to 7", Move::Turn(7.0)),
            ("Play 27", Move::Play(Hertz::new(27.0))),
            ("play 31.5 Hz", Move::Play(Hertz::new(31.5))),
            ("play 0.027kHz", Move::Play(Hertz::new(27.0))),
            ("volume 12", Move::Volume(12)),
            ("in", Move::In),
            ("OUT", Move::Out),
            ("look", Move::Look),
        ] {
            assert_eq!(read(typed), Some(Ok(a_move)), "{typed}");
        }
        for typed in ["", "5.66", "inside", "output stage", "in the car", "out of reach", "turned 4", "w", "5.61..5.70"]
        {
            assert_eq!(read(typed), None, "{typed}");
        }
    }

    #[test]
    fn a_move_without_its_number_is_refused() {
        for (typed, words) in [
            ("turn", "dial: nothing was given; accepted: 0 to 10"),
            ("turn 10.5", "dial: `10.5` is out of range; accepted: 0 to 10"),
            ("turn up", "dial: `up` is not a number; accepted: 0 to 10"),
            ("play 3 V", "play: `3 V` is a voltage; accepted: 5 to 200 Hz"),
            ("volume 2.5", "volume: `2.5` is not a whole number; accepted: a whole number from 0 to 30"),
        ] {
            assert_eq!(read(typed).unwrap().unwrap_err().to_string(), words, "{typed}");
        }
    }

    proptest! {
        #[test]
        fn nothing_panics(text in any::<String>(), word in "turn|play|volume|in|out|look") {
            let _ = read(&text);
            let _ = read(&format!("{word} {text}"));
        }
    }
}
