//! The mark of a shop: an SVG file beside the shop's.

use super::given::beside;
use crate::curve::svg::{file_outline, path_data};
use crate::finding::{Checked, Code, Finding, plain};
use crate::intake::demo;
use crate::model::{Shop, ShopMark};
use std::path::Path;

/// Width a mark is read at, mm: it is scaled to its place.
const WIDTH: f64 = 100.0;

/// The shop with its mark read from its folder (the built-in one's where there is none); a
/// mark that cannot be read or drawn is a stop.
pub fn marked(mut read: Checked<Shop>, folder: Option<&Path>) -> Checked<Shop> {
    let Some(mark) = read.value.as_mut().and_then(|shop| shop.mark.as_mut()) else {
        return read;
    };
    match drawn(mark, folder) {
        Ok(data) => {
            mark.drawn = Some(data);
            read
        }
        Err(finding) => {
            read.findings.push(*finding);
            Checked { value: None, ..read }
        }
    }
}

fn drawn(mark: &ShopMark, folder: Option<&Path>) -> Result<String, Box<Finding>> {
    let stop = |code, what: String| Finding::stop(code, what).from(mark.source.clone());
    let text = match folder {
        None => Ok(demo::MARK.to_owned()),
        Some(_) => beside(folder, &mark.file),
    };
    let text = text.map_err(|why| {
        let what = format!("`{}`: {why}", plain(&mark.file));
        Box::new(
            stop(Code::UnreadableFile, what)
                .expected("an SVG file beside the shop file or below its folder")
                .help("mend `mark`, or leave it out"),
        )
    })?;
    // What is kept must be read again.
    let data = file_outline(&text, WIDTH).and_then(|path| {
        let data = path.to_svg();
        path_data(&data).map(|_| data)
    });
    data.map_err(|fault| {
        let help = "use an SVG file with plain filled shapes, saved without scripts, links \
                    and entities";
        Box::new(stop(Code::SvgFault, fault.what).expected(fault.expected).help(help))
    })
}
