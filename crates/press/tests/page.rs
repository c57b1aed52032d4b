//! The page and the paper as a reader gets them: whole, well formed, every mark said in words, nothing outside the
//! paper, no word written over another, and hostile text kept as text.

mod fixture;

use fixture::{Fits, debrief, flight, maneuver, mark, two_sided};
use press::flow::Page;
use press::svg::{Drawing, Rect};
use press::{Paper, axis, figure, frame, print, sheet, strip, turn, words};
use standard::Verdict;

const FITS: [Fits; 3] = [Fits::Rich, Fits::Panel, Fits::Gnss];

/// Cuts every `<svg>…</svg>` out of a page.
fn svgs(html: &str) -> Vec<&str> {
    html.match_indices("<svg")
        .map(|(from, _)| {
            let until = html[from..].find("</svg>").expect("each svg ends") + from + 6;
            &html[from..until]
        })
        .collect()
}

fn drawings(fits: Fits) -> Vec<(String, Drawing)> {
    let (debrief, flight) = (debrief(fits, 4), flight(fits));
    let watch = words::Watch {
        start_unix_s: flight.start_unix_s,
    };
    let mut all = vec![
        ("strip".to_owned(), strip::draw(&debrief, watch, false)),
        (
            "strip, narrow".to_owned(),
            strip::draw(&debrief, watch, true),
        ),
    ];
    for sheet in sheet::sheets(&debrief, &flight) {
        for figure in sheet.figures {
            all.push((sheet.title.clone(), figure.wide));
            all.push((format!("{}, narrow", sheet.title), figure.narrow));
        }
    }
    all
}

#[test]
fn prop_every_svg_is_well_formed_and_described() {
    for fits in FITS {
        let html = press::html(&debrief(fits, 0), &flight(fits));
        let all = svgs(&html);
        assert!(all.len() > 10);
        for svg in all {
            let document = roxmltree::Document::parse(svg)
                .unwrap_or_else(|error| panic!("{error}: {}", &svg[..svg.len().min(300)]));
            let root = document.root_element();
            if root.attribute("aria-hidden") != Some("true") {
                assert_eq!(root.attribute("role"), Some("img"));
                for name in ["title", "desc"] {
                    let words = root
                        .children()
                        .find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", name)))
                        .and_then(|node| node.text())
                        .unwrap_or("");
                    assert!(!words.trim().is_empty(), "a figure without {name}");
                }
            }
        }
    }
}

#[test]
fn prop_no_number_is_lost_on_the_page() {
    for fits in FITS {
        let html = press::html(&debrief(fits, 2), &flight(fits));
        let body = &html[html.find("<body>").expect("a body")..];
        for bad in ["NaN", "inf", "unknown\u{A0}", "−0\u{A0}", "None", "Some("] {
            assert!(!body.contains(bad), "{bad}");
        }
        for pdf_text in pages_text(&print::pages(
            &debrief(fits, 2),
            &flight(fits),
            Paper::Letter.size(),
        )) {
            assert!(
                !pdf_text.contains("NaN") && !pdf_text.contains("inf "),
                "{pdf_text}"
            );
        }
    }
}

fn pages_text(pages: &[Page]) -> Vec<String> {
    pages
        .iter()
        .flat_map(|page| &page.parts)
        .flat_map(|part| {
            part.drawing
                .labels()
                .map(|(_, words)| words.to_owned())
                .collect::<Vec<_>>()
        })
        .collect()
}

