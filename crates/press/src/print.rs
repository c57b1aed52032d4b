//! The debrief on paper: a cover, then each sheet on a page of its own.

use crate::account;
use crate::day_fit;
use crate::flow::{Flow, Page, Sheetsize, Tag, column_width, paragraph};
use crate::frame::SHEET_WIDTH;
use crate::glyph;
use crate::height;
use crate::lesson::{self, LessonSheet};
use crate::palette::Role;
use crate::sheet::{self, Asked, Sheet, Told};
use crate::strip;
use crate::svg::{Anchor, Drawing, Style, style};
use crate::text::{self, Face};
use crate::whole;
use crate::words::{self, Watch};
use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;
use standard::Verdict;

pub(crate) const BODY: Style = style(Face::Sans, 12.0, Role::Ink);
pub(crate) const BOLD: Style = style(Face::SansBold, 12.0, Role::Ink);
pub(crate) const SECOND: Style = style(Face::Sans, 12.0, Role::Ink2);
pub(crate) const LEADING: f64 = 15.5;

/// What stands at the foot of every page: which edition of which standard, and the caution.
pub(crate) fn foot(debrief: &Debrief) -> String {
    let standard = &debrief.standard;
    format!(
        "{}, {}. {}",
        standard.title, standard.edition, debrief.caution
    )
}

/// Every page of a debrief.
#[must_use]
pub fn pages(debrief: &Debrief, flight: &Flight, paper: Sheetsize) -> Vec<Page> {
    let mut flow = Flow::new(paper, &foot(debrief));
    cover(&mut flow, debrief, flight);
    put_sheets(&mut flow, debrief, flight, paper);
    flow.pages
}

/// The lesson on one page, and behind it each sheet where they are wanted.
#[must_use]
pub fn lesson_pages(
    lesson: &LessonSheet,
    debrief: &Debrief,
    flight: &Flight,
    paper: Sheetsize,
    with_sheets: bool,
) -> Vec<Page> {
    let mut flow = Flow::new(paper, &foot(debrief));
    lesson::put(&mut flow, lesson, debrief, flight, paper);
    if with_sheets {
        put_sheets(&mut flow, debrief, flight, paper);
    }
    flow.pages
}

fn put_sheets(flow: &mut Flow, debrief: &Debrief, flight: &Flight, paper: Sheetsize) {
    for sheet in sheet::sheets(debrief, flight) {
        put_fitting(flow, debrief, flight, sheet, paper);
    }
}

/// Two texts on one line, left and right; the right one goes below where both do not fit.
pub(crate) fn ends(left: (Style, &str), right: (Style, &str), leading: f64) -> Drawing {
    let mut drawing = Drawing::new(SHEET_WIDTH, leading);
    let size = left.0.size.max(right.0.size);
    let base = leading - size * 0.3;
    let left_words = text::fit(left.0.face, left.0.size, left.1, SHEET_WIDTH);
    let after = drawing
        .text((0.0, base), Anchor::Start, left.0, &left_words)
        .x1;
    let wide = text::width(right.0.face, right.0.size, right.1);
    if after + 16.0 + wide <= SHEET_WIDTH {
        drawing.text((SHEET_WIDTH, base), Anchor::End, right.0, right.1);
    } else {
        for (index, line) in text::wrap(right.0.face, right.0.size, right.1, SHEET_WIDTH)
            .iter()
            .enumerate()
        {
            drawing.text(
                (0.0, base + 16.0 * (index + 1) as f64),
                Anchor::Start,
                right.0,
                line,
            );
            drawing.height = leading + 16.0 * (index + 1) as f64;
        }
    }
    drawing
}

