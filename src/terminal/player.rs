//! Playing a file through a program that is installed for that.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus, Stdio};

use super::signals::Interrupts;
use crate::quantity::show::list_or;
use crate::store::{await_child, in_words};

/// The programs that are looked for, in this order: those of PipeWire, PulseAudio and ALSA, and that of macOS. Each plays the
/// file that it is given and ends.
const PLAYERS: [&str; 4] = ["pw-play", "paplay", "aplay", "afplay"];

/// A program that plays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Player {
    name: &'static str,
    path: PathBuf,
}

/// Why nothing was played, or not to the end.
#[derive(Debug, thiserror::Error)]
pub enum NotPlayed {
    /// A signal came.
    #[error("stopped while the tone played")]
    Interrupted,
    /// The program does not do its work.
    #[error("{0}")]
    Failed(String),
}

impl Player {
    /// The first that is on the search path.
    pub fn find() -> Option<Self> {
        // A folder that depends on where one stands is no place for programs.
        let folders: Vec<PathBuf> = env::split_paths(&env::var_os("PATH")?).filter(|path| path.is_absolute()).collect();
        PLAYERS.into_iter().find_map(|name| {
            let mut places = folders.iter().map(|folder| folder.join(name));
            places.find(|path| is_program(path)).map(|path| Self { name, path })
        })
    }

    /// Those that are looked for, in words.
    pub fn looked_for() -> String {
        list_or(&PLAYERS)
    }

    /// Its name.
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// Plays a file to its end; a signal ends the player, too.
    ///
    /// # Errors
    /// Where a signal came, or the player fails.
    pub fn play(&self, file: &Path, interrupts: &Interrupts) -> Result<(), NotPlayed> {
        if interrupts.came() {
            return Err(NotPlayed::Interrupted);
        }
        // Standard output is for results; what a player says of itself goes to standard error, past this program.
        let started = Command::new(&self.path).arg(file).stdin(Stdio::null()).stdout(Stdio::null()).spawn();
        let failed = |why: String| NotPlayed::Failed(format!("{} {why}", self.name));
        let mut child = started.map_err(|error| failed(format!("does not start: {}", in_words(&error))))?;
        match await_child(&mut child, &|| interrupts.came()) {
            None => Err(NotPlayed::Interrupted),
            // At a terminal Ctrl-C reaches the player as well, which may be first to end.
            Some(_) if interrupts.came() => Err(NotPlayed::Interrupted),
            Some(Ok(status)) if status.success() => Ok(()),
            Some(Ok(status)) if was_interrupted(status) => Err(NotPlayed::Interrupted),
            Some(Ok(status)) => Err(failed(format!("did not play the file and ended with {}", in_status(status)))),
            Some(Err(error)) => Err(failed(format!("cannot be waited for: {}", in_words(&error)))),
        }
    }
}

/// Whether a file is there that can be run.
fn is_program(path: &Path) -> bool {
    let Ok(metadata) = fs::metadata(path) else {
        return false;
    };
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        metadata.is_file() && metadata.permissions().mode() & 0o111 != 0
    }
    #[cfg(not(unix))]
    metadata.is_file()
}

#[cfg(unix)]
fn was_interrupted(status: ExitStatus) -> bool {
    use std::os::unix::process::ExitStatusExt;
    status.signal() == Some(signal_hook::consts::SIGINT)
}

#[cfg(not(unix))]
const fn was_interrupted(_status: ExitStatus) -> bool {
    false
}

/// `status 1`, or the signal that ended it.
fn in_status(status: ExitStatus) -> String {
    status.code().map_or_else(|| status.to_string(), |code| format!("status {code}"))
}