#[test]
fn prop_every_mark_is_said_in_words_on_page_and_paper() {
    let (debrief, flight) = (debrief(Fits::Panel, 0), flight(Fits::Panel));
    let html = press::html(&debrief, &flight);
    let paper = pages_text(&print::pages(&debrief, &flight, Paper::Letter.size())).join("\n");
    for verdict in [
        Verdict::Met,
        Verdict::NotMet,
        Verdict::TooClose,
        Verdict::NotRecorded,
        Verdict::ForInstructor,
    ] {
        let word = words::mark(verdict);
        assert!(html.contains(word) && paper.contains(word), "{word}");
    }
    // Each mark stands as a row of a figure or as a line of the list, once.
    for maneuver in debrief
        .maneuvers
        .iter()
        .filter(|maneuver| maneuver.marked && maneuver.kind != "steep_turn")
    {
        let rows = figure::rows(maneuver).len();
        let sheets = sheet::sheets(&debrief, &flight);
        let sheet = sheets
            .iter()
            .find(|sheet| sheet.maneuvers[0].number == maneuver.number)
            .expect("a sheet");
        assert_eq!(
            rows + sheet.also.len(),
            maneuver.marks.len(),
            "{}",
            maneuver.title
        );
    }
}

#[test]
fn prop_nothing_is_fetched_and_nothing_runs() {
    let html = press::html(&debrief(Fits::Rich, 0), &flight(Fits::Rich));
    assert!(
        !html.contains("<script")
            && !html.contains("<link")
            && !html.contains("@import")
            && !html.contains(" src=")
    );
    for (from, _) in html.match_indices("url(") {
        assert!(
            html[from..].starts_with("url(data:font/woff2;base64,"),
            "{}",
            &html[from..from + 40]
        );
    }
    let urls: Vec<&str> = html
        .match_indices("http")
        .map(|(from, _)| &html[from..(from + 30).min(html.len())])
        .collect();
    assert!(
        urls.iter()
            .all(|url| url.starts_with("http://www.w3.org/2000/svg")
                || url.starts_with("http-equiv")),
        "{urls:?}"
    );
    assert!(html.contains("<html lang=\"en-US\">"));
    assert!(html.len() < 2_000_000);
}

#[test]
fn prop_safety_words_stand_on_the_page_and_at_the_foot_of_every_sheet_of_paper() {
    let (debrief, flight) = (debrief(Fits::Rich, 9), flight(Fits::Rich));
    let sheets = sheet::sheets(&debrief, &flight).len();
    let html = press::html(&debrief, &flight);
    assert_eq!(
        html.matches("Not for use in flight or for navigation.")
            .count(),
        sheets + 1
    );
    for page in print::pages(&debrief, &flight, Paper::A4.size()) {
        let words: Vec<String> = page
            .parts
            .iter()
            .flat_map(|part| {
                part.drawing
                    .labels()
                    .map(|(_, words)| words.to_owned())
                    .collect::<Vec<_>>()
            })
            .collect();
        assert!(
            words
                .join(" ")
                .contains("Not for use in flight or for navigation.")
        );
    }
}

/// Which edition of which standard: on every sheet of the page and at the foot of every sheet of paper, for the
/// longest names that there are, and never in place of the safety words.
#[test]
fn prop_the_edition_stands_on_every_page() {
    let flight = flight(Fits::Rich);
    for pack in standard::Pack::embedded() {
        let mut debrief = debrief(Fits::Rich, 4);
        debrief.standard.title.clone_from(&pack.title);
        debrief.standard.edition = format!("{}, {}", pack.edition, pack.date);
        let wanted = format!("{}, {}.", pack.title, debrief.standard.edition);
        let html = press::html(&debrief, &flight);
        let sheets = sheet::sheets(&debrief, &flight).len();
        assert_eq!(html.matches(wanted.as_str()).count(), sheets, "{wanted}");
        for page in print::pages(&debrief, &flight, Paper::A4.size()) {
            let mut words = String::new();
            for part in &page.parts {
                for (_, label) in part.drawing.labels() {
                    words.push_str(label);
                    words.push(' ');
                }
            }
            assert!(words.contains(&wanted), "{wanted}: {words}");
            assert!(words.contains("Not for use in flight or for navigation."));
        }
    }
}

