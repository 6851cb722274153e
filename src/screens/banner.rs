//! A word in letters five lines high, to be read from a metre away.

/// Rows of a letter.
const ROWS: usize = 5;

/// Letters of five columns; only those that verdicts need.
const LETTERS: [(char, [&str; ROWS]); 12] = [
    ('A', [" ### ", "#   #", "#####", "#   #", "#   #"]),
    ('B', ["#### ", "#   #", "#### ", "#   #", "#### "]),
    ('D', ["#### ", "#   #", "#   #", "#   #", "#### "]),
    ('E', ["#####", "#    ", "###  ", "#    ", "#####"]),
    ('I', ["#####", "  #  ", "  #  ", "  #  ", "#####"]),
    ('L', ["#    ", "#    ", "#    ", "#    ", "#####"]),
    ('N', ["#   #", "##  #", "# # #", "#  ##", "#   #"]),
    ('O', [" ### ", "#   #", "#   #", "#   #", " ### "]),
    ('R', ["#### ", "#   #", "#### ", "#  # ", "#   #"]),
    ('S', [" ####", "#    ", " ### ", "    #", "#### "]),
    ('V', ["#   #", "#   #", "#   #", " # # ", "  #  "]),
    ('W', ["#   #", "#   #", "# # #", "## ##", "#   #"]),
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
    use crate::meter::Verdict;

    #[test]
    fn every_verdict_has_its_letters_and_fits_sixty_columns() {
        for verdict in [Verdict::Inside, Verdict::Borderline, Verdict::Above, Verdict::Below] {
            assert_eq!(banner(verdict.word(), 60).map(|rows| rows.len()), Some(ROWS), "{verdict}");
        }
        assert_eq!(banner("borderline", 50), None);
    }
}
