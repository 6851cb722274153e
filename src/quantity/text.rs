//! Text that came from outside: made harmless before it is shown, and checked before it is kept.

use std::borrow::Cow;

use super::Refusal;

/// The longest name (technician, amplifier, job, meter), in characters.
pub const NAME_MAX: usize = 120;

/// The longest note, in characters.
pub const NOTE_MAX: usize = 1000;

/// `text` with every character that a terminal would act on, or that cannot be seen, as its code point: `<U+001B>`.
///
/// Line ends and tabs are shown the same way, so the result is always one line.
pub fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for character in text.chars() {
        if is_invisible(character) {
            shown.push_str(&format!("<{}>", code_point(character)));
        } else {
            shown.push(character);
        }
    }
    shown
}

/// A word as a shell takes it, in quotes where it needs them.
pub fn shell_word(word: &str) -> String {
    let is_plain = |character: char| character.is_ascii_alphanumeric() || "/-_.@+".contains(character);
    if !word.is_empty() && !word.starts_with('-') && word.chars().all(is_plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}

/// As much of an id as tells the millisecond in which it was made: enough to type.
pub fn short_id(id: &str) -> &str {
    id.get(..13).unwrap_or(id)
}

/// JSON with every character that cannot be seen, past ASCII, as its escape. Such characters stand in strings only, so the
/// document stays the same.
pub fn json_escaped(json: &str) -> Cow<'_, str> {
    let is_escaped = |character: char| character > '\u{7E}' && is_invisible(character);
    if !json.contains(is_escaped) {
        return Cow::Borrowed(json);
    }
    let mut escaped = String::with_capacity(json.len() + 64);
    for character in json.chars() {
        if is_escaped(character) {
            for unit in character.encode_utf16(&mut [0; 2]) {
                escaped.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            escaped.push(character);
        }
    }
    Cow::Owned(escaped)
}

/// Takes one line that a person typed as a name or a note, without the blanks around it.
///
/// # Errors
/// Refused when nothing is left, when more than `max_chars` characters are, and when one of them cannot be seen.
pub fn accept_line(field: &str, text: &str, max_chars: usize) -> Result<String, Refusal> {
    let line = text.trim();
    let problem = if line.is_empty() {
        Some("was given".to_owned())
    } else if line.chars().nth(max_chars).is_some() {
        Some(format!("is longer than {max_chars} characters"))
    } else {
        line.chars()
            .find(|&character| is_invisible(character))
            .map(|character| format!("holds the invisible character {}", code_point(character)))
    };
    match problem {
        None => Ok(line.to_owned()),
        Some(problem) => {
            let accepted = format!("one line of 1 to {max_chars} characters");
            Err(Refusal::new(field, text, problem, accepted))
        }
    }
}

/// A character by its code point, as the Unicode standard writes it.
fn code_point(character: char) -> String {
    format!("U+{:04X}", u32::from(character))
}

/// Controls and the format characters of the Unicode standard (general categories Cc, Zl, Zp and the parts of Cf that
/// hide, reorder or join), without the variation selectors.
fn is_invisible(character: char) -> bool {
    matches!(character,
        '\u{0000}'..='\u{001F}'      // C0 controls
        | '\u{007F}'..='\u{009F}'    // delete and C1 controls
        | '\u{00AD}'                 // soft hyphen
        | '\u{034F}'                 // combining grapheme joiner
        | '\u{061C}'                 // Arabic letter mark
        | '\u{115F}' | '\u{1160}' | '\u{3164}' | '\u{FFA0}' // Hangul fillers
        | '\u{180E}'                 // Mongolian vowel separator
        | '\u{200B}'..='\u{200F}'    // zero-width characters and direction marks
        | '\u{2028}'..='\u{202E}'    // line and paragraph separators, direction embeddings and overrides
        | '\u{2060}'..='\u{206F}'    // word joiner, invisible operators, direction isolates
        | '\u{FEFF}'                 // byte order mark
        | '\u{FFF9}'..='\u{FFFB}'    // interlinear annotations
        | '\u{1BCA0}'..='\u{1BCA3}'  // shorthand format controls
        | '\u{1D173}'..='\u{1D17A}'  // musical format controls
        | '\u{E0000}'..='\u{E007F}'  // tags
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_acts_on_a_terminal_is_spelled_out() {
        assert_eq!(visible("a\u{1B}[31mb"), "a<U+001B>[31mb");
        assert_eq!(visible("one\ttwo\r\nthree"), "one<U+0009>two<U+000D><U+000A>three");
        assert_eq!(visible("\u{9B}2J\u{7F}"), "<U+009B>2J<U+007F>");
        assert_eq!(visible("\u{202E}abc\u{2066}\u{200D}"), "<U+202E>abc<U+2066><U+200D>");
        assert_eq!(visible("\u{E0041}"), "<U+E0041>");
        assert_eq!(visible("\u{2028}\u{2029}\u{FEFF}"), "<U+2028><U+2029><U+FEFF>");
    }

    #[test]
    fn escaped_json_is_the_same_document() {
        let text = "a\u{9B}31m\u{202E}b\u{7F}\u{E0041}\u{2028} \u{1B}[2J Ω";
        let json = serde_json::json!({ "text": text, "n": 1 }).to_string();
        let escaped = json_escaped(&json);
        assert!(!escaped.chars().any(is_invisible), "{escaped}");
        assert!(escaped.contains("\\u009b") && escaped.contains("\\udb40\\udc41") && escaped.contains('Ω'));
        let (one, other): (serde_json::Value, serde_json::Value) =
            (serde_json::from_str(&json).unwrap(), serde_json::from_str(&escaped).unwrap());
        assert_eq!(one, other);
    }

    #[test]
    fn ordinary_text_stays_as_it_is() {
        for text in ["Müller & Söhne", "4 Ω", "東京", "שלום", "\u{2764}\u{FE0F}", "a\u{A0}b", "<U+001B>"] {
            assert_eq!(visible(text), text);
        }
    }

    #[test]
    fn a_line_is_trimmed_and_kept() {
        assert_eq!(accept_line("technician", "  Ada L. \n", NAME_MAX).unwrap(), "Ada L.");
        let longest = "ä".repeat(NAME_MAX);
        assert_eq!(accept_line("technician", &longest, NAME_MAX).unwrap(), longest);
    }

    #[test]
    fn what_is_not_one_visible_line_is_refused() {
        let cases = [
            (" \t", "job: nothing was given; accepted: one line of 1 to 10 characters"),
            (
                "12345678901",
                "job: `12345678901` is longer than 10 characters; accepted: one line of 1 to 10 characters",
            ),
            (
                "a\u{202E}\u{7}b",
                "job: `a<U+202E><U+0007>b` holds the invisible character U+202E; accepted: one line of 1 to 10 characters",
            ),
            (
                "a\nb",
                "job: `a<U+000A>b` holds the invisible character U+000A; accepted: one line of 1 to 10 characters",
            ),
        ];
        for (text, message) in cases {
            assert_eq!(accept_line("job", text, 10).unwrap_err().to_string(), message);
        }
    }

    proptest! {
        #[test]
        fn shown_text_holds_nothing_that_acts(text in any::<String>()) {
            let shown = visible(&text);
            prop_assert!(!shown.chars().any(|c| c.is_control() || is_invisible(c)));
            prop_assert_eq!(visible(&shown), shown);
        }

        #[test]
        fn a_line_taken_is_shown_as_it_is(text in any::<String>()) {
            if let Ok(line) = accept_line("note", &text, NOTE_MAX) {
                prop_assert_eq!(visible(&line), line);
            }
        }
    }
}
