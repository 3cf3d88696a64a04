//! Closed primitives as Bézier paths.
