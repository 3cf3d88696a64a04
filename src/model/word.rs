//! Words that stand again and again in a long list, each held once.

use std::collections::BTreeSet;
use std::sync::Arc;

/// The words so far.
#[derive(Debug, Default)]
pub struct Words(BTreeSet<Arc<str>>);

impl Words {
    /// A word, held with all that are the same.
    pub fn held(&mut self, word: &str) -> Arc<str> {
        if let Some(known) = self.0.get(word) {
            return Arc::clone(known);
        }
        let word: Arc<str> = word.into();
        self.0.insert(Arc::clone(&word));
        word
    }
}
