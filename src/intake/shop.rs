//! Shops: cutters, machine, woods, house rules.

use super::order_form::order_form;
use super::pins::pins;
use super::proofs::proofs;
use super::reader::{Map, Reader};
use super::tree::{self, Node};
use crate::finding::{Checked, Code, Finding, Source};
use crate::model::{
    Cutter, CutterKind, CutterSpec, House, Machine, SPECIES, Shop, Species, TabRule, Wood,
};
use crate::units::{Deg, DisplayUnit, Mm};

const CUTTER_KEYS: [&str; 17] = [
    "id",
    "kind",
    "diameter",
    "corner_radius",
    "angle",
    "tip_flat",
    "cutting_length",
    "overall_length",
    "shank",
    "insertion",
    "stick_out",
    "flutes",
    "chip_load",
    "speed",
    "stepdown",
    "stepover",
    "upcut",
];
const MACHINE_KEYS: [&str; 10] = [
    "collet_nut",
    "spindle",
    "feed",
    "traverse",
    "plunge",
    "tool_change",
    "acceleration",
    "corner",
    "travel",
    "tram",
];
const TAB_KEYS: [&str; 3] = ["count", "length", "height"];
const WOOD_KEYS: [&str; 6] = ["name", "thickness", "species", "density", "price", "tone"];
const HOUSE_KEYS: [&str; 11] = [
    "rim",
    "floor",
    "neck",
    "letter",
    "collet_margin",
    "sanding",
    "overcut",
    "tabs",
    "margin",
    "movement",
    "unit",
];

/// Picture tone of a wood that states none.
const TONE: [u8; 3] = [0xd9, 0xb8, 0x8a];
/// Minutes to change a cutter where the shop does not say: common practice, no source.
const TOOL_CHANGE: f64 = 2.0;
/// Length and height of a holding tab, mm: common practice, no source.
const TAB: [f64; 2] = [6.0, 3.0];
/// Thickness of the board when the shop has no woods: 1 in.
const THICKNESS: f64 = 25.4;

/// Reads a shop. Everything but `cutters` has a default.
pub fn shop(label: &str, text: &str) -> Checked<Shop> {
    let r = Reader::new(label, text);
    let root = r.keep(tree::read(&r.file));
    let read = root.and_then(|root| whole(&r, &root));
    Checked::unless_stopped(read, r.finish())
}

fn whole(r: &Reader, root: &Node) -> Option<Shop> {
    let keys = ["cutters", "machine", "woods", "house", "proof", "use", "order_list"];
    let map = r.map(root, "a shop", &keys)?;
    let cutters = cutters(&map);
    let machine = machine(&map);
    let woods = woods(&map);
    let house = house(&map);
    let (pins, order_form, cutters) = (pins(&map), order_form(&map), cutters?);
    let (manner, workshop, mark) = proofs(&map);
    held(r, &cutters, &machine);
    for fault in pins.all().iter().filter_map(|pin| pin.fault(&cutters)) {
        r.say(fault);
    }
    let source = Source::whole(&r.file);
    Some(Shop {
        cutters,
        machine,
        woods,
        house,
        pins,
        order_form,
        manner,
        workshop,
        mark,
        source,
    })
}

/// The shop's mark: named here, read by whoever has the disk.
/// A length known to be finite, for defaults.
fn fixed(mm: f64) -> Mm {
    Mm::new(mm).unwrap_or(Mm::ZERO)
}

fn cutters(shop: &Map<'_>) -> Option<Vec<Cutter>> {
    let r = shop.reader;
    let node = shop.required("cutters")?;
    let items = r.list(node, "`cutters`")?;
    if items.is_empty() {
        let finding = Finding::stop(Code::MissingKey, "the rack is empty")
            .from(r.source(node))
            .help("add a cutter: `- {id: end-6, kind: end mill, diameter: 6 mm}`");
        r.say(finding);
    }
    let mut cutters: Vec<Cutter> = Vec::new();
    for item in items {
        let Some(cutter) = cutter(r, item) else { continue };
        let first = cutters.iter().find(|known| same(known.id(), cutter.id()));
        if let Some(first) = first {
            let source = &cutter.spec().source;
            twice(r, ("cutters", cutter.id()), source, &first.spec().source);
        }
        cutters.push(cutter);
    }
    Some(cutters)
}

