//! A passphrase from the person at the terminal, or from the program in SSH_ASKPASS; never from an option.

use std::env;
use std::ffi::OsString;
use std::io::{self, IsTerminal, Read};
use std::process::{Command, Stdio};

use zeroize::Zeroizing;

use super::secret::{LONGEST, read_secret_line};
use super::signals::Interrupts;
use super::voice::Voice;

/// Why there is no passphrase.
#[derive(Debug, thiserror::Error)]
pub enum NoPassphrase {
    /// Nobody can be asked.
    #[error("there is no terminal to ask for it, and SSH_ASKPASS names no program that does")]
    NobodyToAsk,
    /// The program did not give one.
    #[error("the program in SSH_ASKPASS gave none")]
    NotGiven,
    /// The person stopped here.
    #[error("none was typed")]
    Interrupted,
}

/// Who gives passphrases.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asker {
    /// The person at the terminal.
    Person,
    /// A program, as OpenSSH knows it.
    Program(OsString),
}

impl Asker {
    /// The person where there is a terminal, else the program in SSH_ASKPASS; SSH_ASKPASS_REQUIRE prefers the one or
    /// the other, as with OpenSSH.
    ///
    /// # Errors
    /// Where there is neither.
    pub fn find() -> Result<Self, NoPassphrase> {
        let program = env::var_os("SSH_ASKPASS").filter(|program| !program.is_empty());
        let required = env::var("SSH_ASKPASS_REQUIRE").unwrap_or_default();
        let has_person = io::stdin().is_terminal() && io::stderr().is_terminal();
        match program {
            Some(program)
                if required != "never" && (!has_person || ["force", "prefer"].contains(&required.as_str())) =>
            {
                Ok(Self::Program(program))
            }
            _ if has_person => Ok(Self::Person),
            _ => Err(NoPassphrase::NobodyToAsk),
        }
    }

    /// Asks once.
    ///
    /// # Errors
    /// Where none is given.
    pub fn ask(&self, voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Result<Zeroizing<String>, NoPassphrase> {
        match self {
            Self::Person => read_secret_line(voice, interrupts, prompt).ok_or(NoPassphrase::Interrupted),
            Self::Program(program) => by_program(program, prompt).ok_or(NoPassphrase::NotGiven),
        }
    }
}

/// The first line that a program prints.
fn by_program(program: &OsString, prompt: &str) -> Option<Zeroizing<String>> {
    let mut child = Command::new(program).arg(prompt).stdin(Stdio::null()).stdout(Stdio::piped()).spawn().ok()?;
    // Room for all that is taken, so that no piece is left behind in memory.
    let mut bytes = Zeroizing::new(Vec::with_capacity(LONGEST + 2));
    let read = child.stdout.take()?.take(LONGEST as u64 + 1).read_to_end(&mut bytes);
    let ended = child.wait().ok()?;
    let line = bytes.split(|byte| matches!(byte, b'\n' | b'\r')).next().unwrap_or_default();
    let text = std::str::from_utf8(line).ok()?;
    (read.is_ok() && ended.success() && text.len() <= LONGEST).then(|| Zeroizing::new(text.to_owned()))
}
