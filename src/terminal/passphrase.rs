//! A passphrase from the person at the terminal, or from the program in SSH_ASKPASS; never from an option.

use std::env;
use std::ffi::OsString;
use std::io::{self, IsTerminal};
use std::process::{Command, Stdio};

use dialoguer::Password;
use dialoguer::theme::SimpleTheme;
use zeroize::Zeroizing;

use super::voice::Voice;

/// The longest that is taken, in bytes.
const LONGEST: usize = 1024;

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
    pub fn ask(&self, voice: &Voice, prompt: &str) -> Result<Zeroizing<String>, NoPassphrase> {
        match self {
            Self::Person => {
                let asked = Password::with_theme(&SimpleTheme)
                    .with_prompt(prompt)
                    .allow_empty_password(true)
                    .interact_on(voice.term());
                let _ = voice.term().show_cursor();
                asked.map(Zeroizing::new).map_err(|_| {
                    let _ = voice.term().write_line("");
                    NoPassphrase::Interrupted
                })
            }
            Self::Program(program) => {
                let given = Command::new(program)
                    .arg(prompt)
                    .stdin(Stdio::null())
                    .stderr(Stdio::inherit())
                    .output()
                    .map_err(|_| NoPassphrase::NotGiven)?;
                let bytes = Zeroizing::new(given.stdout);
                let line = bytes.split(|byte| matches!(byte, b'\n' | b'\r')).next().unwrap_or_default();
                let text = std::str::from_utf8(line).map_err(|_| NoPassphrase::NotGiven)?;
                if !given.status.success() || text.len() > LONGEST {
                    return Err(NoPassphrase::NotGiven);
                }
                Ok(Zeroizing::new(text.to_owned()))
            }
        }
    }
}
