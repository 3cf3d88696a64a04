//! Time a thread has spent at work: on a crowded machine the wall clock tells other things.

use std::time::{Duration, Instant};

/// A stopwatch for the thread that starts it.
pub(crate) struct Busy {
    wall: Instant,
    before: Option<u64>,
}

impl Busy {
    pub(crate) fn start() -> Self {
        Self { wall: Instant::now(), before: nanoseconds() }
    }

    /// Processor time since the start; time by the clock where the system does not tell.
    pub(crate) fn elapsed(&self) -> Duration {
        match (self.before, nanoseconds()) {
            (Some(before), Some(now)) => Duration::from_nanos(now.saturating_sub(before)),
            _ => self.wall.elapsed(),
        }
    }
}

/// The first number of Linux's `schedstat` is the time spent on a processor.
fn nanoseconds() -> Option<u64> {
    let stat = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    stat.split_whitespace().next()?.parse().ok()
}
