//! A passphrase from the person at the terminal, or from the program in SSH_ASKPASS; never from an option.

use std::env;
use std::ffi::OsString;
use std::io::{self, IsTerminal, Read};
use std::process::{Command, Stdio};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use zeroize::Zeroizing;

use super::secret::{LONGEST, close_memory, read_secret_line};
use super::signals::Interrupts;
use super::voice::Voice;
use crate::store::await_child;

/// How long a signal may wait.
const LOOK: Duration = Duration::from_millis(20);

/// Why there is no passphrase.
#[derive(Debug, thiserror::Error)]
pub enum NoPassphrase {
    /// Nobody can be asked.
    #[error("there is no terminal to ask for it, and SSH_ASKPASS names no program that does")]
    NobodyToAsk,
    /// The program did not give one.
    #[error("the program in SSH_ASKPASS gave none")]
    NotGiven,
    /// What was typed cannot be one.
    #[error("what was typed is {0}")]
    Unfit(&'static str),
    /// The person stopped here, or a signal came.
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

    /// Asks once. From then on this process leaves no core dump.
    ///
    /// # Errors
    /// Where none is given.
    pub fn ask(&self, voice: &Voice, interrupts: &Interrupts, prompt: &str) -> Result<Zeroizing<String>, NoPassphrase> {
        close_memory();
        match self {
            Self::Person => read_secret_line(voice, interrupts, prompt),
            Self::Program(program) => by_program(program, interrupts, prompt),
        }
    }
}

/// The first line that a program prints. A signal ends it, and what else it started goes its own way.
fn by_program(program: &OsString, interrupts: &Interrupts, prompt: &str) -> Result<Zeroizing<String>, NoPassphrase> {
    let started = Command::new(program).arg(prompt).stdin(Stdio::null()).stdout(Stdio::piped()).spawn();
    let mut child = started.map_err(|_| NoPassphrase::NotGiven)?;
    let mut output = child.stdout.take().ok_or(NoPassphrase::NotGiven)?;
    let (hand_over, handed) = mpsc::channel();
    thread::spawn(move || {
        let line = first_line(&mut output);
        let _ = hand_over.send(line);
        // Nobody who still writes is to fail for it.
        let _ = io::copy(&mut output, &mut io::sink());
    });
    let ended = await_child(&mut child, &|| interrupts.came()).ok_or(NoPassphrase::Interrupted)?;
    if !ended.is_ok_and(|status| status.success()) {
        return Err(NoPassphrase::NotGiven);
    }
    // What the program started may hold its output open, so that not even the end of an empty one comes.
    let line = loop {
        match handed.recv_timeout(LOOK) {
            _ if interrupts.came() => return Err(NoPassphrase::Interrupted),
            Ok(line) => break line.map_err(|_| NoPassphrase::NotGiven)?,
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Err(NoPassphrase::NotGiven),
        }
    };
    let text = std::str::from_utf8(&line).map_err(|_| NoPassphrase::NotGiven)?;
    if text.len() > LONGEST {
        return Err(NoPassphrase::NotGiven);
    }
    Ok(Zeroizing::new(text.to_owned()))
}

/// What stands before the first end of a line; more than is taken where there is none for long.
fn first_line(output: &mut impl Read) -> io::Result<Zeroizing<Vec<u8>>> {
    // Room for all that is taken, so that no piece is left behind in memory.
    let mut bytes = Zeroizing::new(Vec::with_capacity(LONGEST + 2));
    while bytes.len() <= LONGEST {
        let mut byte = Zeroizing::new([0]);
        match output.read(&mut byte[..]) {
            Ok(0) => break,
            Ok(_) if matches!(byte[0], b'\n' | b'\r') => break,
            Ok(_) => bytes.push(byte[0]),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(bytes)
}
