//! The built-in demo: leavers' gifts of the Pebble Street nursery. All names are invented.

/// The shop file.
pub const SHOP: &str = include_str!("../../shapes/demo/shop.yaml");

/// The order list in YAML.
pub const ORDERS: &str = include_str!("../../shapes/demo/orders.yaml");

/// The same orders in CSV.
pub const ORDERS_CSV: &str = include_str!("../../shapes/demo/orders.csv");

/// The built-in recipes by key, sorted.
pub const RECIPES: &[(&str, &str)] = &[
    ("balloon", include_str!("../../shapes/balloon.yaml")),
    ("bird", include_str!("../../shapes/bird.yaml")),
    ("bus", include_str!("../../shapes/bus.yaml")),
    ("cloud", include_str!("../../shapes/cloud.yaml")),
    ("crab", include_str!("../../shapes/crab.yaml")),
    ("fish", include_str!("../../shapes/fish.yaml")),
    ("frog", include_str!("../../shapes/frog.yaml")),
    ("hedgehog", include_str!("../../shapes/hedgehog.yaml")),
    ("initial", include_str!("../../shapes/initial.yaml")),
    ("kite", include_str!("../../shapes/kite.yaml")),
    ("lighthouse", include_str!("../../shapes/lighthouse.yaml")),
    ("locomotive", include_str!("../../shapes/locomotive.yaml")),
    ("moon", include_str!("../../shapes/moon.yaml")),
    ("oak-leaf", include_str!("../../shapes/oak-leaf.yaml")),
    ("rocket", include_str!("../../shapes/rocket.yaml")),
    ("seahorse", include_str!("../../shapes/seahorse.yaml")),
    ("shell", include_str!("../../shapes/shell.yaml")),
    ("snail", include_str!("../../shapes/snail.yaml")),
    ("spoon-oval", include_str!("../../shapes/spoon-oval.yaml")),
    ("spoon-round", include_str!("../../shapes/spoon-round.yaml")),
    ("spoon-scoop", include_str!("../../shapes/spoon-scoop.yaml")),
    ("star", include_str!("../../shapes/star.yaml")),
    ("tractor", include_str!("../../shapes/tractor.yaml")),
    ("tugboat", include_str!("../../shapes/tugboat.yaml")),
    ("whale", include_str!("../../shapes/whale.yaml")),
];
