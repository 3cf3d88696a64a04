//! Dimension lines (ISO 129-1, from memory): value above its line, readable from below or
//! from the right.

use super::block::{Block, polygon};
use super::mark::Anchor;
use super::style::{Style, THIN};
use crate::lettering::width;

/// Length of an arrowhead and half its width, mm.
const ARROW: (f64, f64) = (2.0, 0.35);
/// From an object to its extension line, and how far that goes beyond the dimension line, mm.
const CLEAR: (f64, f64) = (1.0, 1.2);

/// A length to the right, measured at `y`, its object ending at `object` (y).
pub(super) fn across(
    block: &mut Block,
    (x0, x1): (f64, f64),
    (object, y): (f64, f64),
    (style, text): (Style, &str),
) {
    let down = (y - object).signum();
    for x in [x0, x1] {
        let from = object + down * CLEAR.0;
        block.line((x, from), (x, y + down * CLEAR.1), THIN);
    }
    let room = x1 - x0;
    if room > 2.0 * ARROW.0 + 1.0 {
        block.line((x0, y), (x1, y), THIN);
        arrow(block, (x0, y), (1.0, 0.0));
        arrow(block, (x1, y), (-1.0, 0.0));
    } else {
        block.line((x0 - 4.0, y), (x1 + 4.0, y), THIN);
        arrow(block, (x0, y), (-1.0, 0.0));
        arrow(block, (x1, y), (1.0, 0.0));
    }
    if width(text, style.face, style.height) <= room {
        block.text((f64::midpoint(x0, x1), y - 0.8), Anchor::Middle, style, text);
    } else {
        block.text((x1 + 4.5, y + style.height / 2.0), Anchor::Start, style, text);
    }
}

/// A length upward, measured at `x`, its object ending at `object` (x); its value stands
/// beside the line at the height `value`.
pub(super) fn upward(
    block: &mut Block,
    (y0, y1): (f64, f64),
    (object, x, value): (f64, f64, f64),
    (style, text): (Style, &str),
) {
    let right = (x - object).signum();
    for y in [y0, y1] {
        let from = object + right * CLEAR.0;
        block.line((from, y), (x + right * CLEAR.1, y), THIN);
    }
    let room = y1 - y0;
    if room > 2.0 * ARROW.0 + 1.0 {
        block.line((x, y0), (x, y1), THIN);
        arrow(block, (x, y0), (0.0, 1.0));
        arrow(block, (x, y1), (0.0, -1.0));
    } else {
        block.line((x, y0 - 4.0), (x, y1 + 4.0), THIN);
        arrow(block, (x, y0), (0.0, -1.0));
        arrow(block, (x, y1), (0.0, 1.0));
    }
    if width(text, style.face, style.height) <= room {
        block.text_up((x - 0.8, value), style, text);
    } else {
        let y = value + style.height / 2.0;
        block.text(
            (x + right * 1.8, y),
            if right > 0.0 { Anchor::Start } else { Anchor::End },
            style,
            text,
        );
    }
}

/// An arrowhead with its tip at a point; `into` leads from the tip along its line.
fn arrow(block: &mut Block, (x, y): (f64, f64), (dx, dy): (f64, f64)) {
    let (long, half) = ARROW;
    let (bx, by) = (x + dx * long, y + dy * long);
    let sides = [(bx - dy * half, by + dx * half), (bx + dy * half, by - dx * half)];
    block.fill(polygon(&[(x, y), sides[0], sides[1]]), THIN.color);
}
