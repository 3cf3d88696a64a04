//! Tables in plain text.

/// Columns aligned to their widest cell; the first row is the head.
pub(crate) fn table(rows: &[Vec<String>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|c| c.chars().count()).max()
    };
    let widths: Vec<usize> = (0..columns).map(|c| width(c).unwrap_or(0)).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            line.push_str(&" ".repeat(width - cell.chars().count() + 2));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}
