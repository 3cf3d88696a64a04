//! Smooth curves through points.
