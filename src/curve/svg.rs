//! Outlines from SVG path data and SVG files.