/// A shank goes through the collet nut.
fn held(r: &Reader, cutters: &[Cutter], machine: &Machine) {
    let nut = machine.collet_nut;
    let wide = |c: &&Cutter| c.spec().shank.is_some_and(|shank| shank >= nut);
    for cutter in cutters.iter().filter(wide) {
        let finding = Finding::stop(
            Code::BadCutter,
            format!("the shank of {} does not go through the collet nut", cutter.id()),
        )
        .from(cutter.spec().source.clone())
        .expected(format!("a shank of less than {nut}"))
        .help("measure the shank and `collet_nut` under `machine:` again");
        r.say(finding);
    }
}

fn same(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.to_lowercase()
}

fn twice(r: &Reader, (what, name): (&str, &str), second: &Source, first: &Source) {
    let finding =
        Finding::stop(Code::DuplicateId, format!("two {what} are called `{name}`"))
            .from(second.clone())
            .related(first.clone(), "the first one")
            .help("give each a name of its own");
    r.say(finding);
}

fn cutter(r: &Reader, node: &Node) -> Option<Cutter> {
    let map = r.map(node, "a cutter", &CUTTER_KEYS)?;
    let id = map.text("id").filter(|id| plain_id(&map, id));
    let kind = map.required("kind").and_then(|node| kind(r, node));
    let diameter = map.required("diameter").and_then(|n| r.length(n, "diameter"));
    let rest = spec(&map);
    let mut spec = rest(id?, kind?, diameter?);
    spec.source = map.required("id").map_or_else(|| map.source(), |n| r.source(n));
    match Cutter::new(spec) {
        Ok(cutter) => Some(cutter),
        Err(fault) => {
            let place = map.optional(fault.key).or_else(|| map.optional("kind"));
            let finding = Finding::stop(Code::BadCutter, fault.what)
                .from(place.map_or_else(|| map.source(), |node| r.source(node)))
                .expected(fault.expected)
                .help("measure the cutter again, or leave the key out");
            r.say(finding);
            None
        }
    }
}

/// An id is printed in tables and typed on the command line.
fn plain_id(map: &Map<'_>, id: &str) -> bool {
    let length = id.chars().count();
    let fine = (1..=40).contains(&length)
        && id.trim() == id
        && !id.chars().any(|c| c.is_control() || c == '/' || c == '\\');
    if !fine && let Some(node) = map.optional("id") {
        let finding = Finding::stop(Code::BadId, "a cutter's id that cannot be used")
            .from(map.reader.source(node))
            .expected("1 to 40 characters without `/`, e.g. `bowl-25`");
        map.reader.say(finding);
    }
    fine
}

fn kind(r: &Reader, node: &Node) -> Option<CutterKind> {
    let word = r.text(node, "`kind`")?;
    let kind = CutterKind::from_word(&word);
    if kind.is_none() {
        let known: Vec<&str> = CutterKind::ALL.iter().map(|kind| kind.word()).collect();
        r.unknown_word(node, "`kind`", &word, &known);
    }
    kind
}

/// Reads every optional dimension; gives what is left to say.
fn spec(map: &Map<'_>) -> impl FnOnce(String, CutterKind, Mm) -> CutterSpec {
    let r = map.reader;
    let number = |key: &str, most: f64| {
        map.optional(key).and_then(|node| r.number(node, key, [0.0, most]))
    };
    let angle = map.optional("angle").and_then(|node| r.angle(node, "angle"));
    let flutes = map.optional("flutes").and_then(|node| r.whole(node, "flutes", [1, 8]));
    let lengths = [
        "corner_radius",
        "tip_flat",
        "cutting_length",
        "overall_length",
        "shank",
        "insertion",
        "stick_out",
        "stepdown",
        "upcut",
    ]
    .map(|key| map.maybe_length(key));
    let (stepover, source) = (number("stepover", 1.0), map.source());
    let speed =
        map.optional("speed").and_then(|node| r.number(node, "speed", [1.0, 200_000.0]));
    let chip_load = map.maybe_length("chip_load").map(Mm::get);
    let [corner_radius, tip_flat, cutting_length, overall_length, shank, insertion, ..] =
        lengths;
    let [.., stick_out, stepdown, upcut] = lengths;
    move |id, kind, diameter| CutterSpec {
        id,
        kind,
        diameter,
        corner_radius,
        angle,
        tip_flat,
        cutting_length,
        overall_length,
        shank,
        insertion,
        stick_out,
        flutes: flutes.unwrap_or(2),
        chip_load,
        speed,
        stepdown,
        stepover,
        upcut,
        source,
    }
}

