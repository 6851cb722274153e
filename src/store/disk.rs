//! Files written whole or not at all, folders that last, and reads with a limit.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Read, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use super::StoreError;

/// What to do where the file is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Existing {
    /// Leave it as it is and fail.
    Stays,
    /// Put the new one in its place.
    Replaced,
}

/// Makes a folder, and those it is in, and sees to it that each lasts.
pub(super) fn make_folder(path: &Path) -> Result<(), StoreError> {
    if path.is_dir() {
        return Ok(());
    }
    let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty());
    if let Some(parent) = parent {
        make_folder(parent)?;
    }
    match fs::create_dir(path) {
        Err(why) if !path.is_dir() => return Err(StoreError::disk("make the folder", path, why)),
        _ => {}
    }
    parent.map_or(Ok(()), sync_folder)
}

/// Sees to it that the names in a folder last. Where a file system has no such thing, nothing is to be done.
pub(super) fn sync_folder(path: &Path) -> Result<(), StoreError> {
    if cfg!(not(unix)) {
        return Ok(());
    }
    match File::open(path).and_then(|folder| folder.sync_all()) {
        Err(why) if !matches!(why.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => {
            Err(StoreError::disk("sync the folder", path, why))
        }
        _ => Ok(()),
    }
}

/// Writes a file whole or not at all: a temporary file in the same folder, written, synced, read back, renamed; then
/// the folder is synced. Fails with [`ErrorKind::AlreadyExists`] where there is one that stays.
pub(super) fn put(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), StoreError> {
    let failed = |doing| move |why| StoreError::disk(doing, path, why);
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = readable(PREFIX).tempfile_in(folder).map_err(failed("write"))?;
    file.write_all(bytes).map_err(failed("write"))?;
    file.as_file().sync_all().map_err(failed("sync"))?;
    if fs::read(file.path()).map_err(failed("read back"))? != bytes {
        let why = io::Error::other("the disk gives back something else than was written");
        return Err(StoreError::disk("write", path, why));
    }
    let persisted = match existing {
        Existing::Replaced => file.persist(path),
        Existing::Stays => file.persist_noclobber(path).or_else(|refused| {
            // Some file systems cannot rename without replacing. The store's lock keeps others away meanwhile.
            let cannot = matches!(
                refused.error.kind(),
                ErrorKind::Unsupported | ErrorKind::InvalidInput | ErrorKind::PermissionDenied
            );
            let free = fs::symlink_metadata(path).is_err_and(|error| error.kind() == ErrorKind::NotFound);
            if cannot && free { refused.file.persist(path) } else { Err(refused) }
        }),
    };
    persisted.map_err(|refused| StoreError::disk("put in place", path, refused.error))?;
    sync_folder(folder)
}

/// Writes a file that is no part of a store, whole or not at all, piece by piece, in the place of one that is there. No close
/// clears it away meanwhile, whatever folder it is in.
pub(super) fn put_pieces(
    path: &Path,
    write: impl FnOnce(&mut BufWriter<&File>) -> io::Result<()>,
) -> Result<(), StoreError> {
    let failed = |doing| move |why| StoreError::disk(doing, path, why);
    let folder = path.parent().unwrap_or(Path::new("."));
    let file = readable(PREFIX_OF_PAGES).tempfile_in(folder).map_err(failed("write"))?;
    let mut pieces = BufWriter::new(file.as_file());
    write(&mut pieces).and_then(|()| pieces.flush()).map_err(failed("write"))?;
    drop(pieces);
    file.as_file().sync_all().map_err(failed("sync"))?;
    file.persist(path).map_err(|refused| StoreError::disk("put in place", path, refused.error))?;
    sync_folder(folder)
}

/// A file that becomes another one in the same folder, whole or not at all, and need not last: who writes it need not hold the
/// store's lock, for nothing is lost where it is cleared away meanwhile.
pub(super) fn passing(folder: &Path) -> io::Result<NamedTempFile> {
    readable(PREFIX).tempfile_in(folder)
}

/// As [`passing`], for its owner alone from the first byte on.
pub(super) fn secret(folder: &Path) -> io::Result<NamedTempFile> {
    temporary(PREFIX).tempfile_in(folder)
}

/// Removes temporary files that a program left behind that was killed while it wrote. Who writes what must last holds the
/// store's lock, and so must whoever calls this: then nobody is writing such a one. What cannot be removed is no harm.
pub(super) fn clear_temporary(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let is_temporary = entry.file_name().to_str().is_some_and(|name| {
            name.len() == PREFIX.len() + RANDOM + SUFFIX.len() && name.starts_with(PREFIX) && name.ends_with(SUFFIX)
        });
        if is_temporary && entry.file_type().is_ok_and(|kind| kind.is_file()) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The name of a temporary file: these, and random characters between them.
const PREFIX: &str = ".";
const RANDOM: usize = 6;
const SUFFIX: &str = ".part";
/// That of a file that a person named: who writes it holds no lock.
const PREFIX_OF_PAGES: &str = ".page-";

/// A temporary file that its owner alone can read.
fn temporary(prefix: &'static str) -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(prefix).rand_bytes(RANDOM).suffix(SUFFIX);
    builder
}

/// A temporary file with the permissions of an ordinary one.
fn readable(prefix: &'static str) -> tempfile::Builder<'static, 'static> {
    let mut builder = temporary(prefix);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

/// The bytes of a regular file that is not larger than `most`.
pub(super) fn read_up_to(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let found = fs::metadata(path)?;
    if !found.is_file() {
        return Err(io::Error::other("it is not a regular file"));
    }
    // With room for all of it, and for the end to be seen, it is read at once.
    let mut bytes = Vec::with_capacity(found.len().min(most) as usize + 32);
    File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(io::Error::new(ErrorKind::FileTooLarge, "it is too large"));
    }
    Ok(bytes)
}

/// Whether `path` still names the file that `file` is.
pub(super) fn is_in_place(file: &File, path: &Path) -> io::Result<bool> {
    let there = match fs::symlink_metadata(path) {
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(false),
        other => other?,
    };
    let held = file.metadata()?;
    Ok(is_same_file(&there, &held))
}

#[cfg(unix)]
fn is_same_file(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    one.dev() == other.dev() && one.ino() == other.ino()
}

#[cfg(not(unix))]
fn is_same_file(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    one.is_file() && one.len() == other.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_put_once_or_replaced_and_no_temporary_file_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a").join("b").join("file");
        make_folder(path.parent().unwrap()).unwrap();
        put(&path, b"one", Existing::Stays).unwrap();
        let error = put(&path, b"two", Existing::Stays).unwrap_err();
        assert!(matches!(&error, StoreError::Disk { why, .. } if why.kind() == ErrorKind::AlreadyExists), "{error}");
        assert_eq!(fs::read(&path).unwrap(), b"one");
        put(&path, b"two", Existing::Replaced).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }

    #[test]
    fn what_a_killed_program_left_is_cleared_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        for name in [".aB3xyZ.part", ".mine.part", "aB3xyZ.part", ".aB3xyZ.json", ".aB3xy.part"] {
            fs::write(folder.path().join(name), "half").unwrap();
        }
        fs::create_dir(folder.path().join(".folder.part")).unwrap();
        for made in [passing(folder.path()), secret(folder.path())] {
            let (file, path) = made.unwrap().keep().unwrap();
            drop(file);
            clear_temporary(folder.path());
            assert!(!path.exists(), "as `put` names them");
        }
        let mut left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        left.sort();
        assert_eq!(left, [".aB3xy.part", ".aB3xyZ.json", ".folder.part", ".mine.part", "aB3xyZ.part"]);
    }

    /// Whoever writes a page or an export holds no lock, and may do so in the folder of a store.
    #[test]
    fn a_page_is_written_whatever_is_cleared_meanwhile() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("page.html");
        put_pieces(&path, |file| {
            file.write_all(b"page")?;
            clear_temporary(folder.path());
            Ok(())
        })
        .unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"page");
    }

    #[test]
    fn reads_have_a_limit_and_take_only_files() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("file");
        fs::write(&path, b"12345").unwrap();
        assert_eq!(read_up_to(&path, 5).unwrap(), b"12345");
        assert_eq!(read_up_to(&path, 4).unwrap_err().kind(), ErrorKind::FileTooLarge);
        assert!(read_up_to(folder.path(), 4).is_err());
    }
}
