//! Marks to SVG text and PNG bytes.
