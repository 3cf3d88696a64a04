//! Sets of values over the ranges of a recipe, and what becomes of them.

use treen::curve::{Contour, Region, first_crossing};
use treen::dish::assemble;
use treen::finding::{Code, Finding, Severity, Source, SourceFile, long};
use treen::intake::demo;
use treen::model::{
    Parameter, ParameterKind, Recipe, Setting, SettingValue, Shop, Surface,
};
use treen::shape::{Form, NoFiles, build};

/// Names of 2 to 12 letters, given to the sets in turn.
pub(crate) const NAMES: [&str; 6] =
    ["Bo", "Zoë", "Łucja", "Matilda", "Jean-Luc", "Maximilienne"];

/// The i-th of the names in turn that a dish with these values promises to hold: 12 letters
/// at its default size, on a smaller dish so many fewer.
pub(crate) fn name(recipe: &Recipe, set: &[Setting], i: usize) -> &'static str {
    let share = size(recipe).and_then(|(parameter, [_, default, _])| {
        match set.iter().find(|s| s.name == parameter)?.value {
            SettingValue::Number(value) => Some(value / default),
            SettingValue::Text(_) => None,
        }
    });
    let held = (12.0 * share.unwrap_or(1.0)).floor().max(2.0) as usize;
    let fits: Vec<_> = NAMES.iter().filter(|name| name.chars().count() <= held).collect();
    fits[i % fits.len()]
}

/// The parameter that sets the size, the length with the widest range: its name, least value,
/// default and greatest value.
pub(crate) fn size(recipe: &Recipe) -> Option<(&str, [f64; 3])> {
    let lengths = recipe.parameters.iter().filter_map(|p| match p.kind {
        ParameterKind::Number { min, max, default, length: true, .. } => {
            Some((p.name.as_str(), [min, default, max]))
        }
        ParameterKind::Number { .. } | ParameterKind::Text { .. } => None,
    });
    lengths.max_by(|(_, a), (_, b)| (a[2] - a[0]).total_cmp(&(b[2] - b[0])))
}

/// A small generator, so that the sets are the same on every machine (Steele, Lea & Flood,
/// "Fast splittable pseudorandom number generators", OOPSLA 2014).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).expect("32 bits"))
            / f64::from(u32::MAX)
    }

    /// 0 to `count`, without it.
    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).expect("a small number")
    }
}

/// The built-in recipe of a key.
pub(crate) fn recipe(key: &str) -> Recipe {
    let (_, text) =
        demo::RECIPES.iter().find(|(name, _)| *name == key).expect("built in");
    let read = treen::intake::recipe(&format!("{key}.yaml"), text, key, None);
    let said: String = read.findings.iter().map(long).collect();
    read.value.unwrap_or_else(|| panic!("{said}"))
}

/// A value for a parameter.
pub(crate) fn setting(name: &str, value: SettingValue) -> Setting {
    let source = Source::whole(&SourceFile::new("orders.yaml", ""));
    Setting { name: name.to_owned(), value, source }
}

/// So many sets: corners of the ranges, all of them or a quarter of the sets, then a Latin
/// hypercube: each range in as many equal parts as sets, each part once (`McKay`, Beckman &
/// Conover, "A comparison of three methods for selecting values of input variables in the
/// analysis of output from a computer code", Technometrics 21, 1979).
pub(crate) fn sets(recipe: &Recipe, count: usize, seed: u64) -> Vec<Vec<Setting>> {
    let mut random = Random(seed);
    let parameters = &recipe.parameters;
    let corners = (1_usize << parameters.len().min(20)).min(count / 4);
    let mut sets: Vec<Vec<Setting>> =
        (0..corners).map(|i| corner(parameters, i, corners, &mut random)).collect();
    let rest = count - corners;
    let columns: Vec<Vec<Setting>> =
        parameters.iter().map(|p| column(p, rest, &mut random)).collect();
    let row = |i: usize| columns.iter().map(|column| column[i].clone()).collect();
    sets.extend((0..rest).map(row));
    sets
}

/// The i-th corner, or a random one where there are more corners than are asked for.
fn corner(
    parameters: &[Parameter],
    i: usize,
    corners: usize,
    random: &mut Random,
) -> Vec<Setting> {
    let all = corners >= 1 << parameters.len().min(20);
    let bits = if all { i as u64 } else { random.next() };
    let end = |(place, parameter): (usize, &Parameter)| match parameter.kind {
        ParameterKind::Number { min, max, .. } => {
            let value = if bits >> place & 1 == 0 { min } else { max };
            setting(&parameter.name, SettingValue::Number(value))
        }
        ParameterKind::Text { .. } => setting(&parameter.name, letter(bits)),
    };
    parameters.iter().enumerate().map(end).collect()
}

fn letter(number: u64) -> SettingValue {
    let letters: Vec<char> = ('A'..='Z').chain("ÅÉÑØŁŞ".chars()).collect();
    let place = usize::try_from(number % letters.len() as u64).expect("small");
    SettingValue::Text(letters[place].to_string())
}

