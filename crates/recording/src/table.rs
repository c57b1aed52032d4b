//! The rows of a table, in one pass over the bytes, into columns of f64.

use crate::cell::{Cell, classify, scan_number, trim};
pub use crate::column::{Column, Kind};
use crate::head::{Head, line_end, looks_like_names, unquote};
use crate::report::Notes;

/// The rows that were kept.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// The columns, all of the same length.
    pub columns: Vec<Column>,
    /// Rows kept.
    pub rows: usize,
    /// Rows left out.
    pub rows_lost: usize,
    /// (row, line): from this row on, line = this line + rows after.
    lines: Vec<(usize, u64)>,
    /// Rows that did not have the usual number of cells, or cells that did not fit.
    pub doubtful: Vec<usize>,
    /// Rows before which the header stood again.
    pub restarts: Vec<usize>,
    /// Byte and line at which another table begins.
    pub next_table: Option<(usize, u64)>,
}

impl Table {
    /// 1-based line of a kept row.
    pub fn line_of(&self, row: usize) -> u64 {
        let index = self.lines.partition_point(|&(first, _)| first <= row);
        match index.checked_sub(1).and_then(|index| self.lines.get(index)) {
            Some(&(first, line)) => line + (row - first) as u64,
            None => 0,
        }
    }
}

/// Reads all rows below `head`.
pub fn read_rows(bytes: &[u8], head: &Head, notes: &mut Notes) -> Table {
    let mut reader = Reader::new(bytes, head, notes);
    while reader.at < bytes.len() {
        reader.line();
        if reader.table.next_table.is_some() {
            break;
        }
    }
    reader.finish()
}

/// Lines of names that are tried as the head of another table: a file of nothing else must not take long.
const TABLES_TRIED_MAX: usize = 50;

struct Reader<'a, 'n> {
    bytes: &'a [u8],
    head: &'a Head,
    notes: &'n mut Notes,
    table: Table,
    at: usize,
    line: u64,
    /// Values of the row being read.
    row: Vec<f64>,
    /// Kinds of the columns, close together for the inner loop.
    kinds: Vec<Kind>,
    row_misfits: usize,
    tables_tried: usize,
    width: usize,
}

/// What one row came to.
enum End {
    /// At the end of the line.
    Line,
    /// At a block of zero bytes inside the line.
    Nul,
    /// At the end of the file without a line end.
    File,
}

impl<'a, 'n> Reader<'a, 'n> {
    fn new(bytes: &'a [u8], head: &'a Head, notes: &'n mut Notes) -> Self {
        let width = head.names.len();
        let rest = bytes.len().saturating_sub(head.rows_at);
        let (stop, _) = line_end(bytes, head.rows_at);
        let guess = (rest / (stop - head.rows_at.min(stop)).max(8) + 16).min(1 << 24);
        // Every cell takes a byte at least, and a third of a row must be there.
        let guess = guess.min(3 * rest / width.max(1) + 16);
        let columns = head
            .names
            .iter()
            .zip(&head.units)
            .map(|(name, unit)| Column {
                name: name.clone(),
                unit_cell: unit.clone(),
                values: Vec::with_capacity(guess),
                ..Column::default()
            })
            .collect();
        let table = Table {
            columns,
            ..Table::default()
        };
        let row = vec![f64::NAN; width];
        let kinds = vec![Kind::Unknown; width];
        Self {
            bytes,
            head,
            notes,
            table,
            at: head.rows_at,
            line: head.rows_line,
            row,
            kinds,
            row_misfits: 0,
            tables_tried: 0,
            width,
        }
    }

