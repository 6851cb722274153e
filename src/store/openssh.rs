//! Keys that only OpenSSH signs with: those that an agent or a security key holds.

use std::fs::File;
use std::io::{self, ErrorKind, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::thread;
use std::time::Duration;

use super::error::shown;
use crate::record::Signer;
use crate::signature::{NAMESPACE, PublicKey};

/// Far more than a signature takes.
const SIGNATURE_MOST: u64 = 64 * 1024;

/// Signs by `ssh-keygen -Y sign`, which asks the agent, or for a touch of the security key.
pub struct Openssh {
    path: PathBuf,
    public: PublicKey,
    stop: Box<dyn Fn() -> bool>,
}

impl Openssh {
    /// The key in this file: a private key, or the public half of one that is held elsewhere. Signing is given up once
    /// `stop` says so.
    pub fn new(path: &Path, public: PublicKey, stop: impl Fn() -> bool + 'static) -> Self {
        Self { path: path.to_owned(), public, stop: Box::new(stop) }
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
        // A file, not a pipe: what is longer than a pipe holds would be waited for until it has asked.
        let input = file_of(bytes).map_err(|error| format!("the record cannot be handed to ssh-keygen: {error}"))?;
        // What it asks and says goes to standard error, past this program.
        let started = Command::new("ssh-keygen")
            .args(["-Y", "sign", "-q", "-n", NAMESPACE, "-f"])
            .arg(&self.path)
            .stdin(input)
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
        let Some(mut output) = child.stdout.take() else {
            return Err("ssh-keygen has no output".to_owned());
        };
        // A signature is shorter than what a pipe holds, so that it can be read at the end.
        let Some(status) = await_child(&mut child, &self.stop) else {
            return Err("stopped while ssh-keygen was asked".to_owned());
        };
        let mut signature = String::new();
        let read = output.by_ref().take(SIGNATURE_MOST).read_to_string(&mut signature);
        let status = status.map_err(|error| format!("ssh-keygen cannot be waited for: {error}"))?;
        if !status.success() {
            return Err(format!(
                "ssh-keygen does not sign with the key in {}; see that the agent runs and holds the key (`ssh-add -l`)",
                shown(&self.path)
            ));
        }
        read.map(|_| signature).map_err(|_| "ssh-keygen made no signature that can be read".to_owned())
    }
}

/// A file without a name that holds these bytes, at its start.
fn file_of(bytes: &[u8]) -> io::Result<File> {
    let mut file = tempfile::tempfile()?;
    file.write_all(bytes)?;
    file.rewind()?;
    Ok(file)
}

/// Waits for the end of a program, or ends it once `stop` says so: then there is nothing to say of it.
pub fn await_child(child: &mut Child, stop: &dyn Fn() -> bool) -> Option<io::Result<ExitStatus>> {
    const LOOK: Duration = Duration::from_millis(20);
    loop {
        match child.try_wait() {
            Ok(None) if stop() => {
                let _ = child.kill();
                let _ = child.wait();
                return None;
            }
            Ok(None) => thread::sleep(LOOK),
            Ok(Some(status)) => return Some(Ok(status)),
            Err(error) => return Some(Err(error)),
        }
    }
}
