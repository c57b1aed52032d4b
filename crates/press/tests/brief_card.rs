//! The card to brief the next stalls from.

mod fixture;

use debrief::{Debrief, FactDebrief};
use fixture::{Fits, debrief, flight};
use press::{Paper, brief_card};

fn words(debrief: &Debrief) -> Vec<String> {
    brief_card::pages(debrief, &flight(Fits::Rich), Paper::Letter.size())
        .iter()
        .map(|page| {
            let labels = page.parts.iter().flat_map(|part| part.drawing.labels());
            let all: Vec<String> = labels.map(|(_, words)| words.to_owned()).collect();
            all.join(" ").replace('\u{A0}', " ")
        })
        .collect()
}

fn fact(value: f64) -> FactDebrief {
    FactDebrief {
        value,
        unit: "ft".to_owned(),
        sigma: Some(5.0),
        origin: "measured".to_owned(),
    }
}

/// One page for each kind of stall with a clean recovery, on letter and A4; none without.
#[test]
fn prop_one_page_a_kind_and_none_without_stalls() {
    let mut document = debrief(Fits::Rich, 0);
    let stalls = document.maneuvers.iter();
    let mut kinds: Vec<String> = stalls
        .filter(|one| one.what_if.is_some() && one.kind.ends_with("_stall"))
        .map(|one| one.kind.clone())
        .collect();
    kinds.dedup();
    assert!(!kinds.is_empty());
    for paper in [Paper::Letter, Paper::A4] {
        let pages = brief_card::pages(&document, &flight(Fits::Rich), paper.size());
        assert_eq!(pages.len(), kinds.len(), "{paper:?}");
    }
    for one in &mut document.maneuvers {
        one.what_if = None;
    }
    let none = press::brief_card_pdf(&document, &flight(Fits::Rich), Paper::A4);
    assert!(none.expect("a PDF").is_none());
}

/// The height to begin at by hand: 1,500 ft (FAA-S-ACS-6C, PA.VII.B.S2) and 3,900 − 3,444 = 456 ft are 1,956 ft, so 2,000 ft.
/// The order of the recovery is the handbook's (FAA-H-8083-3C, chapter 5): nose before wings, wings before power.
#[test]
fn the_card_says_where_to_begin_in_which_order_and_that_it_is_no_manual() {
    let mut document = debrief(Fits::Rich, 0);
    let kind = "power_off_stall";
    for one in document.maneuvers.iter_mut().filter(|one| one.kind == kind) {
        one.facts
            .insert("entry_altitude_ft".to_owned(), fact(3900.0));
        one.facts
            .insert("lowest_altitude_ft".to_owned(), fact(3444.0));
        let mut mark = one.marks[0].clone();
        mark.criterion = "min_altitude_agl".to_owned();
        mark.element = "PA.VII.B.S2".to_owned();
        mark.low = Some(1500.0);
        one.marks
            .retain(|mark| mark.criterion != "min_altitude_agl");
        one.marks.push(mark);
    }
    let pages = words(&document);
    let card = pages
        .iter()
        .find(|page| page.contains("Before the next power-off stall"))
        .unwrap_or_else(|| panic!("{pages:#?}"));
    for part in [
        "456 ft",
        "2,000 ft",
        "1,500 ft",
        "PA.VII.B.S2",
        "FAA-H-8083-3C",
    ] {
        assert!(card.contains(part), "{part}: {card}");
    }
    let at = |what: &str| card.find(what).unwrap_or_else(|| panic!("{what}: {card}"));
    assert!(at("Nose down") < at("Wings level"));
    assert!(at("Wings level") < at("Power as needed"));
    let document = debrief(Fits::Rich, 0);
    let caution = document.caution.split('.').next().expect("a sentence");
    assert!(
        card.contains(caution.split(',').next().expect("words")),
        "{card}"
    );
}

/// The page says what the paper says, word for word: title, every line of the lists, the order, the cautions.
#[test]
fn prop_the_page_has_every_word_of_the_paper() {
    let document = debrief(Fits::Rich, 0);
    let page = press::brief_card_html(&document, &flight(Fits::Rich)).expect("a page");
    let page = said(&page);
    for card in brief_card::pages(&document, &flight(Fits::Rich), Paper::Letter.size()) {
        for part in &card.parts {
            let foot_or_rule = part.tag == press::flow::Tag::Artifact;
            for (_, words) in part.drawing.labels().filter(|_| !foot_or_rule) {
                // A step's number stands before it on paper; the page counts by itself.
                let words = words.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
                let words = words.replace('\u{A0}', " ");
                assert!(page.contains(words.trim()), "{words}");
            }
        }
    }
    let sections = page.matches("Before the next").count();
    let cards = brief_card::pages(&document, &flight(Fits::Rich), Paper::A4.size()).len();
    assert!(cards > 0 && sections == cards, "{sections} of {cards}");
    let cautions = page.matches(document.caution.as_str()).count();
    assert_eq!(cautions, cards, "the caution, once a card");
}

/// The words of a page, without what is markup.
fn said(page: &str) -> String {
    let body = page.split_once("<body>").expect("a body").1;
    let mut out = String::new();
    for piece in body.split('<') {
        let words = piece.split_once('>').map_or("", |(_, words)| words);
        out.push_str(words);
        out.push(' ');
    }
    let plain = out.replace("&quot;", "\"").replace("&#39;", "'");
    let plain = plain.replace("&amp;", "&");
    plain.replace('\u{A0}', " ")
}

/// Nothing is fetched and nothing runs; a hostile name stays text; without a stall there is no page.
#[test]
fn prop_the_page_needs_nothing_else_and_keeps_hostile_names_as_text() {
    let mut document = debrief(Fits::Rich, 0);
    document.aircraft.name = "<img src=x onerror=alert(1)>".to_owned();
    let page = press::brief_card_html(&document, &flight(Fits::Rich)).expect("a page");
    assert!(!page.contains("<img") && page.contains("&lt;img"));
    for what in ["<script", "<link", "@import", " src=\"", "NaN"] {
        let body = page.split_once("<body>").expect("a body").1;
        assert!(!body.contains(what), "{what}");
    }
    assert!(page.contains("default-src 'none'"));
    for svg in page.split("<svg").skip(1) {
        let svg = format!("<svg{}</svg>", svg.split("</svg>").next().expect("its end"));
        assert!(roxmltree::Document::parse(&svg).is_ok(), "{svg}");
    }
    for one in &mut document.maneuvers {
        one.what_if = None;
    }
    assert!(press::brief_card_html(&document, &flight(Fits::Rich)).is_none());
}
