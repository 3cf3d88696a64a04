//! Bytes to text: the outermost door.

use crate::finding::{Code, Finding, Source, SourceFile};

/// Most bytes of an input file.
pub const LARGEST: usize = 4 * 1024 * 1024;

/// The text of a file: UTF-8, at most 4 MiB, without NUL, its byte order mark stripped.
pub fn text(label: &str, bytes: &[u8]) -> Result<String, Box<Finding>> {
    let whole = || Source::whole(&SourceFile::new(label, ""));
    if bytes.len() > LARGEST {
        let message = format!("the file has {} bytes", bytes.len());
        return Err(Box::new(
            Finding::stop(Code::InputTooLarge, message)
                .from(whole())
                .expected("at most 4 MiB of text")
                .help("check that this is the file you meant"),
        ));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(binary(label, bytes, at, "a zero byte: this is not a text file"));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.to_owned()),
        Err(error) => {
            let what = "a byte that is not UTF-8 text";
            Err(binary(label, bytes, error.valid_up_to(), what))
        }
    }
}

/// The place is a line and a column, but the line is not shown: it is not text.
fn binary(label: &str, bytes: &[u8], at: usize, what: &str) -> Box<Finding> {
    let head = bytes.get(..at).unwrap_or_default();
    let lines = head.split(|byte| *byte == b'\n').count();
    let start = head.iter().rposition(|byte| *byte == b'\n').map_or(0, |end| end + 1);
    let line = head.get(start..).unwrap_or_default();
    let column = String::from_utf8_lossy(line).chars().count();
    let place = Source {
        file: SourceFile::new(label, ""),
        line: u32::try_from(lines).unwrap_or(0),
        column: u32::try_from(column + 1).unwrap_or(0),
        length: 1,
    };
    Box::new(
        Finding::stop(Code::UnreadableFile, what)
            .from(place)
            .expected("text in UTF-8")
            .help("save the file as UTF-8 text, or name another file"),
    )
}
