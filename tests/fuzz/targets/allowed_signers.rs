#![no_main]

use cornerset_fuzz::{bodies, measured};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| measured(bodies::allowed_signers::run, data));