fn inside(what: &str, rect: &Rect, words: &str, width: f64, height: f64) {
    assert!(
        rect.x0 >= -0.5 && rect.x1 <= width + 0.5,
        "{what}: “{words}” from {:.1} to {:.1} of {width}",
        rect.x0,
        rect.x1
    );
    assert!(
        rect.y0 >= -0.5 && rect.y1 <= height + 0.5,
        "{what}: “{words}” at {:.1} of {height}",
        rect.y1
    );
}

#[test]
fn prop_words_stay_inside_figures_and_pages() {
    for fits in FITS {
        for (what, drawing) in drawings(fits) {
            for (rect, words) in drawing.labels() {
                inside(&what, &rect, words, drawing.width, drawing.height);
            }
        }
        for paper in [Paper::Letter, Paper::A4] {
            let size = paper.size();
            for page in print::pages(&debrief(fits, 6), &flight(fits), size) {
                for part in &page.parts {
                    for (rect, words) in part.drawing.labels() {
                        let moved = Rect {
                            x0: rect.x0 + part.x,
                            y0: rect.y0 + part.y,
                            x1: rect.x1 + part.x,
                            y1: rect.y1 + part.y,
                        };
                        // 184 mm at most, so that every printer reaches the edges (the look's rule on print).
                        let margin = (size.width - frame::SHEET_WIDTH) / 2.0;
                        assert!(
                            moved.x0 >= margin - 0.5 && moved.x1 <= size.width - margin + 0.5,
                            "“{words}”"
                        );
                        inside("page", &moved, words, size.width, size.height - 20.0);
                    }
                }
            }
        }
    }
}

fn assert_apart(what: &str, labels: &[(Rect, String)]) {
    for (index, (one, words)) in labels.iter().enumerate() {
        for (other, more) in labels.iter().skip(index + 1) {
            assert!(
                !one.grown(-0.3).overlaps(&other.grown(-0.3)),
                "{what}: “{words}” over “{more}”: {one:?} {other:?}"
            );
        }
    }
}

#[test]
fn prop_no_word_is_written_over_another() {
    for fits in FITS {
        for (what, drawing) in drawings(fits) {
            let labels: Vec<(Rect, String)> = drawing
                .labels()
                .map(|(rect, words)| (rect, words.to_owned()))
                .collect();
            assert_apart(&what, &labels);
        }
        for page in print::pages(&debrief(fits, 6), &flight(fits), Paper::Letter.size()) {
            let labels: Vec<(Rect, String)> = page
                .parts
                .iter()
                .flat_map(|part| {
                    part.drawing
                        .labels()
                        .map(|(rect, words)| {
                            (
                                Rect {
                                    x0: rect.x0 + part.x,
                                    y0: rect.y0 + part.y,
                                    x1: rect.x1 + part.x,
                                    y1: rect.y1 + part.y,
                                },
                                words.to_owned(),
                            )
                        })
                        .collect::<Vec<_>>()
                })
                .collect();
            assert_apart("page", &labels);
        }
    }
}

#[test]
fn prop_hostile_text_stays_text() {
    let mut debrief = debrief(Fits::Rich, 0);
    let evil =
        "</title></style><script>alert(1)</script>\u{0}\u{202E}'\"& <img src=x onerror=y> 漢字 "
            .repeat(3);
    debrief.recording.name.clone_from(&evil);
    debrief.aircraft.name.clone_from(&evil);
    debrief.caution.clone_from(&evil);
    debrief.recording.notes = vec![evil.clone(); 40];
    for maneuver in &mut debrief.maneuvers {
        maneuver.title.clone_from(&evil);
        maneuver.verdict_line.clone_from(&evil);
        maneuver.change_line = "x".repeat(3000);
        for mark in &mut maneuver.marks {
            mark.quantity.clone_from(&evil);
            mark.note.clone_from(&evil);
            mark.element.clone_from(&evil);
        }
        for event in &mut maneuver.events {
            event.name.clone_from(&evil);
        }
        for finding in maneuver.findings.iter_mut().chain(&mut maneuver.strengths) {
            finding.headline.clone_from(&evil);
            finding.evidence.clone_from(&evil);
            finding.advice.clone_from(&evil);
        }
    }
    let flight = flight(Fits::Rich);
    let html = press::html(&debrief, &flight);
    assert!(!html.contains("<script") && !html.contains("<img"));
    for svg in svgs(&html) {
        assert!(roxmltree::Document::parse(svg).is_ok());
    }
    let pdf = press::pdf(&debrief, &flight).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
}

