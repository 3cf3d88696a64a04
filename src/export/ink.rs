//! What stands on the paper and over the pictures of a sheet, in pixels.

use super::ExportFault;
use super::lines::{Standing, stand};
use super::svg::paths;
use crate::sheet::{Drawn, Face, Mark, Rect, Sheet};
use crate::units::MM_PER_INCH;
use std::sync::{Arc, OnceLock};
use tiny_skia::{Pixmap, Transform};
use usvg::{Options, Tree, fontdb};

/// User units per inch in CSS, and so in usvg.
const CSS_PER_INCH: f64 = 96.0;

/// Draws every mark but pictures. Lines and areas are drawn together and the text over them,
/// until one may lie over text: what lies over what stays as it is.
pub(super) fn ink(
    sheet: &Sheet,
    dpi: f64,
    canvas: &mut Pixmap,
) -> Result<(), ExportFault> {
    let mut heap = Heap::default();
    for mark in sheet.layers.iter().flat_map(|layer| &layer.marks) {
        match mark {
            Mark::Path(drawn) => {
                let place = touched(drawn, dpi / MM_PER_INCH);
                if heap.lines.iter().any(|line| line.touches(place)) {
                    heap.lay(sheet, dpi, canvas)?;
                }
                heap.paths.push(drawn);
            }
            Mark::Text(text) => heap.lines.push(stand(text, dpi)?),
            Mark::Picture(_) => {}
        }
    }
    heap.lay(sheet, dpi, canvas)
}

/// Marks not drawn yet, no path over any text.
#[derive(Default)]
struct Heap<'a> {
    paths: Vec<&'a Drawn>,
    lines: Vec<Standing>,
}

impl Heap<'_> {
    fn lay(
        &mut self,
        sheet: &Sheet,
        dpi: f64,
        canvas: &mut Pixmap,
    ) -> Result<(), ExportFault> {
        if !self.paths.is_empty() {
            let (tree, scale) = read(&paths(sheet, &self.paths), dpi)?;
            draw(&tree, scale, [0, 0], canvas);
        }
        self.paths.clear();
        self.lines.drain(..).for_each(|line| line.lay(canvas));
        Ok(())
    }
}

/// What a line or an area may touch, pixels of so many to the mm.
fn touched(drawn: &Drawn, per_mm: f64) -> Rect {
    let rim = drawn.stroke.as_ref().map_or(0.0, |stroke| stroke.width / 2.0);
    let whole = drawn.path.control_box().inflate(rim, rim);
    let seen =
        drawn.clip.as_ref().map_or(whole, |clip| whole.intersect(clip.control_box()));
    seen.scale_from_origin(per_mm).inflate(1.0, 1.0)
}

/// Reads SVG that was written here, and says by what to scale it.
pub(super) fn read(svg: &str, dpi: f64) -> Result<(Tree, f32), ExportFault> {
    let tree = Tree::from_str(svg, options());
    let tree = tree.map_err(|why| ExportFault::Svg(why.to_string()))?;
    #[expect(clippy::cast_possible_truncation, reason = "a scale needs no more digits")]
    let scale = (dpi / CSS_PER_INCH) as f32;
    Ok((tree, scale))
}

/// Draws it, moved by so many pixels to the right and down.
pub(super) fn draw(
    tree: &Tree,
    scale: f32,
    [right, down]: [i32; 2],
    canvas: &mut Pixmap,
) {
    let place = Transform::from_scale(scale, scale);
    let place = place.post_translate(right as f32, down as f32);
    resvg::render(tree, place, &mut canvas.as_mut());
}

/// Reading options, made once: the built-in faces, no files, no pictures from outside.
fn options() -> &'static Options<'static> {
    static OPTIONS: OnceLock<Options<'static>> = OnceLock::new();
    OPTIONS.get_or_init(|| Options {
        font_family: Face::Serif.family().to_owned(),
        fontdb: Arc::new(faces()),
        ..Options::default()
    })
}

fn faces() -> fontdb::Database {
    let mut faces = fontdb::Database::new();
    for face in Face::every() {
        faces.load_font_source(fontdb::Source::Binary(Arc::new(face.bytes())));
    }
    faces.set_serif_family(Face::Serif.family());
    faces.set_sans_serif_family(Face::Sans.family());
    faces.set_monospace_family(Face::Mono.family());
    faces
}
