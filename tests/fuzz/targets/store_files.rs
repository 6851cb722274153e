#![no_main]

use cornerset_fuzz::{bodies, measured, mutate};
use libfuzzer_sys::{fuzz_mutator, fuzz_target};

// A document, or lines of them.
fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| {
    if seed % 3 > 0 { mutate::document(data, size, most, seed) } else { mutate::line(data, size, most, seed) }
});

fuzz_target!(|data: &[u8]| measured(bodies::store_files::run, data));
