//! Tools from outside: what a test that needs one does where it is missing.
//!
//! Such a test says `skipped: ...` on standard error and passes; with `CORNERSET_NO_SKIP=1`, which `.ci/run` sets, it
//! fails instead, so that nothing is skipped unseen where everything should be there.

use std::env;
use std::io::{self, Write};
use std::process::{Command, Stdio};

/// Whether a test may go on with this tool. Says so where it may not.
///
/// # Panics
/// Where the tool is missing and nothing may be skipped.
pub fn needs(tool: &str, available: bool) -> bool {
    if !available {
        assert!(!no_skip(), "{tool} is missing, and CORNERSET_NO_SKIP says that nothing is skipped");
        let test = std::thread::current().name().unwrap_or("a test").to_owned();
        // Past the print macros, whose output a passing test keeps to itself.
        let _ = writeln!(io::stderr(), "skipped: {test} needs {tool}, which is not here");
    }
    available
}

/// Whether a test may go on with what no package brings and only the owner of the system allows, as a mount. Says so where
/// it may not, and is never a failure: a container need not allow it.
#[allow(dead_code, reason = "not every test file that includes this one asks")]
pub fn allows(what: &str, allowed: bool) -> bool {
    if !allowed {
        let test = std::thread::current().name().unwrap_or("a test").to_owned();
        let _ = writeln!(io::stderr(), "skipped: {test} needs {what}, which is not allowed here");
    }
    allowed
}

/// Whether a command starts and ends well with these arguments.
#[allow(dead_code, reason = "not every test file that includes this one asks a command")]
pub fn runs(program: &str, arguments: &[&str]) -> bool {
    Command::new(program)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

fn no_skip() -> bool {
    env::var_os("CORNERSET_NO_SKIP").is_some_and(|value| value == "1")
}