    /// Reads one line, which is one row unless blocks of zero bytes cut it.
    fn line(&mut self) {
        let line_start = self.at;
        if let Some(b'\n' | b'\r') = self.bytes.get(self.at) {
            self.skip_line_end();
            return;
        }
        if self.bytes.get(self.at) == Some(&0) {
            self.skip_nuls();
            return;
        }
        if self.head.separator == b' ' {
            self.skip_blanks();
        }
        self.row.fill(f64::NAN);
        self.row_misfits = 0;
        let mut count = 0;
        let mut extra = 0;
        let end = loop {
            let filled = self.cell(count);
            if count >= self.width && filled {
                extra += 1;
            }
            count += 1;
            match self.bytes.get(self.at) {
                None => break End::File,
                Some(b'\n' | b'\r') => break End::Line,
                Some(0) => break End::Nul,
                Some(_) => self.at += 1,
            }
            if self.head.separator == b' ' {
                self.skip_blanks();
                if matches!(self.bytes.get(self.at), None | Some(b'\n' | b'\r' | 0)) {
                    break match self.bytes.get(self.at) {
                        None => End::File,
                        Some(0) => End::Nul,
                        _ => End::Line,
                    };
                }
            }
        };
        self.judge(line_start, count, extra, &end);
        match end {
            End::Line => self.skip_line_end(),
            End::Nul => self.skip_nuls(),
            End::File => {}
        }
    }

    /// Decides what becomes of the row that was just read.
    fn judge(&mut self, start: usize, count: usize, extra: usize, end: &End) {
        let odd = count != self.width || self.row_misfits > 0 || !matches!(end, End::Line);
        if !odd {
            self.keep();
            return;
        }
        let width = self.width;
        let line = self.bytes.get(start..self.at).unwrap_or_default();
        if trim(line).is_empty() {
            return;
        }
        if !self.head.header_bytes.is_empty() && trim(line) == trim(&self.head.header_bytes) {
            self.table.restarts.push(self.table.rows);
            self.notes.add(
                self.line,
                0,
                "the header stands here again",
                "taken for a power cycle of the recorder",
            );
            return;
        }
        let filled = self.row.iter().filter(|value| !value.is_nan()).count();
        if self.table.rows > 0 && filled * 2 < count && self.another_table(start, line) {
            let what = "another line of names stands here";
            self.notes
                .add(self.line, 0, what, "read as another table from here on");
            self.table.next_table = Some((start, self.line));
            return;
        }
        if line.trim_ascii_start().starts_with(b"#") || filled == 0 || self.row_misfits * 2 > filled
        {
            self.table.rows_lost += 1;
            self.notes.add(
                self.line,
                0,
                format!("not a row of the table: {}", excerpt(line)),
                "left out",
            );
            return;
        }
        if count * 3 < width {
            self.table.rows_lost += 1;
            let what = format!("{count} cells instead of {width}");
            self.notes
                .add(self.line, 0, what, "too little of a row is left: left out");
            return;
        }
        if matches!(end, End::File) && count <= width {
            self.last_line(count);
        }
        if count < width && !matches!(end, End::File) {
            self.notes.add(
                self.line,
                0,
                format!("{count} cells instead of {width}"),
                "the cells that are there were kept where they fit",
            );
        }
        if extra > 0 {
            self.notes.add(
                self.line,
                0,
                format!("{extra} cells more than the {width} columns"),
                "the extra cells were left out",
            );
        }
        if count < width || extra > 0 || self.row_misfits > 0 || matches!(end, End::Nul) {
            self.table.doubtful.push(self.table.rows);
        }
        self.keep();
    }

    /// Whether a table of its own begins at this line: names, rows of the same width, and a clock.
    fn another_table(&mut self, start: usize, line: &[u8]) -> bool {
        if self.tables_tried >= TABLES_TRIED_MAX || !looks_like_names(line, self.head.separator) {
            return false;
        }
        self.tables_tried += 1;
        crate::assemble::table_begins(self.bytes, start)
    }

    /// The last line without a line end: its last cell may be cut in the middle of a number.
    fn last_line(&mut self, count: usize) {
        if count < self.width
            && let Some(value) = count.checked_sub(1).and_then(|last| self.row.get_mut(last))
        {
            *value = f64::NAN;
            self.notes.add(
                self.line,
                u32::try_from(count).unwrap_or(0),
                "the file ends in the middle of a line",
                "the cut cell was left out, the cells before it kept",
            );
        }
    }

