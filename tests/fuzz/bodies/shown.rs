//! What a person is shown: harmless to a terminal, and no number in it that is none.

use cornerset::screens::{Line, Screen};

/// The screens that are tried: the widest with all drawings, and the narrowest without.
pub fn screens() -> [Screen; 2] {
    [Screen::new(80, false), Screen::new(40, true)]
}

/// Holds lines of a screen to [`harmless`] and [`figures`]; `given` is what came from outside.
#[track_caller]
pub fn lines(lines: &[Line], given: &str) {
    for line in lines {
        assert!(!line.text.contains('\n'), "more than a line: {:?}", line.text);
        text(&line.text, given);
    }
}

/// Holds a text to [`harmless`] and [`figures`].
#[track_caller]
pub fn text(text: &str, given: &str) {
    harmless(text);
    figures(text, given);
}

/// Holds a page to the same. A page keeps `+-` and its number in one row by a word joiner, where a terminal has no such thing.
#[track_caller]
pub fn page(page: &str, given: &str) {
    text(&page.replace("+-\u{2060}\u{a0}", "+-\u{a0}"), given);
}

/// Nothing that a terminal acts on, that cannot be seen, or that turns the order of what is read; line ends are no harm.
#[track_caller]
pub fn harmless(text: &str) {
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n')) {
        return;
    }
    if let Some(harm) = text.chars().find(|&character| character != '\n' && is_harm(character)) {
        panic!("U+{:04X} is shown in {text:?}", u32::from(harm));
    }
}

/// Controls (general category Cc), the explicit marks of the Unicode bidirectional algorithm (UAX #9, table 1 of its
/// section 2, from memory), line and paragraph separators, what has no width, and tags.
fn is_harm(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{061C}' | '\u{FEFF}'
            | '\u{E0000}'..='\u{E007F}')
}

/// No word is a number that is none, as Rust writes it; what was given may have such a word itself.
#[track_caller]
pub fn figures(text: &str, given: &str) {
    for none in ["NaN", "inf"] {
        let is_shown =
            text.contains(none) && text.split(|other: char| !other.is_alphanumeric()).any(|word| word == none);
        let is_given = || given.to_lowercase().contains(&none.to_lowercase());
        assert!(!is_shown || is_given(), "{none} is shown in {text:?}");
    }
}
