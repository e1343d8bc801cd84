//! Live bytes of the running thread.
//!
//! Rhai bounds single values, but not `m[key] = v` on a map, nor the sum of many values. A run therefore watches
//! how many bytes its own thread holds. The counter is a global allocator, which only a program may choose: the
//! slatwork program does, and so do this room's tests. In a program that does not, [`is_counted`] is false and the
//! limits on operations, values and time remain. The figure is per thread, so that runs on other threads, and the
//! order they happen to run in, cannot stop this one.

use std::alloc::GlobalAlloc;
use std::hint::black_box;

/// The allocator to install, a counter over one that a program chooses:
/// `#[global_allocator] static MEMORY: Counting<System> = slatwork_script::memory::counting(System);`
pub type Counting<Inner> = alloc_metrics::MetricAlloc<Inner>;

/// A counter over an allocator.
pub const fn counting<Inner: GlobalAlloc>(inner: Inner) -> Counting<Inner> {
    alloc_metrics::MetricAlloc::new(inner)
}

/// Bytes that this thread has allocated and not freed; can be negative when it freed what others allocated.
pub fn live_bytes() -> isize {
    alloc_metrics::thread_metrics().allocated_bytes
}

/// Whether the running program counts its memory.
pub fn is_counted() -> bool {
    let before = live_bytes();
    let probe = black_box(Box::new([0u8; 64]));
    let counted = live_bytes() != before;
    drop(black_box(probe));
    counted
}
