//! A line that nobody sees, typed at the terminal.
//!
//! The library for prompts turns the echo off and then waits in a way that Ctrl-C does not end where signals are flags;
//! so this waits by itself. Whatever ends it, the terminal is as it was before.

#[cfg(unix)]
use std::time::Duration;

use zeroize::Zeroizing;

use super::passphrase::NoPassphrase;
use super::signals::Interrupts;
use super::voice::Voice;

/// The longest line that is taken, in bytes.
pub(super) const LONGEST: usize = 1024;

/// Sees to it that a crash leaves nothing of this process in a file; to be called before a secret comes into it. On Linux no other
/// program of the same user looks into it any more, either. Where the system refuses, there is nothing better to do.
pub fn close_memory() {
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
    let _ = voice.term().write_str(&format!("{prompt}: "));
    let line = quiet_line(interrupts);
    // The end of the line was not shown either.
    let _ = voice.term().write_line("");
    line
}

/// The terminal as it was before, when this is dropped; what is left of a line that was too long goes to nobody.
#[cfg(unix)]
struct Before(rustix::termios::Termios);

#[cfg(unix)]
impl Drop for Before {
    fn drop(&mut self) {
        let _ = rustix::termios::tcsetattr(rustix::stdio::stdin(), rustix::termios::OptionalActions::Flush, &self.0);
    }
}

#[cfg(unix)]
fn quiet_line(interrupts: &Interrupts) -> Result<Zeroizing<String>, NoPassphrase> {
    use rustix::event::{PollFd, PollFlags, Timespec, poll};
    use rustix::termios::{LocalModes, OptionalActions, SpecialCodeIndex, tcgetattr, tcsetattr};
    /// How long a signal may wait.
    const LOOK: Duration = Duration::from_millis(50);
    let closed = |_| NoPassphrase::Interrupted;
    let terminal = rustix::stdio::stdin();
    let before = Before(tcgetattr(terminal).map_err(closed)?);
    let mut quiet = before.0.clone();
    quiet.local_modes.remove(LocalModes::ECHO);
    quiet.local_modes.insert(LocalModes::ICANON | LocalModes::ISIG);
    // The key that ends a program at once would leave the terminal as it is here.
    quiet.special_codes[SpecialCodeIndex::VQUIT] = 0;
    // What was typed ahead was not meant for here.
    tcsetattr(terminal, OptionalActions::Flush, &quiet).map_err(closed)?;
    let look = Timespec { tv_sec: 0, tv_nsec: i64::from(LOOK.subsec_nanos()) as _ };
    loop {
        if interrupts.came() {
            return Err(NoPassphrase::Interrupted);
        }
        // A shell that was in between turns the echo on again.
        if tcgetattr(terminal).map_err(closed)?.local_modes.contains(LocalModes::ECHO) {
            tcsetattr(terminal, OptionalActions::Now, &quiet).map_err(closed)?;
        }
        let mut waiting = [PollFd::new(&terminal, PollFlags::IN)];
        match poll(&mut waiting, Some(&look)) {
            Ok(0) | Err(rustix::io::Errno::INTR) => {}
            Ok(_) => break,
            Err(_) => return Err(NoPassphrase::Interrupted),
        }
    }
    let mut bytes = Zeroizing::new([0; LONGEST + 2]);
    let count = rustix::io::read(terminal, &mut bytes[..]).map_err(closed)?;
    let line = match bytes[..count].strip_suffix(b"\n") {
        Some(line) => line,
        None if count == bytes.len() => return Err(NoPassphrase::Unfit("longer than any passphrase")),
        None => return Err(NoPassphrase::Interrupted),
    };
    let text = std::str::from_utf8(line).map_err(|_| NoPassphrase::Unfit("not UTF-8 text"))?;
    Ok(Zeroizing::new(text.to_owned()))
}

/// No terminal of this kind: nobody can be asked.
#[cfg(not(unix))]
fn quiet_line(_: &Interrupts) -> Result<Zeroizing<String>, NoPassphrase> {
    Err(NoPassphrase::NobodyToAsk)
}
