//! Tables whose columns are measured.

use super::block::Block;
use super::mark::Anchor;
use super::style::{RULE, Style};
use super::wrap::{clean, wrapped};
use crate::lettering::width;

/// Least gap between columns, mm.
const GAP: f64 = 1.6;

/// Most lines in one cell.
const LINES: usize = 4;

/// A column.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    /// Over it.
    pub(super) title: &'static str,
    /// Where its text is held.
    pub(super) anchor: Anchor,
    /// Gives way when there is little room: its cells wrap.
    pub(super) wraps: bool,
}

impl Column {
    /// Words, held left.
    pub(super) const fn words(title: &'static str) -> Self {
        Self { title, anchor: Anchor::Start, wraps: false }
    }

    /// Words that may wrap.
    pub(super) const fn wrapping(title: &'static str) -> Self {
        Self { title, anchor: Anchor::Start, wraps: true }
    }

    /// Figures, held right.
    pub(super) const fn figures(title: &'static str) -> Self {
        Self { title, anchor: Anchor::End, wraps: false }
    }
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    /// As many cells as columns.
    pub(super) rows: Vec<Vec<String>>,
    /// Of the titles.
    pub(super) head: Style,
    /// Of the cells.
    pub(super) body: Style,
}

impl Table {
    /// In a width, as many rows as fit into a height; says how many it shows.
    pub(super) fn draw(&self, room: f64, height: f64) -> (Block, usize) {
        let columns = self.places(room);
        let mut block = self.titles(&columns, room);
        let mut shown = 0;
        for row in &self.rows {
            let cells = self.row(row, &columns);
            if block.height + cells.height + self.body.height * 0.9 > height {
                break;
            }
            let y = block.height;
            block.height += cells.height + self.body.height * 0.9;
            block.put(cells, (0.0, y + self.body.height * 0.45).into());
            block.line((0.0, block.height), (room, block.height), RULE);
            shown += 1;
        }
        (block, shown)
    }

    fn titles(&self, columns: &[Place], room: f64) -> Block {
        let mut block = Block::space(0.0);
        if self.columns.iter().all(|column| column.title.is_empty()) {
            block.line((0.0, 0.0), (room, 0.0), RULE);
            return block;
        }
        block.height = self.head.height * 1.8;
        for (column, place) in self.columns.iter().zip(columns) {
            let x = place.held(column.anchor);
            let text = (self.head, column.title);
            block.text_in((x, self.head.height), column.anchor, place.width, text);
        }
        block.line((0.0, block.height), (room, block.height), RULE);
        block
    }

    fn row(&self, row: &[String], columns: &[Place]) -> Block {
        let mut block = Block::default();
        let cells = row.iter().zip(&self.columns).zip(columns);
        for ((text, column), place) in cells {
            let lines = if column.wraps {
                wrapped(text, self.body, place.width, LINES)
            } else {
                wrapped(text, self.body, place.width, 1)
            };
            for (i, line) in lines.iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
                let y = self.body.height + i as f64 * self.body.pitch();
                let x = place.held(column.anchor);
                block.text((x, y), column.anchor, self.body, line);
                block.height = block.height.max(y + self.body.height * 0.25);
            }
        }
        block
    }

    /// Where each column goes: its natural width if there is room, else the wrapping ones
    /// narrower, else all narrower.
    fn places(&self, room: f64) -> Vec<Place> {
        let natural: Vec<f64> =
            (0..self.columns.len()).map(|i| self.natural(i)).collect();
        #[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
        let gaps = GAP * natural.len().saturating_sub(1) as f64;
        let fixed = |wraps: bool| {
            let own = natural.iter().zip(&self.columns).filter(|(_, c)| c.wraps == wraps);
            own.map(|(width, _)| width).sum::<f64>()
        };
        let (stiff, soft) = (fixed(false), fixed(true));
        let left = (room - gaps - stiff).max(0.0);
        let soft_share = if soft > 0.0 { (left / soft).min(1.0) } else { 1.0 };
        let widths: Vec<f64> = natural
            .iter()
            .zip(&self.columns)
            .map(|(width, column)| if column.wraps { width * soft_share } else { *width })
            .collect();
        let total: f64 = widths.iter().sum();
        let squeeze = ((room - gaps) / total).min(1.0);
        #[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
        let count = natural.len().saturating_sub(1).max(1) as f64;
        let spread = GAP + ((room - gaps - total) / count).max(0.0);
        let mut x = 0.0;
        let place = |width: f64| {
            let place = Place { x, width: width * squeeze };
            x += width * squeeze + spread;
            place
        };
        widths.into_iter().map(place).collect()
    }

    fn natural(&self, column: usize) -> f64 {
        let cells = self.rows.iter().filter_map(|row| row.get(column));
        let cells = cells.map(|text| {
            width(&clean(text, self.body.face), self.body.face, self.body.height)
        });
        let title = self.columns.get(column).map_or("", |c| c.title);
        cells.fold(width(title, self.head.face, self.head.height), f64::max)
    }
}

/// Where a column is.
struct Place {
    x: f64,
    width: f64,
}

impl Place {
    fn held(&self, anchor: Anchor) -> f64 {
        match anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x + self.width / 2.0,
            Anchor::End => self.x + self.width,
        }
    }
}
