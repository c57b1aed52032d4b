//! The brief card: for each kind of stall that was debriefed, the clean recovery of the day on one page, to be talked
//! through before the next lesson. Nothing on it is new: what is computed and what is published stand together.

use crate::flow::{Flow, Page, Sheetsize, Tag, paragraph};
use crate::frame::{Frame, SHEET_WIDTH};
use crate::palette::Role;
use crate::print::{self, BODY, BOLD, LEADING, SECOND};
use crate::svg::{Anchor, Drawing, style};
use crate::text::Face;
use crate::what_if_chart;
use crate::words::{self, Watch};
use debrief::{Debrief, FitRow, ManeuverDebrief};
use flight::Flight;

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
    let mut kinds: Vec<&str> = Vec::new();
    for one in stalls(debrief) {
        if !kinds.contains(&one.kind.as_str()) {
            kinds.push(&one.kind);
            // The latest of its kind is what the day has to say.
            let last = stalls(debrief)
                .filter(|other| other.kind == one.kind)
                .last();
            card(&mut flow, debrief, flight, last.unwrap_or(one));
        }
    }
    flow.pages
}

fn stalls(debrief: &Debrief) -> impl Iterator<Item = &ManeuverDebrief> {
    let all = debrief.maneuvers.iter();
    all.filter(|one| one.kind.ends_with("_stall") && one.what_if.is_some())
}

fn card(flow: &mut Flow, debrief: &Debrief, flight: &Flight, one: &ManeuverDebrief) {
    let (Some(what_if), Some(ledger)) = (&one.what_if, &one.height_ledger) else {
        return;
    };
    let start = what_if_chart::start_words(ledger);
    let Some(profile) = what_if_chart::profile(what_if, &start, &Frame::wide()) else {
        return;
    };
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let kind = one.title.split(',').next().unwrap_or(&one.title);
    let title = format!("Before the next {}", kind.to_lowercase());
    flow.sheet(&title, &format!("{title}, continued"));
    let day = watch
        .date()
        .unwrap_or_else(|| debrief.recording.name.clone());
    let from = format!("from the flight of {day}, {}", debrief.aircraft.name);
    flow.part(
        Tag::Paragraph,
        print::ends(
            (SECOND, "Brief card, for use on the ground"),
            (SECOND, &from),
            18.0,
        ),
    );
    let heading = style(Face::SerifBold, 27.0, Role::Ink);
    flow.part(
        Tag::Heading1,
        paragraph(&[(heading, &title)], SHEET_WIDTH, 36.0),
    );
    if let Some(clean) = what_if_chart::clean_words(what_if, "recovery") {
        let said = style(Face::Serif, 14.5, Role::Ink);
        flow.part(
            Tag::Paragraph,
            paragraph(&[(said, &clean)], SHEET_WIDTH, 19.5),
        );
    }
    flow.space(6.0);
    flow.part(Tag::Figure, profile);
    part(flow, "What to expect", &expected(debrief, one));
    part(flow, "Speeds to know", &speeds(debrief, one));
    flow.rule(120.0);
    flow.part(
        Tag::Heading3,
        print::part_title("The recovery, in its order"),
    );
    for (index, step) in ORDER.iter().enumerate() {
        let line = format!("{}. {step}", index + 1);
        flow.part(
            Tag::Paragraph,
            paragraph(&[(BODY, &line)], SHEET_WIDTH, LEADING),
        );
    }
    let more = format!(
        "{ORDER_FROM}. Flaps, and what else this airplane asks for, as its approved manual says."
    );
    flow.part(
        Tag::Paragraph,
        paragraph(&[(SECOND, &more)], SHEET_WIDTH, LEADING),
    );
    flow.rule(40.0);
    flow.part(
        Tag::Paragraph,
        paragraph(&[(BOLD, &what_if.caution)], SHEET_WIDTH, LEADING),
    );
}

/// One line of a table: what, how much, from where.
struct Line {
    name: String,
    value: String,
    from: String,
}

fn part(flow: &mut Flow, title: &str, lines: &[Line]) {
    if lines.is_empty() {
        return;
    }
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
