//! Which key signs a session off, and how it is opened.

use std::path::{Path, PathBuf};

use super::error::CommandError;
use crate::quantity::text::visible;
use crate::record::Signer;
use crate::screens::Emphasis;
use crate::signature::{LockedKey, NotUnlocked, SigningKey};
use crate::store::{KeyFile, Openssh, Store, StoreError, read_key, read_trust_list};
use crate::terminal::{Asker, Interrupts, NoPassphrase, Voice, close_memory};

/// So often a passphrase is asked for.
const TRIES: usize = 3;

/// What the options say about signing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Signing {
    /// Without a key.
    ByName,
    /// With the key in this file.
    With(PathBuf),
    /// With the key of whoever signs, where the store has one.
    OwnKey,
}

/// A key at hand.
struct OwnKey(SigningKey);

impl Signer for OwnKey {
    fn fingerprint(&self) -> String {
        self.0.public().fingerprint()
    }

    fn sign(&mut self, bytes: &[u8]) -> Result<String, String> {
        self.0.sign(bytes)
    }
}

impl Signing {
    /// Finds out early that a key that was named cannot be used, and says so where an agent does not hold it yet.
    pub fn check(&self, voice: &Voice) -> Result<(), CommandError> {
        let Self::With(path) = self else { return Ok(()) };
        if let KeyFile::Public(key) = key_to_sign_with(path)?
            && !Openssh::new(path, key, || false).is_at_hand()
        {
            let text =
                format!("No agent holds the private half of {} yet: `ssh-add` it before you sign off.", shown(path));
            voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
        }
        Ok(())
    }

    /// The key file for this name.
    fn path(&self, store: &Store, name: &str) -> Option<PathBuf> {
        match self {
            Self::ByName => None,
            Self::With(path) => Some(path.clone()),
            Self::OwnKey => store.key_of(name),
        }
    }

    /// What is said of the key before a person signs.
    pub fn announced(&self, store: &Store, name: &str) -> String {
        let Some(path) = self.path(store, name) else {
            return match self {
                Self::OwnKey => format!(
                    "The store has no key of {}, so the name stands alone: `cornerset key new` makes one.",
                    visible(name)
                ),
                _ => "No key signs: the name stands alone.".to_owned(),
            };
        };
        match key_to_sign_with(&path) {
            Ok(key) => {
                let key = key.public();
                let doubt = match read_trust_list(&store.trust_list_path()) {
                    Ok((list, _)) if !list.has_key_of(name) => {
                        format!(
                            " The store's trust list has no key of {}: an audit will ask whose it is.",
                            visible(name)
                        )
                    }
                    _ => String::new(),
                };
                format!("It is signed with the key {} ({}).{doubt}", key.fingerprint(), shown(&path))
            }
            Err(error) => format!("{error}."),
        }
    }

    /// The signer of a session that this name signs off; `None` where no key signs.
    pub fn signer(
        &self,
        store: &Store,
        name: &str,
        voice: &Voice,
        interrupts: &Interrupts,
    ) -> Result<Option<Box<dyn Signer>>, CommandError> {
        let Some(path) = self.path(store, name) else {
            return Ok(None);
        };
        match key_to_sign_with(&path)? {
            KeyFile::Private(key) if key.signs_here() => {
                Ok(Some(Box::new(OwnKey(open(&key, &path, voice, interrupts)?))))
            }
            other => {
                let interrupts = interrupts.clone();
                Ok(Some(Box::new(Openssh::new(&path, other.public(), move || interrupts.came()))))
            }
        }
    }
}

/// The key in a file. One that no passphrase protects is in memory as soon as it is read.
fn key_to_sign_with(path: &Path) -> Result<KeyFile, StoreError> {
    close_memory();
    read_key(path)
}

/// Opens a key, asking for its passphrase where it has one.
fn open(key: &LockedKey, path: &Path, voice: &Voice, interrupts: &Interrupts) -> Result<SigningKey, CommandError> {
    let refused = |why: &dyn std::fmt::Display| CommandError::Usage(format!("the key {}: {why}", shown(path)));
    if !key.is_protected() {
        return key.unlock("").map_err(|error| refused(&error));
    }
    let no_passphrase = |why: &dyn std::fmt::Display| refused(&format!("it needs its passphrase, and {why}"));
    let asker = Asker::find().map_err(|why| no_passphrase(&why))?;
    let tries = if asker == Asker::Person { TRIES } else { 1 };
    for left in (0..tries).rev() {
        let asked = asker.ask(voice, interrupts, &format!("passphrase of {}", shown(path)));
        let passphrase = asked.map_err(|why| match why {
            NoPassphrase::Interrupted => CommandError::Interrupted,
            why => no_passphrase(&why),
        })?;
        match key.unlock(&passphrase) {
            Err(NotUnlocked::Passphrase) if left > 0 => {
                let text = format!("{}. Once more, or Ctrl-C to leave it for now.", NotUnlocked::Passphrase);
                voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
            }
            opened => return opened.map_err(|error| refused(&error)),
        }
    }
    Err(refused(&NotUnlocked::Passphrase))
}

fn shown(path: &Path) -> String {
    visible(&path.to_string_lossy())
}
