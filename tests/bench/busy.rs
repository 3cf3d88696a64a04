//! Time a thread has spent at work: on a crowded machine the wall clock tells other things.

use rustix::time::{ClockId, Timespec, clock_gettime};
use std::time::Duration;

/// A stopwatch for the thread that starts it.
pub(crate) struct Busy(Duration);

impl Busy {
    pub(crate) fn start() -> Self {
        Self(spent())
    }

    /// Processor time since the start.
    pub(crate) fn elapsed(&self) -> Duration {
        spent().saturating_sub(self.0)
    }
}

/// Processor time of this thread, to the nanosecond.
fn spent() -> Duration {
    let Timespec { tv_sec, tv_nsec } = clock_gettime(ClockId::ThreadCPUTime);
    Duration::new(
        u64::try_from(tv_sec).unwrap_or_default(),
        u32::try_from(tv_nsec).unwrap_or_default(),
    )
}
