//! From what was typed to models.

use std::path::{Path, PathBuf};
use treen::batch::{
    Before, Folder, Job, Library, ListKind, Loaded, approvals_in, marked, order_list,
    read,
};
use treen::finding::{Checked, Code, Finding, Source, SourceFile};
use treen::intake::{FileKind, demo, guess, kind_of, orders_yaml, pin, recipe, shop};
use treen::model::{Approvals, OrderForm, OrderList, Pins, Recipe, Setting, Shop};

/// An order list and where its recipes are found.
pub(crate) struct Orders {
    pub(crate) list: Checked<OrderList>,
    /// What customers said, beside the list.
    pub(crate) said: Checked<Approvals>,
    pub(crate) library: Library,
}

/// The order list of a path, laid out as a shop says; the built-in demo without one.
fn orders(path: Option<&Path>, shop: Option<&Shop>) -> Orders {
    let said = approvals_in(&folder_of(path));
    let Some(path) = path else {
        let list = orders_yaml("built-in orders.yaml", demo::ORDERS);
        return Orders { list, said, library: Library::built_in() };
    };
    let plain = OrderForm::default();
    let list = order_list(path, shop.map_or(&plain, |shop| &shop.order_form));
    Orders { list, said, library: Library::beside(path) }
}

/// The order list of a path, where the file is not a sound recipe or shop.
pub(crate) fn orders_alone(
    path: Option<&Path>,
    shop: Option<&Shop>,
) -> Result<Orders, Box<Finding>> {
    let (what, help) = match input(path, shop) {
        Input::Orders(orders) => return Ok(orders),
        Input::Recipe(loaded) if loaded.recipe.is_some() => {
            ("a recipe", "look at a recipe with `treen check` or `treen swap`")
        }
        Input::Shop(shop) if shop.value.is_some() => ("a shop", "name it after `--shop`"),
        Input::Recipe(_) | Input::Shop(_) => return Ok(orders(path, shop)),
    };
    let label = path.unwrap_or(Path::new("")).display().to_string();
    let finding =
        Finding::stop(Code::WrongType, format!("this is {what}, not an order list"))
            .from(Source::whole(&SourceFile::new(label, "")))
            .expected("a file with `orders:`, CSV or a workbook")
            .help(help);
    Err(Box::new(finding))
}

/// What sheets of an order list are made from, read well enough to begin.
pub(crate) struct Given {
    list: OrderList,
    said: Approvals,
    shop: Shop,
    pins: Pins,
    library: Library,
    /// What was found in the list, in what customers said and in the shop.
    pub(crate) findings: Vec<Finding>,
}

/// Reads an order list with all that goes with it; the findings alone where that cannot be.
pub(crate) fn given(
    list: Option<&Path>,
    shop: Option<&Path>,
    pinned: &[String],
) -> Result<Given, Vec<Finding>> {
    let alone = |finding: Box<Finding>| vec![*finding];
    let shop = the_shop(shop, list);
    let Orders { list, said, library } =
        orders_alone(list, shop.value.as_ref()).map_err(alone)?;
    let findings = [list.findings, said.findings, shop.findings].concat();
    let (Some(list), Some(said), Some(shop)) = (list.value, said.value, shop.value)
    else {
        return Err(findings);
    };
    let pins = pins(pinned, None).map_err(alone)?;
    Ok(Given { list, said, shop, pins, library, findings })
}

impl Given {
    /// All of the list, as one run makes it.
    pub(crate) fn job<'a>(&'a self, out: &'a Folder, threads: u16) -> Job<'a> {
        Job {
            orders: &self.list,
            shop: &self.shop,
            pins: &self.pins,
            library: &self.library,
            out,
            dpi: None,
            threads: usize::from(threads),
            earlier: Before::default(),
            approvals: &self.said,
            part: None,
            said: &self.findings,
        }
    }
}

/// The shop of a path, else `shop.yaml` beside the input (of a recipe in a folder `shapes`
/// also beside that folder), else the built-in one.
pub(crate) fn the_shop(path: Option<&Path>, input: Option<&Path>) -> Checked<Shop> {
    let beside = || {
        let folder = input?.parent().unwrap_or(Path::new(""));
        let above = folder.ends_with("shapes").then(|| folder.parent()).flatten();
        let folders = [Some(folder), above].into_iter().flatten();
        folders.map(|folder| folder.join("shop.yaml")).find(|file| file.is_file())
    };
    let Some(path) = path.map(Path::to_path_buf).or_else(beside) else {
        return marked(shop("built-in shop.yaml", demo::SHOP), None);
    };
    match read(&path) {
        Ok(text) => {
            let folder = path.parent().unwrap_or(Path::new(""));
            marked(shop(&path.display().to_string(), &text), Some(folder))
        }
        Err(finding) => Checked::failed(*finding),
    }
}

/// What `treen check` was given.
pub(crate) enum Input {
    Orders(Orders),
    Recipe(Box<Loaded>),
    Shop(Box<Checked<Shop>>),
}

