//! The brief card: for each kind of stall that was debriefed, the clean recovery of the day on one page, to be talked
//! through before the next lesson. Nothing on it is new: what is computed and what is published stand together.

use crate::flow::{Flow, Page, Sheetsize, Tag, paragraph};
use crate::frame::{Frame, SHEET_WIDTH};
use crate::html;
use crate::palette::Role;
use crate::print::{self, BODY, BOLD, LEADING, SECOND};
use crate::sheet::Figure;
use crate::svg::{Anchor, Drawing, escape, style};
use crate::text::Face;
use crate::what_if_chart;
use crate::words::{self, Watch};
use debrief::{Debrief, FitRow, ManeuverDebrief};
use flight::Flight;
use std::fmt::Write as _;

/// The stall recovery template, in its order.
const ORDER: [&str; 6] = [
    "Wing leveler or autopilot: off.",
    "Nose down until the indications of the stall are gone; trim nose down as needed.",
    "Wings level.",
    "Power as needed.",
    "Spoilers or speed brakes: in.",
    "Back to the flight path that was asked for.",
];
/// Where it stands.
const ORDER_FROM: &str =
    "Airplane Flying Handbook (FAA-H-8083-3C), chapter 5, stall recovery template";
/// Entry heights are told in steps of this many feet, upward.
const STEP_FT: f64 = 100.0;

/// The cards, one a page; empty where no stall has a clean recovery to show.
#[must_use]
pub fn pages(debrief: &Debrief, flight: &Flight, paper: Sheetsize) -> Vec<Page> {
    let mut flow = Flow::new(paper, &print::foot(debrief));
    for card in cards(debrief, flight) {
        put(&mut flow, &card);
    }
    flow.pages
}

