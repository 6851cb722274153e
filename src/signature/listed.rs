//! One line of the trust list, read and written.

use super::NAMESPACE;
use super::key::{self, PublicKey, principal_of};
use super::options::{Local, Options};
use super::pattern::{Match, PATTERN_MAX, Patterns};
use crate::quantity::text::visible;
use crate::session::Moment;

/// A key, the names under which it may sign, and the rest of what its line says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Listed {
    /// The principals as they are written.
    pub(super) names: String,
    patterns: Patterns,
    pub(super) key: PublicKey,
    pub(super) options: Options,
}

/// A name in both forms in which a list may have it.
pub(super) struct Named<'a> {
    exact: &'a str,
    principal: String,
}

impl<'a> Named<'a> {
    pub(super) fn new(name: &'a str) -> Self {
        Self { exact: name, principal: principal_of(name) }
    }
}

impl Listed {
    /// Reads a line; none where it is a comment or empty.
    pub(super) fn parse(line: &str, local: Local<'_>) -> Result<Option<Self>, String> {
        // OpenSSH takes a carriage return for a blank at the end of a line, not at its start.
        let line = line.trim_end_matches([' ', '\t', '\r']).trim_start_matches([' ', '\t']);
        if line.is_empty() || line.starts_with('#') {
            return Ok(None);
        }
        if line.starts_with('\u{FEFF}') {
            return Err("it starts with the invisible character U+FEFF".to_owned());
        }
        if line.contains(|character: char| character.is_control() && character != '\t') {
            return Err("it holds an invisible character".to_owned());
        }
        let (names, rest) = principals(line)?;
        let patterns = Patterns::parse(names).ok_or("a name is too long")?;
        let (options, key) = if starts_with_a_key(rest) { ("", rest) } else { past_options(rest)? };
        let options = if options.is_empty() { Options::default() } else { Options::parse(options, local)? };
        if key.is_empty() {
            return Err("it holds no key".to_owned());
        }
        let key = PublicKey::parse(key).map_err(|problem| format!("its key {problem}"))?;
        Ok(Some(Self { names: visible(names), patterns, key, options }))
    }

    /// Whether it has a name. A pattern that refuses either form refuses both.
    pub(super) fn has(&self, name: &Named<'_>) -> bool {
        let found = [self.patterns.look_up(name.exact), self.patterns.look_up(&name.principal)];
        found.contains(&Match::Has) && !found.contains(&Match::Refuses)
    }
}

/// The names at the start of a line, between quotes where they hold blanks, and what comes after them.
fn principals(line: &str) -> Result<(&str, &str), String> {
    let (names, rest) = match line.strip_prefix('"') {
        None => key::word(line),
        Some(quoted) => {
            let (names, rest) = quoted.split_once('"').ok_or("a quote is not closed")?;
            if !rest.starts_with([' ', '\t']) {
                return Err("there is no blank after the quoted names".to_owned());
            }
            (names, rest.trim_start_matches([' ', '\t']))
        }
    };
    if names.contains('"') {
        return Err("the quotes do not stand around all of the names".to_owned());
    }
    Ok((names, rest))
}

fn starts_with_a_key(text: &str) -> bool {
    let kind = key::word(text).0;
    key::is_taken(kind) || key::is_known(kind)
}

/// The options, which hold blanks only between quotes, and what comes after them.
fn past_options(text: &str) -> Result<(&str, &str), String> {
    let mut quoted = false;
    let mut escaped = false;
    for (place, character) in text.char_indices() {
        match character {
            '"' if escaped => {}
            '"' => quoted = !quoted,
            ' ' | '\t' if !quoted => return Ok((&text[..place], text[place..].trim_start_matches([' ', '\t']))),
            _ => {}
        }
        escaped = character == '\\';
    }
    if quoted { Err("a quote is not closed".to_owned()) } else { Ok((text, "")) }
}

/// A line that lets a key sign records under a name, from a second on and up to one, both included.
///
/// The name stands there as it is and as a principal; as a principal only, where patterns cannot say it. An end that does
/// not come after the start makes a line that nobody takes.
pub fn allowed_line(name: &str, key: &PublicKey, valid_after: Option<Moment>, valid_before: Option<Moment>) -> String {
    let principal = principal_of(name);
    let exact = !name.is_empty()
        && name != principal
        && name.len() <= PATTERN_MAX
        && visible(name) == name
        && !name.contains([',', '"', '*', '?', '!', '\\']);
    let names = if exact { format!("\"{name},{principal}\"") } else { format!("\"{principal}\"") };
    let mut line = format!("{names} namespaces=\"{NAMESPACE}\"");
    for (option, time) in [("valid-after", valid_after), ("valid-before", valid_before)] {
        if let Some(time) = time {
            line.push_str(&format!(",{option}=\"{}\"", time.time().to_utc().format("%Y%m%d%H%M%SZ")));
        }
    }
    format!("{line} {}", key.line())
}