/// Defaults are of a common bench router, from memory; the maker confirms them.
fn machine(shop: &Map<'_>) -> Machine {
    let mut machine = Machine {
        collet_nut: fixed(42.0),
        spindle: [8000.0, 24000.0],
        feed: 6000.0,
        traverse: 6000.0,
        plunge: f64::INFINITY,
        tool_change: TOOL_CHANGE,
        acceleration: 400.0,
        corner: None,
        travel: [600.0, 600.0, 90.0].map(fixed),
        tram: Deg::ZERO,
    };
    let r = shop.reader;
    let Some(node) = shop.optional("machine") else { return machine };
    let Some(map) = r.map(node, "`machine`", &MACHINE_KEYS) else { return machine };
    let number = |key: &str, range: [f64; 2]| {
        map.optional(key).and_then(|node| r.number(node, key, range))
    };
    if let Some(nut) = positive(&map, "collet_nut") {
        machine.collet_nut = nut;
    }
    if let Some(feed) = number("feed", [1.0, 100_000.0]) {
        machine.feed = feed;
    }
    machine.traverse = number("traverse", [1.0, 200_000.0]).unwrap_or(machine.feed);
    if let Some(plunge) = number("plunge", [1.0, 100_000.0]) {
        machine.plunge = plunge;
    }
    if let Some(minutes) = number("tool_change", [0.0, 120.0]) {
        machine.tool_change = minutes;
    }
    if let Some(acceleration) = number("acceleration", [1.0, 100_000.0]) {
        machine.acceleration = acceleration;
    }
    machine.corner = number("corner", [1.0, 100_000.0]);
    if let Some(node) = map.optional("spindle")
        && let Some(range) = spindle(r, node)
    {
        machine.spindle = range;
    }
    if let Some(node) = map.optional("travel")
        && let Some(travel) = travel(r, node)
    {
        machine.travel = travel;
    }
    if let Some(tram) = map.optional("tram").and_then(|node| r.angle(node, "tram")) {
        machine.tram = tram;
    }
    machine
}

fn spindle(r: &Reader, node: &Node) -> Option<[f64; 2]> {
    let items = r.list(node, "`spindle`")?;
    let speeds: Vec<Option<f64>> =
        items.iter().map(|item| r.number(item, "spindle", [1.0, 200_000.0])).collect();
    match speeds.as_slice() {
        [Some(least), Some(most)] if least <= most => Some([*least, *most]),
        [None, _] | [_, None] => None,
        _ => {
            r.wrong_range(node, "`spindle`", "least and greatest speed, `[8000, 24000]`");
            None
        }
    }
}

fn travel(r: &Reader, node: &Node) -> Option<[Mm; 3]> {
    let items = r.list(node, "`travel`")?;
    let lengths: Vec<Option<Mm>> =
        items.iter().map(|item| r.length(item, "travel")).collect();
    match lengths.as_slice() {
        [Some(x), Some(y), Some(z)] if [x, y, z].iter().all(|mm| mm.get() > 0.0) => {
            Some([*x, *y, *z])
        }
        _ => {
            r.wrong_range(node, "`travel`", "right, back and down, `[600, 600, 90]`");
            None
        }
    }
}

impl Reader {
    fn wrong_range(&self, node: &Node, what: &str, expected: &str) {
        let finding = Finding::stop(Code::BadNumber, format!("{what} is out of order"))
            .from(self.source(node))
            .expected(expected);
        self.say(finding);
    }
}

/// A length above zero that may be left out.
fn positive(map: &Map<'_>, key: &str) -> Option<Mm> {
    let node = map.optional(key)?;
    let length = map.reader.length(node, key)?;
    if length.get() > 0.0 {
        return Some(length);
    }
    let finding = Finding::stop(Code::BadNumber, format!("`{key}` is {length}"))
        .from(map.reader.source(node))
        .expected("more than 0 mm");
    map.reader.say(finding);
    None
}

fn woods(shop: &Map<'_>) -> Vec<Wood> {
    let r = shop.reader;
    let node = shop.optional("woods");
    let items = node.and_then(|node| r.list(node, "`woods`")).unwrap_or_default();
    let mut woods: Vec<Wood> = Vec::new();
    for item in items {
        let Some(wood) = wood(r, item) else { continue };
        if let Some(first) = woods.iter().find(|known| same(&known.name, &wood.name)) {
            twice(r, ("woods", &wood.name), &wood.source, &first.source);
        }
        woods.push(wood);
    }
    if woods.is_empty() {
        woods.push(Wood {
            name: "maple".to_owned(),
            thickness: fixed(THICKNESS),
            species: Species::from_word("maple"),
            density: None,
            price: None,
            tone: TONE,
            source: shop.source(),
        });
    }
    woods
}

