//! The top of a table: separator, decimal mark, preamble, names, units, and where the rows begin.

use crate::cell::{Cell, classify, trim};
use crate::vocabulary::VOCABULARY;
use crate::words::split_header;

/// What stands above the rows, and how they are written.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// Separator; a blank means any run of blanks.
    pub separator: u8,
    /// Decimal mark.
    pub decimal: u8,
    /// Names, one a column; empty strings where there are none.
    pub names: Vec<String>,
    /// Units row, as long as `names`; empty strings where there is none.
    pub units: Vec<String>,
    /// 1-based line of the names, 0 = none.
    pub header_line: u64,
    /// 1-based line of the units, 0 = none.
    pub units_line: u64,
    /// `key, value` before the table.
    pub preamble: Vec<(String, String)>,
    /// Byte at which the first row begins.
    pub rows_at: usize,
    /// 1-based line of the first row.
    pub rows_line: u64,
    /// The header line as bytes, to know it again when it is repeated.
    pub header_bytes: Vec<u8>,
    /// Quoted cells hold two numbers ("lat,lon"): quotes are looked through.
    pub pairs: bool,
    /// As many names as the rows have cells.
    pub names_fit: bool,
}

/// Lines looked at to find out how the table is written.
const SAMPLE_LINES: usize = 400;
/// Bytes looked at.
const SAMPLE_BYTES: usize = 1 << 18;
/// Separators by preference.
const SEPARATORS: [u8; 5] = [b',', b';', b'\t', b'|', b' '];

/// One line of the sample.
struct Line<'a> {
    at: usize,
    bytes: &'a [u8],
}

/// Reads the head of a table that starts at byte `from` on 1-based line `line`; `None`: no table.
pub fn read_head(bytes: &[u8], from: usize, line: u64) -> Option<Head> {
    let lines = sample(bytes, from);
    let (separator, decimal, width) = dialect(&lines)?;
    let is_row = |line: &Line<'_>| row_quality(line.bytes, separator, decimal, width);
    let first = first_row(&lines, is_row)?;
    let mut head = Head {
        separator,
        decimal,
        ..Head::default()
    };
    let above = lines.get(..first).unwrap_or_default();
    let header = find_header(above, separator, width);
    let units = find_units(above, separator, width, header);
    if let Some(index) = header {
        head.header_line = line + index as u64;
        let bytes = above.get(index).map_or(&[][..], |line| line.bytes);
        head.header_bytes = bytes.to_vec();
        head.names = text_cells(strip_comment(bytes), separator);
    }
    if let Some(index) = units {
        head.units_line = line + index as u64;
        head.units = text_cells(
            strip_comment(above.get(index).map_or(&[][..], |line| line.bytes)),
            separator,
        );
    }
    head.names_fit = head.names.len() == width;
    let width = width.max(head.names.len());
    head.names.resize(width, String::new());
    head.units.resize(width, String::new());
    expand_pairs(&mut head, lines.get(first..).unwrap_or_default());
    for (index, line) in above.iter().enumerate() {
        if Some(index) != header && Some(index) != units {
            read_preamble_line(&mut head.preamble, line.bytes, separator);
        }
    }
    head.rows_at = lines.get(first)?.at;
    head.rows_line = line + first as u64;
    Some(head)
}

/// Quoted cells with two numbers in them are two columns.
fn expand_pairs(head: &mut Head, rows: &[Line<'_>]) {
    if head.separator != b',' {
        return;
    }
    let mut found: Vec<usize> = Vec::new();
    for line in rows.iter().take(50) {
        for (index, cell) in cells(line.bytes, b',').into_iter().enumerate() {
            let inner = unquote(cell);
            let halves: Vec<&[u8]> = inner.split(|&byte| byte == b',').collect();
            let numbers = halves
                .iter()
                .all(|half| matches!(classify(half, head.decimal), Cell::Number(_)));
            if halves.len() == 2
                && numbers
                && trim(cell).starts_with(b"\"")
                && !found.contains(&index)
            {
                found.push(index);
            }
        }
    }
    found.sort_unstable();
    for &index in found.iter().rev() {
        let Some(name) = head.names.get(index).cloned() else {
            continue;
        };
        let (first, second) = match name.split_once([',', '/', ' ']) {
            Some((first, second)) => (first.trim().to_owned(), second.trim().to_owned()),
            None => (String::new(), String::new()),
        };
        head.names.splice(index..=index, [first, second]);
        let unit = head.units.get(index).cloned().unwrap_or_default();
        head.units.splice(index..=index, [unit.clone(), unit]);
        head.pairs = true;
    }
}

/// Whether a line among the rows is a line of names: another table begins.
pub fn looks_like_names(line: &[u8], separator: u8) -> bool {
    let names = text_cells(strip_comment(line), separator);
    let filled = names.iter().filter(|name| !name.is_empty()).count();
    let known = names
        .iter()
        .filter(|name| matches!(classify(name.as_bytes(), b'.'), Cell::Text))
        .filter(|name| {
            split_header(name, "")
                .words
                .iter()
                .any(|word| word.len() >= 2 && !VOCABULARY.concepts_of(word).is_empty())
        })
        .count();
    filled >= 3 && known >= 3 && known * 3 >= filled * 2
}

fn sample(bytes: &[u8], from: usize) -> Vec<Line<'_>> {
    let end = bytes.len().min(from.saturating_add(SAMPLE_BYTES));
    let mut lines = Vec::new();
    let mut at = from;
    while at < end && lines.len() < SAMPLE_LINES {
        let (stop, next) = line_end(bytes, at);
        lines.push(Line {
            at,
            bytes: bytes.get(at..stop).unwrap_or_default(),
        });
        at = next;
    }
    lines
}

