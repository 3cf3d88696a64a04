//! A whole library at a glance: every shape drawn and laid against one rack.

use super::disk::{Folder, WrittenFile};
use super::examine::{Examined, examine, specimen};
use super::files::Used;
use super::library::{Library, Loaded};
use super::run::{self, Form, internal, side_by_side, written};
use crate::feasibility::{Job, Pins, SwapRow};
use crate::finding::{Finding, Source, SourceFile};
use crate::model::{Order, Recipe, Setting, Shop};
use crate::sheet::{self, Plate};

/// A recess cutter is of use where it carves this share of the recess (the rest falls to a
/// smaller one).
pub const MOST_OF_IT: f64 = 0.95;

/// One shape, drawn with values and checked against a shop.
#[derive(Clone, Debug)]
pub struct Surveyed {
    /// The word orders name it by.
    pub key: String,
    /// `None` when it could not be read.
    pub recipe: Option<Recipe>,
    /// What was found in reading it and in laying it against the rack.
    pub examined: Examined,
}

impl Surveyed {
    /// Reads nothing more: draws what was loaded.
    pub fn of(key: &str, loaded: Loaded, set: Vec<Setting>, shop: &Shop) -> Self {
        let Loaded { recipe, findings } = loaded;
        let Some(recipe) = recipe else { return Self::lost(key, findings) };
        let mut examined =
            examine(&recipe, &specimen(&recipe, set), shop, &Pins::default());
        examined.findings.splice(0..0, findings);
        Self { key: key.to_owned(), recipe: Some(recipe), examined }
    }

    fn lost(key: &str, findings: Vec<Finding>) -> Self {
        let (id, recipe) = (key.to_owned(), key.to_owned());
        let examined = Examined { id, recipe, findings, dish: None, used: Used::new() };
        Self { key: key.to_owned(), recipe: None, examined }
    }

    /// Width and height, mm.
    pub fn size(&self) -> Option<[f64; 2]> {
        self.examined.dish.as_ref().map(|(dish, ..)| dish.size().into())
    }

    /// The largest cutter that follows the whole outline and is long enough.
    pub fn outline_cutter(&self) -> Option<&SwapRow> {
        self.rows(Job::Outline).find(|row| row.follows && row.clearance.clears())
    }

    /// The largest cutter that carves [`MOST_OF_IT`] of the recess and is long enough, with
    /// the share of its area that it carves, 0 to 1.
    pub fn recess_cutter(&self) -> Option<(&SwapRow, f64)> {
        let (dish, ..) = self.examined.dish.as_ref()?;
        let whole: f64 = dish.recesses.iter().map(|recess| recess.region.area()).sum();
        self.rows(Job::Recess)
            .filter(|row| row.clearance.clears() && !row.unsure)
            .map(|row| (row, 1.0 - row.area_left() / whole))
            .find(|(_, share)| *share >= MOST_OF_IT)
    }

    /// Minutes for one dish without a name, tool changes counted; estimated. `None` where
    /// the rack has no cutters for it.
    pub fn minutes(&self) -> Option<f64> {
        let (.., plan) = self.examined.dish.as_ref()?;
        (!plan.operations.is_empty()).then(|| plan.minutes())
    }

    /// Rows of the swap table, large cutters first.
    fn rows(&self, job: Job) -> impl Iterator<Item = &SwapRow> {
        let swap = self.examined.dish.as_ref().map(|(_, report, _)| &report.swap);
        swap.into_iter().flat_map(|swap| &swap.rows).filter(move |row| row.job == job)
    }
}

/// Every shape of a library at its default values, sorted by key.
pub fn survey(library: &Library, shop: &Shop) -> Vec<Surveyed> {
    let keys = library.keys();
    let one = |key: &String| {
        let missing = || Loaded { recipe: None, findings: vec![library.missing(key)] };
        let loaded = library.load(key).unwrap_or_else(missing);
        Surveyed::of(key, loaded, Vec::new(), shop)
    };
    let surveyed = side_by_side(&keys, 0, one);
    keys.iter()
        .zip(surveyed)
        .map(|(key, shape)| {
            shape.unwrap_or_else(|why| {
                let place = Source::whole(&SourceFile::new(key.as_str(), ""));
                Surveyed::lost(key, vec![internal(&why, &place)])
            })
        })
        .collect()
}

/// Writes the whole library on one sheet, as `gallery.svg` and `gallery.png`. Names and woods
/// are given to the dishes in turn, so that they look as they will.
pub fn gallery(
    shapes: &[Surveyed],
    names: &[&str],
    shop: &Shop,
    out: &Folder,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    /// Dots per inch: a large sheet is looked at from further away.
    const DPI: f64 = 110.0;
    let theme = |recipe: &Recipe| recipe.themes.first().cloned().unwrap_or_default();
    let mut recipes: Vec<&Recipe> =
        shapes.iter().filter_map(|s| s.recipe.as_ref()).collect();
    recipes.sort_by_key(|recipe| (theme(recipe), recipe.title.clone()));
    let orders: Vec<(&Recipe, Order)> = recipes
        .iter()
        .enumerate()
        .map(|(i, recipe)| {
            let name = names.get(i % names.len().max(1)).copied().unwrap_or_default();
            let wood = shop.woods.get(i % shop.woods.len().max(1));
            let wood = wood.map(|wood| wood.name.as_str().into());
            let order = specimen(recipe, Vec::new());
            (*recipe, Order { name: name.to_owned(), wood, ..order })
        })
        .collect();
    let drawn = side_by_side(&orders, 0, |(recipe, order)| {
        examine(recipe, order, shop, &Pins::default()).dish
    });
    let drawn = recipes.iter().zip(drawn);
    let plates: Vec<Plate> = drawn
        .filter_map(|(recipe, dish)| {
            let (dish, _, plan) = dish.ok().flatten()?;
            Some(Plate { theme: theme(recipe), dish, plan })
        })
        .collect();
    let form = Form { out, dpi: DPI, passed: &|_| () };
    written(&form, "gallery", &sheet::gallery(&plates, shop)).map(Vec::from)
}

/// Writes the card of one shape, as `shape-KEY.svg` and `shape-KEY.png`; nothing for one
/// that cannot be drawn.
pub fn shape_files(
    shape: &Surveyed,
    shop: &Shop,
    out: &Folder,
) -> Result<Vec<WrittenFile>, Box<Finding>> {
    let (Some((dish, report, plan)), Some(recipe)) =
        (&shape.examined.dish, &shape.recipe)
    else {
        return Ok(Vec::new());
    };
    let page = sheet::shape_card(recipe, dish, (report, plan), shop);
    let form = Form { out, dpi: run::DPI, passed: &|_| () };
    written(&form, &format!("shape-{}", shape.key), &page).map(Vec::from)
}
