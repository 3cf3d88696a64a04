//! An output folder looked at while runs go on: what the manifest and the rows since say, and
//! the files they vouch for.

use super::disk::{Folder, WrittenFile};
use super::earlier::{Earlier, MANIFEST, ROWS};
use super::stamp::Stamp;
use super::watch::failed;
use crate::finding::Finding;
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// An output folder that is only read.
#[derive(Debug)]
pub struct Shelf {
    folder: Folder,
    seen: Mutex<Option<(Stamps, Arc<Shelved>)>>,
}

/// By which a manifest and its rows are known again.
type Stamps = [Option<Stamp>; 2];

/// What a folder holds.
#[derive(Debug, Default)]
pub struct Shelved {
    /// Whether the run that wrote it came to its end.
    pub complete: bool,
    /// What was found in the list and the shop.
    pub said: Vec<Value>,
    /// Orders in the order of the manifest, then those done since.
    pub orders: Vec<ShelvedOrder>,
    /// Swap cards likewise.
    pub cards: Vec<ShelvedCard>,
    /// The files named and the digest each must have.
    files: BTreeMap<String, String>,
}

/// An order as the manifest has it. Text is as written in the list.
#[derive(Clone, Debug, Deserialize)]
pub struct ShelvedOrder {
    /// Its id.
    pub id: String,
    /// The name carved.
    pub name: String,
    /// The key of its recipe.
    pub recipe: String,
    /// The word of how it ended.
    pub status: String,
    /// How many dishes.
    pub quantity: u32,
    /// Width and height, mm.
    pub size_mm: Option<[f64; 2]>,
    /// The mark of its proof.
    pub proof_version: Option<String>,
    /// What its customer said, as the manifest has it.
    #[serde(default)]
    pub approval: Value,
    /// The findings, as JSON.
    pub findings: Vec<Value>,
    /// Minutes and wood.
    plan: Option<PlanHead>,
    /// Its files.
    pub files: Vec<ShelvedFile>,
}

impl ShelvedOrder {
    /// Minutes planned for one dish (estimated).
    pub fn minutes(&self) -> Option<f64> {
        self.plan.as_ref()?.minutes
    }

    /// The species of its wood.
    pub fn wood(&self) -> Option<&str> {
        self.plan.as_ref()?.wood.as_ref()?.species.as_deref()
    }
}

#[derive(Clone, Debug, Deserialize)]
struct PlanHead {
    minutes: Option<f64>,
    wood: Option<WoodHead>,
}

#[derive(Clone, Debug, Deserialize)]
struct WoodHead {
    species: Option<String>,
}

/// A swap card as the manifest has it.
#[derive(Clone, Debug, Deserialize)]
pub struct ShelvedCard {
    /// The key of its recipe.
    pub recipe: String,
    /// Its files.
    pub files: Vec<ShelvedFile>,
}

/// A file as the manifest has it.
#[derive(Clone, Debug, Deserialize)]
pub struct ShelvedFile {
    /// Its name in the folder.
    pub path: String,
    /// SHA-256 of its bytes, in lower-case hexadecimal.
    pub sha256: String,
}

/// The parts of a manifest that are shown.
#[derive(Deserialize)]
struct Manifest {
    #[serde(default)]
    complete: bool,
    #[serde(default, rename = "findings")]
    said: Vec<Value>,
    #[serde(default)]
    orders: Vec<ShelvedOrder>,
    #[serde(default)]
    swap_cards: Vec<ShelvedCard>,
}

/// A row written since. An order has a recipe as well, so it is tried first.
#[derive(Deserialize)]
#[serde(untagged)]
enum Since {
    Order(Box<ShelvedOrder>),
    Card(ShelvedCard),
}

impl Shelf {
    /// The folder of a path; made if it is not there, so that it can be watched.
    pub fn at(path: &Path) -> Result<Self, Box<Finding>> {
        let folder = Folder::unlocked(path)?;
        Ok(Self { folder, seen: Mutex::default() })
    }

    /// The folder's path.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// What is there now; read again only if something has been written since. What cannot be
    /// read is not there.
    pub fn shelved(&self) -> Arc<Shelved> {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        let stamp = [MANIFEST, ROWS].map(|name| self.folder.stamp(name));
        match &*seen {
            Some((then, shelved)) if *then == stamp => Arc::clone(shelved),
            Some(_) | None => {
                let shelved = Arc::new(Shelved::of(&Earlier::of(&self.folder)));
                *seen = Some((stamp, Arc::clone(&shelved)));
                shelved
            }
        }
    }

    /// The bytes of a file that the manifest names, if they are as it says.
    pub fn file(&self, name: &str) -> Option<(WrittenFile, Vec<u8>)> {
        let sha256 = self.shelved().files.get(name)?.parse().ok()?;
        let file = WrittenFile { path: name.to_owned(), sha256 };
        let bytes = self.folder.vouched(&file)?;
        Some((file, bytes))
    }

    /// Calls `changed` whenever the manifest or its rows have been written, as long as the
    /// value returned is there.
    pub fn watch(
        &self,
        changed: impl Fn() + Send + 'static,
    ) -> Result<Watching, Box<Finding>> {
        let ours = |path: &PathBuf| {
            path.file_name().is_some_and(|name| name == MANIFEST || name == ROWS)
        };
        let told = move |event: notify::Result<Event>| {
            let counts = event.is_ok_and(|event| {
                !matches!(event.kind, EventKind::Access(_))
                    && event.paths.iter().any(ours)
            });
            if counts {
                changed();
            }
        };
        let path = self.path();
        let mut watcher =
            notify::recommended_watcher(told).map_err(|error| failed(path, &error))?;
        watcher
            .watch(path, RecursiveMode::NonRecursive)
            .map_err(|error| failed(path, &error))?;
        Ok(Watching { _watcher: watcher })
    }
}

/// A folder is watched as long as this value is there.
#[derive(Debug)]
pub struct Watching {
    _watcher: RecommendedWatcher,
}

impl Shelved {
    fn of(earlier: &Earlier) -> Self {
        let mut shelved = Self::default();
        if let Some(manifest) = earlier.manifest::<Manifest>() {
            (shelved.complete, shelved.said) = (manifest.complete, manifest.said);
            (shelved.orders, shelved.cards) = (manifest.orders, manifest.swap_cards);
        }
        let (mut orders, mut cards) = (Vec::new(), Vec::new());
        for row in earlier.since() {
            match row {
                Since::Order(order) => orders.push(*order),
                Since::Card(card) => cards.push(card),
            }
        }
        renew(&mut shelved.orders, orders, |order| &order.id);
        renew(&mut shelved.cards, cards, |card| &card.recipe);
        let orders = shelved.orders.iter().flat_map(|order| &order.files);
        let files = orders.chain(shelved.cards.iter().flat_map(|card| &card.files));
        shelved.files =
            files.map(|file| (file.path.clone(), file.sha256.clone())).collect();
        shelved
    }
}

/// Rows written since: a later one takes the place of an earlier one of its name.
fn renew<T>(rows: &mut Vec<T>, since: Vec<T>, name: impl Fn(&T) -> &String) {
    let places = rows.iter().enumerate().map(|(at, row)| (name(row).clone(), at));
    let mut places: BTreeMap<String, usize> = places.collect();
    for row in since {
        let place = *places.entry(name(&row).clone()).or_insert(rows.len());
        match rows.get_mut(place) {
            Some(earlier) => *earlier = row,
            None => rows.push(row),
        }
    }
}
