//! How proofs speak: `locale` and `unit`, in the shop and in orders.

use super::reader::Map;
use crate::model::{Locale, Manner, SizeUnit};

/// What stands under these two keys.
pub(super) fn manner(map: &Map<'_>) -> Manner {
    let r = map.reader;
    let locale = map.optional("locale");
    let unit = map.optional("unit");
    Manner {
        locale: locale.and_then(|node| r.word(node, "`locale`", &Locale::ALL)),
        unit: unit.and_then(|node| r.word(node, "`unit`", &SizeUnit::ALL)),
    }
}
