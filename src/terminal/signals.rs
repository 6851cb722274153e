//! Signals: at the keyboard they are flags that the next prompt heeds; in a script they end the process at once.
//!
//! A prompt looks for the flag while it waits, and puts the terminal back, so SIGTERM and SIGHUP leave a sound terminal too.
//! Nothing is lost either way: what was logged is on disk.

use std::io::{self, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGXFSZ};
use signal_hook::iterator::Signals;

/// The signals that end a session.
const ENDING: [i32; 3] = [SIGINT, SIGTERM, SIGHUP];

/// Whether an ending signal has come.
#[derive(Debug, Clone, Default)]
pub struct Interrupts(Arc<AtomicBool>);

impl Interrupts {
    /// Listens from now on.
    ///
    /// # Errors
    /// Where the system refuses a handler.
    pub fn listen() -> io::Result<Self> {
        let interrupts = Self::default();
        for signal in ENDING {
            signal_hook::flag::register(signal, Arc::clone(&interrupts.0))?;
        }
        Ok(interrupts)
    }

    /// Whether one has come.
    pub fn came(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Ends the process with `code` when an ending signal comes, after saying `farewell` on standard error; but not once
/// `closing` is set, when the record is being written and the end is near anyway.
///
/// # Errors
/// Where the system refuses a handler.
pub fn stop_on_signal(farewell: String, code: i32, closing: Arc<AtomicBool>) -> io::Result<()> {
    let mut signals = Signals::new(ENDING)?;
    thread::spawn(move || {
        for _ in signals.forever() {
            if !closing.load(Ordering::SeqCst) {
                let _ = io::stderr().write_all(farewell.as_bytes());
                std::process::exit(code);
            }
        }
    });
    Ok(())
}

/// Makes a file that passes a size limit an error of that write instead of the end of the process.
///
/// # Errors
/// Where the system refuses a handler.
pub fn survive_size_limits() -> io::Result<()> {
    signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false))).map(|_| ())
}
