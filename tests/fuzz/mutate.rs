//! Changes a document as a document: a value made another one, so that an input stays JSON and gets past its reader.

use libfuzzer_sys::fuzzer_mutate;
use serde_json::{Value, json};

/// Changes the document in the first `size` bytes, half of the time as bytes and half of the time as JSON, and gives its
/// new size.
pub fn document(data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    let mut draw = Draw(u64::from(seed) | 1 << 40);
    if draw.of(2) == 0
        && let Some(text) = changed(&data[..size], &mut draw)
        && text.len() <= most
    {
        data[..text.len()].copy_from_slice(text.as_bytes());
        return text.len();
    }
    fuzzer_mutate(data, size, most)
}

/// Changes one of the lines in the first `size` bytes in the same way.
pub fn line(data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    let mut draw = Draw(u64::from(seed) | 1 << 40);
    let lines: Vec<&[u8]> = data[..size].split_inclusive(|byte| *byte == b'\n').collect();
    if draw.of(3) > 0 && !lines.is_empty() {
        let place = draw.of(lines.len());
        let mut made: Vec<Vec<u8>> = lines.iter().map(|line| line.to_vec()).collect();
        match draw.of(8) {
            0 => drop(made.remove(place)),
            1 => made.insert(place, lines[draw.of(lines.len())].to_vec()),
            2 => made.swap(place, draw.of(lines.len())),
            _ => {
                if let Some(text) = changed(lines[place], &mut draw) {
                    made[place] = format!("{text}\n").into_bytes();
                }
            }
        }
        let made = made.concat();
        if made.len() <= most {
            data[..made.len()].copy_from_slice(&made);
            return made.len();
        }
    }
    fuzzer_mutate(data, size, most)
}

/// A document with one to three of its values made others.
fn changed(bytes: &[u8], draw: &mut Draw) -> Option<String> {
    let mut document: Value = serde_json::from_slice(bytes).ok()?;
    for _ in 0..=draw.of(3) {
        let mut places = vec![];
        find(&document, &mut String::new(), &mut places);
        let place = &places[draw.of(places.len())];
        let other = document.pointer(&places[draw.of(places.len())])?.clone();
        let value = document.pointer_mut(place)?;
        *value = another(value, other, draw);
    }
    serde_json::to_string(&document).ok()
}

/// Where every value of a document is.
fn find(value: &Value, at: &mut String, places: &mut Vec<String>) {
    places.push(at.clone());
    let length = at.len();
    let mut into = |key: &str, value: &Value| {
        at.push('/');
        at.push_str(&key.replace('~', "~0").replace('/', "~1"));
        find(value, at, places);
        at.truncate(length);
    };
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| into(key, value)),
        Value::Array(list) => list.iter().enumerate().for_each(|(index, value)| into(&index.to_string(), value)),
        _ => {}
    }
}

/// Another value in place of one: mostly of the same kind.
fn another(value: &Value, other: Value, draw: &mut Draw) -> Value {
    const NUMBERS: [f64; 14] =
        [0.0, -0.0, 1.0, -1.0, 0.1, 1e-9, 5e-324, 2.2e-308, 1e17, 1e21, 1e300, 1.797e308, -1.797e308, 27.0];
    const TEXTS: [&str; 14] = [
        "",
        "yes",
        "no",
        "unknown",
        "none",
        "done",
        "above",
        "below",
        "inside",
        "\u{1b}[2J\u{202e}",
        "=1+1",
        "8.00",
        "5.61..5.70",
        "2026-03-05T14:07:09.250+05:30",
    ];
    match (value, draw.of(4)) {
        (_, 0) => other,
        (Value::Number(number), 1) => {
            let near = number.as_f64().unwrap_or(1.0) * (1.0 + (draw.of(2000) as f64 - 1000.0) / 1000.0);
            json!(near)
        }
        (Value::Number(_), 2) => json!(NUMBERS[draw.of(NUMBERS.len())]),
        (Value::Number(_), _) => json!(draw.of(50)),
        (Value::String(_), 1) => json!(TEXTS[draw.of(TEXTS.len())]),
        (Value::String(text), _) => {
            let mut text: Vec<char> = text.chars().collect();
            let place = draw.of(text.len() + 1);
            match draw.of(3) {
                0 if place < text.len() => drop(text.remove(place)),
                1 if place < text.len() => text[place] = char::from(b' ' + draw.of(95) as u8),
                _ => text.insert(place, char::from(b'0' + draw.of(10) as u8)),
            }
            json!(text.into_iter().collect::<String>())
        }
        (Value::Bool(value), _) => json!(!value),
        (Value::Array(list), _) if !list.is_empty() => {
            let mut list = list.clone();
            let place = draw.of(list.len());
            match draw.of(3) {
                0 => drop(list.remove(place)),
                1 => list.insert(place, list[draw.of(list.len())].clone()),
                _ => {
                    let to = draw.of(list.len());
                    list.swap(place, to);
                }
            }
            Value::Array(list)
        }
        (Value::Object(map), 1) if !map.is_empty() => {
            let mut map = map.clone();
            if let Some(key) = map.keys().nth(draw.of(map.len())).cloned() {
                map.remove(&key);
            }
            Value::Object(map)
        }
        (_, 1) => Value::Null,
        (_, 2) => json!(NUMBERS[draw.of(NUMBERS.len())]),
        _ => other,
    }
}

/// Numbers from a seed: xorshift (G. Marsaglia, Journal of Statistical Software 8(14), 2003).
struct Draw(u64);

impl Draw {
    /// A number below this one.
    fn of(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}
