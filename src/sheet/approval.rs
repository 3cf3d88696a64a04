//! Where the customer says yes or asks for a change, and why there may be nothing to say yes to.

use super::block::{Block, head, paragraph, polygon, rectangle};
use super::color::{HAIR, PAPER, QUIET, TINT, okabe_ito};
use super::frame::WIDTH;
use super::mark::Anchor;
use super::style::{BODY, HEADING, LABEL, Pen, RULE, SMALL, Style};
use super::tongue::{Words, filled};
use crate::curve::Vec2;
use crate::feasibility::Report;
use crate::finding::{Code, Severity};
use crate::lettering::{Face, width};
use crate::model::Workshop;

/// Between the edge of a box and what is in it, mm.
const PAD: f64 = 3.6;

/// Whether something stands in the way.
pub(super) fn stopped(report: &Report) -> bool {
    report.findings.iter().any(|finding| finding.severity == Severity::Stop)
}

/// Says in plain words that the dish cannot be made as drawn; nothing if it can.
pub(super) fn not_yet(report: &Report, words: &Words) -> Option<Block> {
    const BAR: f64 = 2.0;
    const PAD: f64 = 3.6;
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

/// What the box where customers answer is made from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Answer<'a> {
    pub(super) words: &'a Words,
    /// The mark of what is meant.
    pub(super) version: &'a str,
    pub(super) report: &'a Report,
    pub(super) workshop: &'a Workshop,
}

/// Where to say yes or ask for a change; nothing can be approved that cannot be made.
pub(super) fn approval(answer: Answer<'_>, wide: f64) -> Block {
    const LINE: f64 = 6.2;
    let said = &answer.words.approval;
    let room = wide - 2.0 * PAD;
    let stopped = stopped(answer.report);
    let mut text =
        if stopped { paragraph(&said.wait, BODY, room, 3) } else { asked(answer, room) };
    let mut y = text.height + 3.4;
    let choices =
        if stopped { vec![&said.wish] } else { vec![&said.agree, &said.change] };
    for choice in &choices {
        tick(&mut text, (0.0, y), choice);
        y += LINE;
    }
    let last = choices.last().map_or(0.0, |it| width(it, BODY.face, BODY.height));
    text.line((last + 8.0, y - LINE + 3.3), (room, y - LINE + 3.3), RULE);
    // A wish may be longer than what is left of its own line.
    y += LINE - 3.2;
    text.line((0.0, y), (room, y), RULE);
    y += LINE;
    text.text((0.0, y), Anchor::Start, SMALL, &said.allergies);
    let from = width(&said.allergies, SMALL.face, SMALL.height) + 2.0;
    text.line((from, y + 0.3), (room, y + 0.3), RULE);
    y += 7.8;
    fields(&mut text, (room, y), [&said.name, &said.signature, &said.date]);
    let height = y + 3.4 + 0.45 + 2.0 * PAD;
    let mut block = Block::space(height);
    block.shape(rectangle(0.0, 0.0, wide, height), TINT, Pen::new(HAIR, 0.25));
    block.put(text, Vec2::new(PAD, PAD));
    block
}

/// What to do, until when and whom to tell.
fn asked(answer: Answer<'_>, room: f64) -> Block {
    let Answer { words, version, report, workshop } = answer;
    let said = &words.approval;
    let mark = format!("{} {version}", words.foot.version);
    let mut top = head(&said.head);
    top.text((room, HEADING.height), Anchor::End, LABEL, &mark);
    let mut text = vec![top];
    let strong = Style::new(Face::SerifSemibold, BODY.height);
    if report.findings.iter().any(|it| it.code == Code::ChangedSinceApproval) {
        text.push(paragraph(&said.again, strong, room, 3));
    }
    text.push(paragraph(&said.how, SMALL, room, 4));
    let values = [
        ("date", workshop.answer_by.as_deref().unwrap_or_default()),
        ("place", workshop.reply.as_deref().unwrap_or_default()),
    ];
    let until = match (&workshop.answer_by, &workshop.reply) {
        (Some(_), Some(_)) => Some(&said.by_to),
        (Some(_), None) => Some(&said.by),
        (None, Some(_)) => Some(&said.to),
        (None, None) => None,
    };
    text.extend(until.map(|until| paragraph(&filled(until, &values), strong, room, 5)));
    Block::stack(text, 1.8)
}

/// Lines to write on, their labels below.
fn fields(block: &mut Block, (room, y): (f64, f64), labels: [&str; 3]) {
    const APART: f64 = 5.0;
    let third = (room - 2.0 * APART) / 3.0;
    for (i, label) in labels.into_iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "three fields")]
        let x = i as f64 * (third + APART);
        block.line((x, y), (x + third, y), Pen::new(QUIET, 0.18));
        block.text_in((x, y + 3.4), Anchor::Start, third, (LABEL, label));
    }
}

fn tick(block: &mut Block, (x, y): (f64, f64), text: &str) {
    block.shape(rectangle(x, y, 3.5, 3.5), PAPER, Pen::new(QUIET, 0.25));
    block.text((x + 5.5, y + 3.0), Anchor::Start, BODY, text);
}