fn cover(flow: &mut Flow, debrief: &Debrief, flight: &Flight) {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let title = sheet::debrief_title(debrief, flight);
    flow.sheet(&title, &format!("{title}, continued"));
    let span = format!(
        "{}–{} {}, {}",
        watch.hm(0.0),
        watch.hm(debrief.recording.duration_s),
        watch.zone(),
        debrief.aircraft.name
    );
    flow.part(
        Tag::Paragraph,
        ends((SECOND, "Proofwing debrief"), (SECOND, &span), 18.0),
    );
    flow.part(
        Tag::Heading1,
        paragraph(
            &[(style(Face::SerifBold, 27.0, Role::Ink), &title)],
            SHEET_WIDTH,
            36.0,
        ),
    );
    flow.space(4.0);
    whole::put_safety(flow, debrief, watch);
    flow.space(8.0);
    flow.part(Tag::Figure, strip::draw(debrief, watch, false));
    whole::put_times(flow, debrief);
    flow.space(10.0);
    list_of_maneuvers(flow, debrief, watch);
    day_fit::put(flow, debrief);
    flow.rule(80.0);
    flow.part(Tag::Heading3, part_title("What was read, and what was not"));
    for (name, words) in account::account(debrief, flight) {
        let mut line = Drawing::new(SHEET_WIDTH, 0.0);
        line.text((0.0, LEADING * 0.76), Anchor::Start, BOLD, name);
        let mut words = paragraph(&[(BODY, &words)], SHEET_WIDTH - 100.0, LEADING);
        words.height += 1.5;
        line.place(&words, 100.0, 0.0);
        line.height = words.height;
        flow.part(Tag::Paragraph, line);
    }
}

/// The maneuvers with their marks in short, and those that were found and not marked.
pub(crate) fn list_of_maneuvers(flow: &mut Flow, debrief: &Debrief, watch: Watch) {
    flow.part(Tag::Heading3, part_title("Maneuvers"));
    if debrief.maneuvers.is_empty() {
        flow.part(
            Tag::Paragraph,
            paragraph(
                &[(BODY, "No maneuver was found in this recording.")],
                SHEET_WIDTH,
                LEADING,
            ),
        );
    }
    for maneuver in debrief.maneuvers.iter().filter(|maneuver| maneuver.marked) {
        flow.part(Tag::Paragraph, list_line(maneuver, watch));
    }
    if let Some(words) = sheet::unmarked(debrief, watch) {
        flow.space(4.0);
        let runs = [(BOLD, "Found, not marked"), (BODY, words.as_str())];
        flow.part(Tag::Paragraph, paragraph(&runs, SHEET_WIDTH, LEADING));
    }
}

pub(crate) fn part_title(words: &str) -> Drawing {
    paragraph(
        &[(style(Face::SerifBold, 16.0, Role::Ink), words)],
        SHEET_WIDTH,
        24.0,
    )
}

/// Number, time, name, and the marks with their words.
fn list_line(maneuver: &ManeuverDebrief, watch: Watch) -> Drawing {
    let mut drawing = Drawing::new(SHEET_WIDTH, 0.0);
    let base = LEADING * 0.76;
    drawing.text(
        (18.0, base),
        Anchor::End,
        BODY,
        &maneuver.number.to_string(),
    );
    drawing.text(
        (28.0, base),
        Anchor::Start,
        SECOND,
        &watch.hm(maneuver.start_s),
    );
    let doubt = if maneuver.confidence_word == "certain" || maneuver.confidence_word.is_empty() {
        String::new()
    } else {
        format!("({})", maneuver.confidence_word)
    };
    let name = paragraph(&[(BOLD, &maneuver.title), (SECOND, &doubt)], 210.0, LEADING);
    drawing.place(&name, 74.0, 0.0);
    let (left, mut x, mut y) = (292.0, 292.0, base);
    for (verdict, words) in sheet::tally(maneuver) {
        let word = words::mark(verdict);
        let lead = 22.0 + text::width(BOLD.face, BOLD.size, word) + 5.0;
        let wide = lead + text::width(BODY.face, BODY.size, &words);
        if x > left && x + wide > SHEET_WIDTH {
            (x, y) = (left, y + LEADING);
        }
        glyph::draw(&mut drawing, (x, y - 9.5), 17.0, verdict, false);
        drawing.text((x + 22.0, y), Anchor::Start, BOLD, word);
        let room = SHEET_WIDTH - x - lead;
        for (index, line) in text::wrap(BODY.face, BODY.size, &words, room)
            .iter()
            .enumerate()
        {
            y += if index > 0 { LEADING } else { 0.0 };
            drawing.text((x + lead, y), Anchor::Start, BODY, line);
        }
        x += wide.min(SHEET_WIDTH - left) + 14.0;
    }
    drawing.height = (y + LEADING * 0.24).max(name.height);
    if !maneuver.change_line.is_empty() {
        let change = paragraph(
            &[(
                style(Face::Serif, 12.5, Role::Ink2),
                &words::sentence(&maneuver.change_line),
            )],
            SHEET_WIDTH - 74.0,
            LEADING,
        );
        drawing.place(&change, 74.0, drawing.height);
        drawing.height += change.height;
    }
    drawing.height += 5.0;
    drawing
}

