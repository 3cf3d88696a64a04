//! One JSON object per finding, keys as promised to other programs.
