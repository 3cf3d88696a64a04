//! The built-in demo: leavers' gifts of the Pebble Street nursery. All names are invented.

/// The shop file.
pub const SHOP: &str = include_str!("../../shapes/demo/shop.yaml");

/// The mark of the shop.
pub const MARK: &str = include_str!("../../shapes/demo/pebble.svg");

/// The order list in YAML.
pub const ORDERS: &str = include_str!("../../shapes/demo/orders.yaml");

/// The same orders in CSV.
pub const ORDERS_CSV: &str = include_str!("../../shapes/demo/orders.csv");

/// The built-in recipes by key, sorted.
pub const RECIPES: &[(&str, &str)] = &[
    ("acorn", include_str!("../../shapes/acorn.yaml")),
    ("apple", include_str!("../../shapes/apple.yaml")),
    ("balloon", include_str!("../../shapes/balloon.yaml")),
    ("bear", include_str!("../../shapes/bear.yaml")),
    ("bird", include_str!("../../shapes/bird.yaml")),
    ("bus", include_str!("../../shapes/bus.yaml")),
    ("cloud", include_str!("../../shapes/cloud.yaml")),
    ("clover", include_str!("../../shapes/clover.yaml")),
    ("crab", include_str!("../../shapes/crab.yaml")),
    ("cupcake", include_str!("../../shapes/cupcake.yaml")),
    ("fir-tree", include_str!("../../shapes/fir-tree.yaml")),
    ("fish", include_str!("../../shapes/fish.yaml")),
    ("fox", include_str!("../../shapes/fox.yaml")),
    ("frog", include_str!("../../shapes/frog.yaml")),
    ("heart", include_str!("../../shapes/heart.yaml")),
    ("hedgehog", include_str!("../../shapes/hedgehog.yaml")),
    ("initial", include_str!("../../shapes/initial.yaml")),
    ("kite", include_str!("../../shapes/kite.yaml")),
    ("ladybird", include_str!("../../shapes/ladybird.yaml")),
    ("lighthouse", include_str!("../../shapes/lighthouse.yaml")),
    ("locomotive", include_str!("../../shapes/locomotive.yaml")),
    ("moon", include_str!("../../shapes/moon.yaml")),
    ("mushroom", include_str!("../../shapes/mushroom.yaml")),
    ("oak-leaf", include_str!("../../shapes/oak-leaf.yaml")),
    ("oval", include_str!("../../shapes/oval.yaml")),
    ("owl", include_str!("../../shapes/owl.yaml")),
    ("pear", include_str!("../../shapes/pear.yaml")),
    ("rabbit", include_str!("../../shapes/rabbit.yaml")),
    ("raindrop", include_str!("../../shapes/raindrop.yaml")),
    ("rocket", include_str!("../../shapes/rocket.yaml")),
    ("scallop", include_str!("../../shapes/scallop.yaml")),
    ("seahorse", include_str!("../../shapes/seahorse.yaml")),
    ("shell", include_str!("../../shapes/shell.yaml")),
    ("snail", include_str!("../../shapes/snail.yaml")),
    ("spoon-oval", include_str!("../../shapes/spoon-oval.yaml")),
    ("spoon-round", include_str!("../../shapes/spoon-round.yaml")),
    ("spoon-scoop", include_str!("../../shapes/spoon-scoop.yaml")),
    ("star", include_str!("../../shapes/star.yaml")),
    ("strawberry", include_str!("../../shapes/strawberry.yaml")),
    ("teapot", include_str!("../../shapes/teapot.yaml")),
    ("tractor", include_str!("../../shapes/tractor.yaml")),
    ("tugboat", include_str!("../../shapes/tugboat.yaml")),
    ("whale", include_str!("../../shapes/whale.yaml")),
];
