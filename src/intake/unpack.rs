//! A workbook is a packed folder of XML files. Before it is read it is held against what a list
//! written by people can be, as a few bytes may unfold to more than a machine holds.

use crate::finding::{Code, Finding, Source, SourceFile};
use quick_xml::events::Event;
use std::io::{Cursor, Read as _};
use zip::ZipArchive;

/// Most bytes of a workbook, packed.
pub const LARGEST_BOOK: usize = 16 << 20;
/// Most bytes of all its files together, unpacked.
const MOST: u64 = 64 << 20;
/// Most files in it.
const FILES: usize = 2000;
/// Most columns and rows of a sheet.
pub(super) const COLUMNS: u32 = 500;
pub(super) const ROWS: u32 = 60_000;

/// The two standards of workbooks that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standard {
    /// Office Open XML (ISO/IEC 29500), `.xlsx`.
    OfficeOpen,
    /// Open Document (ISO/IEC 26300), `.ods`.
    OpenDocument,
}

/// Which standard a workbook follows, if it can be read at all.
pub(super) fn looked_over(label: &str, bytes: &[u8]) -> Result<Standard, Box<Finding>> {
    if bytes.len() > LARGEST_BOOK {
        let most = LARGEST_BOOK >> 20;
        return Err(large(label, &format!("the file has more than {most} MiB")));
    }
    let mut pack = ZipArchive::new(Cursor::new(bytes)).map_err(|_| none(label))?;
    if pack.len() > FILES {
        return Err(large(label, "it is packed from too many files"));
    }
    let (mut left, mut standard) = (MOST, None);
    for at in 0..pack.len() {
        let file = pack.by_index(at).map_err(|_| none(label))?;
        let name = file.name().map_err(|_| none(label))?.to_lowercase();
        let mut text = Vec::new();
        let read = file.take(left + 1).read_to_end(&mut text).map_err(|_| none(label))?;
        left = left.checked_sub(read as u64).ok_or_else(|| {
            large(label, &format!("unpacked it has more than {} MiB", MOST >> 20))
        })?;
        let ending = name.rsplit('.').next().unwrap_or_default();
        if ["xml", "rels"].contains(&ending) {
            whole(&text).ok_or_else(|| none(label))?;
        }
        let text = String::from_utf8_lossy(&text);
        match name.as_str() {
            "content.xml" => {
                standard = Some(Standard::OpenDocument);
                repeats(label, &text)?;
            }
            "xl/workbook.xml" => standard = Some(Standard::OfficeOpen),
            _ => {}
        }
        if name.ends_with("sharedstrings.xml") {
            counts(label, &text)?;
        }
    }
    standard.ok_or_else(|| none(label))
}

/// Whether every element of an XML file ends, and ends as it began: what reads tables goes on
/// for ever where the end of one is missing.
fn whole(text: &[u8]) -> Option<()> {
    let mut reader = quick_xml::Reader::from_reader(text);
    let (mut buffer, mut open) = (Vec::new(), 0_usize);
    loop {
        let event = reader.read_event_into(&mut buffer).ok()?;
        if matches!(event, Event::Eof) {
            return (open == 0).then_some(());
        }
        open += usize::from(matches!(event, Event::Start(_)));
        open = open.checked_sub(usize::from(matches!(event, Event::End(_))))?;
        buffer.clear();
    }
}

/// Cells that stand for many are few in a list, but for the empty ones to its right and below.
fn repeats(label: &str, text: &str) -> Result<(), Box<Finding>> {
    let (mut row, mut column) = (0_u64, 0_u64);
    for tag in text.split('<').filter_map(|part| part.split('>').next()) {
        let name = tag.split([' ', '\n', '\t', '\r', '/']).next().unwrap_or_default();
        let times = |key: &str| number(tag, key).unwrap_or(1);
        match name {
            "table:table" => (row, column) = (0, 0),
            "table:table-row" => {
                row = row.saturating_add(times("table:number-rows-repeated"));
                column = 0;
            }
            "table:table-cell" | "table:covered-table-cell" => {
                column = column.saturating_add(times("table:number-columns-repeated"));
                let empty = tag.ends_with('/')
                    && !tag.contains("office:")
                    && !tag.contains("table:formula");
                if !empty && (row > u64::from(ROWS) || column > u64::from(COLUMNS)) {
                    return Err(outside(label));
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// A count of texts that no file so large could hold.
fn counts(label: &str, text: &str) -> Result<(), Box<Finding>> {
    let texts = text.len() as u64;
    let counts = text.split('<').filter_map(|part| number(part, "uniqueCount"));
    let sound = counts.into_iter().all(|count| count <= texts);
    if sound { Ok(()) } else { Err(none(label)) }
}

/// The number an attribute gives; one with too many digits is the greatest there is.
fn number(tag: &str, key: &str) -> Option<u64> {
    let (_, rest) = tag.split_once(key)?;
    let digits = rest.trim_start_matches([' ', '\n', '\t', '\r', '=', '"', '\'']);
    let digits: String = digits.chars().take_while(char::is_ascii_digit).collect();
    Some(digits.parse().unwrap_or(if digits.is_empty() { 1 } else { u64::MAX }))
}

/// Says that cells lie further out than those of a list.
pub(super) fn outside(label: &str) -> Box<Finding> {
    large(label, &format!("a cell lies beyond row {ROWS} or column {COLUMNS}"))
}

/// Says that there is more in it than in a list.
pub(super) fn large(label: &str, what: &str) -> Box<Finding> {
    let finding = Finding::stop(Code::InputTooLarge, what)
        .from(Source::whole(&SourceFile::new(label, "")))
        .help("copy the orders to a workbook of their own, or save them as CSV");
    Box::new(finding)
}

/// Says that this is no workbook.
pub(super) fn none(label: &str) -> Box<Finding> {
    let finding =
        Finding::stop(Code::UnreadableFile, "this is not a workbook that can be read")
            .from(Source::whole(&SourceFile::new(label, "")))
            .expected("a workbook in XLSX or ODS, without a password")
            .help("save it anew in one of the two, or as CSV in UTF-8");
    Box::new(finding)
}