/// Numbers that no flight has must neither reach the page nor stop it.
#[test]
fn prop_broken_numbers_neither_panic_nor_show() {
    let mut debrief = debrief(Fits::Rich, 0);
    let mut flight = flight(Fits::Rich);
    for (index, series) in [
        &mut flight.altitude,
        &mut flight.ias,
        &mut flight.pitch,
        &mut flight.bank,
        &mut flight.east,
        &mut flight.heading,
    ]
    .into_iter()
    .flatten()
    .enumerate()
    {
        for (at, value) in series.values.iter_mut().enumerate() {
            if at % (3 + index) == 0 {
                *value = f64::NAN;
            } else if at % 101 == 0 {
                *value = f64::INFINITY;
            }
        }
    }
    for maneuver in &mut debrief.maneuvers {
        maneuver.events.push(debrief::EventDebrief {
            name: "odd".to_owned(),
            at_s: f64::NAN,
            sigma_s: f64::NAN,
            value: None,
            origin: String::new(),
            probability: f64::NAN,
        });
        for mark in &mut maneuver.marks {
            (mark.worst, mark.sigma, mark.at_s) =
                (Some(f64::NAN), Some(f64::INFINITY), Some(f64::NAN));
            if let Some(ribbon) = &mut mark.ribbon {
                ribbon.sigma = f32::NAN;
                ribbon.deviation[0] = Some(f32::INFINITY);
                ribbon.deviation.truncate(7);
            }
        }
    }
    debrief.flight.wind_from_deg = Some(f64::NAN);
    debrief.flight.strip_altitude_ft = vec![Some(f32::NAN), None];
    debrief.flight.strip_step_s = 0.0;
    debrief.recording.duration_s = f64::NAN;
    let html = press::html(&debrief, &flight);
    let body = &html[html.find("<body>").expect("a body")..];
    assert!(!body.contains("NaN"));
    press::pdf(&debrief, &flight).expect("a PDF");
}

#[test]
fn prop_an_empty_flight_still_makes_a_page() {
    let mut debrief = debrief(Fits::Gnss, 0);
    let mut flight = flight(Fits::Gnss);
    debrief.maneuvers.clear();
    debrief.flight.strip_altitude_ft.clear();
    flight.clock.len = 0;
    flight.known.clear();
    assert!(press::html(&debrief, &flight).contains("No maneuver was found"));
    assert!(press::pdf(&debrief, &flight).expect("a PDF").len() > 10_000);
}

/// A one-sheet lesson stays on one page: what a student takes home.
#[test]
fn prop_each_usual_sheet_fits_one_page() {
    for fits in FITS {
        let (debrief, flight) = (debrief(fits, 0), flight(fits));
        for paper in [Paper::Letter, Paper::A4] {
            // Where the height went has a page of its own behind its sheet.
            let ledgers = debrief.maneuvers.iter().filter(|one| one.what_if.is_some());
            let pages = print::pages(&debrief, &flight, paper.size());
            let sheets = sheet::sheets(&debrief, &flight).len();
            assert_eq!(pages.len(), 1 + sheets + ledgers.count());
        }
    }
}

