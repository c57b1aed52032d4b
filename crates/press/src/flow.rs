//! Setting a debrief on paper: parts flow down pages, in one or more columns, and never split inside.

use crate::frame::SHEET_WIDTH;
use crate::palette::Role;
use crate::svg::{Anchor, Drawing, Style, solid, style};
use crate::text::{self, Face};

/// What a part is, for readers of the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tag {
    /// Title of the document.
    Heading1,
    /// Title of a sheet.
    Heading2,
    /// A heading inside a sheet.
    Heading3,
    /// Sentences.
    Paragraph,
    /// A drawing, with its words.
    Figure,
    /// Says nothing: rules, feet of pages.
    Artifact,
}

/// A part on a page.
#[derive(Clone, Debug)]
pub struct Part {
    /// What it is.
    pub tag: Tag,
    /// What is drawn.
    pub drawing: Drawing,
    /// Left, px of the page.
    pub x: f64,
    /// Top, px of the page.
    pub y: f64,
}

/// A page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Parts in reading order.
    pub parts: Vec<Part>,
    /// Bookmark, on the first page of a sheet.
    pub bookmark: Option<String>,
    /// How much smaller than life the page is set; 1 = not at all.
    pub scale: f64,
}

/// Paper, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheetsize {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// Parts flowing down pages.
pub struct Flow {
    /// Pages so far.
    pub pages: Vec<Page>,
    paper: Sheetsize,
    y: f64,
    scale: f64,
    caution: String,
    running: String,
}

const TOP: f64 = 34.0;
const FOOT: f64 = 58.0;

impl Flow {
    /// Nothing yet; `caution` stands at the foot of every page.
    #[must_use]
    pub fn new(paper: Sheetsize, caution: &str) -> Self {
        Self {
            pages: Vec::new(),
            paper,
            y: TOP,
            scale: 1.0,
            caution: caution.to_owned(),
            running: String::new(),
        }
    }

    /// Begins a sheet on a new page. `running` stands on top of the pages that follow it.
    pub fn sheet(&mut self, bookmark: &str, running: &str) {
        self.running.clear();
        self.turn();
        running.clone_into(&mut self.running);
        if let Some(page) = self.pages.last_mut() {
            page.bookmark = Some(bookmark.to_owned());
        }
    }

    /// Sets the pages that follow smaller, so that a sheet a little too long keeps to its page.
    pub fn shrink(&mut self, scale: f64) {
        self.scale = scale.clamp(0.5, 1.0);
    }

    fn left(&self) -> f64 {
        (self.paper.width / self.scale - SHEET_WIDTH) / 2.0
    }

    fn bottom(&self) -> f64 {
        self.paper.height / self.scale - FOOT
    }

    /// Room left on this page, px.
    #[must_use]
    pub fn room(&self) -> f64 {
        if self.pages.is_empty() {
            0.0
        } else {
            self.bottom() - self.y
        }
    }

    fn turn(&mut self) {
        self.pages.push(Page {
            parts: Vec::new(),
            bookmark: None,
            scale: self.scale,
        });
        self.y = TOP;
        let number = self.pages.len();
        let foot = self.foot(number);
        let (left, y) = (self.left(), self.bottom() + 8.0);
        self.push(Tag::Artifact, foot, left, y);
        if !self.running.is_empty() {
            let mut head = Drawing::new(SHEET_WIDTH, 18.0);
            let words = text::fit(Face::Sans, 12.0, &self.running, SHEET_WIDTH);
            head.text(
                (0.0, 11.0),
                Anchor::Start,
                style(Face::Sans, 12.0, Role::Ink2),
                &words,
            );
            self.push(Tag::Artifact, head, left, TOP - 8.0);
            self.y = TOP + 18.0;
        }
    }

