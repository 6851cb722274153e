//! What the fuzz targets run, and what each input may take: 64 MB of live memory, five seconds of processor time.
//!
//! The counting allocator is the only code of the project with `unsafe` in it; it is in no program that is shipped.

pub mod bodies;
pub mod mutate;

use std::alloc::{GlobalAlloc, Layout, System};
use std::fs;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

/// The most memory that one input may have live at once, besides what was live before it.
const MOST_BYTES: usize = 64 * 1024 * 1024;

/// The most processor time that one input may take, in microseconds: on a busy machine the time of day says nothing.
const MOST_MICROSECONDS: usize = 5_000_000;

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

/// The processor time of this thread, in microseconds; nought where the system does not tell it in this way (Linux does).
fn processor_microseconds() -> usize {
    let told = fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    told.split(' ').next().and_then(|nanoseconds| nanoseconds.parse::<usize>().ok()).unwrap_or(0) / 1000
}

/// Runs a body over an input, and panics where it takes too much. A new highest and a new slowest one is told of on standard
/// error, for the table that `run` prints.
pub fn measured(body: bodies::Body, data: &[u8]) {
    let start = processor_microseconds();
    let before = LIVE.load(Relaxed);
    PEAK.store(before, Relaxed);
    body(data);
    let bytes = PEAK.load(Relaxed).saturating_sub(before);
    let microseconds = processor_microseconds().saturating_sub(start);
    assert!(bytes <= MOST_BYTES, "the input took {bytes} bytes");
    assert!(microseconds <= MOST_MICROSECONDS, "the input took {microseconds} us");
    // Only what is higher by a tenth, so that the log stays short.
    if bytes > HIGHEST.load(Relaxed) * 11 / 10 {
        HIGHEST.store(bytes, Relaxed);
        eprintln!("measured: highest_live_kb {}", bytes / 1024);
    }
    if microseconds > SLOWEST.load(Relaxed) * 11 / 10 {
        SLOWEST.store(microseconds, Relaxed);
        eprintln!("measured: slowest_us {microseconds}");
    }
}
