//! A recipe with an order's values becomes curves.

mod form;

pub use form::{Form, GrooveForm, NameForm, RecessForm};
