//! The built-in demo: leavers' gifts of the Pebble Street nursery. All names are invented.

/// The shop file.
pub const SHOP: &str = include_str!("../../shapes/demo/shop.yaml");

/// The order list in YAML.
pub const ORDERS: &str = include_str!("../../shapes/demo/orders.yaml");

/// The same orders in CSV.
pub const ORDERS_CSV: &str = include_str!("../../shapes/demo/orders.csv");

/// The built-in recipes by key, sorted.
pub const RECIPES: &[(&str, &str)] = &[
    ("apple", include_str!("../../shapes/apple.yaml")),
    ("cloud", include_str!("../../shapes/cloud.yaml")),
    ("heart", include_str!("../../shapes/heart.yaml")),
    ("hedgehog", include_str!("../../shapes/hedgehog.yaml")),
    ("initial", include_str!("../../shapes/initial.yaml")),
    ("mushroom", include_str!("../../shapes/mushroom.yaml")),
    ("oak-leaf", include_str!("../../shapes/oak-leaf.yaml")),
    ("pear", include_str!("../../shapes/pear.yaml")),
    ("snail", include_str!("../../shapes/snail.yaml")),
    ("strawberry", include_str!("../../shapes/strawberry.yaml")),
    ("tugboat", include_str!("../../shapes/tugboat.yaml")),
];
