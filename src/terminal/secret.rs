//! A line that nobody sees, typed at the terminal.
//!
//! The library for prompts turns the echo off and then waits in a way that Ctrl-C does not end where signals are flags;
//! so this waits by itself. Whatever ends it, and while the program is suspended, the terminal is as it was before.

use zeroize::Zeroizing;

#[cfg(unix)]
use super::modes::{Modes, Waited, suspend, wait};
use super::passphrase::NoPassphrase;
use super::signals::Interrupts;
use super::voice::Voice;

/// The longest line that is taken, in bytes.
pub(super) const LONGEST: usize = 1024;

/// Sees to it that a crash leaves nothing of this process in a file, before a secret comes into it. On Linux no other
/// program of the same user looks into it any more, either. Where the system refuses, there is nothing better to do.
pub(super) fn close_memory() {
    #[cfg(unix)]
    {
        use rustix::process::{Resource, Rlimit, setrlimit};
        let _ = setrlimit(Resource::Core, Rlimit { current: Some(0), maximum: Some(0) });
    }
    // Where dumps go to a program, the limit alone stops none.
    #[cfg(target_os = "linux")]
    {
        use rustix::process::{DumpableBehavior, set_dumpable_behavior};
        let _ = set_dumpable_behavior(DumpableBehavior::NotDumpable);
    }
}

/// Reads one line without showing it.
///
/// # Errors
/// Where the person stops, a signal comes or the terminal is closed; where it is no text, or too long.
pub(super) fn read_secret_line(
    voice: &Voice,
    interrupts: &Interrupts,
    prompt: &str,
) -> Result<Zeroizing<String>, NoPassphrase> {
    loop {
        let _ = voice.term().write_str(&format!("{prompt}: "));
        let typed = quiet_line(interrupts);
        // The end of the line was not shown either.
        let _ = voice.term().write_line("");
        if let Some(line) = typed.transpose() {
            return line;
        }
        suspend();
    }
}

/// A line; none where the person suspends the program: what was typed of it is forgotten.
#[cfg(unix)]
fn quiet_line(interrupts: &Interrupts) -> Result<Option<Zeroizing<String>>, NoPassphrase> {
    let modes = Modes::quiet().ok_or(NoPassphrase::Interrupted)?;
    loop {
        if interrupts.came() {
            return Err(NoPassphrase::Interrupted);
        }
        modes.renew().ok_or(NoPassphrase::Interrupted)?;
        if wait().ok_or(NoPassphrase::Interrupted)? == Waited::Readable {
            break;
        }
    }
    let mut bytes = Zeroizing::new([0; LONGEST + 2]);
    let count = rustix::io::read(rustix::stdio::stdin(), &mut bytes[..]).map_err(|_| NoPassphrase::Interrupted)?;
    let line = match bytes[..count].split_last() {
        Some((b'\n', line)) => line,
        Some((last, _)) if Some(*last) == modes.suspending() => return Ok(None),
        _ if count == bytes.len() => return Err(NoPassphrase::Unfit("longer than any passphrase")),
        _ => return Err(NoPassphrase::Interrupted),
    };
    let text = std::str::from_utf8(line).map_err(|_| NoPassphrase::Unfit("not UTF-8 text"))?;
    Ok(Some(Zeroizing::new(text.to_owned())))
}

/// No terminal of this kind: nobody can be asked.
#[cfg(not(unix))]
fn quiet_line(_: &Interrupts) -> Result<Option<Zeroizing<String>>, NoPassphrase> {
    Err(NoPassphrase::NobodyToAsk)
}

#[cfg(not(unix))]
const fn suspend() {}