/// Where the line that begins at `at` ends, and where the next begins: LF, CR LF, or CR alone.
pub fn line_end(bytes: &[u8], at: usize) -> (usize, usize) {
    let rest = bytes.get(at..).unwrap_or_default();
    let stop = at + memchr::memchr2(b'\n', b'\r', rest).unwrap_or(rest.len());
    let next = match (bytes.get(stop), bytes.get(stop + 1)) {
        (Some(b'\r'), Some(b'\n')) => stop + 2,
        (Some(_), _) => stop + 1,
        (None, _) => stop,
    };
    (stop, next)
}

/// The cells of a line; quotes keep separators together, runs of blanks count once for blank-separated
/// tables.
pub fn cells(line: &[u8], separator: u8) -> Vec<&[u8]> {
    let mut out = Vec::new();
    if separator == b' ' {
        out.extend(
            line.split(|byte| matches!(byte, b' ' | b'\t'))
                .filter(|cell| !cell.is_empty()),
        );
        return out;
    }
    let mut start = 0;
    let mut quoted = false;
    for (at, &byte) in line.iter().enumerate() {
        if byte == b'"' {
            quoted = !quoted;
        } else if byte == separator && !quoted {
            out.push(line.get(start..at).unwrap_or_default());
            start = at + 1;
        }
    }
    out.push(line.get(start..).unwrap_or_default());
    out
}

/// A cell without blanks and quotes around it.
pub fn unquote(cell: &[u8]) -> &[u8] {
    let cell = trim(cell);
    match cell {
        [b'"', inner @ .., b'"'] => trim(inner),
        _ => cell,
    }
}

/// Bytes as text: UTF-8, else each byte as in Latin-1, where ° and µ of older recorders stand.
pub fn text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|&byte| char::from(byte)).collect(),
    }
}

fn text_cells(line: &[u8], separator: u8) -> Vec<String> {
    cells(line, separator)
        .into_iter()
        .map(|cell| text(unquote(cell)))
        .collect()
}

fn strip_comment(line: &[u8]) -> &[u8] {
    // The line keeps its leading blanks when there is no mark: a tab may be an empty first cell.
    let bare = line.trim_ascii_start();
    bare.strip_prefix(b"//")
        .or_else(|| bare.strip_prefix(b"#"))
        .unwrap_or(line)
}

