//! What a recipe, a shop and an order list say, in plain words: read, checked, no text left.

mod approval;
mod cutter;
mod face;
mod formula;
mod lets;
mod name;
mod order;
mod order_form;
mod proof;
mod recipe;
mod shop;
mod species;
mod wanted;
mod word;
mod work;

pub use approval::{Approval, Approvals, Said};
pub use cutter::{Cutter, CutterFault, CutterKind, CutterSpec};
pub use face::{FaceWeight, FaceWord, WantedFace};
pub use formula::{Formula, Names, reserved};
pub use lets::sorted_lets;
pub use name::{NameArea, NameStyle, Panel};
pub use order::{Order, OrderList, Setting, SettingValue};
pub use order_form::{Called, OrderForm};
pub use proof::{Locale, Manner, ShopMark, SizeUnit, Workshop};
pub use recipe::{
    Edges, Grain, Groove, Line, Mirror, Parameter, ParameterKind, Placing, Point,
    Primitive, Recess, RecessForm, Recipe, Shape, Step, Surface, Text, Verb,
};
pub use shop::{House, Machine, Shop, TabRule, Wood};
pub use species::{SPECIES, Species};
pub use wanted::WantedCutter;
pub use word::Words;
pub use work::{Pin, Pins, Work};
