#![no_main]

use cornerset_fuzz::{bodies, measured, mutate};
use libfuzzer_sys::{fuzz_mutator, fuzz_target};

fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| { mutate::line(data, size, most, seed) });

fuzz_target!(|data: &[u8]| measured(bodies::journal::run, data));
