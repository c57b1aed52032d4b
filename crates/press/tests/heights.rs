//! The height ledger and the what-if as drawn: shares that add up on the page, words for what color tells, traces that
//! begin together at zero, and nothing drawn from nothing.

mod fixture;

use debrief::HeightLedger;
use fixture::{Fits, debrief, flight, height};
use press::frame::Frame;
use press::palette::Role;
use press::svg::{Dash, Drawing, Item, Rect, Segment};
use press::{Paper, ledger_chart, print, sheet, what_if_chart};

const FRAMES: [Frame; 3] = [Frame::wide(), Frame::desk(), Frame::narrow()];

fn assert_tidy(what: &str, drawing: &Drawing) {
    let labels: Vec<(Rect, &str)> = drawing.labels().collect();
    for (index, (one, words)) in labels.iter().enumerate() {
        assert!(
            one.x0 >= -0.5
                && one.x1 <= drawing.width + 0.5
                && one.y0 >= -0.5
                && one.y1 <= drawing.height + 0.5,
            "{what}: “{words}” outside"
        );
        for (other, more) in labels.iter().skip(index + 1) {
            assert!(
                !one.grown(-0.3).overlaps(&other.grown(-0.3)),
                "{what}: “{words}” over “{more}”"
            );
        }
    }
    let svg = drawing.to_svg("h", "fig");
    roxmltree::Document::parse(&svg).expect("well formed");
    assert!(!svg.contains("NaN") && !svg.contains("inf,"), "{what}");
}

fn number(words: &str) -> Option<i64> {
    words.replace('−', "-").replace(',', "").parse().ok()
}

/// Who adds up the bold numbers of a column comes to its total: arithmetic, no rounding between.
#[test]
fn val_arithmetic_printed_shares_add_up_to_the_printed_loss() {
    let drawing = ledger_chart::draw(&height::ledger(), &Frame::wide()).expect("a drawing");
    let bold: Vec<(f64, f64, i64)> = drawing
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Text {
                at,
                width,
                style,
                text,
                ..
            } if style.face == press::text::Face::SansBold => {
                Some((at.0 + width, at.1, number(text)?))
            }
            _ => None,
        })
        .collect();
    // Two columns of six: any recovery, four causes, the total.
    assert_eq!(bold.len(), 12, "{bold:?}");
    for (left, right) in [(0.0, 300.0), (300.0, 695.0)] {
        let mut column: Vec<&(f64, f64, i64)> = bold
            .iter()
            .filter(|(x, _, _)| *x > left && *x <= right)
            .collect();
        column.sort_by(|a, b| a.1.total_cmp(&b.1));
        let numbers: Vec<i64> = column.iter().map(|(_, _, value)| *value).collect();
        let (total, parts) = numbers.split_last().expect("a column");
        assert_eq!(parts.iter().sum::<i64>(), *total, "{numbers:?}");
    }
}

#[test]
fn prop_what_helped_and_what_was_gained_is_said_in_words() {
    for frame in FRAMES {
        let drawing = ledger_chart::draw(&height::ledger(), &frame).expect("a drawing");
        let count = |wanted: &str| {
            drawing
                .labels()
                .filter(|(_, words)| *words == wanted)
                .count()
        };
        // −12 ± 4 is decided at 95 in 100 (1.96 · 4 < 12), −6 ± 26 is not.
        assert_eq!(count("helped"), 1);
        assert_eq!(count("perhaps helped"), 1);
        assert_eq!(count("gained"), 1);
        assert!(drawing.desc.contains("helped"), "{}", drawing.desc);
        assert_tidy("ledger", &drawing);
    }
}

/// Each bar begins where the one before ended; a share that helped goes to the left. Read off the drawing.
#[test]
fn val_arithmetic_bars_are_as_long_as_their_feet() {
    let ledger = height::ledger();
    let drawing = ledger_chart::draw(&ledger, &Frame::wide()).expect("a drawing");
    let bars: Vec<(f64, f64)> = drawing
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Path {
                segments,
                fill: Some(Role::Deviation),
                ..
            } => {
                let xs: Vec<f64> = segments
                    .iter()
                    .filter_map(|segment| match segment {
                        Segment::Move((x, _)) | Segment::Line((x, _)) => Some(*x),
                        _ => None,
                    })
                    .collect();
                // Half a px on each side keeps a share of nothing visible.
                Some((
                    xs.iter().copied().fold(f64::INFINITY, f64::min) + 0.5,
                    xs.iter().copied().fold(0.0, f64::max) - 0.5,
                ))
            }
            _ => None,
        })
        .collect();
    assert_eq!(bars.len(), 8);
    let shares: Vec<f64> = ledger
        .readings
        .iter()
        .flat_map(|reading| reading.lines.iter().map(|line| line.cost.value))
        .collect();
    let px = (bars[0].1 - bars[0].0) / shares[0];
    for ((from, to), share) in bars.iter().zip(&shares) {
        assert!((to - from - share.abs() * px).abs() < 0.05, "{share}");
    }
    // Third cause helped: it ends left of where it began.
    assert!((bars[1].1 - bars[2].1).abs() < 0.05 && bars[2].0 < bars[2].1);
    assert!((bars[3].0 - bars[2].0).abs() < 0.05);
}

#[test]
fn prop_without_a_reading_one_quiet_line_and_no_drawing() {
    let missing = HeightLedger::missing("no airspeed was recorded");
    assert!(ledger_chart::draw(&missing, &Frame::wide()).is_none());
    let mut document = debrief(Fits::Rich, 0);
    for maneuver in &mut document.maneuvers {
        if maneuver.height_ledger.is_some() {
            (maneuver.height_ledger, maneuver.what_if) = (Some(missing.clone()), None);
        }
    }
    let html = press::html(&document, &flight(Fits::Rich));
    assert!(html.contains("Where the height went is not told: no airspeed was recorded."));
    assert!(!html.contains("The shares as a table"));
}

