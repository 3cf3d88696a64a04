//! Where the customer says yes or asks for a change, and why there may be nothing to say yes to.

use super::block::{Block, head, paragraph, polygon, rectangle};
use super::color::{HAIR, PAPER, QUIET, TINT, okabe_ito};
use super::frame::WIDTH;
use super::mark::Anchor;
use super::style::{BODY, HEADING, LABEL, Pen, RULE, SMALL, Style};
use super::tongue::Words;
use crate::curve::Vec2;
use crate::feasibility::Report;
use crate::finding::{Code, Severity};
use crate::lettering::{Face, width};

/// Between the edge of a box and what is in it, mm.
const PAD: f64 = 5.0;

/// Whether something stands in the way.
pub(super) fn stopped(report: &Report) -> bool {
    report.findings.iter().any(|finding| finding.severity == Severity::Stop)
}

/// Says in plain words that the dish cannot be made as drawn; nothing if it can.
pub(super) fn not_yet(report: &Report, words: &Words) -> Option<Block> {
    const BAR: f64 = 2.0;
    const PAD: f64 = 4.0;
    let mut reasons: Vec<&str> = Vec::new();
    for finding in report.findings.iter().filter(|f| f.severity == Severity::Stop) {
        let reason = words.reason(finding.code);
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    if reasons.is_empty() {
        return None;
    }
    let x = BAR + PAD + 9.0;
    let head = Style::new(Face::SerifSemibold, 3.5);
    let room = WIDTH - x - PAD;
    let mut text = vec![paragraph(&words.not_yet.head, head, room, 1)];
    text.extend(reasons.iter().take(4).map(|r| paragraph(r, BODY, room, 2)));
    text.push(paragraph(&words.not_yet.after, BODY.quiet(), room, 2));
    let text = Block::stack(text, 2.2);
    let height = text.height + 2.0 * PAD;
    let mut block = Block::space(height);
    block.fill(rectangle(0.0, 0.0, WIDTH, height), TINT);
    block.fill(rectangle(0.0, 0.0, BAR, height), okabe_ito::VERMILION);
    stop_sign(&mut block, (BAR + PAD + 2.5, PAD + 2.2), 2.8);
    block.put(text, Vec2::new(x, PAD));
    Some(block)
}

/// An octagon with a bar across.
fn stop_sign(block: &mut Block, (x, y): (f64, f64), radius: f64) {
    let corners: Vec<(f64, f64)> = (0..8)
        .map(|i| {
            let angle = std::f64::consts::PI * (f64::from(i) + 0.5) / 4.0;
            (x + radius * angle.cos(), y + radius * angle.sin())
        })
        .collect();
    block.fill(polygon(&corners), okabe_ito::VERMILION);
    block.line((x - radius * 0.5, y), (x + radius * 0.5, y), Pen::new(PAPER, 0.7));
}

/// Where to say yes or ask for a change, with the mark of what is meant; nothing can be
/// approved that cannot be made.
pub(super) fn approval(words: &Words, version: &str, report: &Report) -> Block {
    let stopped = stopped(report);
    let said = &words.approval;
    let room = WIDTH - 2.0 * PAD;
    let mut text = Block::default();
    if stopped {
        text = paragraph(&said.wait, BODY, room, 1);
    } else {
        let mark = format!("{} {version}", words.foot.version);
        text.put(head(&said.head), Vec2::ZERO);
        text.text((room, HEADING.height), Anchor::End, LABEL, &mark);
        let mut how = vec![paragraph(&said.how, SMALL, room, 2)];
        if report.findings.iter().any(|it| it.code == Code::ChangedSinceApproval) {
            let changed = Style::new(Face::SerifSemibold, BODY.height);
            how.insert(0, paragraph(&said.again, changed, room, 2));
        }
        let how = Block::stack(how, 1.2);
        text.height = HEADING.height * 1.25 + 1.8 + how.height;
        text.put(how, Vec2::new(0.0, HEADING.height * 1.25 + 1.8));
    }
    let mut y = text.height + 3.2;
    let choices =
        if stopped { vec![&said.wish] } else { vec![&said.agree, &said.change] };
    for choice in &choices {
        tick(&mut text, (0.0, y), choice);
        y += 7.0;
    }
    let last = choices.last().map_or(0.0, |it| width(it, BODY.face, BODY.height));
    text.line((last + 9.0, y - 4.5), (room, y - 4.5), RULE);
    y += 5.5;
    let third = (room - 2.0 * PAD) / 3.0;
    for (i, label) in [&said.name, &said.signature, &said.date].into_iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "three fields")]
        let x = i as f64 * (third + PAD);
        text.line((x, y), (x + third, y), Pen::new(QUIET, 0.18));
        text.text((x, y + 3.4), Anchor::Start, LABEL, label);
    }
    let height = y + 3.4 + 0.45 + 2.0 * (PAD - 1.2);
    let mut block = Block::space(height);
    block.shape(rectangle(0.0, 0.0, WIDTH, height), TINT, Pen::new(HAIR, 0.25));
    block.put(text, Vec2::new(PAD, PAD - 1.2));
    block
}

fn tick(block: &mut Block, (x, y): (f64, f64), text: &str) {
    block.shape(rectangle(x, y, 3.5, 3.5), PAPER, Pen::new(QUIET, 0.25));
    block.text((x + 6.0, y + 3.0), Anchor::Start, BODY, text);
}
