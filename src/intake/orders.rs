//! Order lists in YAML, and the checks that both kinds of list share.

use super::ids;
use super::manner::manner;
use super::pins::pins;
use super::reader::{Map, Reader};
use super::tree::{self, Node, Value};
use crate::finding::{Checked, Code, Finding, Source};
use crate::model::{Order, OrderList, Setting, SettingValue};
use crate::units::{Deg, Mm};
use std::collections::BTreeMap;

const KEYS: [&str; 11] = [
    "id", "name", "recipe", "wood", "quantity", "note", "date", "locale", "unit", "set",
    "use",
];

/// Most dishes of one order.
pub(super) const MOST: u32 = 1000;
/// Most characters of a name, a note or a date.
const LONGEST: usize = 300;

/// Reads an order list in YAML.
pub fn orders_yaml(label: &str, text: &str) -> Checked<OrderList> {
    let r = Reader::new(label, text);
    let root = r.keep(tree::read(&r.file));
    let read = root.and_then(|root| whole(&r, &root));
    list(read, r)
}

/// The sound orders with everything found; no list where there is no sound order.
pub(super) fn list(read: Option<OrderList>, r: Reader) -> Checked<OrderList> {
    let value = read.filter(|list| !list.orders.is_empty());
    Checked { value, findings: r.finish() }
}

fn whole(r: &Reader, root: &Node) -> Option<OrderList> {
    let map = r.map(root, "an order list", &["orders"])?;
    let node = map.required("orders")?;
    let items = r.list(node, "`orders`")?;
    not_empty(r, !items.is_empty(), &r.source(node));
    let read = items.iter().filter_map(|item| r.sound(|| order(r, item)));
    let orders = checked(r, read.collect());
    Some(OrderList { orders, aside: Vec::new() })
}

/// Those whose ids are plain and unique and whose texts are short.
pub(super) fn checked(r: &Reader, read: Vec<(Order, Source)>) -> Vec<Order> {
    let mut seen: BTreeMap<String, Source> = BTreeMap::new();
    let mut sound = |(order, id): (Order, Source)| {
        if let Some(finding) = ids::fault(&order.id, id.clone()) {
            r.say(finding);
        }
        let alike = ids::alike(&order.id);
        match seen.get(&alike) {
            Some(first) => r.say(twice(&order.id, &id, first)),
            None => {
                seen.insert(alike, id);
            }
        }
        texts(r, &order);
        Some(order)
    };
    let orders = read.into_iter().filter_map(|it| r.sound(|| sound(it)));
    let mut orders: Vec<Order> = orders.collect();
    // They are in the room of what was read, which is more, and a long list stays.
    orders.shrink_to_fit();
    orders
}

/// Says so where there is no order at all.
pub(super) fn not_empty(r: &Reader, any: bool, place: &Source) {
    if !any {
        let finding = Finding::stop(Code::MissingKey, "there is nothing to make")
            .from(place.clone())
            .expected("one or more orders");
        r.say(finding);
    }
}

fn twice(id: &str, second: &Source, first: &Source) -> Finding {
    Finding::stop(Code::DuplicateId, format!("two orders have the id `{id}`"))
        .from(second.clone())
        .related(first.clone(), "the first one")
        .help("give each an id of its own; capital letters and the way an accent is encoded do not count")
}

/// Says so where a text is too long to be written, or cannot be.
pub(super) fn written(r: &Reader, key: &str, text: &str, place: &Source) {
    let long = text.chars().count() > LONGEST;
    let control = text.chars().any(|c| c.is_control() && (key != "note" || c != '\n'));
    if long || control {
        let what = if long { "is too long" } else { "has a control character in it" };
        let finding = Finding::stop(Code::WrongType, format!("the {key} {what}"))
            .from(place.clone())
            .expected(format!("at most {LONGEST} characters that can be written"));
        r.say(finding);
    }
}

fn texts(r: &Reader, order: &Order) {
    let texts = [
        ("name", Some(order.name.as_str())),
        ("note", order.note.as_deref()),
        ("date", order.date.as_deref()),
    ];
    for (key, text) in texts {
        written(r, key, text.unwrap_or_default(), &order.source);
    }
    if order.name.trim().is_empty() {
        let finding = Finding::stop(Code::MissingKey, "the name is empty")
            .from(order.source.clone())
            .help("write the name to carve");
        r.say(finding);
    }
}

/// The order and the place of its id.
fn order(r: &Reader, node: &Node) -> Option<(Order, Source)> {
    let map = r.map(node, "an order", &KEYS)?;
    let (id, name, recipe) = (map.text("id"), map.text("name"), map.text("recipe"));
    let quantity = map.optional("quantity").map(|n| r.whole(n, "quantity", [1, MOST]));
    let set = map.optional("set").map(|node| settings(r, node));
    let place = |key: &str| map.optional(key).map(|node| r.inside(node));
    let order = Order {
        name: name?,
        recipe: r.held(&recipe?),
        recipe_source: place("recipe").unwrap_or_else(|| map.source()),
        wood: map.maybe_text("wood").map(|wood| r.held(&wood)),
        wood_source: place("wood").unwrap_or_else(|| map.source()),
        quantity: quantity.flatten().unwrap_or(1),
        note: map.maybe_text("note"),
        date: map.maybe_text("date"),
        manner: manner(&map),
        set: set.unwrap_or_default(),
        pins: pins(&map),
        source: place("id").unwrap_or_else(|| map.source()),
        id: id?,
    };
    let place = order.source.clone();
    Some((order, place))
}

fn settings(r: &Reader, node: &Node) -> Vec<Setting> {
    let Some(map) = r.open_map(node, "`set`") else { return Vec::new() };
    map.entries.iter().filter_map(|(name, _, value)| setting(&map, name, value)).collect()
}

fn setting(map: &Map<'_>, name: &str, node: &Node) -> Option<Setting> {
    let value = match node.value.number() {
        Some(value) => SettingValue::Number(value),
        None if matches!(node.value, Value::Null) => return None,
        None => guess(&map.reader.text(node, &format!("`{name}`"))?),
    };
    Some(Setting { name: name.to_owned(), value, source: map.reader.inside(node) })
}

/// A number, length or angle where the text is one, else the text.
pub fn guess(text: &str) -> SettingValue {
    let number = Mm::parse(text).map(Mm::get).or_else(|_| Deg::parse(text).map(Deg::get));
    number.map_or_else(|_| SettingValue::Text(text.to_owned()), SettingValue::Number)
}
