//! Moves as notes of a session: written down as they are made, and made again from what was written down.

use super::bench::Bench;
use super::moves::Move;

/// The head of a note that keeps a move.
const MOVE: &str = "bench: ";
/// What stands between a move and what the meter showed then.
const SHOWED: &str = " -> ";

/// The note that keeps a move, with what the meter showed after it: `bench: turn 4.2 -> 5.61 5.64 V`.
pub fn note(a_move: Move, shown: &[String]) -> String {
    let is_number = shown.iter().all(|text| text.starts_with(|first: char| first.is_ascii_digit()));
    let unit = if is_number { " V" } else { "" };
    format!("{MOVE}{a_move}{SHOWED}{}{unit}", shown.join(" "))
}

/// The move that a note keeps, as it is typed; `None` where it keeps none.
pub fn noted(text: &str) -> Option<&str> {
    text.strip_prefix(MOVE)?.split_once(SHOWED).map(|(typed, _)| typed)
}

impl Bench {
    /// Makes the move of a note again; whether the note keeps one that leads to what it says. A note that a person typed does
    /// not, nor does one of a version whose benches were others.
    pub fn make_again(&mut self, text: &str) -> bool {
        let Some(Ok(a_move)) = noted(text).and_then(Self::read) else { return false };
        let mut moved = self.clone();
        let leads_there = moved.make(a_move).is_ok() && note(a_move, &moved.shown()) == text;
        if leads_there {
            *self = moved;
        }
        leads_there
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::Level;

    #[test]
    fn a_note_makes_its_move_again_and_no_other_text_does() {
        let mut bench = Bench::new(Level::Friendly, 1);
        let mut again = bench.clone();
        for typed in ["play 27", "volume 20", "turn\t4.2", "out", "Look"] {
            let a_move = Bench::read(typed).unwrap().unwrap();
            bench.make(a_move).unwrap();
            let text = note(a_move, &bench.shown());
            assert_eq!(Bench::read(noted(&text).unwrap()), Some(Ok(a_move)), "{text}");
            assert!(again.make_again(&text), "{text}");
            assert_eq!(again, bench);
        }
        for none in
            ["turn 5", "bench: turn 5", "bench: turn 5 -> 5 V", "bench: dance -> 1 V", "the customer waits -> 5 V"]
        {
            assert!(!again.make_again(none), "{none}");
            assert_eq!(again, bench, "{none}");
        }
    }
}
