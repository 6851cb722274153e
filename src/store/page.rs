//! Files that a person asks for by name, anywhere: written whole or not at all.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};

use super::disk::{make_folder, put_pieces};
use super::{FILES, FOLDERS, StoreError};
use crate::record::FORMAT;

/// Writes a file that a person named, in the place of one that is there, and says where it is.
///
/// A name that leads to another file (a symbolic link) replaces that one. What is no file stays as it is.
///
/// # Errors
/// Where it cannot be written.
pub fn write_page(path: &Path, bytes: &[u8]) -> Result<PathBuf, StoreError> {
    write_page_with(path, |file| file.write_all(bytes))
}

/// As [`write_page`], for a file that is written piece by piece.
///
/// # Errors
/// Where it cannot be written, or `write` fails; then what is there stays as it is.
pub fn write_page_with(
    path: &Path,
    write: impl FnOnce(&mut BufWriter<&File>) -> io::Result<()>,
) -> Result<PathBuf, StoreError> {
    write_at(path, |at| put_pieces(at, write))
}

/// As [`write_page_with`], in folders that are made where they are not there yet.
///
/// # Errors
/// As [`write_page_with`].
pub fn write_page_within(
    path: &Path,
    write: impl FnOnce(&mut BufWriter<&File>) -> io::Result<()>,
) -> Result<PathBuf, StoreError> {
    write_at(path, |at| {
        at.parent().map_or(Ok(()), make_folder)?;
        put_pieces(at, write)
    })
}

fn write_at(path: &Path, put: impl FnOnce(&Path) -> Result<(), StoreError>) -> Result<PathBuf, StoreError> {
    let at = real(path)?;
    let refused = |why| StoreError::Page { path: path.to_owned(), why: io::Error::other(why) };
    if let Some(why) = guarded(&at) {
        return Err(refused(why));
    }
    if at.exists() && !at.is_file() {
        return Err(refused("it is there already and is no file"));
    }
    put(&at).map_err(as_page(path))?;
    Ok(at)
}

/// Where a file or folder is or would be, links followed as far as it is there.
///
/// # Errors
/// Where a link leads nowhere, or the way there goes back from a folder that is not there yet: nobody can say where that ends.
pub(super) fn real(path: &Path) -> Result<PathBuf, StoreError> {
    let failed = |why| StoreError::Page { path: path.to_owned(), why };
    let whole = std::path::absolute(path).map_err(failed)?;
    let is_there = |at: &&Path| fs::symlink_metadata(at).is_ok();
    let (Some(there), mut rest) = (whole.ancestors().find(is_there), whole.components()) else {
        return Ok(whole);
    };
    rest.by_ref().take(there.components().count()).for_each(drop);
    if rest.clone().any(|part| part == Component::ParentDir) {
        return Err(failed(ErrorKind::NotFound.into()));
    }
    let there = fs::canonicalize(there).map_err(failed)?;
    Ok(rest.fold(there, |at, part| at.join(part)))
}

/// What the disk said, told of the path as the person named it.
pub(super) fn as_page(path: &Path) -> impl Fn(StoreError) -> StoreError {
    move |error| match error {
        StoreError::Disk { why, .. } => StoreError::Page { path: path.to_owned(), why },
        other => other,
    }
}

/// Why nothing is written there: it belongs to a store, or is what nobody would want to lose.
fn guarded(path: &Path) -> Option<&'static str> {
    /// So much of a file says what it is.
    const HEAD: u64 = 4096;
    if of_store(path).is_some() {
        return Some(OF_A_STORE);
    }
    let mut head = Vec::new();
    if path.is_file() && File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head)).is_ok() {
        let head = String::from_utf8_lossy(&head);
        if head.contains("PRIVATE KEY-----") {
            return Some("it is a private key");
        }
        let is_row = head.contains(OF_ROWS);
        if head.trim_start().starts_with('{') && head.contains(&format!("\"{FORMAT}\"")) && !is_row {
            return Some("it is a record");
        }
    }
    None
}

/// A key that rows of an export have and no record has. No text in a record looks like it: quotes in one are escaped.
const OF_ROWS: &str = "\"amplifier_name\":";

pub(super) const OF_A_STORE: &str = "it belongs to a store, whose files are never written over";

/// The file or folder of a store that a path is, or would be in: one that something else of a store stands beside.
pub(super) fn of_store(path: &Path) -> Option<&'static str> {
    let part_of = |path: &Path, names: &[&'static str]| {
        let name = names.iter().copied().find(|name| path.file_name().is_some_and(|named| named == *name))?;
        let beside = path.parent()?;
        let mut others = FILES.into_iter().chain(FOLDERS).filter(|other| *other != name);
        others.any(|other| beside.join(other).exists()).then_some(name)
    };
    path.ancestors().skip(1).find_map(|folder| part_of(folder, &FOLDERS)).or_else(|| part_of(path, &FILES))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_replaces_a_page_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("page.html");
        assert_eq!(write_page(&path, b"one").unwrap(), path);
        write_page(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no temporary file stays");
        let inner = folder.path().join("folder.html");
        fs::create_dir(&inner).unwrap();
        assert!(write_page(&inner, b"three").is_err() && inner.is_dir());
        assert!(write_page(&folder.path().join("nowhere").join("page.html"), b"four").is_err());
    }

    /// Rows of the sessions name the record's format, too; they are made anew from records, which are not.
    #[test]
    fn rows_are_replaced_and_records_are_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sessions.ndjson");
        let row = r#"{"id":"1","amplifier_name":"A","format":"cornerset-record","version":1}"#;
        fs::write(&path, row).unwrap();
        write_page(&path, b"new").unwrap();
        for record in [
            r#"{"format": "cornerset-record", "version": 1}"#,
            r#"{"amplifier":{"name":"A"},"format":"cornerset-record","job":"\"amplifier_name\":1"}"#,
        ] {
            fs::write(&path, record).unwrap();
            assert!(write_page(&path, b"new").unwrap_err().to_string().contains("it is a record"));
            assert_eq!(fs::read_to_string(&path).unwrap(), record);
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_leads_to_the_page() {
        let folder = tempfile::tempdir().unwrap();
        let (page, link) = (folder.path().join("page.html"), folder.path().join("link.html"));
        fs::write(&page, "one").unwrap();
        std::os::unix::fs::symlink(&page, &link).unwrap();
        write_page(&link, b"two").unwrap();
        assert_eq!(fs::read(&page).unwrap(), b"two");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    }
}