    fn keep(&mut self) {
        let row = self.table.rows;
        let expected = self.table.line_of_next();
        if expected != Some(self.line) {
            self.table.lines.push((row, self.line));
        }
        for (column, &value) in self.table.columns.iter_mut().zip(&self.row) {
            column.values.push(value);
        }
        self.table.rows += 1;
    }

    fn skip_line_end(&mut self) {
        let (_, next) = line_end(self.bytes, self.at);
        self.at = next;
        self.line += 1;
    }

    fn skip_blanks(&mut self) {
        while matches!(self.bytes.get(self.at), Some(b' ' | b'\t')) {
            self.at += 1;
        }
    }

    fn skip_nuls(&mut self) {
        let start = self.at;
        while self.bytes.get(self.at) == Some(&0) {
            self.at += 1;
        }
        let length = self.at - start;
        self.notes.add(
            self.line,
            0,
            format!("a block of {length} zero bytes"),
            "skipped; what stands before and after it was read as lines of their own",
        );
    }

    /// Reads one cell into the row; leaves `at` on the separator or line end. True when it says something.
    #[inline]
    fn cell(&mut self, index: usize) -> bool {
        let kind = self.kinds.get(index).copied().unwrap_or(Kind::Text);
        let separator = self.head.separator;
        match kind {
            Kind::Number => {
                if let Some((value, end)) = scan_number(self.bytes, self.at, self.head.decimal)
                    && ends_cell(self.bytes, end, separator)
                {
                    self.at = end;
                    if let Some(slot) = self.row.get_mut(index) {
                        *slot = value;
                    }
                    return true;
                }
                if ends_cell(self.bytes, self.at, separator) {
                    return false;
                }
            }
            Kind::DateTime | Kind::Clock => {
                if let Some(end) = self.fast_time(index, kind) {
                    self.at = end;
                    return true;
                }
            }
            _ => {}
        }
        self.slow_cell(index)
    }

    /// `YYYY-MM-DDThh:mm:ss[.f][Z]` with the date of the row before, or `hh:mm:ss[.f]`.
    #[inline]
    fn fast_time(&mut self, index: usize, kind: Kind) -> Option<usize> {
        let column = self.table.columns.get(index)?;
        let mut at = self.at;
        if kind == Kind::DateTime {
            let prefix = self.bytes.get(at..at + 10)?;
            if prefix != column.prefix || !matches!(self.bytes.get(at + 10), Some(b'T' | b' ')) {
                return None;
            }
            at += 11;
        }
        let pair = |at: usize| {
            let tens = self.bytes.get(at)?.wrapping_sub(b'0');
            let ones = self.bytes.get(at + 1)?.wrapping_sub(b'0');
            (tens < 10 && ones < 10).then(|| u32::from(tens) * 10 + u32::from(ones))
        };
        let hours = pair(at)?;
        let minutes = pair(at + 3)?;
        let seconds = pair(at + 6)?;
        if self.bytes.get(at + 2) != Some(&b':')
            || self.bytes.get(at + 5) != Some(&b':')
            || hours > 23
            || minutes > 59
            || seconds > 60
        {
            return None;
        }
        at += 8;
        let mut value = f64::from(hours * 3600 + minutes * 60 + seconds);
        if self.bytes.get(at) == Some(&b'.') {
            let (fraction, end) = scan_number(self.bytes, at, b'.')?;
            value += fraction;
            at = end;
        }
        let mut offset = None;
        if self.bytes.get(at) == Some(&b'Z') {
            offset = Some(0);
            at += 1;
        }
        if !ends_cell(self.bytes, at, self.head.separator)
            || column
                .offsets
                .last()
                .is_none_or(|&(_, known)| known != offset)
        {
            return None;
        }
        *self.row.get_mut(index)? = value;
        Some(at)
    }

