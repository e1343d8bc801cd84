//! Live bytes of the running thread.
//!
//! Rhai bounds single values, but not `m[key] = v` on a map, nor the sum of many values. A run therefore watches
//! how many bytes its own thread holds. The counter is a global allocator, which only a program may choose: the
//! slatwork program does, and so do this room's tests. In a program that does not, [`is_counted`] is false and the
//! limits on operations, values and time remain. The figure is per thread, so that runs on other threads, and the
//! order they happen to run in, cannot stop this one.

use std::alloc::System;
use std::hint::black_box;

/// The allocator to install: `#[global_allocator] static MEMORY: Counting = slatwork_script::memory::counting();`
pub type Counting = alloc_metrics::MetricAlloc<System>;

/// A counter over the system's allocator.
pub const fn counting() -> Counting {
    alloc_metrics::MetricAlloc::new(System)
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
