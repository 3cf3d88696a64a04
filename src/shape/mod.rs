//! A recipe with an order's values becomes curves.
//!
//! Nothing here touches a disk: SVG files are asked for through a [`Loader`]. Every mistake
//! becomes a finding with its place in the recipe or the order; nothing panics, whatever the
//! numbers are.

mod build;
mod draft;
mod form;
mod parts;
mod placing;
mod primitive;
mod repeat;
mod steps;
mod values;

pub use build::build;
pub use form::{Form, GrooveForm, NameForm, PanelForm, RecessForm};

/// Gives the text of an SVG file named by a recipe, or says why it cannot.
pub type Loader<'a> = &'a dyn Fn(&str) -> Result<String, String>;
