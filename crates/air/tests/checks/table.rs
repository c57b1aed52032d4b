//! Reading the small tables of check values: commas between cells, no quotes, `#` begins a comment.

use std::collections::HashMap;

/// One row by the names of the heading.
pub struct Row(HashMap<&'static str, &'static str>);

impl Row {
    pub fn text(&self, column: &str) -> &'static str {
        self.0
            .get(column)
            .copied()
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    pub fn has(&self, column: &str) -> bool {
        !self.text(column).is_empty()
    }

    #[track_caller]
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column} is {text:?}, not a number"))
    }
}

/// All rows, which must be as many as said: a lost row is a lost check.
#[track_caller]
pub fn rows(text: &'static str, count: usize) -> Vec<Row> {
    let mut lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty());
    let heading: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let rows: Vec<Row> = lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells.len(), heading.len(), "{line}");
            assert!(!cells.last().unwrap().is_empty(), "no source: {line}");
            Row(heading.iter().copied().zip(cells).collect())
        })
        .collect();
    assert_eq!(rows.len(), count);
    rows
}
