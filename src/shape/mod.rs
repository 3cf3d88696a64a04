//! A recipe with an order's values becomes curves.
