//! The painted dish on a sheet: pixels made when somebody knows how fine they have to be.

use super::view::View;
use crate::curve::{Point, Rect};
use crate::relief::{Grid, Painter, Scene, Turned};
use crate::units::MM_PER_INCH;
use std::sync::OnceLock;

/// Pixels per inch on pages that are printed, or scaled by who looks at them, where nobody
/// asks for more or fewer.
const PRINT: f64 = 200.0;

/// Lines per inch that a printed picture may begin or end on, so that there are whole pixels
/// between them at 50, 100, 150 and more to the inch. Many programs stretch a picture over
/// every pixel it touches; on these lines it is put where it belongs.
const LINES: f64 = 50.0;

/// The most pixels from one of these lines to the next.
const FINEST: f64 = 8.0;

/// A printed picture ends so far within its lines, mm, that rounding makes it touch no other.
const WITHIN: f64 = 0.004;

/// A painted dish with its shade on the paper.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Where on the page, mm, y down.
    pub place: Rect,
    scene: Scene,
    /// Length on paper of one mm.
    factor: f64,
    /// Pixels from line to line when it is printed.
    fine: f64,
    printed: OnceLock<Printed>,
}

/// A picture fine enough for print, as bytes of a file.
#[derive(Clone, Debug)]
pub struct Printed {
    /// What it covers on the page, mm.
    pub place: Rect,
    /// The file.
    pub bytes: Vec<u8>,
}

impl Picture {
    /// A scene where a view puts it.
    pub(super) fn of(scene: Scene, view: &View) -> Self {
        let bounds = scene.bounds();
        let place = view.affine.transform_rect_bbox(bounds);
        Self {
            place,
            scene,
            factor: view.factor,
            fine: PRINT / LINES,
            printed: OnceLock::new(),
        }
    }

    /// Paints pixels with sides of `side` mm on the page, from an upper left corner there.
    pub fn painter(&self, corner: Point, side: f64, size: [usize; 2]) -> Painter<'_> {
        let bounds = self.scene.bounds();
        let away = (corner - self.place.origin()) / self.factor;
        let corner = Point::new(bounds.x0 + away.x, bounds.y1 - away.y);
        self.scene.painter(Grid { corner, step: side / self.factor, size })
    }

    /// The dish apart from its light, over so many cells along its longer side.
    pub fn turned(&self, cells: u16) -> Turned {
        self.scene.turned(cells)
    }

    /// Prints it with about so many pixels to the inch from now on, no fewer.
    pub(super) fn print_at(&mut self, dpi: f64) {
        self.fine = (dpi / LINES).ceil().clamp(1.0, FINEST);
        self.printed = OnceLock::new();
    }

    /// Paints pixels fine enough for print, and says what they cover on the page, mm.
    pub fn print(&self) -> (Painter<'_>, Rect) {
        let apart = MM_PER_INCH / LINES;
        let side = apart / self.fine;
        let Rect { x0, y0, x1, y1 } = self.place;
        let [x0, y0] = [x0, y0].map(|mm| (mm / apart).floor() * apart);
        let count = |mm: f64| (mm / apart).ceil().max(1.0) * self.fine;
        let [wide, high] = [x1 - x0, y1 - y0].map(count);
        let painter = self.painter((x0, y0).into(), side, [wide as usize, high as usize]);
        let place = Rect::new(x0, y0, x0 + wide * side, y0 + high * side);
        (painter, place.inflate(-WITHIN, -WITHIN))
    }

    /// The picture as bytes of a file, written once: pages of several kinds hold the same.
    pub fn printed<E>(
        &self,
        write: impl FnOnce(Painter<'_>) -> Result<Vec<u8>, E>,
    ) -> Result<&Printed, E> {
        if let Some(printed) = self.printed.get() {
            return Ok(printed);
        }
        let (painter, place) = self.print();
        let bytes = write(painter)?;
        Ok(self.printed.get_or_init(|| Printed { place, bytes }))
    }
}
