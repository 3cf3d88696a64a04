//! A dish to be turned, as one HTML file that asks for nothing from outside.

mod pack;

use super::ExportFault;
use super::jpeg::{coded, printed};
use super::svg::{escaped, put};
use crate::sheet::color::PAPER;
use crate::sheet::{Color, Turned, Turning};
use base64::{Engine as _, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};
use std::sync::OnceLock;

const SCRIPT: &str = include_str!("turn.js");
const STYLE: &str = include_str!("turn.css");

/// Cells along the longer side of a dish: a third of a millimetre on one of 270 mm.
const CELLS: u16 = 800;

/// Of 100, for wood without shades.
const QUALITY: u8 = 80;

/// What the page may do: run its own script, wear its own style, show its own pictures.
fn rules() -> &'static str {
    static RULES: OnceLock<String> = OnceLock::new();
    RULES.get_or_init(|| {
        let mark = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
        format!(
            "default-src 'none'; img-src data:; script-src 'sha256-{}'; \
             style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
            mark(SCRIPT),
            mark(STYLE)
        )
    })
}

/// The page of a dish. Where it cannot be turned it shows the proof's picture. The same
/// dish gives the same bytes.
pub fn turn(turning: &Turning<'_>) -> Result<String, ExportFault> {
    let picture = STANDARD.encode(&printed(turning.picture)?.bytes);
    let turned = turning.picture.turned(CELLS);
    let mut rows = turned.rgb.chunks_exact(3 * turned.grid.size[0]);
    let next = |out: &mut [u8]| {
        if let Some(row) = rows.next() {
            out.copy_from_slice(row);
        }
    };
    let wood = STANDARD.encode(coded(turned.grid.size, QUALITY, next)?);
    let heights = pack::heights(&turned);
    let mut page = String::with_capacity(picture.len() + wood.len() + 40_000);
    head(&mut page, turning);
    let described = escaped(&turning.described);
    put(
        &mut page,
        format_args!(
            "<main>\n<div id=\"dish\">\n\
             <img id=\"picture\" alt=\"{described}\" \
             src=\"data:image/jpeg;base64,{picture}\">\n</div>\n\
             <p id=\"hint\" hidden>{}</p>\n\
             <p id=\"told\" aria-live=\"polite\" data-words=\"{}\"></p>\n</main>\n",
            escaped(turning.hint),
            escaped(turning.told),
        ),
    );
    foot(&mut page, turning);
    blocks(&mut page, &turned, (&wood, &heights));
    put(&mut page, format_args!("<script>{SCRIPT}</script>\n</body>\n</html>\n"));
    Ok(page)
}

fn head(page: &mut String, turning: &Turning<'_>) {
    let [title, heading, about] =
        [&turning.title, &turning.heading, &turning.about].map(|text| escaped(text));
    put(
        page,
        format_args!(
            "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n\
             <meta name=\"viewport\" content=\"width=device-width\">\n\
             <meta name=\"theme-color\" content=\"{}\">\n\
             <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
             <header>\n<h1 dir=\"auto\">{heading}</h1>\n<p dir=\"auto\">{about}</p>\n</header>\n",
            turning.language,
            rules(),
            hex(PAPER),
        ),
    );
}

fn foot(page: &mut String, turning: &Turning<'_>) {
    page.push_str("<footer>\n<dl>\n");
    for (label, value) in &turning.facts {
        let (label, value) = (escaped(label), escaped(value));
        put(
            page,
            format_args!("<div><dt>{label}</dt><dd dir=\"auto\">{value}</dd></div>\n"),
        );
    }
    put(page, format_args!("</dl>\n<p>{}</p>\n</footer>\n", escaped(turning.notice)));
}

/// What the script reads.
fn blocks(page: &mut String, turned: &Turned, (wood, heights): (&str, &pack::Packed)) {
    let [columns, rows] = turned.grid.size;
    put(
        page,
        format_args!(
            "<script type=\"application/octet-stream\" id=\"wood\">{wood}</script>\n\
             <script type=\"application/octet-stream\" id=\"heights\" \
             data-columns=\"{columns}\" data-rows=\"{rows}\" data-step=\"{}\" \
             data-unit=\"{:.6}\" data-edge=\"{:.6}\" data-thickness=\"{:.3}\" \
             data-round=\"{:.3}\">{}</script>\n",
            turned.grid.step,
            heights.unit,
            heights.edge,
            turned.thickness,
            turned.round,
            STANDARD.encode(&heights.bytes),
        ),
    );
}

fn hex(color: Color) -> String {
    let [red, green, blue] = color.rgb;
    format!("#{red:02x}{green:02x}{blue:02x}")
}
