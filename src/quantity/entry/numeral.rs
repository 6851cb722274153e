//! The number at the head of what was typed, and what follows it.

/// A number as it was typed, with a dot for its decimal mark, so that it can be scaled without rounding twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Numeral {
    /// There is one way to read it.
    Clear(String),
    /// A comma before exactly three digits: it may mark the decimals or the thousands.
    Either { decimal: String, thousands: String },
}

/// A number, its sign, and the text after it (trimmed, possibly empty).
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Head<'a> {
    pub(super) negative: bool,
    pub(super) numeral: Numeral,
    pub(super) rest: &'a str,
}

pub(super) const NOT_A_NUMBER: &str = "is not a number";

/// The value of a numeral's text times ten to the `exponent`, rounded once.
pub(super) fn value(digits: &str, exponent: i8) -> f64 {
    format!("{digits}e{exponent}").parse().unwrap_or(f64::NAN)
}

/// Whether a number may begin with this character; used to tell numbers from units.
pub(super) fn may_begin(character: char) -> bool {
    character.is_numeric() || matches!(character, '+' | '.' | ',' | '_' | '\'') || is_dash(character)
}

/// A minus sign, a hyphen or a dash.
pub(super) fn is_dash(character: char) -> bool {
    matches!(character, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// Splits what was typed into a number and the rest.
///
/// # Errors
/// The end of a sentence that starts with what was typed.
pub(super) fn split(text: &str) -> Result<Head<'_>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err("was given".to_owned());
    }
    if without_power(text).chars().any(|character| character.is_numeric() && !character.is_ascii_digit()) {
        return Err("holds a digit that is none of 0 to 9".to_owned());
    }
    let negative = text.starts_with(is_dash);
    let unsigned = text.strip_prefix(|first| first == '+' || is_dash(first)).unwrap_or(text);
    if ["inf", "infinity"].iter().any(|word| unsigned.eq_ignore_ascii_case(word)) {
        return Err("is not a finite number".to_owned());
    }
    let end = unsigned.find(|character| !in_number(character)).unwrap_or(unsigned.len());
    let (body, rest) = unsigned.split_at(end);
    if is_span(unsigned) {
        return Err("is a span, where one number is wanted".to_owned());
    }
    let numeral = read(body)?;
    refuse_continued(body, rest)?;
    Ok(Head { negative, numeral, rest: rest.trim() })
}

/// Whether a character belongs to a number's body: digits and all marks that people put between them.
fn in_number(character: char) -> bool {
    character.is_ascii_digit() || matches!(character, '.' | ',') || is_thousands_mark(character)
}

/// Marks that can only separate thousands.
fn is_thousands_mark(character: char) -> bool {
    matches!(character, '_' | '\'' | '\u{2019}')
}

/// A text without the power at the end of its unit: the 2 of `cm2`, the 3 of `ft^3`, raised or not.
fn without_power(text: &str) -> &str {
    let unit = text.strip_suffix(['2', '3', '\u{B2}', '\u{B3}']).map(|unit| unit.strip_suffix('^').unwrap_or(unit));
    unit.filter(|unit| unit.ends_with(char::is_alphabetic)).unwrap_or(text)
}

/// Whether this is two numbers with `..` between them.
fn is_span(text: &str) -> bool {
    text.split_once("..").is_some_and(|(low, high)| [low, high].iter().all(|end| end.contains(is_digit)))
}

fn is_digit(character: char) -> bool {
    character.is_ascii_digit()
}

/// Reads the digits and marks of one number.
fn read(body: &str) -> Result<Numeral, String> {
    let edges = [body.chars().next(), body.chars().next_back()];
    if !body.contains(is_digit) || body.contains("..") || edges.into_iter().flatten().any(is_thousands_mark) {
        return Err(NOT_A_NUMBER.to_owned());
    }
    if body.contains(is_thousands_mark) {
        return Err(without_thousands(body, is_thousands_mark));
    }
    match (body.matches('.').count(), body.matches(',').count()) {
        (0 | 1, 0) => Ok(Numeral::Clear(body.to_owned())),
        (0, 1) => Ok(comma(body)),
        (_, 0) => Err(without_thousands(body, |mark| mark == '.')),
        (0, _) => Err(without_thousands(body, |mark| mark == ',')),
        _ => Err(mixed(body)),
    }
}

/// A number with one comma and no other mark.
fn comma(body: &str) -> Numeral {
    let decimal = body.replace(',', ".");
    match body.split_once(',') {
        Some((whole, part)) if matches!(whole.len(), 1..=3) && !whole.starts_with('0') && part.len() == 3 => {
            Numeral::Either { decimal, thousands: format!("{whole}{part}") }
        }
        _ => Numeral::Clear(decimal),
    }
}

/// A number with commas and dots. Where the last mark can only be the decimal one, the advice is the number with it.
fn mixed(body: &str) -> String {
    let plain = body.rfind(['.', ',']).and_then(|last| {
        let (whole, part) = body.split_at(last);
        let part = part.trim_start_matches(['.', ',']);
        let other = if body[last..].starts_with('.') { ',' } else { '.' };
        ungrouped(whole, |mark| mark == other).filter(|_| !part.is_empty()).map(|whole| format!("{whole}.{part}"))
    });
    match plain {
        Some(plain) if plain.len() <= LONGEST_ADVICE => format!("has both a comma and a dot; write {plain}"),
        _ => "has both a comma and a dot; write one decimal mark at most".to_owned(),
    }
}

