//! The built-in demo: leavers' gifts of the Pebble Street nursery. All names are invented.

/// The shop file.
pub const SHOP: &str = include_str!("../../shapes/demo/shop.yaml");

/// The order list in YAML.
pub const ORDERS: &str = include_str!("../../shapes/demo/orders.yaml");

/// The same orders in CSV.
pub const ORDERS_CSV: &str = include_str!("../../shapes/demo/orders.csv");

/// The built-in recipes by key.
pub const RECIPES: &[(&str, &str)] = &[];