/// Sets a sheet on one page: lower panels are tried first, then a smaller page, and only a sheet that is too long
/// even so takes two, with the findings on the first: what to change must not hide overleaf.
fn put_fitting(
    flow: &mut Flow,
    debrief: &Debrief,
    flight: &Flight,
    mut sheet: Sheet<'_>,
    paper: Sheetsize,
) {
    const SHARES: [f64; 6] = [1.0, 0.88, 0.78, 0.68, 0.6, 0.52];
    // The smallest sets 12 px as 9.6: seven points, about the least that is read without effort at a desk.
    const SCALES: [f64; 6] = [1.0, 0.95, 0.91, 0.87, 0.83, 0.8];
    let fits = |sheet: &Sheet<'_>, scale: f64| {
        let mut trial = Flow::new(paper, &foot(debrief));
        trial.shrink(scale);
        put_sheet(&mut trial, flight, sheet, Part::Lists, false);
        trial.pages.len() == 1
    };
    if fits(&sheet, 1.0) {
        put_sheet(flow, flight, &sheet, Part::Lists, false);
        return put_heights(flow, &sheet);
    }
    let drawn: Vec<Vec<Drawing>> = SHARES
        .iter()
        .map(|share| sheet::lower_figures(debrief, flight, &sheet.maneuvers, *share))
        .collect();
    let tries = SCALES
        .iter()
        .flat_map(|scale| drawn.iter().map(move |drawings| (*scale, drawings)));
    for (scale, drawings) in tries {
        set_figures(&mut sheet, drawings.clone());
        if fits(&sheet, scale) {
            flow.shrink(scale);
            put_sheet(flow, flight, &sheet, Part::Lists, false);
            return put_heights(flow, &sheet);
        }
    }
    put_on_two(flow, debrief, flight, &mut sheet, &drawn, paper);
    put_heights(flow, &sheet);
}

/// Where the height went: under the sheet where the page has the room, else whole on the page behind it.
fn put_heights(flow: &mut Flow, sheet: &Sheet<'_>) {
    let taken: f64 = sheet
        .maneuvers
        .iter()
        .map(|maneuver| height::taken(maneuver))
        .sum();
    if taken > 0.0 && taken > flow.room() {
        flow.shrink(1.0);
        flow.need(f64::INFINITY);
    }
    for maneuver in &sheet.maneuvers {
        height::put(flow, maneuver);
    }
    flow.shrink(1.0);
}

/// Sets a sheet that does not fit one page: findings before the story where that keeps them on the first.
fn put_on_two(
    flow: &mut Flow,
    debrief: &Debrief,
    flight: &Flight,
    sheet: &mut Sheet<'_>,
    drawn: &[Vec<Drawing>],
    paper: Sheetsize,
) {
    // What must end on the first page, and whether the findings come before the story.
    const WAYS: [(Part, bool); 2] = [(Part::Words, false), (Part::Findings, true)];
    let mut findings_first = false;
    let tries = WAYS
        .iter()
        .flat_map(|way| drawn.iter().map(move |drawings| (way, drawings)));
    let chosen = tries.into_iter().find(|((until, first), drawings)| {
        set_figures(sheet, (*drawings).clone());
        let mut trial = Flow::new(paper, &foot(debrief));
        put_sheet(&mut trial, flight, sheet, *until, *first);
        trial.pages.len() == 1
    });
    match chosen {
        Some(((_, first), _)) => findings_first = *first,
        None => set_figures(sheet, drawn.first().cloned().unwrap_or_default()),
    }
    put_sheet(flow, flight, sheet, Part::Lists, findings_first);
}

/// How far a sheet is set.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    /// Figures and findings.
    Findings,
    /// Figures, story and findings.
    Words,
    /// Everything.
    Lists,
}

fn set_figures(sheet: &mut Sheet<'_>, drawings: Vec<Drawing>) {
    for (figure, drawing) in sheet.figures.iter_mut().zip(drawings) {
        figure.wide = drawing;
    }
}

