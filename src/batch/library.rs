//! Where recipes are found: beside the orders, else built in.

use super::given::read;
use crate::finding::{Code, Finding, nearest, plain};
use crate::intake::{FileKind, demo, kind_of, recipe};
use crate::model::{Order, OrderList, Recipe};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A recipe and what was found in it; without a recipe, why there is none.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// `None` when a finding stands in the way.
    pub recipe: Option<Recipe>,
    /// In the order of the file.
    pub findings: Vec<Finding>,
}

/// What a list orders, as far as it is at hand, by key.
#[derive(Clone, Debug)]
pub struct Recipes<'a>(BTreeMap<&'a str, Loaded>);

impl Recipes<'_> {
    /// What was loaded; `None` when there is none of that name.
    pub fn loaded(&self, key: &str) -> Option<&Loaded> {
        self.0.get(key)
    }

    /// The recipe, where it is a sound one.
    pub fn recipe(&self, key: &str) -> Option<&Recipe> {
        self.loaded(key)?.recipe.as_ref()
    }
}

/// The recipes at hand.
#[derive(Clone, Debug)]
pub struct Library {
    /// Looked through in this order; the first is listed.
    folders: Vec<PathBuf>,
    built_in: bool,
}

impl Library {
    /// Only the built-in recipes.
    pub const fn built_in() -> Self {
        Self { folders: Vec::new(), built_in: true }
    }

    /// Recipes in the folder of a file, under `shapes/` there, then the built-in ones.
    pub fn beside(file: &Path) -> Self {
        let parent = file.parent().unwrap_or(Path::new("")).to_path_buf();
        Self { folders: vec![parent.join("shapes"), parent], built_in: true }
    }

    /// Recipes in a folder, or in the folder `shapes` of a workspace, and no others.
    pub fn within(folder: &Path) -> Self {
        let shapes = folder.join("shapes");
        let folder = if shapes.is_dir() { shapes } else { folder.to_path_buf() };
        Self { folders: vec![folder], built_in: false }
    }

    fn known(&self) -> &'static [(&'static str, &'static str)] {
        if self.built_in { demo::RECIPES } else { &[] }
    }

    /// The recipe of a key; `None` when there is none of that name.
    pub fn load(&self, key: &str) -> Option<Loaded> {
        if let Some(path) = self.file(key) {
            return Some(Self::load_file(&path));
        }
        let (_, text) = self.known().iter().find(|(known, _)| *known == key)?;
        let checked = recipe(&format!("built-in shapes/{key}.yaml"), text, key, None);
        Some(Loaded { recipe: checked.value, findings: checked.findings })
    }

    /// Every recipe that a list orders, read once.
    pub fn load_for<'a>(&self, list: &'a OrderList) -> Recipes<'a> {
        let keys = list.recipes().into_iter();
        Recipes(keys.filter_map(|key| Some((key, self.load(key)?))).collect())
    }

    /// The recipe in a file; its key is the file's name without ending.
    pub fn load_file(path: &Path) -> Loaded {
        let key = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        match read(path) {
            Ok(text) => {
                let label = path.display().to_string();
                let key = key.unwrap_or_default();
                let checked = recipe(&label, &text, &key, path.parent());
                Loaded { recipe: checked.value, findings: checked.findings }
            }
            Err(finding) => Loaded { recipe: None, findings: vec![*finding] },
        }
    }

    /// The file of a key, if there is one beside the orders.
    fn file(&self, key: &str) -> Option<PathBuf> {
        let name = format!("{key}.yaml");
        let places = self.folders.iter().filter(|_| plain_key(key));
        places.map(|folder| folder.join(&name)).find(|path| path.is_file())
    }

    /// The keys of every recipe at hand, sorted.
    pub fn keys(&self) -> Vec<String> {
        let built_in = self.known().iter().map(|(key, _)| (*key).to_owned());
        let mut keys: Vec<String> = built_in.chain(self.shapes()).collect();
        keys.sort();
        keys.dedup();
        keys
    }

    fn shapes(&self) -> Vec<String> {
        let entries = self.folders.first().and_then(|f| std::fs::read_dir(f).ok());
        let paths =
            entries.into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
        paths
            .filter(|path| path.extension().is_some_and(|end| end == "yaml"))
            .filter(|path| self.built_in || is_recipe(path))
            .filter_map(|path| path.file_stem()?.to_str().map(str::to_owned))
            .collect()
    }

    /// Says that an order's recipe is not at hand.
    pub fn unknown(&self, order: &Order) -> Finding {
        self.missing(&order.recipe).from(order.recipe_source.clone())
    }

    /// Says that a recipe is not at hand.
    pub fn missing(&self, key: &str) -> Finding {
        let keys = self.keys();
        let names: Vec<&str> = keys.iter().map(String::as_str).collect();
        let finding = Finding::stop(
            Code::UnknownRecipe,
            format!("no recipe is called `{}`", plain(key)),
        )
        .expected(match names.as_slice() {
            [] => "a recipe, and there is none at hand".to_owned(),
            names => format!("one of {}", names.join(", ")),
        });
        match nearest(key, names.iter().copied()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help(match (self.folders.is_empty(), self.built_in) {
                (true, _) => "`treen shapes` lists the built-in ones",
                (false, true) => "put the recipe beside the orders, in `shapes/`",
                (false, false) => "put a recipe there, or leave `--from` out",
            }),
        }
    }
}

/// A shop or an order list may lie beside the recipes; what cannot be read is to be told.
fn is_recipe(path: &Path) -> bool {
    read(path).map_or(true, |text| kind_of(&text) == FileKind::Recipe)
}

/// A key is a file's name, never a way to another folder.
fn plain_key(key: &str) -> bool {
    !key.is_empty()
        && !key.starts_with('.')
        && !key.contains(['/', '\\', ':'])
        && !key.chars().any(char::is_control)
}
