//! A word in letters five lines high, to be read from a metre away.

/// Rows of a letter.
const ROWS: usize = 5;

/// Letters of five columns; only those that the calls need.
const LETTERS: [(char, [&str; ROWS]); 18] = [
    ('A', [" ### ", "#   #", "#####", "#   #", "#   #"]),
    ('B', ["#### ", "#   #", "#### ", "#   #", "#### "]),
    ('C', [" ####", "#    ", "#    ", "#    ", " ####"]),
    ('D', ["#### ", "#   #", "#   #", "#   #", "#### "]),
    ('E', ["#####", "#    ", "###  ", "#    ", "#####"]),
    ('H', ["#   #", "#   #", "#####", "#   #", "#   #"]),
    ('I', ["#####", "  #  ", "  #  ", "  #  ", "#####"]),
    ('K', ["#   #", "#  # ", "###  ", "#  # ", "#   #"]),
    ('L', ["#    ", "#    ", "#    ", "#    ", "#####"]),
    ('N', ["#   #", "##  #", "# # #", "#  ##", "#   #"]),
    ('O', [" ### ", "#   #", "#   #", "#   #", " ### "]),
    ('P', ["#### ", "#   #", "#### ", "#    ", "#    "]),
    ('R', ["#### ", "#   #", "#### ", "#  # ", "#   #"]),
    ('T', ["#####", "  #  ", "  #  ", "  #  ", "  #  "]),
    ('U', ["#   #", "#   #", "#   #", "#   #", " ### "]),
    ('V', ["#   #", "#   #", "#   #", " # # ", "  #  "]),
    ('W', ["#   #", "#   #", "# # #", "## ##", "#   #"]),
    (' ', ["   ", "   ", "   ", "   ", "   "]),
];

/// The rows of a word; `None` where a letter is missing or the word is wider than the columns.
pub(super) fn banner(word: &str, columns: usize) -> Option<Vec<String>> {
    let letters: Vec<&[&str; ROWS]> = word
        .to_uppercase()
        .chars()
        .map(|letter| LETTERS.iter().find(|(name, _)| *name == letter).map(|(_, rows)| rows))
        .collect::<Option<_>>()?;
    let rows: Vec<String> = (0..ROWS)
        .map(|row| letters.iter().map(|letter| letter[row]).collect::<Vec<_>>().join(" ").trim_end().to_owned())
        .collect();
    rows.iter().all(|row| row.len() <= columns).then_some(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_call_has_its_letters_and_fits_sixty_columns() {
        for call in ["TURN UP", "TURN DOWN", "LEAVE IT", "A BIT UP", "A BIT DOWN", "HOLD", "CHECK"] {
            assert_eq!(banner(call, 60).map(|rows| rows.len()), Some(ROWS), "{call}");
        }
        assert_eq!(banner("turn down", 40), None);
        assert_eq!(banner("?", 60), None);
    }
}