fn put_sheet(
    flow: &mut Flow,
    flight: &Flight,
    sheet: &Sheet<'_>,
    until: Part,
    findings_first: bool,
) {
    let numbers: Vec<String> = sheet
        .maneuvers
        .iter()
        .map(|maneuver| maneuver.number.to_string())
        .collect();
    flow.sheet(
        &format!("{} {}", numbers.join(", "), sheet.title),
        &format!("{}, continued", sheet.title),
    );
    flow.part(
        Tag::Paragraph,
        ends((SECOND, &sheet.kicker), (SECOND, &sheet.asked), 18.0),
    );
    flow.part(
        Tag::Heading2,
        ends(
            (style(Face::SerifBold, 27.0, Role::Ink), &sheet.title),
            (SECOND, &sheet.facts),
            36.0,
        ),
    );
    for said in &sheet.said {
        let (plain, bold) = (
            style(Face::Serif, 15.0, Role::Ink),
            style(Face::SerifBold, 15.0, Role::Ink),
        );
        flow.part(
            Tag::Paragraph,
            paragraph(
                &[
                    (plain, &said.lead),
                    (plain, &said.verdict),
                    (bold, &said.change),
                ],
                SHEET_WIDTH,
                20.5,
            ),
        );
    }
    flow.space(8.0);
    for figure in &sheet.figures {
        flow.part(Tag::Figure, figure.wide.clone());
        flow.space(6.0);
    }
    if findings_first {
        findings(flow, sheet);
        if until != Part::Findings {
            flow.rule(40.0);
            story(flow, flight, sheet);
        }
    } else {
        story(flow, flight, sheet);
        findings(flow, sheet);
    }
    if until == Part::Lists {
        lists(flow, sheet);
        for maneuver in &sheet.maneuvers {
            height::put_missing(flow, maneuver);
        }
    }
}

fn story(flow: &mut Flow, flight: &Flight, sheet: &Sheet<'_>) {
    const GAP: f64 = 16.0;
    if sheet.story.is_empty() {
        return;
    }
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let number = if sheet.story_is_numbered { 22.0 } else { 0.0 };
    let time = 54.0;
    let longest = |count: usize| {
        let room = column_width(count, GAP) - number - time;
        sheet
            .story
            .iter()
            .map(|line| text::wrap(BODY.face, BODY.size, &line.words, room).len())
            .sum::<usize>() as f64
            / count as f64
    };
    // Three columns unless long lines make two no taller.
    let count = if longest(3) <= longest(2) * 1.05 {
        3
    } else {
        2
    };
    let width = column_width(count, GAP);
    let cells = sheet.story.iter().map(|line| {
        let mut cell = Drawing::new(width, 0.0);
        let base = LEADING * 0.76;
        if sheet.story_is_numbered {
            cell.text((0.0, base), Anchor::Start, BOLD, &line.number.to_string());
        }
        cell.text((number, base), Anchor::Start, SECOND, &watch.hms(line.at_s));
        let words = paragraph(&[(BODY, &line.words)], width - number - time, LEADING);
        cell.place(&words, number + time, 0.0);
        cell.height = words.height;
        (Tag::Paragraph, cell)
    });
    flow.columns(cells.collect(), count, GAP);
}

/// One finding as a cell.
fn finding(told: &Told, width: f64) -> Drawing {
    let mut parts = vec![
        paragraph(
            &[(style(Face::SerifBold, 15.0, Role::Ink), &told.headline)],
            width,
            19.0,
        ),
        paragraph(&[(BODY, &told.evidence)], width, LEADING),
    ];
    if !told.cost.is_empty() {
        parts.push(paragraph(
            &[
                (style(Face::SansBold, 12.0, Role::Ink2), "Cost"),
                (SECOND, &told.cost),
            ],
            width,
            LEADING,
        ));
    }
    if !told.advice.is_empty() {
        let source = if told.source.is_empty() {
            String::new()
        } else {
            format!("({})", told.source)
        };
        parts.push(paragraph(
            &[(BOLD, "Try"), (BODY, &told.advice), (SECOND, &source)],
            width,
            LEADING,
        ));
    }
    stack(&parts, width, 2.5)
}

fn stack(parts: &[Drawing], width: f64, gap: f64) -> Drawing {
    let mut cell = Drawing::new(width, 0.0);
    for part in parts {
        cell.place(part, 0.0, cell.height);
        cell.height += part.height + gap;
    }
    cell
}

