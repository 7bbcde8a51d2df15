//! Counts the bytes that a test holds.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicIsize, Ordering};

/// The system's own allocator, with a count. Each test that asks has a file of its own, for what runs beside it counts too.
pub struct Counting;

static HELD: AtomicIsize = AtomicIsize::new(0);
static MOST: AtomicIsize = AtomicIsize::new(0);

unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let held = HELD.fetch_add(layout.size() as isize, Ordering::Relaxed) + layout.size() as isize;
        MOST.fetch_max(held, Ordering::Relaxed);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        HELD.fetch_sub(layout.size() as isize, Ordering::Relaxed);
        unsafe { System.dealloc(at, layout) }
    }
}

/// Bytes held now.
pub fn held() -> isize {
    HELD.load(Ordering::Relaxed)
}

/// What `work` gives, and the most bytes that were held meanwhile beyond those held before.
#[allow(dead_code, reason = "each test file uses a part")]
pub fn most_during<T>(work: impl FnOnce() -> T) -> (T, isize) {
    let before = held();
    MOST.store(before, Ordering::Relaxed);
    let done = work();
    (done, MOST.load(Ordering::Relaxed) - before)
}