/// One value from each of so many equal parts of a range, shuffled.
fn column(parameter: &Parameter, count: usize, random: &mut Random) -> Vec<Setting> {
    let mut parts: Vec<usize> = (0..count).collect();
    for i in (1..count).rev() {
        parts.swap(i, random.below(i + 1));
    }
    let value = |part: usize| match parameter.kind {
        ParameterKind::Number { min, max, .. } => {
            let share = (part as f64 + random.share()) / count as f64;
            setting(&parameter.name, SettingValue::Number(min + (max - min) * share))
        }
        ParameterKind::Text { .. } => setting(&parameter.name, letter(part as u64)),
    };
    parts.into_iter().map(value).collect()
}

/// What became of one set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Became {
    /// A dish with everything in its place.
    Dish,
    /// No dish, and a finding that names a parameter.
    Told(String),
}

/// Draws a set with a name; `Err` says what is wrong when neither a sound dish nor an
/// honest refusal comes of it.
pub(crate) fn drawn(
    recipe: &Recipe,
    set: &[Setting],
    person: &str,
    shop: &Shop,
) -> Result<Became, String> {
    let values: Vec<_> = set.iter().map(|s| (&s.name, &s.value)).collect();
    let wrong = |what: String| format!("{} {values:?} for {person}: {what}", recipe.key);
    let built = build(recipe, set, person, &NoFiles);
    if let Some(told) = refused(recipe, &built.findings).map_err(wrong)? {
        return Ok(Became::Told(told));
    }
    let form = built.value.ok_or_else(|| wrong("silence".to_owned()))?;
    let mut order = treen::batch::specimen(recipe, set.to_vec());
    person.clone_into(&mut order.name);
    let made = assemble(&form, &order, shop);
    if let Some(told) = refused(recipe, &made.findings).map_err(wrong)? {
        return Ok(Became::Told(told));
    }
    let dish = made.value.ok_or_else(|| wrong("silence".to_owned()))?;
    match flaw(&form.outline).or_else(|| misplaced(&form)) {
        Some(flaw) => return Err(wrong(flaw)),
        None if dish.name.is_none() => return Err(wrong("the name is lost".to_owned())),
        None => {}
    }
    let name = dish.name.expect("looked at above");
    let surface = dish
        .recesses
        .iter()
        .fold(Region::default(), |all, recess| all.unite(&recess.region));
    let surface = match name.on {
        Surface::Floor => surface,
        Surface::Rim => dish.outline.cut(&surface),
    };
    let off = name.region.cut(&surface).area();
    // What the finding for letters off their surface lets pass, mm².
    if off > 0.5 {
        return Err(wrong(format!("{off} mm² of the name off its surface")));
    }
    Ok(Became::Dish)
}

/// The first refusal; an error where it names no parameter of the recipe.
fn refused(recipe: &Recipe, findings: &[Finding]) -> Result<Option<String>, String> {
    let Some(stop) = findings.iter().find(|f| f.severity == Severity::Stop) else {
        return Ok(None);
    };
    let said = long(stop);
    let names = |p: &Parameter| said.contains(&format!("`{}`", p.name));
    if stop.code == Code::Internal || !recipe.parameters.iter().any(names) {
        return Err(format!("names no parameter: {said}"));
    }
    Ok(Some(said))
}

/// A recess beyond the outline.
fn misplaced(form: &Form) -> Option<String> {
    let beyond = |recess: &treen::shape::RecessForm| recess.region.cut(&form.outline);
    let most = form.recesses.iter().map(|r| beyond(r).area()).fold(0.0, f64::max);
    (most > 0.02).then(|| format!("{most} mm² of recess beyond the outline"))
}

/// Why a region is not what it should be.
pub(crate) fn flaw(region: &Region) -> Option<String> {
    if region.parts() != 1 {
        return Some(format!("{} parts", region.parts()));
    }
    if !(region.area() > 100.0 && region.area() < 1e7) {
        return Some(format!("{} mm²", region.area()));
    }
    for contour in region.contours() {
        if let Some(point) = first_crossing(&contour.path()) {
            return Some(format!("crosses itself at {point}"));
        }
    }
    joined(region)
}

/// Every piece starts where the one before ends.
fn joined(region: &Region) -> Option<String> {
    let ends = |contour: &Contour| {
        let pieces = contour.pieces().to_vec();
        let next = pieces.iter().skip(1).chain(pieces.first());
        let gap = |(a, b): (&treen::curve::Piece, &treen::curve::Piece)| {
            a.curve.end().distance(b.curve.start())
        };
        pieces.iter().zip(next).map(gap).fold(0.0, f64::max)
    };
    let gap = region.contours().iter().map(ends).fold(0.0, f64::max);
    (gap > 1e-6).then(|| format!("a gap of {gap} mm"))
}