    /// Any cell, quotes and all.
    #[cold]
    fn slow_cell(&mut self, index: usize) -> bool {
        let start = self.at;
        let end = self.cell_end(start);
        self.at = end;
        let bytes = self.bytes;
        let raw = bytes.get(start..end).unwrap_or_default();
        let inner = if self.head.pairs {
            bare(raw)
        } else {
            unquote(raw)
        };
        let cell = classify(inner, self.head.decimal);
        if cell == Cell::Blank {
            return false;
        }
        let row = self.table.rows;
        if let Some(column) = self.table.columns.get_mut(index) {
            let value = column.take(row, &cell, inner);
            if let Some(kind) = self.kinds.get_mut(index) {
                *kind = column.kind;
            }
            match value {
                Some(value) => {
                    if let Some(slot) = self.row.get_mut(index) {
                        *slot = value;
                    }
                }
                None => {
                    if column.kind != Kind::Text {
                        self.row_misfits += 1;
                        column.misfits += 1;
                        if column.misfits <= 5 {
                            self.notes.add(
                                self.line,
                                u32::try_from(index + 1).unwrap_or(0),
                                format!(
                                    "{} among the values of \"{}\"",
                                    excerpt(inner),
                                    column.name
                                ),
                                "read as no value",
                            );
                        }
                    }
                }
            }
        }
        true
    }

    /// Where the cell that begins at `start` ends.
    fn cell_end(&self, start: usize) -> usize {
        let rest = self.bytes.get(start..).unwrap_or_default();
        let mut quoted = false;
        let quotes = !self.head.pairs;
        for (at, &byte) in rest.iter().enumerate() {
            match byte {
                b'\n' | b'\r' | 0 => return start + at,
                b'"' if quotes => quoted = !quoted,
                b'\t' if self.head.separator == b' ' && !quoted => return start + at,
                _ if byte == self.head.separator && !quoted => return start + at,
                _ => {}
            }
        }
        self.bytes.len()
    }

    fn finish(self) -> Table {
        self.table
    }
}

/// Without blanks and quotes at either end.
fn bare(cell: &[u8]) -> &[u8] {
    let cell = trim(cell);
    let cell = cell.strip_prefix(b"\"").unwrap_or(cell);
    trim(cell.strip_suffix(b"\"").unwrap_or(cell))
}

#[inline]
fn ends_cell(bytes: &[u8], at: usize, separator: u8) -> bool {
    match bytes.get(at) {
        None => true,
        Some(&byte) => {
            byte == separator
                || matches!(byte, b'\n' | b'\r')
                || (separator == b' ' && byte == b'\t')
        }
    }
}

impl Table {
    /// A table of numbers that did not come from text; its lines are its row numbers.
    pub fn from_columns(columns: Vec<(&str, &str, Vec<f64>)>) -> Self {
        let rows = columns.first().map_or(0, |(.., values)| values.len());
        let columns = columns
            .into_iter()
            .map(|(name, unit, values)| Column {
                name: name.to_owned(),
                unit_cell: unit.to_owned(),
                kind: Kind::Number,
                values,
                ..Column::default()
            })
            .collect();
        Self {
            columns,
            rows,
            lines: vec![(0, 1)],
            ..Self::default()
        }
    }

    fn line_of_next(&self) -> Option<u64> {
        self.lines
            .last()
            .map(|&(first, line)| line + (self.rows - first) as u64)
    }
}

/// The first characters of something odd, for a note.
pub fn excerpt(bytes: &[u8]) -> String {
    let text = crate::head::text(trim(bytes));
    let mut short: String = text
        .chars()
        .take(40)
        .map(|letter| if letter.is_control() { '·' } else { letter })
        .collect();
    if text.chars().count() > 40 {
        short.push('…');
    }
    format!("\"{short}\"")
}