#[test]
fn prop_a_left_and_a_right_steep_turn_share_a_sheet() {
    let debrief = debrief(Fits::Rich, 0);
    let sizes: Vec<usize> = sheet::groups(&debrief).iter().map(Vec::len).collect();
    assert_eq!(sizes, vec![1, 2, 1]);
    let flight = flight(Fits::Rich);
    let one = turn::draw(
        &debrief,
        &[&debrief.maneuvers[2]],
        &flight,
        &frame::Frame::wide(),
    )
    .expect("a figure");
    assert!(
        one.labels()
            .any(|(_, words)| words.starts_with("Left turn, "))
    );
}

/// Hatching means decided: with a σ that reaches back over the limit there is none.
#[test]
fn prop_hatching_needs_a_decision() {
    let flight = flight(Fits::Rich);
    let count = |sigma: f32| {
        let mut debrief = debrief(Fits::Rich, 0);
        let marks = &mut debrief.maneuvers[1].marks;
        marks.truncate(1);
        marks[0].ribbon.as_mut().expect("a ribbon").sigma = sigma;
        let drawing = figure::draw(
            &debrief,
            &debrief.maneuvers[1],
            &flight,
            &frame::Frame::wide(),
        );
        drawing.items.iter().filter(|item| matches!(item, press::svg::Item::Path { stroke: Some(stroke), .. } if stroke.role == press::palette::Role::Beyond && stroke.width < 1.0)).count()
    };
    // Peaks of 2.6 and 1.7 tolerances above, 1.1 below.
    assert_eq!(count(0.01), 3);
    assert_eq!(count(0.2), 2);
    assert_eq!(count(0.6), 1);
    assert_eq!(count(1.2), 0);
}

/// Nothing inferred becomes a mark: a row that was not recorded is empty between dashed limits.
#[test]
fn prop_a_row_without_a_channel_is_empty() {
    let mut one = maneuver(1, "slow_flight", "Slow flight", "straight", (100.0, 200.0));
    one.marks = vec![mark(
        "PA.VII.A.S5",
        "airspeed",
        "airspeed",
        "kt",
        two_sided(60.0, 5.0),
        None,
        Verdict::NotRecorded,
    )];
    let mut debrief = debrief(Fits::Gnss, 0);
    debrief.maneuvers = vec![one];
    let drawing = figure::draw(
        &debrief,
        &debrief.maneuvers[0],
        &flight(Fits::Gnss),
        &frame::Frame::wide(),
    );
    let of = |role| {
        drawing.items.iter().filter(|item| matches!(item, press::svg::Item::Path { fill, stroke, .. } if *fill == Some(role) || stroke.is_some_and(|stroke| stroke.role == role))).count()
    };
    assert_eq!(
        of(press::palette::Role::Band)
            + of(press::palette::Role::Deviation)
            + of(press::palette::Role::Sigma),
        0
    );
    assert!(drawing.labels().any(|(_, words)| words == "not recorded"));
}

#[test]
fn prop_a_repeated_event_is_counted() {
    let mut stall = fixture::power_off_stall(1, 0.0, Fits::Rich);
    stall.story.clear();
    let words: Vec<String> = press::events::numbered(&stall)
        .into_iter()
        .map(|line| line.words)
        .collect();
    for wanted in [
        "flaps down, 1 of 3",
        "flaps down, 3 of 3",
        "flaps up, 2 of 3",
        "full stall",
    ] {
        assert!(
            words.iter().any(|words| words == wanted),
            "{wanted}: {words:?}"
        );
    }
}

#[test]
fn prop_the_axis_of_a_stall_gives_the_recovery_the_width() {
    let stall = fixture::power_off_stall(1, 0.0, Fits::Rich);
    let axis = axis::TimeAxis::for_maneuver(&stall, 0.0, 400.0);
    assert!(axis.pieces.len() <= 3);
    let width = |from: f64, to: f64| axis.clamped(to) - axis.clamped(from);
    // On a linear axis these 19 of 86 s would get 22 %.
    assert!(width(156.5, 175.5) > 0.45 * 400.0);
    assert!((axis.clamped(stall.start_s), axis.clamped(stall.end_s)) == (0.0, 400.0));
}
