//! What a program holds, as the system tells it.

use std::fs;

/// The most memory a process (its number, or `self`) has held so far, MiB: `VmHWM` of proc(5).
/// 0 where the system does not say.
pub(crate) fn most_held(process: &str) -> f64 {
    let status =
        fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kib =
        peak.and_then(|peak| peak.trim().trim_end_matches(" kB").parse::<f64>().ok());
    kib.unwrap_or(0.0) / 1024.0
}