/// Tells an order list, a recipe and a shop apart.
pub(crate) fn input(path: Option<&Path>, shop: Option<&Shop>) -> Input {
    let Some(path) = path else { return Input::Orders(orders(None, shop)) };
    if ListKind::of(path) != ListKind::Yaml {
        return Input::Orders(orders(Some(path), shop));
    }
    if let Some(loaded) = built_in(path) {
        return Input::Recipe(Box::new(loaded));
    }
    let text = match read(path) {
        Ok(text) => text,
        Err(finding) => {
            let findings = vec![suggest(*finding, path)];
            return Input::Recipe(Box::new(Loaded { recipe: None, findings }));
        }
    };
    let label = path.display().to_string();
    let yaml = path.extension().is_some_and(|end| end == "yaml" || end == "yml");
    match kind_of(&text) {
        FileKind::Recipe if yaml => {
            let key = path.file_stem().unwrap_or_default().to_string_lossy();
            let checked = recipe(&label, &text, &key, path.parent());
            Input::Recipe(Box::new(Loaded {
                recipe: checked.value,
                findings: checked.findings,
            }))
        }
        FileKind::Shop if yaml => {
            Input::Shop(Box::new(treen::intake::shop(&label, &text)))
        }
        FileKind::Recipe | FileKind::Shop | FileKind::Orders => {
            let (list, library) = (orders_yaml(&label, &text), Library::beside(path));
            let said = approvals_in(&folder_of(Some(path)));
            Input::Orders(Orders { list, said, library })
        }
    }
}

/// The recipe of a path or the built-in one of that name.
pub(crate) fn the_recipe(path: &Path) -> Loaded {
    if let Some(loaded) = built_in(path) {
        return loaded;
    }
    let mut loaded = Library::load_file(path);
    if let (None, [finding]) = (&loaded.recipe, loaded.findings.as_slice()) {
        loaded.findings = vec![suggest(finding.clone(), path)];
    }
    loaded
}

/// A built-in shape, unless there is a file of that name.
fn built_in(path: &Path) -> Option<Loaded> {
    let key = path.to_str().filter(|_| !path.exists())?;
    Library::built_in().load(key)
}

/// A word that is no file was most likely meant as a built-in shape.
fn suggest(finding: Finding, path: &Path) -> Finding {
    let word = path.extension().is_none() && path.components().count() == 1;
    if finding.code != Code::UnreadableFile || !word || path.exists() {
        return finding;
    }
    let missing = Library::built_in().missing(&path.display().to_string());
    match finding.source {
        Some(source) => missing.from(source),
        None => missing,
    }
}

/// `name=value` pairs as typed.
pub(crate) fn settings(pairs: &[String]) -> Result<Vec<Setting>, Box<Finding>> {
    let settings: Vec<Setting> = pairs
        .iter()
        .map(|pair| {
            let file = SourceFile::new("--set", pair.as_str());
            let source = Source { file, line: 1, column: 1, length: 1 };
            let Some((name, value)) = pair.split_once('=') else {
                return Err(Box::new(
                    Finding::stop(Code::WrongType, "`--set` without `=`")
                        .from(source)
                        .expected("`--set name=value`, e.g. `--set \"length=240 mm\"`"),
                ));
            };
            let value = guess(value.trim());
            Ok(Setting { name: name.trim().to_owned(), value, source })
        })
        .collect::<Result<_, Box<Finding>>>()?;
    for (index, second) in settings.iter().enumerate() {
        let earlier = settings.iter().take(index);
        if let Some(first) = earlier.into_iter().find(|s| s.name == second.name) {
            return Err(Box::new(
                Finding::stop(
                    Code::DuplicateKey,
                    format!("`{}` is set twice", first.name),
                )
                .from(second.source.clone())
                .related(first.source.clone(), "first here")
                .help("keep one of the two"),
            ));
        }
    }
    Ok(settings)
}

/// The pins typed after `--use`, and the one after `--cutter`.
pub(crate) fn pins(typed: &[String], cutter: Option<&str>) -> Result<Pins, Box<Finding>> {
    let mut pins = Pins::default();
    let cut_out = cutter.map(|id| ("--cutter", format!("cut_out={id}")));
    let all = typed.iter().map(|text| ("--use", text.clone())).chain(cut_out);
    for (option, text) in all {
        let file = SourceFile::new(option, text.as_str());
        let source = Source { file, line: 1, column: 1, length: 1 };
        let pin = pin(&text, source)?;
        if let Some(first) = pins.of(pin.work) {
            return Err(Box::new(
                Finding::stop(
                    Code::DuplicateKey,
                    format!("two cutters are asked for `{}`", pin.work.key()),
                )
                .from(pin.source.clone())
                .related(first.source.clone(), "first here")
                .help("keep one of the two"),
            ));
        }
        pins.set(pin);
    }
    Ok(pins)
}

/// The folder an order list lies in; this one for the built-in demo.
pub(crate) fn folder_of(orders: Option<&Path>) -> PathBuf {
    orders.and_then(Path::parent).unwrap_or(Path::new("")).to_path_buf()
}

/// A path for the neighbourhood of an input: none for built-in ones.
pub(crate) fn neighbour(path: &Path) -> Option<PathBuf> {
    path.exists().then(|| path.to_path_buf())
}

/// A recipe to look at on its own, the shop beside it, and what was found in both.
pub(crate) struct Subject {
    pub(crate) recipe: Recipe,
    pub(crate) shop: Shop,
    pub(crate) set: Vec<Setting>,
    pub(crate) findings: Vec<Finding>,
}

/// Reads what `swap` and `mend` are about; the findings alone where that cannot be.
pub(crate) fn subject(
    recipe: &Path,
    shop: Option<&Path>,
    set: &[String],
) -> Result<Subject, Vec<Finding>> {
    let set = settings(set).map_err(|finding| vec![*finding])?;
    let loaded = the_recipe(recipe);
    let shop = the_shop(shop, neighbour(recipe).as_deref());
    let findings = [loaded.findings, shop.findings].concat();
    match (loaded.recipe, shop.value) {
        (Some(recipe), Some(shop)) => Ok(Subject { recipe, shop, set, findings }),
        _ => Err(findings),
    }
}
