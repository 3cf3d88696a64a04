//! Marks as an SVG 1.1 document in true millimetres.

use super::ExportFault;
use super::jpeg::printed;
use crate::sheet::{
    Anchor, BezPath, Color, Drawn, Face, Layer, Mark, PathEl, Picture, Point, Sheet,
    Stroke, Text, Way,
};
use crate::units::trimmed;
use base64::{Engine as _, engine::general_purpose::STANDARD};
use std::fmt::Write as _;

/// The sheet as SVG text: width and height in mm, one user unit a millimetre, numbers to
/// 0.001 mm, pictures within it. The same sheet gives the same bytes.
pub fn svg(sheet: &Sheet) -> Result<String, ExportFault> {
    let [width, height] = sheet.size.map(trimmed);
    let fill = paint("fill", sheet.paper);
    // Letters stand where they were set, not where the pixels of a screen would have them.
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" xml:lang=\"{}\" \
         text-rendering=\"geometricPrecision\">\n\
         <title>{}</title>\n\
         <rect width=\"{width}\" height=\"{height}\"{fill}/>\n",
        escaped(sheet.language),
        escaped(&sheet.title),
    );
    let mut clips = Clips::default();
    for layer in &sheet.layers {
        write_layer(&mut out, layer, &mut clips)?;
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// Lines and areas of a sheet, alone.
pub(super) fn paths(sheet: &Sheet, drawn: &[&Drawn]) -> String {
    let [width, height] = sheet.size.map(trimmed);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n"
    );
    let mut clips = Clips::default();
    for drawn in drawn {
        write_path(&mut out, drawn, &mut clips);
    }
    out.push_str("</svg>\n");
    out
}

/// A line of text, alone, beside the corner of a page; where the page ends does not matter.
pub(super) fn line(text: &Text) -> String {
    let mut out = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\" height=\"1mm\" \
         viewBox=\"0 0 1 1\" text-rendering=\"geometricPrecision\">\n",
    );
    write_text(&mut out, text);
    out.push_str("</svg>\n");
    out
}

/// Clip paths written so far; the last one is used again while it stays the same.
#[derive(Default)]
struct Clips {
    count: u32,
    last: String,
}

fn write_layer(
    out: &mut String,
    layer: &Layer,
    clips: &mut Clips,
) -> Result<(), ExportFault> {
    open(out, layer.name, layer.name);
    for (at, mark) in layer.marks.iter().enumerate() {
        if let Some(part) = layer.parts.iter().find(|part| part.marks.start == at) {
            open(out, &format!("{}-{}", layer.name, part.name), part.name);
        }
        match mark {
            Mark::Path(drawn) => write_path(out, drawn, clips),
            Mark::Text(text) => write_text(out, text),
            Mark::Picture(picture) => write_picture(out, picture)?,
        }
        if layer.parts.iter().any(|part| part.marks.end == at + 1) {
            out.push_str("</g>\n");
        }
    }
    out.push_str("</g>\n");
    Ok(())
}

/// Opens a group that editors list under its name.
fn open(out: &mut String, id: &str, name: &str) {
    let title = name.replace('-', " ");
    let [id, title] = [id, &title].map(escaped);
    put(out, format_args!("<g id=\"{id}\">\n<title>{title}</title>\n"));
}

fn write_picture(out: &mut String, picture: &Picture) -> Result<(), ExportFault> {
    let printed = printed(picture)?;
    let data = STANDARD.encode(&printed.bytes);
    let place = printed.place;
    let [x, y] = [place.x0, place.y0].map(trimmed);
    let [width, height] = [place.width(), place.height()].map(trimmed);
    put(
        out,
        format_args!(
            "<image x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" \
             preserveAspectRatio=\"none\" xlink:href=\"data:image/jpeg;base64,{data}\"/>\n"
        ),
    );
    Ok(())
}

