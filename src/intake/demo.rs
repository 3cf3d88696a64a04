//! The built-in demo: leavers' gifts of the Pebble Street nursery. All names are invented.

/// The shop file.
pub const SHOP: &str = include_str!("../../shapes/demo/shop.yaml");

/// The order list in YAML.
pub const ORDERS: &str = include_str!("../../shapes/demo/orders.yaml");

/// The same orders in CSV.
pub const ORDERS_CSV: &str = include_str!("../../shapes/demo/orders.csv");

/// The built-in recipes by key, sorted.
pub const RECIPES: &[(&str, &str)] = &[
    ("acorn", include_str!("../../shapes/acorn.yaml")),
    ("apple", include_str!("../../shapes/apple.yaml")),
    ("bear", include_str!("../../shapes/bear.yaml")),
    ("cloud", include_str!("../../shapes/cloud.yaml")),
    ("clover", include_str!("../../shapes/clover.yaml")),
    ("cupcake", include_str!("../../shapes/cupcake.yaml")),
    ("fir-tree", include_str!("../../shapes/fir-tree.yaml")),
    ("fox", include_str!("../../shapes/fox.yaml")),
    ("heart", include_str!("../../shapes/heart.yaml")),
    ("hedgehog", include_str!("../../shapes/hedgehog.yaml")),
    ("initial", include_str!("../../shapes/initial.yaml")),
    ("ladybird", include_str!("../../shapes/ladybird.yaml")),
    ("mushroom", include_str!("../../shapes/mushroom.yaml")),
    ("oak-leaf", include_str!("../../shapes/oak-leaf.yaml")),
    ("oval", include_str!("../../shapes/oval.yaml")),
    ("owl", include_str!("../../shapes/owl.yaml")),
    ("pear", include_str!("../../shapes/pear.yaml")),
    ("rabbit", include_str!("../../shapes/rabbit.yaml")),
    ("raindrop", include_str!("../../shapes/raindrop.yaml")),
    ("scallop", include_str!("../../shapes/scallop.yaml")),
    ("snail", include_str!("../../shapes/snail.yaml")),
    ("strawberry", include_str!("../../shapes/strawberry.yaml")),
    ("teapot", include_str!("../../shapes/teapot.yaml")),
    ("tugboat", include_str!("../../shapes/tugboat.yaml")),
];
