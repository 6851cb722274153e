//! Keys that only OpenSSH signs with: those that an agent or a security key holds.

use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use super::error::shown;
use crate::record::Signer;
use crate::signature::{NAMESPACE, PublicKey};

/// Signs by `ssh-keygen -Y sign`, which asks the agent, or for a touch of the security key.
pub struct Openssh {
    path: PathBuf,
    public: PublicKey,
}

impl Openssh {
    /// The key in this file: a private key, or the public half of one that is held elsewhere.
    pub fn new(path: &Path, public: PublicKey) -> Self {
        Self { path: path.to_owned(), public }
    }

    /// Whether an agent holds the private half, as far as can be told without asking anyone; a security key need not be
    /// in one.
    pub fn is_at_hand(&self) -> bool {
        let listed = Command::new("ssh-add").arg("-L").stdin(Stdio::null()).stderr(Stdio::null()).output();
        let line = self.public.line();
        self.public.kind().starts_with("sk-")
            || listed
                .is_ok_and(|listed| String::from_utf8_lossy(&listed.stdout).lines().any(|held| held.starts_with(&line)))
    }
}

impl Signer for Openssh {
    fn fingerprint(&self) -> String {
        self.public.fingerprint()
    }

    fn sign(&mut self, bytes: &[u8]) -> Result<String, String> {
        // What it asks and says goes to standard error, past this program.
        let started = Command::new("ssh-keygen")
            .args(["-Y", "sign", "-q", "-n", NAMESPACE, "-f"])
            .arg(&self.path)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn();
        let mut child = started.map_err(|error| match error.kind() {
            ErrorKind::NotFound => format!(
                "ssh-keygen, which signs with the key in {}, is not installed; install OpenSSH, or use a key file of your own",
                shown(&self.path)
            ),
            _ => format!("ssh-keygen does not start: {error}"),
        })?;
        if let Some(mut input) = child.stdin.take() {
            // Where it has ended already, its exit says so.
            let _ = input.write_all(bytes);
        }
        let output = child.wait_with_output().map_err(|error| format!("ssh-keygen cannot be waited for: {error}"))?;
        if !output.status.success() {
            return Err(format!(
                "ssh-keygen does not sign with the key in {}; see that the agent runs and holds the key (`ssh-add -l`)",
                shown(&self.path)
            ));
        }
        String::from_utf8(output.stdout).map_err(|_| "ssh-keygen made no signature that can be read".to_owned())
    }
}
