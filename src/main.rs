//! The `cornerset` program: see the library of the same name.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    let exit = cornerset::commands::run(std::env::args_os());
    ExitCode::from(exit.code())
}