/// A number with marks between its thousands; the advice is the number without them, where they stand in place.
fn without_thousands(body: &str, is_mark: impl Fn(char) -> bool) -> String {
    let (whole, part) = match body.rfind(['.', ',']) {
        Some(last) if !body.chars().any(|character| matches!(character, '.' | ',') && is_mark(character)) => {
            body.split_at(last)
        }
        _ => (body, ""),
    };
    match ungrouped(whole, is_mark).map(|whole| format!("{whole}{}", part.replace(',', "."))) {
        Some(plain) if plain.len() <= LONGEST_ADVICE => format!("has marks between its digits; write {plain}"),
        _ => "has marks between its digits; write one decimal mark at most".to_owned(),
    }
}

/// The digits of a whole number that is marked off in threes; none where a group is not three digits long.
fn ungrouped(whole: &str, is_mark: impl Fn(char) -> bool) -> Option<String> {
    let mut groups = whole.split(is_mark);
    let first = groups.next()?;
    let others: Vec<&str> = groups.collect();
    let all_digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    let in_place = matches!(first.len(), 1..=3) && others.iter().all(|group| group.len() == 3 && all_digits(group));
    (in_place && all_digits(first)).then(|| format!("{first}{}", others.concat()))
}

/// The longest number that advice repeats.
const LONGEST_ADVICE: usize = 24;

/// Refuses a rest that goes on with the number in a form that is not taken.
fn refuse_continued(body: &str, rest: &str) -> Result<(), String> {
    let after = rest.trim_start();
    let exponent = after.strip_prefix(['e', 'E']).map(|power| power.strip_prefix(['+', '-']).unwrap_or(power));
    if exponent.is_some_and(|power| power.starts_with(is_digit)) {
        return Err("has an exponent; write the number out".to_owned());
    }
    if after.len() < rest.len() && after.starts_with(is_digit) {
        let next = after.find(|character| !is_digit(character)).unwrap_or(after.len());
        let (group, beyond) = after.split_at(next);
        let one_group = body.bytes().all(|byte| byte.is_ascii_digit()) && body.len() <= 3 && group.len() == 3;
        return Err(if one_group && !beyond.contains(is_digit) {
            format!("has a blank between its digits; write {body}{group}")
        } else {
            "holds more than one number, where one is wanted".to_owned()
        });
    }
    if without_power(rest).contains(is_digit) { Err(NOT_A_NUMBER.to_owned()) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clear(text: &str) -> String {
        match split(text) {
            Ok(Head { numeral: Numeral::Clear(digits), rest: "", .. }) => digits,
            other => format!("{other:?}"),
        }
    }

    fn problem(text: &str) -> String {
        split(text).err().unwrap_or_else(|| format!("{text} was taken"))
    }

    #[test]
    fn one_decimal_mark_of_either_kind() {
        for (text, digits) in [
            ("27", "27"),
            ("5.66", "5.66"),
            ("5,66", "5.66"),
            (".5", ".5"),
            (",5", ".5"),
            ("5.", "5."),
            ("+5", "5"),
            ("0,234", "0.234"),
            ("1234,567", "1234.567"),
            ("1.234", "1.234"),
            ("1,2345", "1.2345"),
            ("007", "007"),
        ] {
            assert_eq!(clear(text), digits, "{text}");
        }
    }

    #[test]
    fn three_digits_after_a_comma_stay_open() {
        for text in ["1,234", "12,345", "123,456"] {
            assert!(matches!(split(text), Ok(Head { numeral: Numeral::Either { .. }, .. })), "{text}");
        }
    }

    #[test]
    fn scaling_rounds_once() {
        assert_eq!(value("5660", -3), 5.66);
        assert_eq!(value("0.027", 3), 27.0);
        assert_eq!(value(".5", 3), 500.0);
        assert_eq!(value("5.", 0), 5.0);
        assert_eq!(value("0.1", 3), 100.0);
    }

    #[test]
    fn refusals_say_how_to_write_it() {
        for (text, words) in [
            ("1,234.5", "has both a comma and a dot; write 1234.5"),
            ("1.234,5", "has both a comma and a dot; write 1234.5"),
            ("1,234,567.8", "has both a comma and a dot; write 1234567.8"),
            ("5.61,", "has both a comma and a dot; write one decimal mark at most"),
            ("1_000", "has marks between its digits; write 1000"),
            ("1'000", "has marks between its digits; write 1000"),
            ("1\u{2019}000", "has marks between its digits; write 1000"),
            ("1'000,5", "has marks between its digits; write 1000.5"),
            ("1,234,567", "has marks between its digits; write 1234567"),
            ("1.234.567", "has marks between its digits; write 1234567"),
            ("5.6.1", "has marks between its digits; write one decimal mark at most"),
            ("1_00", "has marks between its digits; write one decimal mark at most"),
            ("12,34.5", "has both a comma and a dot; write one decimal mark at most"),
            ("1 000", "has a blank between its digits; write 1000"),
            ("5.61 5.64", "holds more than one number, where one is wanted"),
            ("1e3", "has an exponent; write the number out"),
            ("1E-3", "has an exponent; write the number out"),
            ("5.61..5.70", "is a span, where one number is wanted"),
            ("5.61 .. 5.70 V", "is a span, where one number is wanted"),
            ("inf", "is not a finite number"),
            ("-Infinity", "is not a finite number"),
            ("\u{FF12}\u{FF17}", "holds a digit that is none of 0 to 9"),
            ("\u{662}\u{667}", "holds a digit that is none of 0 to 9"),
            ("2\u{00B2}", "holds a digit that is none of 0 to 9"),
            ("", "was given"),
        ] {
            assert_eq!(problem(text), words, "{text}");
        }
        for text in
            ["nan", "NaN", "--", "-", "+", "+-3", "12..", "..", ".", ",", "0~12.51~", "0x1F", "_1", "1'", "Hz", "V 5"]
        {
            assert_eq!(problem(text), NOT_A_NUMBER, "{text}");
        }
    }
}
