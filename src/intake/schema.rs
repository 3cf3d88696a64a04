//! JSON Schemas of the files people write, for editors that complete and check.

/// The kinds of file that have a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// One themed dish.
    Recipe,
    /// One maker's cutters, machine, woods and rules.
    Shop,
    /// The names to make.
    Orders,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Recipe, Self::Shop, Self::Orders];

    /// As typed on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recipe => "recipe",
            Self::Shop => "shop",
            Self::Orders => "orders",
        }
    }

    /// The kind of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// What a YAML text is meant to be, by its top-level keys: an order list has `orders`, a shop
/// has `cutters`, anything else is taken for a recipe.
pub fn kind_of(text: &str) -> FileKind {
    let has = |key: &str| text.lines().any(|line| line.starts_with(key));
    if has("orders:") {
        FileKind::Orders
    } else if has("cutters:") || (has("house:") || has("machine:")) && !has("outline:") {
        FileKind::Shop
    } else {
        FileKind::Recipe
    }
}

/// The JSON Schema of a kind of file (draft 2020-12).
pub const fn schema(kind: FileKind) -> &'static str {
    match kind {
        FileKind::Recipe => include_str!("../../shapes/schema/recipe.json"),
        FileKind::Shop => include_str!("../../shapes/schema/shop.json"),
        FileKind::Orders => include_str!("../../shapes/schema/orders.json"),
    }
}
