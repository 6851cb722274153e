//! Keys as files.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use zeroize::Zeroizing;

use super::disk::{Existing, clear_temporary, put, secret, sync_folder};
use super::error::in_words;
use super::lock::lock_folder;
use super::page::{OF_A_STORE, of_store, real};
use super::{Store, StoreError};
use crate::signature::{LockedKey, PublicKey, principal_of};

/// Far more than a key file takes.
const KEY_MOST: u64 = 64 * 1024;

/// What a key file holds.
pub enum KeyFile {
    /// A private key, perhaps protected.
    Private(LockedKey),
    /// A public key, whose private half an agent or a security key holds.
    Public(PublicKey),
}

impl KeyFile {
    /// The public half.
    pub fn public(&self) -> PublicKey {
        match self {
            Self::Private(key) => key.public(),
            Self::Public(key) => key.clone(),
        }
    }
}

impl Store {
    /// Where a key of this name is, or would be.
    pub fn key_path(&self, name: &str) -> PathBuf {
        self.keys_folder().join(principal_of(name))
    }

    /// The key of this name, where there is one: the private key, else the public half of one held elsewhere.
    pub fn key_of(&self, name: &str) -> Option<PathBuf> {
        let private = self.key_path(name);
        let public = public_path(&private);
        // One that the disk does not let be seen is there, and is told of when it is read: nobody signs without it unasked.
        [private, public].into_iter().find(|path| !matches!(path.try_exists(), Ok(false)))
    }

    /// The keys in the store, sorted by name: public halves, and private keys that have none beside them.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn public_keys(&self) -> Result<Vec<PathBuf>, StoreError> {
        let mut paths = super::records::entries(&self.keys_folder())?;
        // A program that was killed between the halves leaves the private one, under a name without a dot.
        paths.retain(|path| match path.extension() {
            Some(extension) => extension == "pub",
            None => path.is_file() && !is_hidden(path) && !public_path(path).exists(),
        });
        Ok(paths)
    }

    /// Makes the folder of keys, for its owner alone from the first moment on.
    ///
    /// # Errors
    /// Where the disk fails.
    pub fn make_keys_folder(&self) -> Result<(), StoreError> {
        // The lock makes the folder that it is in, and is what makes this one part of a store.
        let _lock = self.lock()?;
        let folder = self.keys_folder();
        #[cfg_attr(not(unix), allow(unused_mut, reason = "there are no modes there"))]
        let mut builder = fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        match builder.create(&folder) {
            Err(why) if !folder.is_dir() => Err(StoreError::disk("make the folder", &folder, why)),
            _ => sync_folder(self.root()),
        }
    }

    fn keys_folder(&self) -> PathBuf {
        self.root().join("keys")
    }
}

/// Reads a key file, private or public.
///
/// # Errors
/// Where it cannot be read, is no key, or is a private key that others can read.
pub fn read_key(path: &Path) -> Result<KeyFile, StoreError> {
    let refused = |what: String| StoreError::Key { path: path.to_owned(), what };
    let failed = |error: io::Error| {
        if is_of_disk(&error) { StoreError::disk("read", path, error) } else { refused(in_words(&error)) }
    };
    let bytes = read_secret(path).map_err(failed)?;
    let text = std::str::from_utf8(&bytes).map_err(|_| refused("it is no text".to_owned()))?;
    if !text.contains("PRIVATE KEY") {
        let public = PublicKey::parse(text.trim()).map_err(|why| refused(format!("it {why}")))?;
        return Ok(KeyFile::Public(public));
    }
    let key = LockedKey::parse(text).map_err(|why| refused(format!("it {why}")))?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(path).map_err(failed)?.permissions().mode() & 0o777;
        if mode & 0o077 != 0 {
            let text =
                format!("others can get at it (mode {mode:03o}), so it may be known to them; `chmod 600` closes it");
            return Err(refused(text));
        }
    }
    // A kind of key whose signatures nobody could check here is refused before it signs.
    PublicKey::parse(&key.public().line()).map_err(|why| refused(format!("it {why}")))?;
    Ok(KeyFile::Private(key))
}

/// Writes a new key pair: the private key for its owner alone, the public half beside it. None is ever replaced.
///
/// # Errors
/// Where one is there already, where the place belongs to something else of a store, or the disk fails.
pub fn write_key(path: &Path, private: &str, public: &str) -> Result<PathBuf, StoreError> {
    let path = &real(path)?;
    if of_store(path).is_some_and(|part| part != "keys") {
        return Err(StoreError::Key { path: path.clone(), what: OF_A_STORE.to_owned() });
    }
    let beside = public_path(path);
    for taken in [path.as_path(), &beside] {
        if fs::symlink_metadata(taken).is_ok() {
            let what =
                "there is a key already, and a key is never replaced; move it away, or name another file".to_owned();
            return Err(StoreError::Key { path: taken.to_owned(), what });
        }
    }
    let failed = |why| StoreError::Page { path: path.to_owned(), why };
    let folder = path.parent().unwrap_or(Path::new("."));
    // In a store, half a key that a killed program left goes.
    let root = folder.parent().filter(|_| folder.ends_with("keys") && of_store(path).is_some());
    let _lock = root.map(|root| lock_folder(root, &|| false)).transpose()?;
    if root.is_some() {
        clear_temporary(folder);
    }
    let mut file = secret(folder).map_err(failed)?;
    file.write_all(private.as_bytes()).and_then(|()| file.as_file().sync_all()).map_err(failed)?;
    file.persist_noclobber(path).map_err(|refused| failed(refused.error))?;
    let line = format!("{public}\n");
    // This syncs the folder when both names are in it.
    if let Err(error) = put(&beside, line.as_bytes(), Existing::Stays) {
        // Half a pair is none: a public half alone would pass for a key that is held elsewhere.
        let _ = fs::remove_file(path);
        if fs::read(&beside).is_ok_and(|there| there == line.as_bytes()) {
            let _ = fs::remove_file(&beside);
        }
        return Err(error);
    }
    Ok(beside)
}

/// What file managers and others leave in any folder.
fn is_hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'))
}

/// Whether it is the disk that failed, not the key that was named.
fn is_of_disk(error: &io::Error) -> bool {
    use ErrorKind::{FileTooLarge, IsADirectory, NotADirectory, NotFound, PermissionDenied};
    let of_name = matches!(error.kind(), FileTooLarge | IsADirectory | NotADirectory | NotFound | PermissionDenied);
    error.raw_os_error().is_some() && !of_name
}

/// The bytes of a key file, in memory that is wiped: room for all of it at once, so that no piece stays behind.
fn read_secret(path: &Path) -> io::Result<Zeroizing<Vec<u8>>> {
    let metadata = fs::metadata(path)?;
    if !metadata.is_file() {
        return Err(io::Error::other("it is not a regular file"));
    }
    if metadata.len() > KEY_MOST {
        return Err(ErrorKind::FileTooLarge.into());
    }
    let mut bytes = Zeroizing::new(Vec::with_capacity(metadata.len() as usize + 1));
    File::open(path)?.take(metadata.len()).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn public_path(private: &Path) -> PathBuf {
    let mut name = private.file_name().unwrap_or_default().to_owned();
    name.push(".pub");
    private.with_file_name(name)
}