/// Separator, decimal mark and number of cells of the rows.
fn dialect(lines: &[Line<'_>]) -> Option<(u8, u8, usize)> {
    let mut best: Option<(f64, u8, u8, usize)> = None;
    for separator in SEPARATORS {
        for decimal in [b'.', b','] {
            if decimal == separator {
                continue;
            }
            let mut by_width: Vec<(usize, f64)> = Vec::new();
            for line in lines {
                let cells = cells(line.bytes, separator);
                if cells.len() < 2 {
                    continue;
                }
                let Some(share) = value_share(&cells, decimal) else {
                    continue;
                };
                if share < 0.5 {
                    continue;
                }
                match by_width.iter_mut().find(|(width, _)| *width == cells.len()) {
                    Some((_, sum)) => *sum += share,
                    None => by_width.push((cells.len(), share)),
                }
            }
            let Some(&(width, sum)) = by_width.iter().max_by(|a, b| a.1.total_cmp(&b.1)) else {
                continue;
            };
            #[allow(clippy::cast_precision_loss)]
            let score = sum * (1.0 + 0.1 * (width as f64).ln())
                // Blanks also stand inside cells ("date time") of tables with a real separator.
                * if separator == b' ' { 0.5 } else { 1.0 };
            if best.is_none_or(|(known, ..)| score > known * 1.000_001) {
                best = Some((score, separator, decimal, width));
            }
        }
    }
    best.filter(|(score, ..)| *score >= 1.0)
        .map(|(_, separator, decimal, width)| (separator, decimal, width))
}

/// Share of the cells that say something and are numbers or times; `None` when all are blank.
fn value_share(cells: &[&[u8]], decimal: u8) -> Option<f64> {
    let mut said = 0_u32;
    let mut values = 0_u32;
    for cell in cells {
        match classify(unquote(cell), decimal) {
            Cell::Blank => {}
            Cell::Text | Cell::Hemisphere(_) => said += 1,
            _ => {
                said += 1;
                values += 1;
            }
        }
    }
    (said > 0).then(|| f64::from(values) / f64::from(said))
}

/// Whether a line is a row of the table: enough of its cells are values, about as many as usual.
fn row_quality(line: &[u8], separator: u8, decimal: u8, width: usize) -> bool {
    let cells = cells(line, separator);
    cells.len() >= 2
        && cells.len() * 2 > width
        && value_share(&cells, decimal)
            .is_some_and(|share| share > 0.5 || (share >= 0.5 && cells.len() > 4))
}

/// The first row from which on rows follow each other.
fn first_row(lines: &[Line<'_>], is_row: impl Fn(&Line<'_>) -> bool) -> Option<usize> {
    let rows: Vec<bool> = lines.iter().map(is_row).collect();
    let lone = rows.iter().filter(|&&row| row).count() < 2;
    (0..rows.len()).find(|&index| {
        rows.get(index) == Some(&true)
            && (lone || rows.iter().skip(index + 1).take(3).any(|&row| row))
    })
}

/// The line of names: nearest above the rows, mostly words the trade knows.
fn find_header(above: &[Line<'_>], separator: u8, width: usize) -> Option<usize> {
    let mut best: Option<(f64, usize)> = None;
    for (index, line) in above.iter().enumerate().rev().take(20) {
        let cells = text_cells(strip_comment(line.bytes), separator);
        if cells.len() < 2 || cells.len() * 2 <= width {
            continue;
        }
        let mut score = 0.0;
        let mut filled = 0.0;
        for cell in &cells {
            if cell.is_empty() {
                continue;
            }
            filled += 1.0;
            if matches!(
                classify(cell.as_bytes(), b'.'),
                Cell::Text | Cell::Hemisphere(_)
            ) {
                score += 0.2;
                let words = split_header(cell, "");
                let known = words
                    .words
                    .iter()
                    .any(|word| !VOCABULARY.concepts_of(word).is_empty());
                // A bare unit is also a word now and then ("g", "rpm"), and speaks for a units row.
                let bare_unit = VOCABULARY.unit(cell).is_some();
                score += if known && !bare_unit { 1.0 } else { 0.0 };
            }
        }
        if filled == 0.0 || score / filled < 0.3 {
            continue;
        }
        // Of two lines of names the one with more known words counts, then the nearer one.
        if best.is_none_or(|(known, _)| score > known * 1.2) {
            best = Some((score, index));
        }
    }
    // Names that nobody knows are names all the same, when they stand right above the rows.
    best.map(|(_, index)| index).or_else(|| {
        let line = above.last()?;
        let cells = text_cells(strip_comment(line.bytes), separator);
        let texts = cells
            .iter()
            .filter(|cell| {
                matches!(
                    classify(cell.as_bytes(), b'.'),
                    Cell::Text | Cell::Hemisphere(_)
                )
            })
            .count();
        (cells.len() == width && texts * 10 >= width * 8).then(|| above.len() - 1)
    })
}

/// The units row, next to the names: mostly units or patterns of times.
fn find_units(
    above: &[Line<'_>],
    separator: u8,
    width: usize,
    header: Option<usize>,
) -> Option<usize> {
    let header = header?;
    let near = [
        header + 1,
        header.wrapping_sub(1),
        header + 2,
        header.wrapping_sub(2),
    ];
    near.into_iter().find(|&index| {
        let Some(line) = above.get(index) else {
            return false;
        };
        let cells = text_cells(strip_comment(line.bytes), separator);
        if cells.len() * 2 <= width {
            return false;
        }
        let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
        let units = cells.iter().filter(|cell| is_unit_cell(cell)).count();
        filled > 0 && units * 2 > filled
    })
}

fn is_unit_cell(cell: &str) -> bool {
    let words = split_header("", cell);
    !cell.is_empty() && (words.unit.is_some() || words.words.is_empty())
}

/// `# Key: value`, `Key,value`, `key="value", key="value"`, or a bare line.
fn read_preamble_line(out: &mut Vec<(String, String)>, line: &[u8], separator: u8) {
    let line = text(trim(strip_comment(line)));
    if line.is_empty() || out.len() >= 200 {
        return;
    }
    if line.matches("=\"").count() >= 1 {
        for part in line.split("\",").flat_map(|part| part.split("\";")) {
            if let Some((key, value)) = part.split_once("=\"") {
                let key = key.rsplit([',', ';']).next().unwrap_or(key);
                out.push((
                    key.trim().to_owned(),
                    value.trim_end_matches('"').trim().to_owned(),
                ));
            }
        }
        return;
    }
    let mark = char::from(separator);
    let cut = line
        .char_indices()
        .find(|&(_, letter)| matches!(letter, ':' | '=') || (letter == mark && mark != ' '));
    match cut {
        Some((at, letter)) => {
            let key = line.get(..at).unwrap_or_default();
            let value = line.get(at + letter.len_utf8()..).unwrap_or_default();
            // A colon inside a time is no end of a key.
            if letter == ':' && key.ends_with(|last: char| last.is_ascii_digit()) {
                out.push((String::new(), line));
            } else {
                let value = value.trim().trim_matches([mark, '"']).trim();
                out.push((key.trim().trim_matches('"').to_owned(), value.to_owned()));
            }
        }
        None => out.push((String::new(), line)),
    }
}