    fn foot(&self, number: usize) -> Drawing {
        let mut foot = Drawing::new(SHEET_WIDTH, FOOT - 20.0);
        foot.line((0.0, 0.0), (SHEET_WIDTH, 0.0), solid(Role::Rule, 1.0));
        let style = style(Face::Sans, 10.5, Role::Ink2);
        let count = number.to_string();
        foot.text((SHEET_WIDTH, 14.0), Anchor::End, style, &count);
        for (index, line) in text::wrap(style.face, style.size, &self.caution, SHEET_WIDTH - 30.0)
            .iter()
            .take(3)
            .enumerate()
        {
            foot.text(
                (0.0, 14.0 + 12.5 * index as f64),
                Anchor::Start,
                style,
                line,
            );
        }
        foot
    }

    fn push(&mut self, tag: Tag, drawing: Drawing, x: f64, y: f64) {
        if let Some(page) = self.pages.last_mut() {
            page.parts.push(Part { tag, drawing, x, y });
        }
    }

    /// Space, unless the page begins here.
    pub fn space(&mut self, px: f64) {
        if self.y > TOP + 20.0 {
            self.y += px;
        }
    }

    /// Turns the page unless `px` are left on it.
    pub fn need(&mut self, px: f64) {
        if px > self.room() && (self.y > TOP + 20.0 || self.pages.is_empty()) {
            self.turn();
        }
    }

    /// One part over the whole width.
    pub fn part(&mut self, tag: Tag, drawing: Drawing) {
        self.need(drawing.height);
        let (left, y, height) = (self.left(), self.y, drawing.height);
        self.push(tag, drawing, left, y);
        self.y += height;
    }

    /// A hairline, if what follows it has at least `px` of room on the same page.
    pub fn rule(&mut self, px: f64) {
        self.space(8.0);
        self.need(px);
        if self.y > TOP + 20.0 {
            let mut rule = Drawing::new(SHEET_WIDTH, 9.0);
            rule.line((0.0, 0.0), (SHEET_WIDTH, 0.0), solid(Role::Rule, 1.0));
            self.part(Tag::Artifact, rule);
        }
    }

    /// Cells in balanced columns; what does not fit goes on.
    pub fn columns(&mut self, cells: Vec<(Tag, Drawing)>, count: usize, gap: f64) {
        let width = column_width(count, gap);
        let mut rest = cells;
        while !rest.is_empty() {
            let tallest = rest.iter().map(|(_, cell)| cell.height).fold(0.0, f64::max);
            self.need(tallest.min(self.bottom() - TOP - 30.0));
            let total: f64 = rest.iter().map(|(_, cell)| cell.height).sum();
            let mut limit = (total / count as f64).max(tallest);
            let mut cuts = fill(&rest, count, limit);
            while cuts.last().copied().unwrap_or(0) < rest.len() && limit < self.room() {
                limit = (limit + 4.0).min(self.room());
                cuts = fill(&rest, count, limit);
            }
            if limit > self.room() {
                cuts = fill(&rest, count, self.room().max(tallest));
            }
            let until = cuts.last().copied().unwrap_or(0).max(1);
            let mut deepest = self.y;
            let (mut column, mut y) = (0, self.y);
            for (index, (tag, cell)) in rest.drain(..until).enumerate() {
                while cuts.get(column).is_some_and(|cut| index >= *cut) && column + 1 < count {
                    column += 1;
                    y = self.y;
                }
                let height = cell.height;
                let x = self.left() + column as f64 * (width + gap);
                self.push(tag, cell, x, y);
                y += height;
                deepest = deepest.max(y);
            }
            self.y = deepest;
            if !rest.is_empty() {
                self.turn();
            }
        }
    }
}

/// Width of one of several columns.
#[must_use]
pub fn column_width(count: usize, gap: f64) -> f64 {
    (SHEET_WIDTH - gap * (count.max(1) - 1) as f64) / count.max(1) as f64
}

