//! Folders that a person names: made, looked into, and the room on their disk.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

use super::disk::{make_folder, sync_folder};
use super::page::{OF_A_STORE, as_page, of_store, real};
use super::{StoreError, error::shown};

/// Where temporary files go.
pub fn temporary_folder() -> PathBuf {
    std::env::temp_dir()
}

/// Makes a folder for files that a person asked for, and says where it is.
///
/// # Errors
/// Where it cannot be made, or would be in a store.
pub fn folder_for_files(path: &Path) -> Result<PathBuf, StoreError> {
    let at = real(path)?;
    let refused = |why| StoreError::Page { path: path.to_owned(), why: io::Error::other(why) };
    // As a file in it would be looked at.
    if of_store(&at.join("x")).is_some() {
        return Err(refused(OF_A_STORE));
    }
    if at.exists() && !at.is_dir() {
        return Err(refused("it is there already and is no folder"));
    }
    make_folder(&at).map_err(as_page(path))?;
    Ok(at)
}

/// The names of what is in a folder; none where there is no folder.
///
/// # Errors
/// Where it cannot be read.
pub fn names_in(folder: &Path) -> Result<Vec<String>, StoreError> {
    let failed = |why| StoreError::Page { path: folder.to_owned(), why };
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(vec![]),
        other => other.map_err(failed)?,
    };
    let mut names = entries
        .map(|entry| entry.map(|entry| entry.file_name().to_string_lossy().into_owned()))
        .collect::<io::Result<Vec<String>>>()
        .map_err(failed)?;
    names.sort();
    Ok(names)
}

/// Removes a file that a person would take for a sign that all is there, before that ends to be so; a link goes, and what it
/// leads to stays. Where there is none, nothing is to be done.
///
/// # Errors
/// Where it cannot be removed.
pub fn remove_page(path: &Path) -> Result<(), StoreError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        Err(why) => Err(StoreError::Page { path: path.to_owned(), why }),
        Ok(()) => path.parent().map_or(Ok(()), sync_folder).map_err(as_page(path)),
    }
}

/// How a file begins, as text; nothing where it cannot be read.
pub fn head_of(path: &Path) -> String {
    const HEAD: u64 = 200;
    let mut head = Vec::new();
    let _ = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    String::from_utf8_lossy(&head).into_owned()
}

/// The bytes that are free for this user where a file would be; `None` where the system does not say.
pub fn free_space(path: &Path) -> Option<u64> {
    let at = real(path).ok()?;
    let there = at.ancestors().find(|ancestor| ancestor.is_dir())?;
    free_in(there)
}

#[cfg(unix)]
fn free_in(folder: &Path) -> Option<u64> {
    let system = rustix::fs::statvfs(folder).ok()?;
    // Some network drives say nothing of their size.
    (system.f_blocks > 0).then(|| system.f_bavail.saturating_mul(system.f_frsize))
}

#[cfg(not(unix))]
const fn free_in(_folder: &Path) -> Option<u64> {
    None
}

/// A path for people: harmless to a terminal.
pub fn path_shown(path: &Path) -> String {
    shown(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder that looks like a store.
    fn store() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("records")).unwrap();
        fs::write(folder.path().join("bench.toml"), "").unwrap();
        folder
    }

    #[test]
    fn a_folder_of_a_store_takes_no_files() {
        let folder = store();
        // The last one would lead into the store once `new` is made.
        for name in ["records", "records/new/tones", "keys", "new/../records/tones"] {
            assert!(folder_for_files(&folder.path().join(name)).is_err(), "{name}");
        }
        assert!(!folder.path().join("keys").exists() && !folder.path().join("new").exists());
        let beside = folder_for_files(&folder.path().join("tones/new")).unwrap();
        assert!(beside.is_dir());
        assert!(folder_for_files(&folder.path().join("bench.toml")).is_err());
        assert!(free_space(&beside.join("not/there.wav")).is_none_or(|free| free > 0));
    }
    #[cfg(unix)]
    #[test]
    fn a_link_to_a_folder_of_a_store_is_none_for_files() {
        let (store, shop) = (store(), tempfile::tempdir().unwrap());
        let link = shop.path().join("link");
        std::os::unix::fs::symlink(store.path().join("records"), &link).unwrap();
        for place in [link.clone(), link.join("new"), link.join("new/one")] {
            assert!(folder_for_files(&place).is_err(), "{place:?}");
        }
        assert_eq!(fs::read_dir(store.path().join("records")).unwrap().count(), 0);
    }

    #[test]
    fn a_file_is_removed_where_there_is_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.txt");
        remove_page(&path).unwrap();
        fs::write(&path, "list").unwrap();
        remove_page(&path).unwrap();
        assert!(!path.exists());
        assert!(matches!(remove_page(folder.path()), Err(StoreError::Page { .. })), "a folder is none");
    }
}