/// A power-off 180 has one reading; it gets the width of both.
#[test]
fn prop_a_single_reading_is_drawn_over_the_width() {
    let mut ledger = height::ledger();
    ledger.readings.truncate(1);
    for reading in &mut ledger.readings {
        (reading.name, reading.title) =
            ("glide".to_owned(), "from the throttle's closing".to_owned());
        reading.any_title = "the way at best glide".to_owned();
    }
    for frame in FRAMES {
        let drawing = ledger_chart::draw(&ledger, &frame).expect("a drawing");
        assert!(
            drawing
                .labels()
                .any(|(_, words)| words == "The way at best glide")
        );
        assert_tidy("glide", &drawing);
    }
}

/// Solid is what was flown, dashed what is computed, and both begin at zero.
#[test]
fn prop_flown_is_solid_and_computed_is_dashed_from_one_start() {
    let what_if = height::what_if();
    let start = what_if_chart::start_words(&height::ledger());
    assert_eq!(start, "the full stall");
    for frame in FRAMES {
        let drawing = what_if_chart::draw(&what_if, &start, &frame).expect("a drawing");
        assert_tidy("what-if", &drawing);
        let starts = |dash: Dash, role: Role| -> Vec<(f64, f64)> {
            drawing
                .items
                .iter()
                .filter_map(|item| match item {
                    Item::Path {
                        segments,
                        stroke: Some(stroke),
                        ..
                    } if stroke.dash == dash && stroke.role == role && segments.len() > 5 => {
                        match segments.first() {
                            Some(Segment::Move(point)) => Some(*point),
                            _ => None,
                        }
                    }
                    _ => None,
                })
                .collect()
        };
        let (flown, right) = (
            starts(Dash::Solid, Role::Ink),
            starts(Dash::Dashed, Role::Ink2),
        );
        let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 0.1;
        assert!(
            right
                .iter()
                .all(|one| flown.iter().any(|other| near(*one, *other)))
        );
        assert_eq!(right.len(), 2);
        for words in ["as flown", "done right"] {
            assert_eq!(
                drawing
                    .labels()
                    .filter(|(_, label)| *label == words)
                    .count(),
                2
            );
        }
        let profile = what_if_chart::profile(&what_if, &start, &frame).expect("a card");
        assert_tidy("profile", &profile);
        assert!(profile.labels().all(|(_, words)| !words.contains("flown")));
    }
}

#[test]
fn prop_the_clean_recovery_is_one_sentence_with_its_sigma() {
    let words = what_if_chart::clean_words(&height::what_if(), "recovery").expect("a sentence");
    let plain = words.replace('\u{A0}', " ");
    assert_eq!(
        plain,
        "A clean recovery today: −160 ± 6 ft, then +64 ± 24 ft at 30 s."
    );
}

#[test]
fn prop_broken_numbers_draw_nothing() {
    let mut ledger = height::ledger();
    ledger.readings[0].lost.value = f64::NAN;
    ledger.readings[1].lines[0].cost.value = f64::INFINITY;
    assert!(ledger_chart::draw(&ledger, &Frame::wide()).is_none());
    let mut ledger = height::ledger();
    ledger.readings[0].lines[0].interval_ft = [f64::NAN, f64::INFINITY];
    for frame in FRAMES {
        assert_tidy(
            "odd whisker",
            &ledger_chart::draw(&ledger, &frame).expect("the others"),
        );
    }
    let mut what_if = height::what_if();
    what_if.flown_height_ft.fill(f64::NAN);
    assert!(what_if_chart::draw(&what_if, "the start", &Frame::wide()).is_none());
    let mut what_if = height::what_if();
    (what_if.step_s, what_if.right.height_ft[3]) = (0.0, f64::NAN);
    assert!(what_if_chart::draw(&what_if, "the start", &Frame::wide()).is_none());
}

/// On the page and on paper: the ledger, its sentence, how it is read, and the caution.
#[test]
fn prop_page_and_paper_carry_ledger_words_and_caution() {
    let (debrief, flight) = (debrief(Fits::Rich, 0), flight(Fits::Rich));
    let ledger = height::ledger();
    let html = press::html(&debrief, &flight).replace('\u{A0}', " ");
    let wanted = [
        "Where the 220 ft went",
        "A clean recovery today: −160 ± 6 ft",
        "As flown, and done right",
        &ledger.caution,
        &ledger.reference,
        &ledger.words[0],
    ];
    for words in wanted {
        assert!(html.contains(words), "{words}");
    }
    for paper in [Paper::Letter, Paper::A4] {
        let pages = print::pages(&debrief, &flight, paper.size());
        let text: Vec<String> = pages
            .iter()
            .map(|page| {
                page.parts
                    .iter()
                    .flat_map(|part| part.drawing.labels().map(|(_, words)| words))
                    .collect::<Vec<_>>()
                    .join(" ")
                    .replace('\u{A0}', " ")
            })
            .collect();
        let on = text
            .iter()
            .find(|text| text.contains("Where the 220 ft went"))
            .expect("a page with the ledger");
        for words in [wanted[1], wanted[2], wanted[3], wanted[4], wanted[5]] {
            assert!(
                on.contains(words),
                "{words} is not on the page of the ledger"
            );
        }
        // The sheet keeps its own page; the ledger takes at most one behind it.
        assert!(pages.len() <= 2 + sheet::sheets(&debrief, &flight).len());
    }
}
