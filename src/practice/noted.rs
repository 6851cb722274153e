//! Moves as notes of a session: written down as they are made, and made again from what was written down.

use super::bench::Bench;

/// The head of a note that keeps a move.
const MOVE: &str = "bench: ";
/// What stands between a move and what the meter showed then.
const SHOWED: &str = " -> ";

/// The note that keeps a move, with what the meter showed after it: `bench: turn 4.2 -> 5.61 5.64 V`.
pub fn note(typed: &str, shown: &[String]) -> String {
    format!("{MOVE}{}{SHOWED}{} V", typed.trim(), shown.join(" "))
}

/// The move that a note keeps, as it was typed; `None` where it keeps none.
pub fn noted(text: &str) -> Option<&str> {
    let text = text.strip_prefix(MOVE)?;
    Some(text.split_once(SHOWED).map_or(text, |(typed, _)| typed))
}

impl Bench {
    /// Makes the move of a note again; whether the note keeps one that can be made.
    pub fn make_again(&mut self, text: &str) -> bool {
        // What this version cannot do any more was not done.
        matches!(noted(text).and_then(Self::read), Some(Ok(a_move)) if self.make(a_move).is_ok())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::Level;

    #[test]
    fn a_note_makes_its_move_again() {
        let text = note(" turn 4.2 ", &["5.61".to_owned(), "5.64".to_owned()]);
        assert_eq!(text, "bench: turn 4.2 -> 5.61 5.64 V");
        assert_eq!(noted(&text), Some("turn 4.2"));
        assert_eq!(noted("the customer waits -> 5 V"), None);
        let mut bench = Bench::new(Level::Friendly, 1);
        assert!(bench.make_again(&text));
        assert!((bench.dial() - 4.2).abs() < 1e-12);
        for none in ["turn 5", "bench: dance -> 1 V", "bench: turn 11 -> 1 V"] {
            assert!(!bench.make_again(none), "{none}");
        }
    }
}
