//! Reading a driver file.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use crate::displacement::Fields;
use crate::quantity::text::visible;
use crate::store::in_words;

/// The largest driver file that is read; a long one has two kilobytes.
const MOST_BYTES: u64 = 1024 * 1024;
/// What is read as a driver file.
const ACCEPTED: &str = "a driver file, such as sample-sessions/driver-and-box.toml";
/// The name of standard input.
const INPUT: &str = "-";

/// A file as it was given, for a sentence.
pub fn file_shown(path: &Path) -> String {
    if path.as_os_str() == INPUT { "standard input".to_owned() } else { visible(&path.display().to_string()) }
}

/// The keys of a driver file; `-` is standard input.
///
/// # Errors
/// A sentence that begins with the file's name.
pub fn read_driver_file(path: &Path) -> Result<Fields, String> {
    let file = file_shown(path);
    let text = read(path).map_err(|what| format!("{file} {what}; accepted: {ACCEPTED}"))?;
    Fields::from_toml(&text).map_err(|refusal| format!("{file}: {refusal}"))
}

/// The text of a file, or of standard input.
///
/// # Errors
/// The end of a sentence that starts with the file's name.
fn read(path: &Path) -> Result<String, String> {
    let mut bytes = Vec::new();
    let read = if path.as_os_str() == INPUT {
        io::stdin().take(MOST_BYTES + 1).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
    };
    read.map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => "is not there".to_owned(),
        io::ErrorKind::IsADirectory => "is a folder".to_owned(),
        io::ErrorKind::PermissionDenied => "may not be read".to_owned(),
        _ => format!("cannot be read: {}", in_words(&error)),
    })?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err("is larger than 1 MiB".to_owned());
    }
    let text = String::from_utf8(bytes).map_err(|_| "is not UTF-8 text".to_owned())?;
    // Some editors begin a file with a mark of its encoding.
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(&text);
    if text.trim().is_empty() {
        return Err("is empty".to_owned());
    }
    Ok(text.to_owned())
}
