//! The terminal's modes while something is typed, and a wait for it that passes no signal by.

use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::io::Errno;
use rustix::process::{Signal, getpgrp, kill_process_group};
use rustix::stdio::stdin;
use rustix::termios::{LocalModes, OptionalActions, SpecialCodeIndex, Termios, tcgetattr, tcsetattr};

/// How long a signal may wait that came between the look for one and the wait for a key.
const LOOK: Duration = Duration::from_millis(100);
/// A special key that is none (`_POSIX_VDISABLE`).
const NO_KEY: u8 = if cfg!(any(target_os = "linux", target_os = "android")) { 0 } else { 0xff };
/// Modes in which the two ways to read a line differ from each other, and from a shell's.
const TELLING: LocalModes = LocalModes::ICANON.union(LocalModes::ECHO).union(LocalModes::ISIG);

/// What a wait ended with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Waited {
    /// There is something to be read, or the terminal is closed.
    Readable,
    /// Nothing came.
    InVain,
    /// A signal came.
    Signal,
}

/// Waits a moment for something to be read; `None` where that is not possible.
pub(super) fn wait() -> Option<Waited> {
    let look = Timespec { tv_sec: 0, tv_nsec: i64::from(LOOK.subsec_nanos()) as _ };
    match poll(&mut [PollFd::new(&stdin(), PollFlags::IN)], Some(&look)) {
        Ok(0) => Some(Waited::InVain),
        Ok(_) => Some(Waited::Readable),
        Err(Errno::INTR) => Some(Waited::Signal),
        Err(_) => None,
    }
}

/// The terminal's modes: those of before are back when this is dropped.
pub(super) struct Modes {
    before: Termios,
    held: Termios,
    change: OptionalActions,
}

impl Modes {
    /// The terminal hands on each key as it is typed, and shows none by itself. What was typed ahead counts.
    pub(super) fn by_key() -> Option<Self> {
        Self::hold(OptionalActions::Drain, |modes| {
            let output = modes.output_modes;
            modes.make_raw();
            modes.output_modes = output;
        })
    }

    /// The terminal edits a line and shows nothing of it. What was typed ahead was not meant for here, and what is left of
    /// a line that was too long goes to nobody. The key that suspends ends the line; [`Modes::suspending`] says which it is.
    pub(super) fn quiet() -> Option<Self> {
        Self::hold(OptionalActions::Flush, |modes| {
            modes.local_modes.remove(LocalModes::ECHO);
            modes.local_modes.insert(LocalModes::ICANON | LocalModes::ISIG);
            // The key that ends a program at once would leave the terminal as it is here.
            modes.special_codes[SpecialCodeIndex::VQUIT] = NO_KEY;
            // So would the one that suspends it, in some shells.
            modes.special_codes[SpecialCodeIndex::VEOL] = modes.special_codes[SpecialCodeIndex::VSUSP];
            modes.special_codes[SpecialCodeIndex::VSUSP] = NO_KEY;
        })
    }

    fn hold(change: OptionalActions, alter: impl FnOnce(&mut Termios)) -> Option<Self> {
        let before = tcgetattr(stdin()).ok()?;
        let mut held = before.clone();
        alter(&mut held);
        let modes = Self { before, held, change };
        tcsetattr(stdin(), change, &modes.held).ok()?;
        Some(modes)
    }

    /// Sees to it that they are in force: a shell that was in between changes them. Whether anything had to be done.
    pub(super) fn renew(&self) -> Option<bool> {
        let now = tcgetattr(stdin()).ok()?;
        if now.local_modes & TELLING == self.held.local_modes & TELLING {
            return Some(false);
        }
        // Nothing that was typed is lost.
        tcsetattr(stdin(), OptionalActions::Now, &self.held).ok().map(|()| true)
    }

    /// The key that suspends, where there is one.
    pub(super) fn suspending(&self) -> Option<u8> {
        Some(self.before.special_codes[SpecialCodeIndex::VSUSP]).filter(|key| *key != NO_KEY)
    }
}

impl Drop for Modes {
    fn drop(&mut self) {
        let _ = tcsetattr(stdin(), self.change, &self.before);
    }
}

/// Suspends everything that the shell waits for. Goes on here when it is taken up again, or at once where nobody could do so.
pub(super) fn suspend() {
    let _ = kill_process_group(getpgrp(), Signal::TSTP);
}
