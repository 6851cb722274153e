//! Files that a person asks for by name, anywhere: written whole or not at all.

use std::fs::{self, File};
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};

use super::StoreError;
use super::disk::{Existing, put, put_pieces};

/// Writes a file that a person named, in the place of one that is there, and says where it is.
///
/// A name that leads to another file (a symbolic link) replaces that one. What is no file stays as it is.
///
/// # Errors
/// Where it cannot be written.
pub fn write_page(path: &Path, bytes: &[u8]) -> Result<PathBuf, StoreError> {
    write_at(path, |at| put(at, bytes, Existing::Replaced))
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

fn write_at(path: &Path, put: impl FnOnce(&Path) -> Result<(), StoreError>) -> Result<PathBuf, StoreError> {
    let failed = |why| StoreError::Page { path: path.to_owned(), why };
    let at = if path.exists() { fs::canonicalize(path) } else { std::path::absolute(path) }.map_err(failed)?;
    if is_of_a_store(&at) {
        return Err(failed(io::Error::other("it belongs to a store, whose files are never written over")));
    }
    if at.exists() && !at.is_file() {
        return Err(failed(io::Error::other("it is there already and is no file")));
    }
    put(&at).map_err(|error| match error {
        StoreError::Disk { why, .. } => failed(why),
        other => other,
    })?;
    Ok(at)
}

/// Whether a path is one of a store's own files, or would be in one of its folders.
fn is_of_a_store(path: &Path) -> bool {
    const FILES: [&str; 5] = ["bench.toml", "chain.json", "gear.json", "allowed_signers", ".lock"];
    const FOLDERS: [&str; 4] = ["records", "open", "away", "keys"];
    let is_store = |folder: &Path| folder.join("bench.toml").is_file();
    let named = |path: &Path, names: &[&str]| {
        path.file_name().and_then(|name| name.to_str()).is_some_and(|name| names.contains(&name))
    };
    let in_store = |path: &Path| path.parent().is_some_and(is_store);
    path.ancestors().skip(1).any(|folder| named(folder, &FOLDERS) && in_store(folder))
        || (named(path, &FILES) && in_store(path))
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
