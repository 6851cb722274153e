//! A driver file: TOML with the sections driver, box, drive and filter.

use toml::{Table, Value};

use super::fields::{Fields, SECTIONS, home_of, nearest};
use crate::quantity::Refusal;

impl Fields {
    /// Reads a driver file.
    ///
    /// # Errors
    /// Where it is no TOML (with the line), holds an unknown section or key, or a value that is neither a number nor a
    /// text.
    pub fn from_toml(text: &str) -> Result<Self, Refusal> {
        let table: Table = text.parse().map_err(|error| not_toml(text, &error))?;
        let mut fields = Self::default();
        for (section, value) in &table {
            if let Some(home) = home_of(section) {
                let given = written(section, value).unwrap_or_else(|_| kind(value).to_owned());
                let accepted = format!("{section} below the line [{home}]");
                return Err(Refusal::new(section, given, "stands in no section", accepted));
            }
            if !SECTIONS.contains(&section.as_str()) {
                return Err(unknown_section(section));
            }
            let Value::Table(entries) = value else {
                return Err(Refusal::new(section, kind(value), "stands where a section does", format!("[{section}]")));
            };
            for (key, value) in entries {
                fields.insert(Some(section), key, written(key, value)?)?;
            }
        }
        Ok(fields)
    }
}

/// A value as a person would type it.
fn written(key: &str, value: &Value) -> Result<String, Refusal> {
    match value {
        Value::String(text) => Ok(text.clone()),
        Value::Integer(number) => Ok(number.to_string()),
        Value::Float(number) => Ok(number.to_string()),
        other => Err(Refusal::new(key, kind(other), "stands where a value does", "a number, or a text with its unit")),
    }
}

/// The kind of a value that is not taken.
fn kind(value: &Value) -> &'static str {
    match value {
        Value::Boolean(_) => "true or false",
        Value::Array(_) => "a list",
        Value::Table(_) => "a section",
        Value::Datetime(_) => "a date",
        Value::String(_) => "a text",
        Value::Integer(_) | Value::Float(_) => "a number",
    }
}

fn unknown_section(section: &str) -> Refusal {
    let problem = match nearest(section, &SECTIONS) {
        Some(near) => format!("is no section that is known here; the nearest is [{near}]"),
        None => "is no section that is known here".to_owned(),
    };
    Refusal::new("section", section, problem, SECTIONS.map(|known| format!("[{known}]")).join(", "))
}

/// What the reader of TOML found, with the line.
fn not_toml(text: &str, error: &toml::de::Error) -> Refusal {
    let line = error.span().map(|span| {
        let before = text.get(..span.start).unwrap_or(text);
        before.matches('\n').count() + 1
    });
    let given = line.and_then(|line| text.lines().nth(line - 1)).unwrap_or_default();
    let place = line.map_or_else(|| "file".to_owned(), |line| format!("line {line}"));
    let message = error.message().lines().collect::<Vec<_>>().join("; ");
    let message = match message {
        message if message.contains("i128") => "a number is too large".to_owned(),
        // A bare word is taken for the start of one of these.
        message if message.contains("`inf`") || message.contains("`nan`") => "a text stands in quotes".to_owned(),
        message => message,
    };
    let given = if given.trim().is_empty() { "it" } else { given };
    let accepted = "lines such as `xmax_mm = 13` or `xmax_mm = \"0.51 in\"`, a text in quotes";
    Refusal::new(place, given.trim(), format!("cannot be read: {message}"), accepted)
}