/// What one card says, for paper and page alike.
struct Card {
    title: String,
    /// Which flight and which aircraft it is from.
    from: String,
    /// What a clean recovery takes today, in a sentence.
    clean: Option<String>,
    profile: Figure,
    /// The two lists, those with nothing in them left out.
    lists: Vec<(&'static str, Vec<Line>)>,
    caution: String,
}

const KICKER: &str = "Brief card, for use on the ground";
const ORDER_TITLE: &str = "The recovery, in its order";

/// One for each kind of stall that has a clean recovery to show.
fn cards(debrief: &Debrief, flight: &Flight) -> Vec<Card> {
    let mut kinds: Vec<&str> = Vec::new();
    for one in stalls(debrief) {
        if !kinds.contains(&one.kind.as_str()) {
            kinds.push(&one.kind);
        }
    }
    // The latest of its kind is what the day has to say.
    let latest = |kind: &str| stalls(debrief).filter(|one| one.kind == kind).last();
    let found = kinds.into_iter().filter_map(latest);
    found.filter_map(|one| card(debrief, flight, one)).collect()
}

fn stalls(debrief: &Debrief) -> impl Iterator<Item = &ManeuverDebrief> {
    let all = debrief.maneuvers.iter();
    all.filter(|one| one.kind.ends_with("_stall") && one.what_if.is_some())
}

fn card(debrief: &Debrief, flight: &Flight, one: &ManeuverDebrief) -> Option<Card> {
    let (what_if, ledger) = (one.what_if.as_ref()?, one.height_ledger.as_ref()?);
    let start = what_if_chart::start_words(ledger);
    let profile = |frame: &Frame| what_if_chart::profile(what_if, &start, frame);
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let kind = one.title.split(',').next().unwrap_or(&one.title);
    let day = watch
        .date()
        .unwrap_or_else(|| debrief.recording.name.clone());
    let mut lists = vec![
        ("What to expect", expected(debrief, one)),
        ("Speeds to know", speeds(debrief, one)),
    ];
    lists.retain(|(_, lines)| !lines.is_empty());
    Some(Card {
        title: format!("Before the next {}", kind.to_lowercase()),
        from: format!("from the flight of {day}, {}", debrief.aircraft.name),
        clean: what_if_chart::clean_words(what_if, "recovery"),
        profile: Figure {
            wide: profile(&Frame::wide())?,
            narrow: profile(&Frame::narrow())?,
        },
        lists,
        caution: what_if.caution.clone(),
    })
}

/// Where the order stands, and what it leaves to the manual.
fn order_from() -> String {
    format!(
        "{ORDER_FROM}. Flaps, and what else this airplane asks for, as its approved manual says."
    )
}

/// On paper.
fn put(flow: &mut Flow, card: &Card) {
    flow.sheet(&card.title, &format!("{}, continued", card.title));
    flow.part(
        Tag::Paragraph,
        print::ends((SECOND, KICKER), (SECOND, &card.from), 18.0),
    );
    let heading = style(Face::SerifBold, 27.0, Role::Ink);
    flow.part(
        Tag::Heading1,
        paragraph(&[(heading, &card.title)], SHEET_WIDTH, 36.0),
    );
    if let Some(clean) = &card.clean {
        let said = style(Face::Serif, 14.5, Role::Ink);
        flow.part(
            Tag::Paragraph,
            paragraph(&[(said, clean)], SHEET_WIDTH, 19.5),
        );
    }
    flow.space(6.0);
    flow.part(Tag::Figure, card.profile.wide.clone());
    for (title, lines) in &card.lists {
        put_list(flow, title, lines);
    }
    flow.rule(120.0);
    flow.part(Tag::Heading3, print::part_title(ORDER_TITLE));
    for (index, step) in ORDER.iter().enumerate() {
        let line = format!("{}. {step}", index + 1);
        flow.part(
            Tag::Paragraph,
            paragraph(&[(BODY, &line)], SHEET_WIDTH, LEADING),
        );
    }
    flow.part(
        Tag::Paragraph,
        paragraph(&[(SECOND, &order_from())], SHEET_WIDTH, LEADING),
    );
    flow.rule(40.0);
    flow.part(
        Tag::Paragraph,
        paragraph(&[(BOLD, &card.caution)], SHEET_WIDTH, LEADING),
    );
}

/// The cards as one page that needs nothing else, each on a sheet of its own in print; none as [`pages`].
#[must_use]
pub fn page(debrief: &Debrief, flight: &Flight, title: &str) -> Option<String> {
    let cards = cards(debrief, flight);
    if cards.is_empty() {
        return None;
    }
    let mut out = html::opened(title);
    out.push_str("<main class=\"cards\">");
    for (index, card) in cards.iter().enumerate() {
        section(&mut out, index, card, &print::foot(debrief));
    }
    out.push_str("</main>");
    html::close(&mut out, debrief);
    Some(out)
}

/// On the page.
fn section(out: &mut String, index: usize, card: &Card, foot: &str) {
    let _ = write!(
        out,
        "<section class=\"sheet\" aria-labelledby=\"card{index}\"><p class=\"row kick\"><span>{KICKER}</span><span>{}</span></p><h1 id=\"card{index}\">{}</h1>",
        escape(&card.from),
        escape(&card.title)
    );
    if let Some(clean) = &card.clean {
        let _ = write!(out, "<p class=\"said\">{}</p>", escape(clean));
    }
    html::figure(out, &card.profile, &format!("card{index}f"));
    for (title, lines) in &card.lists {
        let _ = write!(
            out,
            "<h2 class=\"part\">{title}</h2><table class=\"known\"><tbody>"
        );
        for line in lines {
            let _ = write!(
                out,
                "<tr><th scope=\"row\">{}</th><td><b>{}</b></td><td class=\"found\">{}</td></tr>",
                escape(&line.name),
                escape(&line.value),
                escape(&line.from)
            );
        }
        out.push_str("</tbody></table>");
    }
    let _ = write!(out, "<h2 class=\"part\">{ORDER_TITLE}</h2><ol>");
    for step in ORDER {
        let _ = write!(out, "<li>{step}</li>");
    }
    let _ = write!(
        out,
        "</ol><p class=\"found\">{}</p><hr><p><strong>{}</strong></p><p class=\"caution\">{}</p></section>",
        escape(&order_from()),
        escape(&card.caution),
        escape(foot)
    );
}

/// One line of a table: what, how much, from where.
struct Line {
    name: String,
    value: String,
    from: String,
}

fn put_list(flow: &mut Flow, title: &str, lines: &[Line]) {
    flow.rule(60.0);
    flow.part(Tag::Heading3, print::part_title(title));
    for line in lines {
        let base = LEADING * 0.76;
        let words = paragraph(&[(SECOND, &line.from)], SHEET_WIDTH - 370.0, LEADING);
        let mut drawing = Drawing::new(SHEET_WIDTH, words.height.max(LEADING));
        drawing.text((0.0, base), Anchor::Start, BODY, &line.name);
        drawing.text((250.0, base), Anchor::Start, BOLD, &line.value);
        drawing.place(&words, 370.0, 0.0);
        flow.part(Tag::Paragraph, drawing);
    }
}

fn line(name: &str, value: String, from: &str) -> Line {
    Line {
        name: name.to_owned(),
        value,
        from: from.to_owned(),
    }
}

/// Feet to expect of a clean one, the deepest of this flight, and the height to begin at.
fn expected(debrief: &Debrief, one: &ManeuverDebrief) -> Vec<Line> {
    let mut lines = Vec::new();
    if let Some(what_if) = &one.what_if {
        let right = &what_if.right;
        let computed = "computed from the recording, ± 1σ";
        let heights = right.height_ft.iter().zip(&right.height_sigma_ft);
        let low = heights.min_by(|a, b| a.0.total_cmp(b.0));
        if let Some((height, sigma)) = low {
            let value = words::with_sigma(*height, Some(*sigma), "ft");
            lines.push(line("To the lowest point", value, computed));
        }
        if let Some((height, sigma)) = right.height_ft.last().zip(right.height_sigma_ft.last()) {
            let value = words::with_sigma(*height, Some(*sigma), "ft");
            lines.push(line("30 s after the stall", value, computed));
        }
    }
    let same = stalls(debrief).filter(|other| other.kind == one.kind);
    let fact = |one: &ManeuverDebrief, name: &str| one.facts.get(name).map(|fact| fact.value);
    // What was gained in a power-on entry is not there to be lost the next time: the deeper of both counts.
    let deepest = same.filter_map(|one| {
        let from_entry = fact(one, "entry_altitude_ft")? - fact(one, "lowest_altitude_ft")?;
        Some(from_entry.max(fact(one, "altitude_lost_ft").unwrap_or_default()))
    });
    let deepest = deepest.filter(|drop| drop.is_finite()).reduce(f64::max);
    let least = one
        .marks
        .iter()
        .find(|mark| mark.criterion == "min_altitude_agl");
    if let Some(deepest) = deepest.map(|drop| drop.max(0.0)) {
        let value = words::with_unit(deepest, 0, "ft");
        let from = "entry or stall to lowest point, in this flight; measured";
        lines.push(line("Your deepest so far", value, from));
        if let Some((mark, low)) = least.and_then(|mark| Some((mark, mark.low?))) {
            let entry = ((low + deepest) / STEP_FT).ceil() * STEP_FT;
            let value = words::with_unit(entry, 0, "ft");
            let from = format!(
                "above the ground: {} to be complete at ({}), and your deepest, rounded up; more is better",
                words::with_unit(low, 0, "ft"),
                mark.element
            );
            lines.push(line("Begin at or above", value, &from));
        }
    }
    lines
}

/// Stall speeds by detent and the speeds of the climb: as flown where the flight shows them, else as the file has them.
fn speeds(debrief: &Debrief, one: &ManeuverDebrief) -> Vec<Line> {
    let rows = debrief.fit_of_the_day.iter().flat_map(|fit| &fit.rows);
    let power_on = one.kind == "power_on_stall";
    let wanted = rows.filter(|row| match row.id.as_str() {
        "vy" | "vx" => true,
        "stall_power_on" => power_on,
        id => id.starts_with("stall_"),
    });
    wanted.filter_map(speed).collect()
}

fn speed(row: &FitRow) -> Option<Line> {
    let file = row
        .file
        .map(|file| words::plain((file * 10.0).round() / 10.0, &row.unit));
    let (value, from) = match (row.flown, file) {
        (Some(flown), file) => {
            let value = words::with_sigma(flown, row.sigma, &row.unit);
            let beside = file.map_or(String::new(), |file| format!("; aircraft file {file}"));
            (value, format!("as flown, derived, ± 1σ{beside}"))
        }
        (None, Some(file)) => (
            file,
            "aircraft file; this flight does not show it".to_owned(),
        ),
        (None, None) => return None,
    };
    Some(line(&row.name, value, &from))
}