fn wood(r: &Reader, node: &Node) -> Option<Wood> {
    let map = r.map(node, "a wood", &WOOD_KEYS)?;
    let name = map.text("name");
    let thickness = map.required("thickness").and_then(|_| positive(&map, "thickness"));
    let number = |key: &str, range: [f64; 2]| {
        map.optional(key).and_then(|node| r.number(node, key, range))
    };
    let density = number("density", [50.0, 1500.0]);
    let price = number("price", [0.0, 1e9]);
    let tone = map.optional("tone").and_then(|node| tone(r, node));
    let stated = map.optional("species").map(|node| species(r, node));
    let name = name?;
    Some(Wood {
        species: stated.unwrap_or_else(|| Species::from_word(&name)),
        name,
        thickness: thickness?,
        density,
        price,
        tone: tone.unwrap_or(TONE),
        source: map.source(),
    })
}

/// A species of the Wood Handbook.
fn species(r: &Reader, node: &Node) -> Option<&'static Species> {
    let word = r.text(node, "`species`")?;
    let found = Species::from_word(&word);
    if found.is_none() {
        let known: Vec<&str> = SPECIES.iter().map(|known| known.name).collect();
        r.unknown_word(node, "`species`", &word, &known);
    }
    found
}

/// `#rrggbb`.
fn tone(r: &Reader, node: &Node) -> Option<[u8; 3]> {
    let text = r.text(node, "`tone`")?;
    let digits = text.strip_prefix('#').filter(|hex| hex.len() == 6);
    let pair = |at: usize| {
        let pair = digits?.get(at..at + 2)?;
        let plain = pair.bytes().all(|b| b.is_ascii_hexdigit());
        u8::from_str_radix(pair, 16).ok().filter(|_| plain)
    };
    if let (Some(red), Some(green), Some(blue)) = (pair(0), pair(2), pair(4)) {
        return Some([red, green, blue]);
    }
    let finding = Finding::stop(Code::UnknownWord, "`tone` is not a tone")
        .from(r.source(node))
        .expected("`\"#rrggbb\"` in quotes, e.g. `\"#c8a27a\"`");
    r.say(finding);
    None
}

fn usual_tabs() -> TabRule {
    let [length, height] = TAB.map(fixed);
    TabRule { count: None, length, height }
}

fn tabs(house: &Map<'_>) -> TabRule {
    let r = house.reader;
    let mut rule = usual_tabs();
    let Some(node) = house.optional("tabs") else { return rule };
    let Some(map) = r.map(node, "`tabs`", &TAB_KEYS) else { return rule };
    if let Some(count) = map.optional("count")
        && let Some(count) = r.number(count, "count", [2.0, 40.0])
    {
        rule.count = (2..=40).find(|n| f64::from(*n) >= count);
    }
    if let Some(length) = positive(&map, "length") {
        rule.length = length;
    }
    if let Some(height) = positive(&map, "height") {
        rule.height = height;
    }
    rule
}

fn house(shop: &Map<'_>) -> House {
    let r = shop.reader;
    let map = shop.optional("house").and_then(|node| r.map(node, "`house`", &HOUSE_KEYS));
    let length = |key: &str, default: f64| {
        let map = map.as_ref()?;
        let node = map.optional(key)?;
        let length = r.length(node, key)?;
        r.within(node, key, length.get(), [0.0, 1000.0])
            .and_then(Mm::new)
            .or(Mm::new(default))
    };
    let rule = |key: &str, default: f64| length(key, default).unwrap_or(fixed(default));
    let units =
        [("mm", DisplayUnit::Mm), ("inch", DisplayUnit::Inch), ("in", DisplayUnit::Inch)];
    let unit = map
        .as_ref()
        .and_then(|map| map.optional("unit"))
        .and_then(|node| r.word(node, "`unit`", &units));
    House {
        rim: rule("rim", 5.0),
        floor: rule("floor", 5.0),
        neck: rule("neck", 6.0),
        letter: rule("letter", 8.0),
        collet_margin: rule("collet_margin", 2.0),
        sanding: rule("sanding", 0.2),
        overcut: rule("overcut", 0.5),
        tabs: map.as_ref().map_or_else(usual_tabs, tabs),
        margin: rule("margin", 25.0),
        movement: rule("movement", 3.0),
        unit: unit.unwrap_or_default(),
    }
}