/// For each column, the index after its last cell when no column may be taller than `limit`.
fn fill(cells: &[(Tag, Drawing)], count: usize, limit: f64) -> Vec<usize> {
    let mut cuts = Vec::with_capacity(count);
    let mut index = 0;
    for _ in 0..count {
        let mut height = 0.0;
        while let Some((_, cell)) = cells.get(index) {
            if height + cell.height > limit + 0.01 && height > 0.0 {
                break;
            }
            height += cell.height;
            index += 1;
        }
        cuts.push(index);
    }
    cuts
}

/// Words in several styles, wrapped together.
#[must_use]
pub fn paragraph(runs: &[(Style, &str)], width: f64, leading: f64) -> Drawing {
    let mut drawing = Drawing::new(width, 0.0);
    let (mut x, mut line) = (0.0, 0_usize);
    let base = |line: usize| leading * 0.76 + leading * line as f64;
    for (style, words) in runs {
        let blank = text::width(style.face, style.size, " ");
        // Words that share a line are set as one run, so that a search in the PDF finds the sentence.
        let (mut run, mut from) = (String::new(), x);
        for word in words
            .split([' ', '\n', '\t', '\r'])
            .filter(|word| !word.is_empty())
        {
            let long = text::width(style.face, style.size, word);
            let pieces = if long > width {
                text::wrap(style.face, style.size, word, width)
            } else {
                vec![word.to_owned()]
            };
            for piece in pieces {
                let wide = text::width(style.face, style.size, &piece);
                if x > 0.0 && x + wide > width {
                    drawing.text((from, base(line)), Anchor::Start, *style, run.trim_end());
                    run.clear();
                    (x, from) = (0.0, 0.0);
                    line += 1;
                }
                run.push_str(&piece);
                run.push(' ');
                x += wide + blank;
            }
        }
        drawing.text((from, base(line)), Anchor::Start, *style, run.trim_end());
    }
    drawing.height = base(line) + leading * 0.24;
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;

    const LETTER: Sheetsize = Sheetsize {
        width: 816.0,
        height: 1056.0,
    };

    #[test]
    fn prop_columns_keep_every_cell_in_order_and_inside_the_page() {
        let mut flow = Flow::new(LETTER, "caution");
        flow.sheet("a", "a, continued");
        let cells: Vec<(Tag, Drawing)> = (0..200)
            .map(|index| {
                (
                    Tag::Paragraph,
                    Drawing::new(200.0, 14.0 + f64::from(index % 5) * 9.0),
                )
            })
            .collect();
        let heights: Vec<f64> = cells.iter().map(|(_, cell)| cell.height).collect();
        flow.columns(cells, 3, 16.0);
        let placed: Vec<f64> = flow
            .pages
            .iter()
            .flat_map(|page| &page.parts)
            .filter(|part| part.tag == Tag::Paragraph)
            .map(|part| part.drawing.height)
            .collect();
        assert_eq!(placed, heights);
        for part in flow.pages.iter().flat_map(|page| &page.parts) {
            assert!(
                part.y >= 0.0 && part.y + part.drawing.height <= LETTER.height,
                "{} {}",
                part.y,
                part.drawing.height
            );
        }
        assert!(flow.pages.len() > 1);
    }

    #[test]
    fn prop_a_paragraph_stays_in_its_width() {
        let (plain, bold) = (
            style(Face::Serif, 14.5, Role::Ink),
            style(Face::SerifBold, 14.5, Role::Ink),
        );
        let words = "One two three four five six seven eight nine ten ".repeat(8);
        let drawing = paragraph(&[(plain, &words), (bold, &words)], 300.0, 20.0);
        assert!(
            drawing
                .labels()
                .all(|(rect, _)| rect.x0 >= 0.0 && rect.x1 <= 300.5)
        );
        assert!(drawing.labels().all(|(rect, _)| rect.y1 <= drawing.height));
        let text: Vec<&str> = drawing.labels().map(|(_, words)| words).collect();
        assert_eq!(text.join(" ").split_whitespace().count(), 160);
    }
}
