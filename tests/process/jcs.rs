//! A second writer of the canonical form of RFC 8785, small and apart from the program's, to hold it against.
//!
//! Keys go by their UTF-16 code units (3.2.3), strings escape as little as they may (3.2.2.2), numbers are written as
//! ECMAScript writes them (3.2.2.3): the digits are the shortest that read back, which Rust's own formatting gives.

use serde_json::Value;

/// The canonical form.
pub fn canonical(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => self::number(number.as_f64().expect("a double")),
        Value::String(text) => string(text),
        Value::Array(items) => format!("[{}]", items.iter().map(canonical).collect::<Vec<_>>().join(",")),
        Value::Object(map) => {
            let mut entries: Vec<(&String, &Value)> = map.iter().collect();
            entries.sort_by_key(|(key, _)| key.encode_utf16().collect::<Vec<u16>>());
            let members: Vec<String> =
                entries.into_iter().map(|(key, value)| format!("{}:{}", string(key), canonical(value))).collect();
            format!("{{{}}}", members.join(","))
        }
    }
}

/// A string with its quotes.
fn string(text: &str) -> String {
    let mut written = String::from("\"");
    for character in text.chars() {
        match character {
            '"' => written.push_str("\\\""),
            '\\' => written.push_str("\\\\"),
            '\u{8}' => written.push_str("\\b"),
            '\t' => written.push_str("\\t"),
            '\n' => written.push_str("\\n"),
            '\u{c}' => written.push_str("\\f"),
            '\r' => written.push_str("\\r"),
            '\0'..='\u{1f}' => written.push_str(&format!("\\u{:04x}", u32::from(character))),
            _ => written.push(character),
        }
    }
    written.push('"');
    written
}

/// A number as ECMA-262 writes it: k digits with the decimal point after the n-th.
pub fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let sign = if value < 0.0 { "-" } else { "" };
    let scientific = format!("{:e}", value.abs());
    let (mantissa, exponent) = scientific.split_once('e').expect("an exponent");
    let digits = even_on_a_tie(mantissa.replace('.', ""), exponent, value.abs());
    let k = i32::try_from(digits.len()).expect("few digits");
    let n = exponent.parse::<i32>().expect("a whole exponent") + 1;
    let zeros = |count: i32| "0".repeat(usize::try_from(count).expect("not below zero"));
    let at = |place: i32| digits.split_at(usize::try_from(place).expect("not below zero"));
    let text = if k <= n && n <= 21 {
        format!("{digits}{}", zeros(n - k))
    } else if 0 < n && n <= 21 {
        let (whole, part) = at(n);
        format!("{whole}.{part}")
    } else if -6 < n && n <= 0 {
        format!("0.{}{digits}", zeros(-n))
    } else {
        let (first, rest) = at(1);
        let point = if rest.is_empty() { "" } else { "." };
        format!("{first}{point}{rest}e{}{}", if n > 0 { "+" } else { "-" }, (n - 1).abs())
    };
    format!("{sign}{text}")
}

/// Where two shortest texts are equally near, ECMA-262 takes the even one (its note 2, which RFC 8785 makes a rule);
/// Rust does not.
fn even_on_a_tie(digits: String, exponent: &str, value: f64) -> String {
    // No double has more than 767 digits.
    let exact = format!("{value:.800e}").replace('.', "");
    let (kept, tail) = exact.split_at(digits.len());
    let is_tie =
        tail.starts_with('5') && tail[1..].split('e').next().is_some_and(|rest| rest.bytes().all(|b| b == b'0'));
    let (first, rest) = kept.split_at(1);
    let is_even = kept.ends_with(['0', '2', '4', '6', '8']);
    if is_tie && is_even && format!("{first}.{rest}e{exponent}").parse() == Ok(value) {
        kept.to_owned()
    } else {
        digits
    }
}
