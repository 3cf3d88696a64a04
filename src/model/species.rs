//! Woods of the Wood Handbook (Forest Products Laboratory, FPL-GTR-190, 2010).

/// Moisture content the figures are for, %.
const MOISTURE: f64 = 12.0;

/// What the Wood Handbook says about one species.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Species {
    /// What people call it.
    pub name: &'static str,
    /// Other words for it; the commonest wood of a family takes the plain word.
    pub words: &'static [&'static str],
    /// Specific gravity G on the volume at 12 % moisture (Table 5-3).
    pub gravity: f64,
    /// Change of size across the grain of a quarter-sawn board, CR, per % moisture
    /// (Table 13-5).
    pub radial: f64,
    /// The same of a flat-sawn board, CT.
    pub tangential: f64,
}

/// The woods known: CR and CT were read in Table 13-5; G are copies of Table 5-3 at second
/// hand, that of walnut is from memory.
pub const SPECIES: [Species; 10] = [
    species("sugar maple", &["maple", "hard maple"], 0.63, 0.00165, 0.00353),
    species("red maple", &["soft maple"], 0.54, 0.00137, 0.00289),
    species("silver maple", &[], 0.47, 0.00102, 0.00252),
    species("black walnut", &["walnut"], 0.55, 0.00190, 0.00274),
    species("black cherry", &["cherry"], 0.50, 0.00126, 0.00248),
    species("yellow birch", &["birch"], 0.62, 0.00256, 0.00338),
    species("american beech", &["beech"], 0.64, 0.00190, 0.00431),
    species("white ash", &["ash"], 0.60, 0.00169, 0.00274),
    species("white oak", &["oak"], 0.68, 0.00180, 0.00365),
    species("american basswood", &["basswood"], 0.37, 0.00230, 0.00330),
];

const fn species(
    name: &'static str,
    words: &'static [&'static str],
    gravity: f64,
    radial: f64,
    tangential: f64,
) -> Species {
    Species { name, words, gravity, radial, tangential }
}

impl Species {
    /// The species of a word, whatever its case, with blanks, hyphens or underscores.
    pub fn from_word(word: &str) -> Option<&'static Self> {
        let plain = word.trim().to_lowercase().replace(['-', '_'], " ");
        SPECIES
            .iter()
            .find(|known| known.name == plain || known.words.contains(&plain.as_str()))
    }

    /// Density at 12 % moisture, kg/m³: ρ = ρw·G·(1 + x/100) (chapter 4).
    pub fn density(&self) -> f64 {
        1000.0 * self.gravity * (1.0 + MOISTURE / 100.0)
    }
}
