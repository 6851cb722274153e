//! Text that a spreadsheet must not take for a formula.

use std::borrow::Cow;

use crate::quantity::text::visible;

/// The mark that makes a cell text.
const MARK: char = '\'';

/// Text as a cell of CSV: what acts on a terminal or cannot be seen as its code point, and a single quote in front
/// where a spreadsheet could take the text for a formula.
///
/// Text that starts with a single quote gets another one, so that taking one away from every text that starts with it
/// gives the text again. CSV injection is CWE-1236 (improper neutralization of formula elements in a CSV file).
pub(super) fn guarded(text: &str) -> Cow<'_, str> {
    let mark = if text.starts_with(MARK) || may_act(text) { "'" } else { "" };
    let harmless = !text.chars().any(is_hidden);
    if harmless && mark.is_empty() { Cow::Borrowed(text) } else { Cow::Owned(format!("{mark}{}", visible(text))) }
}

/// Whether the first character that can be seen starts a formula, or a tab or line end stands before it.
fn may_act(text: &str) -> bool {
    for character in text.chars() {
        if matches!(character, '\t' | '\r' | '\n') || starts_formula(character) {
            return true;
        }
        if !is_blank(character) {
            return false;
        }
    }
    false
}

/// `=`, `+`, `-`, `@`, and every character whose compatibility form (NFKC of the Unicode standard) starts with one of
/// them: full width, small, raised, lowered, doubled.
const fn starts_formula(character: char) -> bool {
    matches!(
        character,
        '=' | '+'
            | '-'
            | '@'
            | '\u{207A}'
            | '\u{207C}'
            | '\u{208A}'
            | '\u{208C}'
            | '\u{2A75}'
            | '\u{2A76}'
            | '\u{FB29}'
            | '\u{FE62}'
            | '\u{FE63}'
            | '\u{FE66}'
            | '\u{FE6B}'
            | '\u{FF0B}'
            | '\u{FF0D}'
            | '\u{FF1D}'
            | '\u{FF20}'
    )
}

/// Blank or nothing to the eye.
fn is_blank(character: char) -> bool {
    character.is_whitespace() || is_hidden(character) || draws_nothing(character)
}

/// What [`visible`] spells out.
fn is_hidden(character: char) -> bool {
    !matches!(character, ' '..='~') && visible(character.encode_utf8(&mut [0; 4])).chars().nth(1).is_some()
}

/// Characters that [`visible`] leaves as they are because text needs them, and that draw nothing by themselves: the
/// joiner of graphemes, fillers of Hangul, inherent vowels of Khmer, variation selectors, the empty Braille cell.
const fn draws_nothing(character: char) -> bool {
    matches!(
        character,
        '\u{034F}'
            | '\u{115F}'..='\u{1160}'
            | '\u{17B4}'..='\u{17B5}'
            | '\u{180B}'..='\u{180F}'
            | '\u{2800}'
            | '\u{3164}'
            | '\u{FE00}'..='\u{FE0F}'
            | '\u{FFA0}'
            | '\u{E0000}'..='\u{E0FFF}'
    )
}
