//! The article before a number: `An 18 dB/octave Butterworth`.

/// A text that begins with a number, with its article: `An 8 ...`, `An 11 ...`, `An 18 ...`, else `A ...`.
pub(super) fn with_article(text: &str) -> String {
    let whole = text.split(|character: char| !character.is_ascii_digit()).next().unwrap_or_default();
    let article = if whole.starts_with('8') || matches!(whole, "11" | "18") { "An" } else { "A" };
    format!("{article} {text}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_eleven_and_eighteen_begin_with_a_vowel() {
        for text in ["8 V", "8.5 V", "80 V", "11 Hz", "18 dB/octave", "18.5 Hz", "800 W"] {
            assert_eq!(with_article(text), format!("An {text}"));
        }
        for text in ["6 dB/octave", "24 dB/octave", "1 V", "110 W", "180 W", "1.8 V", "Bessel", ""] {
            assert_eq!(with_article(text), format!("A {text}"));
        }
    }
}