fn findings(flow: &mut Flow, sheet: &Sheet<'_>) {
    const GAP: f64 = 28.0;
    if !sheet.findings.is_empty() {
        let count = sheet.findings.len().min(2);
        let width = column_width(count, GAP);
        let cells: Vec<(Tag, Drawing)> = sheet
            .findings
            .iter()
            .map(|told| (Tag::Paragraph, finding(told, width)))
            .collect();
        let tallest = cells
            .iter()
            .map(|(_, cell)| cell.height)
            .fold(0.0, f64::max);
        flow.rule(tallest + 10.0);
        flow.columns(cells, count, GAP);
    }
    for told in &sheet.rest {
        let cost = if told.cost.is_empty() {
            String::new()
        } else {
            format!("Cost: {}.", told.cost)
        };
        let headline = format!("{}.", told.headline);
        flow.space(2.0);
        flow.part(
            Tag::Paragraph,
            paragraph(
                &[
                    (BOLD, &headline),
                    (BODY, &told.evidence),
                    (SECOND, &cost),
                    (BOLD, "Try"),
                    (BODY, &told.advice),
                ],
                SHEET_WIDTH,
                LEADING,
            ),
        );
    }
}

fn lists(flow: &mut Flow, sheet: &Sheet<'_>) {
    const GAP: f64 = 20.0;
    if sheet.kept.is_empty() && sheet.also.is_empty() {
        return;
    }
    flow.rule(48.0);
    if !sheet.kept.is_empty() {
        // The figure with its σ stands in the ribbons or in the list; praise needs no second copy.
        let kept: Vec<String> = sheet
            .kept
            .iter()
            .map(|told| format!("{}.", told.headline))
            .collect();
        let words = kept.join(" ");
        flow.part(
            Tag::Paragraph,
            paragraph(&[(BOLD, "Kept"), (BODY, &words)], SHEET_WIDTH, LEADING),
        );
        flow.space(3.0);
    }
    let (given, measured): (Vec<&Asked>, Vec<&Asked>) = sheet
        .also
        .iter()
        .partition(|asked| asked.mark == Verdict::ForInstructor && !asked.words.contains('?'));
    let width = column_width(3, GAP);
    let cells: Vec<(Tag, Drawing)> = measured
        .iter()
        .map(|asked| (Tag::Paragraph, asked_line(asked, width)))
        .collect();
    if !cells.is_empty() {
        flow.columns(cells, 3, GAP);
    }
    if !given.is_empty() {
        flow.space(3.0);
        flow.part(Tag::Paragraph, boxes(&given));
    }
}

/// What only a person can judge, as boxes for a pen, several on a line.
fn boxes(given: &[&Asked]) -> Drawing {
    let word = words::mark(Verdict::ForInstructor);
    let mut drawing = Drawing::new(SHEET_WIDTH, 0.0);
    let mut base = LEADING * 0.76;
    let lead = drawing.text((0.0, base), Anchor::Start, BOLD, word).x1 + 10.0;
    let mut x = lead;
    for asked in given {
        let wide = 22.0 + text::width(BODY.face, BODY.size, &asked.words);
        if x > lead && x + wide > SHEET_WIDTH {
            (x, base) = (lead, base + LEADING + 2.0);
        }
        glyph::draw(&mut drawing, (x, base - 9.5), 17.0, asked.mark, asked.below);
        for (index, line) in text::wrap(BODY.face, BODY.size, &asked.words, SHEET_WIDTH - x - 22.0)
            .iter()
            .enumerate()
        {
            base += if index > 0 { LEADING } else { 0.0 };
            drawing.text((x + 22.0, base), Anchor::Start, BODY, line);
        }
        x += wide + 14.0;
    }
    drawing.height = base + LEADING * 0.24;
    drawing
}

fn asked_line(asked: &Asked, width: f64) -> Drawing {
    let mut cell = Drawing::new(width, 0.0);
    glyph::draw(&mut cell, (0.0, 3.0), 17.0, asked.mark, asked.below);
    let words = paragraph(
        &[(BOLD, words::mark(asked.mark)), (BODY, &asked.words)],
        width - 24.0,
        LEADING,
    );
    cell.place(&words, 24.0, 0.0);
    cell.height = words.height + 2.0;
    cell
}
