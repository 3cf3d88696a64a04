//! Findings on paper.

use super::block::{Block, head, paragraph};
use super::figures::{quoted, sentence};
use super::frame::WIDTH;
use super::labels::{HALF, Shape, marker};
use super::mark::Anchor;
use super::style::{LABEL, SMALL, Style};
use crate::curve::{Point, Vec2};
use crate::finding::Finding;
use crate::lettering::Face;

/// As many findings as fit, gravest first; says how many do not.
pub(super) fn findings(findings: &[Finding], room: f64) -> Block {
    const LAST: f64 = 4.0;
    let mut block = head("Findings");
    if findings.is_empty() {
        let text = "None. What was checked is geometry; your eye comes first.";
        return Block::stack([block, paragraph(text, SMALL, WIDTH, 1)], 1.6);
    }
    block.height += 1.6;
    for (i, finding) in findings.iter().enumerate() {
        let row = row(i, finding);
        let rest = if i + 1 < findings.len() { LAST } else { 0.0 };
        if block.height + row.height + rest > room {
            let more =
                format!("and {} more: “treen check” lists them all", findings.len() - i);
            block.text(
                (8.0, block.height + SMALL.height),
                Anchor::Start,
                SMALL.quiet(),
                &more,
            );
            block.height += SMALL.height * 1.25;
            return block;
        }
        let (y, height) = (block.height, row.height);
        block.put(row, Vec2::new(0.0, y));
        block.height += height + 1.4;
    }
    block
}

/// A sentence as printed.
fn said(text: &str) -> String {
    sentence(&quoted(text))
}

fn row(index: usize, finding: &Finding) -> Block {
    const INDENT: f64 = 8.0;
    const CODE: f64 = 40.0;
    let width = WIDTH - INDENT - CODE;
    let mut parts = vec![paragraph(&said(&finding.message), SMALL, width, 3)];
    if let Some(remedy) = finding.remedies.first() {
        let style = Style::new(Face::SerifItalic, SMALL.height).quiet();
        parts.push(paragraph(&said(&remedy.text), style, width, 2));
    }
    let text = Block::stack(parts, 1.0);
    let mut block = Block::space(text.height.max(2.0 * HALF + 0.4));
    let number = (index + 1).to_string();
    let at = Point::new(HALF + 0.6, HALF + 0.2);
    marker(&mut block, at, Shape::Finding(finding.severity), &number);
    block.put(text, Vec2::new(INDENT, 0.4));
    let held = (WIDTH, SMALL.height + 0.4);
    block.text_in(held, Anchor::End, CODE - 2.0, (LABEL, finding.code.word()));
    block
}
