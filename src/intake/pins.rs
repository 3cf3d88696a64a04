//! The cutters a maker insists on: `use: {recess: bowl-25, cut_out: end-3}`.

use super::reader::{Map, Reader};
use super::tree::Node;
use crate::finding::{Code, Finding, Source};
use crate::model::{Pin, Pins, Work};

/// The keys of `use`.
fn keys() -> Vec<&'static str> {
    Work::ALL.iter().map(|work| work.key()).collect()
}

/// What stands under `use`.
pub(super) fn pins(map: &Map<'_>) -> Pins {
    map.optional("use").map(|node| read(map.reader, node)).unwrap_or_default()
}

fn read(r: &Reader, node: &Node) -> Pins {
    let mut pins = Pins::default();
    let keys = keys();
    let Some(map) = r.map(node, "`use`", &keys) else { return pins };
    for work in Work::ALL {
        let Some(node) = map.optional(work.key()) else { continue };
        let Some(cutter) = r.text(node, &format!("`{}`", work.key())) else { continue };
        pins.set(Pin { work, cutter, source: r.inside(node) });
    }
    pins
}

/// `recess=bowl-25`, as typed after `--use`.
pub fn pin(text: &str, source: Source) -> Result<Pin, Box<Finding>> {
    let example = "`--use WORK=ID`, e.g. `--use cut_out=end-3`";
    let Some((word, id)) = text.split_once('=') else {
        let finding = Finding::stop(Code::WrongType, "`--use` without `=`");
        return Err(Box::new(finding.from(source).expected(example)));
    };
    let Some(work) = Work::from_word(word) else {
        let message = format!("`{}` is not a work", crate::finding::plain(word));
        let finding = Finding::stop(Code::UnknownWord, message)
            .from(source)
            .expected(format!("one of {}", keys().join(", ")));
        let near = crate::finding::nearest(word, keys());
        return Err(Box::new(match near {
            Some(near) => finding.help(format!("did you mean `{near}`?")),
            None => finding.help(example),
        }));
    };
    Ok(Pin { work, cutter: id.trim().to_owned(), source })
}
