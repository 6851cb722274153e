//! What the fuzz targets run, and what each input may take: 64 MB of live memory.
//!
//! The counting allocator is the only code of the project with `unsafe` in it; it is in no program that is shipped.

pub mod bodies;
pub mod mutate;

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use std::time::Instant;

/// The most memory that one input may have live at once, besides what was live before it.
const MOST_BYTES: usize = 64 * 1024 * 1024;

static LIVE: AtomicUsize = AtomicUsize::new(0);
static PEAK: AtomicUsize = AtomicUsize::new(0);
static HIGHEST: AtomicUsize = AtomicUsize::new(0);
static SLOWEST: AtomicUsize = AtomicUsize::new(0);

/// The system's allocator, counted.
struct Counted;

#[global_allocator]
static ALLOCATOR: Counted = Counted;

fn took(bytes: usize) {
    let live = LIVE.fetch_add(bytes, Relaxed) + bytes;
    PEAK.fetch_max(live, Relaxed);
}

fn gave(bytes: usize) {
    LIVE.fetch_sub(bytes, Relaxed);
}

// SAFETY: every call is handed on to the system's allocator as it came, and what it gives is handed back as it is; the
// counters are touched beside it and allocate nothing.
unsafe impl GlobalAlloc for Counted {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        took(layout.size());
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, block: *mut u8, layout: Layout) {
        gave(layout.size());
        unsafe { System.dealloc(block, layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        took(layout.size());
        unsafe { System.alloc_zeroed(layout) }
    }

    unsafe fn realloc(&self, block: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        // Both may be live while what the block holds is moved.
        took(size);
        gave(layout.size());
        unsafe { System.realloc(block, layout, size) }
    }
}

/// Runs a body over an input, and panics where it takes too much memory. A new highest and a new slowest one is told of on
/// standard error, for the table that `run` prints.
pub fn measured(body: fn(&[u8]), data: &[u8]) {
    let before = LIVE.load(Relaxed);
    PEAK.store(before, Relaxed);
    let start = Instant::now();
    body(data);
    let microseconds = usize::try_from(start.elapsed().as_micros()).unwrap_or(usize::MAX);
    let bytes = PEAK.load(Relaxed).saturating_sub(before);
    assert!(bytes <= MOST_BYTES, "the input took {bytes} bytes");
    // A new record is told of where it is by a tenth, so that the log stays short.
    if bytes > HIGHEST.load(Relaxed) * 11 / 10 {
        HIGHEST.store(bytes, Relaxed);
        eprintln!("measured: highest_live_kb {}", bytes / 1024);
    }
    if microseconds > SLOWEST.load(Relaxed) * 11 / 10 {
        SLOWEST.store(microseconds, Relaxed);
        eprintln!("measured: slowest_us {microseconds}");
    }
}
