//! Marks on paper in mm: proof sheet, bench sheet, swap card; no file format.
