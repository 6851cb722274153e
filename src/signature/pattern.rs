//! Lists of patterns as OpenSSH matches them (PATTERNS in `man ssh_config`): by bytes, case and all.

/// The longest pattern that OpenSSH matches, in bytes.
pub(super) const PATTERN_MAX: usize = 1022;

/// Patterns between commas.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Patterns(Vec<Pattern>);

#[derive(Debug, Clone, PartialEq)]
struct Pattern {
    negated: bool,
    text: String,
}

/// What a list says of a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Match {
    /// A pattern has it, none refuses it.
    Has,
    /// A negated pattern has it.
    Refuses,
    /// None has it.
    Misses,
}

impl Patterns {
    /// Reads a list, where no pattern in it is too long.
    pub(super) fn parse(list: &str) -> Option<Self> {
        let patterns = list.split(',').map(|pattern| match pattern.strip_prefix('!') {
            Some(text) => Pattern { negated: true, text: text.to_owned() },
            None => Pattern { negated: false, text: pattern.to_owned() },
        });
        let patterns: Vec<Pattern> = patterns.collect();
        patterns.iter().all(|pattern| pattern.text.len() <= PATTERN_MAX).then_some(Self(patterns))
    }

    pub(super) fn look_up(&self, word: &str) -> Match {
        let mut found = Match::Misses;
        for pattern in &self.0 {
            if fits(word.as_bytes(), pattern.text.as_bytes()) {
                if pattern.negated {
                    return Match::Refuses;
                }
                found = Match::Has;
            }
        }
        found
    }
}

/// Whether a word fits a pattern, in which `*` stands for anything and `?` for one byte.
pub fn fits_pattern(word: &str, pattern: &str) -> bool {
    fits(word.as_bytes(), pattern.as_bytes())
}

/// Whether a word fits a pattern. `*` stands for any bytes and `?` for one; after a byte that does not fit, only the last
/// `*` is made longer, so that no pattern takes long.
fn fits(word: &[u8], pattern: &[u8]) -> bool {
    let (mut at, mut next) = (0, 0);
    let mut star = None;
    while at < word.len() {
        match pattern.get(next) {
            Some(b'*') => {
                star = Some((at, next));
                next += 1;
            }
            Some(&byte) if byte == b'?' || byte == word[at] => {
                at += 1;
                next += 1;
            }
            _ => {
                let Some((from, place)) = star else {
                    return false;
                };
                star = Some((from + 1, place));
                (at, next) = (from + 1, place + 1);
            }
        }
    }
    pattern[next..].iter().all(|byte| *byte == b'*')
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The definition, word by word: what every `*` could stand for is tried.
    fn by_definition(word: &[u8], pattern: &[u8]) -> bool {
        match pattern.split_first() {
            None => word.is_empty(),
            Some((b'*', rest)) => (0..=word.len()).any(|cut| by_definition(&word[cut..], rest)),
            Some((byte, rest)) => {
                word.first().is_some_and(|first| *byte == b'?' || byte == first) && by_definition(&word[1..], rest)
            }
        }
    }

    #[test]
    fn a_negated_pattern_wins_wherever_it_stands() {
        for (list, word, found) in [
            ("ada,bo", "bo", Match::Has),
            ("*,!bo", "bo", Match::Refuses),
            ("!bo,*", "bo", Match::Refuses),
            ("!bo", "ada", Match::Misses),
            ("Ada", "ada", Match::Misses),
            ("a,", "", Match::Has),
            ("??", "ä", Match::Has),
        ] {
            assert_eq!(Patterns::parse(list).unwrap().look_up(word), found, "{list} {word}");
        }
        assert_eq!(Patterns::parse(&"a".repeat(PATTERN_MAX + 1)), None);
    }

    proptest! {
        #[test]
        fn patterns_mean_what_they_are_defined_to(word in "[ab]{0,8}", pattern in "[ab*?]{0,8}") {
            prop_assert_eq!(fits(word.as_bytes(), pattern.as_bytes()), by_definition(word.as_bytes(), pattern.as_bytes()));
        }
    }
}
