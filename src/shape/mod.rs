//! A recipe with an order's values becomes curves.
//!
//! Nothing here touches a disk: SVG files and fonts are asked for through a [`Loader`]. Every mistake
//! becomes a finding with its place in the recipe or the order; nothing panics, whatever the
//! numbers are.

mod build;
mod draft;
mod faces;
mod form;
mod parts;
mod placing;
mod primitive;
mod repeat;
mod steps;
mod values;

use crate::lettering::Font;
use crate::model::FaceWord;

pub use build::build;
pub use form::{Form, GrooveForm, NameForm, PanelForm, RecessForm};

/// Files and fonts from outside that a recipe may ask for.
pub trait Files {
    /// The text of an SVG file named by a recipe, or why there is none.
    fn svg(&self, file: &str) -> Result<String, String>;

    /// A font named by a recipe, or why there is none and what would do.
    fn font(&self, wanted: &FaceWord) -> Result<Font, NoFont>;
}

/// Why there is no font.
#[derive(Clone, Debug)]
pub struct NoFont {
    /// What is wrong.
    pub what: String,
    /// What would do.
    pub help: String,
}

/// Nothing is there.
#[derive(Clone, Copy, Debug)]
pub struct NoFiles;

impl Files for NoFiles {
    fn svg(&self, _: &str) -> Result<String, String> {
        Err("there are no files here".to_owned())
    }

    fn font(&self, _: &FaceWord) -> Result<Font, NoFont> {
        let what = "there are no fonts here".to_owned();
        Err(NoFont { what, help: "name a built-in face".to_owned() })
    }
}

/// Gives what a recipe asks for from outside.
pub type Loader<'a> = &'a dyn Files;
