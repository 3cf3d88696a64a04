//! Places in input files.

use std::sync::Arc;

/// An input file's label and text, shared by every place in it.
#[derive(Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// The path as the user gave it, or `built-in shapes/snail.yaml`.
    pub label: String,
    /// The whole text; empty when it could not be read.
    pub text: String,
}

/// A place in an input file. Cheap to clone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The file.
    pub file: Arc<SourceFile>,
    /// From 1; 0 when the whole file is meant.
    pub line: u32,
    /// In characters, from 1; 0 when the whole line or file is meant.
    pub column: u32,
    /// In characters; at least 1 when the column is known.
    pub length: u32,
}

impl SourceFile {
    /// A file by label and text.
    pub fn new(label: impl Into<String>, text: impl Into<String>) -> Arc<Self> {
        Arc::new(Self { label: label.into(), text: text.into() })
    }
}

impl Source {
    /// The file as a whole.
    pub fn whole(file: &Arc<SourceFile>) -> Self {
        Self { file: Arc::clone(file), line: 0, column: 0, length: 0 }
    }

    /// The text of the line, if known.
    pub fn line_text(&self) -> Option<&str> {
        self.file.text.lines().nth((self.line.checked_sub(1)?) as usize)
    }
}