fn write_path(out: &mut String, drawn: &Drawn, clips: &mut Clips) {
    let data = path_data(&drawn.path);
    if data.is_empty() {
        return;
    }
    let clip = drawn.clip.as_ref().map(|clip| clip_id(out, clip, clips));
    put(out, format_args!("<path d=\"{data}\""));
    match drawn.fill {
        Some(color) => out.push_str(&paint("fill", color)),
        None => out.push_str(" fill=\"none\""),
    }
    if let Some(stroke) = &drawn.stroke {
        write_stroke(out, stroke);
    }
    if let Some(id) = clip {
        put(out, format_args!(" clip-path=\"url(#clip-{id})\""));
    }
    out.push_str("/>\n");
}

fn clip_id(out: &mut String, clip: &BezPath, clips: &mut Clips) -> u32 {
    let data = path_data(clip);
    if clips.count == 0 || clips.last != data {
        clips.count += 1;
        let id = clips.count;
        put(
            out,
            format_args!("<clipPath id=\"clip-{id}\"><path d=\"{data}\"/></clipPath>\n"),
        );
        clips.last = data;
    }
    clips.count
}

fn write_stroke(out: &mut String, stroke: &Stroke) {
    out.push_str(&paint("stroke", stroke.color));
    put(out, format_args!(" stroke-width=\"{}\"", trimmed(stroke.width)));
    out.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
    if !stroke.dash.is_empty() {
        let dash: Vec<String> = stroke.dash.iter().copied().map(trimmed).collect();
        put(out, format_args!(" stroke-dasharray=\"{}\"", dash.join(" ")));
    }
}

fn write_text(out: &mut String, text: &Text) {
    let [x, y] = [text.at.x, text.at.y].map(trimmed);
    put(out, format_args!("<text x=\"{x}\" y=\"{y}\""));
    if text.way == Way::Up {
        put(out, format_args!(" transform=\"rotate(-90 {x} {y})\""));
    }
    out.push_str(match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    });
    // Where the face is not installed another one stands in; it must not grow out of its box.
    let length = text.width();
    if length > 0.0 {
        let length = trimmed(length);
        put(
            out,
            format_args!(" textLength=\"{length}\" lengthAdjust=\"spacingAndGlyphs\""),
        );
    }
    out.push_str(&font(text.face, text.height));
    out.push_str(&paint("fill", text.color));
    put(out, format_args!(">{}</text>\n", escaped(&text.text)));
}

fn font(face: Face, height: f64) -> String {
    let size = trimmed(height * face.em());
    let mut out = format!(
        " font-family=\"'{}', {}\" font-size=\"{size}\"",
        face.family(),
        face.generic()
    );
    if face.weight() != 400 {
        put(&mut out, format_args!(" font-weight=\"{}\"", face.weight()));
    }
    if face.italic() {
        out.push_str(" font-style=\"italic\"");
    }
    out
}

/// `fill` or `stroke` with a colour.
pub(super) fn paint(what: &str, color: Color) -> String {
    let [r, g, b] = color.rgb;
    let mut out = format!(" {what}=\"#{r:02x}{g:02x}{b:02x}\"");
    if color.opacity < 1.0 {
        put(&mut out, format_args!(" {what}-opacity=\"{}\"", trimmed(color.opacity)));
    }
    out
}

/// Path data in absolute coordinates.
fn path_data(path: &BezPath) -> String {
    let mut out = String::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => points(&mut out, 'M', &[to]),
            PathEl::LineTo(to) => points(&mut out, 'L', &[to]),
            PathEl::QuadTo(a, to) => points(&mut out, 'Q', &[a, to]),
            PathEl::CurveTo(a, b, to) => points(&mut out, 'C', &[a, b, to]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
    out
}

fn points(out: &mut String, letter: char, points: &[Point]) {
    out.push(letter);
    for (i, point) in points.iter().enumerate() {
        let gap = if i == 0 { "" } else { " " };
        put(out, format_args!("{gap}{} {}", trimmed(point.x), trimmed(point.y)));
    }
}

/// Text as XML character data or an attribute value. `>` is written as `&gt;`, so `]]>` never
/// appears; characters that XML 1.0 does not allow become U+FFFD.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') => {
                out.push('\u{FFFD}');
            }
            c => out.push(c),
        }
    }
    out
}

/// Writing to a string cannot fail.
pub(super) fn put(out: &mut String, what: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(what);
}
