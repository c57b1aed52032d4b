//! What stands on a sheet, before anyone decides on page or paper: the same for HTML and PDF.

use crate::events::{self, Numbered};
use crate::figure;
use crate::frame::Frame;
use crate::picture;
use crate::plan;
use crate::svg::Drawing;
use crate::turn;
use crate::words::{self, Watch};
use debrief::{Debrief, Finding, ManeuverDebrief};
use flight::Flight;
use standard::{Mark, Verdict};

/// A figure for paper and desk, and the same for a phone.
#[derive(Clone, Debug)]
pub struct Figure {
    /// 184 mm wide.
    pub wide: Drawing,
    /// 358 px wide.
    pub narrow: Drawing,
}

/// Verdict and change, with the name of the turn where a sheet carries two.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// `Left turn`, or empty.
    pub lead: String,
    /// What happened.
    pub verdict: String,
    /// What to change.
    pub change: String,
}

/// A finding as it is printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Headline.
    pub headline: String,
    /// Evidence.
    pub evidence: String,
    /// What it cost, in words; empty where nothing is known.
    pub cost: String,
    /// One thing to try.
    pub advice: String,
    /// Where that is from.
    pub source: String,
}

/// A mark with the words of its line.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Answer.
    pub mark: Verdict,
    /// Whether the pin goes down.
    pub below: bool,
    /// The line after the word.
    pub words: String,
}

/// One sheet: a maneuver, or a pair of steep turns.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// Id for links.
    pub id: String,
    /// Left above the title.
    pub kicker: String,
    /// Right above the title.
    pub asked: String,
    /// Title.
    pub title: String,
    /// Right of the title.
    pub facts: String,
    /// Verdict and change.
    pub said: Vec<Said>,
    /// Figures.
    pub figures: Vec<Figure>,
    /// Story.
    pub story: Vec<Numbered>,
    /// Whether the story's numbers stand under the axis.
    pub story_is_numbered: bool,
    /// Two leading findings.
    pub findings: Vec<Told>,
    /// The others.
    pub rest: Vec<Told>,
    /// Strengths.
    pub kept: Vec<Told>,
    /// Marks that have no row in the figure.
    pub also: Vec<Asked>,
    /// The maneuvers of the sheet.
    pub maneuvers: Vec<&'a ManeuverDebrief>,
}

/// Maneuvers grouped into sheets: marked ones only, a left and a right steep turn that follow each other together.
#[must_use]
pub fn groups(debrief: &Debrief) -> Vec<Vec<&ManeuverDebrief>> {
    const APART_S: f64 = 120.0;
    let mut groups: Vec<Vec<&ManeuverDebrief>> = Vec::new();
    for maneuver in debrief.maneuvers.iter().filter(|maneuver| maneuver.marked) {
        let pairs = groups.last().is_some_and(|group| match group.as_slice() {
            [first] => {
                first.kind == "steep_turn"
                    && maneuver.kind == "steep_turn"
                    && first.direction != maneuver.direction
                    && maneuver.start_s - first.end_s < APART_S
                    && maneuver.number == first.number + 1
            }
            _ => false,
        });
        match groups.last_mut() {
            Some(group) if pairs => group.push(maneuver),
            _ => groups.push(vec![maneuver]),
        }
    }
    groups
}

/// The wide figures of a group again, with panels of another height.
#[must_use]
pub fn lower_figures(
    debrief: &Debrief,
    flight: &Flight,
    group: &[&ManeuverDebrief],
    share: f64,
) -> Vec<Drawing> {
    draw_figures(debrief, flight, group, &Frame::wide().lower(share))
}

/// Builds every sheet.
#[must_use]
pub fn sheets<'a>(debrief: &'a Debrief, flight: &Flight) -> Vec<Sheet<'a>> {
    groups(debrief)
        .into_iter()
        .map(|group| sheet(debrief, flight, group))
        .collect()
}

fn sheet<'a>(debrief: &'a Debrief, flight: &Flight, group: Vec<&'a ManeuverDebrief>) -> Sheet<'a> {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let turns = are_turns(&group);
    let figures = figures(debrief, flight, &group);
    let (mut findings, mut rest) = (Vec::new(), Vec::new());
    for maneuver in &group {
        let told: Vec<(&Finding, Told)> = maneuver
            .findings
            .iter()
            .map(|finding| (finding, tell(maneuver, finding, group.len() > 1)))
            .collect();
        // Of a pair each turn brings its worst, so that neither hides behind the other.
        let leading = if group.len() > 1 { 1 } else { 2 };
        for (index, (_, told)) in told.into_iter().enumerate() {
            if index < leading {
                findings.push(told)
            } else {
                rest.push(told)
            }
        }
    }
    let kept = group
        .iter()
        .flat_map(|maneuver| {
            maneuver
                .strengths
                .iter()
                .map(|finding| tell(maneuver, finding, group.len() > 1))
        })
        .collect();
    let first = group.first().copied();
    Sheet {
        id: format!("m{}", first.map_or(0, |maneuver| maneuver.number)),
        kicker: kicker(debrief, watch, &group),
        asked: asked_for(debrief, &group),
        title: title(&group),
        facts: facts(debrief, watch, &group),
        said: said(&group),
        story: story(&group),
        story_is_numbered: !turns || figures.is_empty(),
        figures,
        findings,
        rest,
        kept,
        also: also(&group, turns),
        maneuvers: group,
    }
}

fn figures(debrief: &Debrief, flight: &Flight, group: &[&ManeuverDebrief]) -> Vec<Figure> {
    let wide = draw_figures(debrief, flight, group, &Frame::wide());
    let narrow = draw_figures(debrief, flight, group, &Frame::narrow());
    wide.into_iter()
        .zip(narrow)
        .map(|(wide, narrow)| Figure { wide, narrow })
        .collect()
}

fn are_turns(group: &[&ManeuverDebrief]) -> bool {
    group.iter().all(|maneuver| maneuver.kind == "steep_turn")
}

/// Steep turns against heading turned; else the picture of the kind, then everything over time, with a plan where
/// there was a turn and no picture shows it.
fn draw_figures(
    debrief: &Debrief,
    flight: &Flight,
    group: &[&ManeuverDebrief],
    frame: &Frame,
) -> Vec<Drawing> {
    if are_turns(group)
        && let Some(drawing) = turn::draw(debrief, group, flight, frame)
    {
        return vec![drawing];
    }
    let mut out = Vec::new();
    for maneuver in group {
        if let Some(own) = picture::draw(debrief, maneuver, flight, frame) {
            let shown = picture::of(&maneuver.kind).map_or(&[][..], picture::replaces);
            out.push(own);
            out.push(figure::draw_without(
                debrief, maneuver, flight, frame, shown,
            ));
            continue;
        }
        out.push(figure::draw(debrief, maneuver, flight, frame));
        if maneuver.direction != "straight" && turned_deg(flight, maneuver) > 60.0 {
            out.extend(plan::figure(debrief, maneuver, flight, frame));
        }
    }
    out
}

/// Heading turned between the extremes of a maneuver, degrees; a straight one needs no plan.
fn turned_deg(flight: &Flight, maneuver: &ManeuverDebrief) -> f64 {
    let Some(heading) = flight
        .heading
        .as_ref()
        .or(flight.air_track.as_ref())
        .or(flight.track.as_ref())
    else {
        return 0.0;
    };
    let (first, last) = (
        flight.clock.index(maneuver.start_s),
        flight.clock.index(maneuver.end_s),
    );
    let (low, high) = (first..=last)
        .map(|index| heading.at(index))
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    if low <= high {
        (high - low).to_degrees()
    } else {
        0.0
    }
}

fn kicker(debrief: &Debrief, watch: Watch, group: &[&ManeuverDebrief]) -> String {
    let flight = watch.date().map_or_else(
        || debrief.recording.name.clone(),
        |date| format!("Flight of {date}"),
    );
    let numbers: Vec<String> = group
        .iter()
        .map(|maneuver| maneuver.number.to_string())
        .collect();
    let name = if group.len() > 1 {
        "maneuvers"
    } else {
        "maneuver"
    };
    let doubt = group
        .iter()
        .find(|maneuver| maneuver.confidence_word != "certain")
        .map(|maneuver| format!("; {} this maneuver", doubt_words(&maneuver.confidence_word)));
    format!(
        "{flight}, {name} {} of {}{}",
        numbers.join(" and "),
        debrief.maneuvers.len(),
        doubt.unwrap_or_default()
    )
}

fn doubt_words(word: &str) -> &str {
    match word {
        "likely" => "likely",
        "possible" => "possibly",
        other => other,
    }
}

fn asked_for(debrief: &Debrief, group: &[&ManeuverDebrief]) -> String {
    let Some(first) = group.first() else {
        return String::new();
    };
    // `FAA private pilot, airplane` is long for a line that carries four things.
    let standard = debrief
        .standard
        .title
        .split(',')
        .next()
        .unwrap_or_default()
        .trim();
    let mut parts = vec![
        format!("{standard} {}", first.task.clone().unwrap_or_default())
            .trim()
            .to_owned(),
    ];
    if let Some(recovery) = &first.specified_recovery {
        parts.push(match recovery.as_str() {
            "full_stall" => "recovery after a full stall".to_owned(),
            other => format!("recovery at the {}", words::plain_id(other)),
        });
    }
    if first.targets_origin == "briefed" {
        parts.push("as briefed".to_owned());
    } else if !first.targets_origin.is_empty() {
        parts.push(format!(
            "targets {}",
            words::plain_id(&first.targets_origin)
        ));
    }
    parts.join(", ")
}

fn title(group: &[&ManeuverDebrief]) -> String {
    match group {
        [first, second] => format!("Steep turns, {} and {}", first.direction, second.direction),
        [only] => only.title.clone(),
        _ => String::new(),
    }
}

fn facts(debrief: &Debrief, watch: Watch, group: &[&ManeuverDebrief]) -> String {
    let (Some(first), Some(last)) = (group.first(), group.last()) else {
        return String::new();
    };
    let mut parts = vec![format!(
        "{}–{}{}",
        watch.hms(first.start_s),
        watch.hms(last.end_s),
        if watch.start_unix_s.is_some() {
            " UTC"
        } else {
            ""
        }
    )];
    if let Some(entry) = first
        .facts
        .get("entry_altitude_ft")
        .filter(|fact| fact.value.is_finite())
    {
        parts.push(format!("entry {}", words::with_unit(entry.value, 0, "ft")));
    }
    parts.extend(plan::wind_words(debrief));
    parts.join(", ")
}

fn said(group: &[&ManeuverDebrief]) -> Vec<Said> {
    group
        .iter()
        .map(|maneuver| Said {
            lead: if group.len() > 1 {
                format!("{} turn:", words::capital(&maneuver.direction))
            } else {
                String::new()
            },
            verdict: words::sentence(&maneuver.verdict_line),
            change: words::sentence(&maneuver.change_line),
        })
        .collect()
}

fn story(group: &[&ManeuverDebrief]) -> Vec<Numbered> {
    let mut all: Vec<Numbered> = group
        .iter()
        .flat_map(|maneuver| events::numbered(maneuver))
        .collect();
    all.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    for (index, line) in all.iter_mut().enumerate() {
        line.number = index + 1;
    }
    all
}

fn tell(maneuver: &ManeuverDebrief, finding: &Finding, of_pair: bool) -> Told {
    let not_met: Vec<String> = finding
        .criteria
        .iter()
        .filter(|criterion| {
            maneuver
                .marks
                .iter()
                .any(|mark| mark.criterion == **criterion && mark.mark == Verdict::NotMet)
        })
        .map(|criterion| words::plain_id(criterion))
        .collect();
    let mut cost = Vec::new();
    if !not_met.is_empty() {
        cost.push(format!("{} not met", not_met.join(", ")));
    }
    if let Some(feet) = finding.cost_ft.filter(|feet| feet.is_finite()) {
        cost.push(words::with_unit(feet, 0, "ft"));
    }
    let headline = words::tidy(finding.headline.trim().trim_end_matches('.'));
    Told {
        headline: if of_pair {
            format!(
                "{} turn: {}",
                words::capital(&maneuver.direction),
                decapital(&headline)
            )
        } else {
            headline
        },
        evidence: words::sentence(&finding.evidence),
        cost: cost.join(", and "),
        advice: words::sentence(&finding.advice),
        source: finding.source.trim().to_owned(),
    }
}

/// First letter in lower case, unless the word is an abbreviation.
fn decapital(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

/// Marks without a row in the figure.
fn also(group: &[&ManeuverDebrief], turns: bool) -> Vec<Asked> {
    let mut out: Vec<Asked> = Vec::new();
    for maneuver in group {
        let drawn: Vec<*const Mark> = if turns {
            let shown = ["bank", "airspeed", "altitude", "rollout_heading"];
            shown
                .iter()
                .filter_map(|id| maneuver.marks.iter().find(|mark| mark.criterion == *id))
                .map(std::ptr::from_ref)
                .collect()
        } else {
            figure::rows(maneuver)
                .into_iter()
                .map(std::ptr::from_ref)
                .collect()
        };
        for mark in maneuver
            .marks
            .iter()
            .filter(|mark| !drawn.contains(&std::ptr::from_ref(*mark)))
        {
            let mut asked = Asked {
                mark: mark.mark,
                below: crate::ribbon::is_below(mark),
                words: also_words(maneuver, mark),
            };
            // What both turns of a pair answer in the same way is said once, else each says which turn it is.
            let same = |other: &&ManeuverDebrief| {
                other.marks.iter().any(|one| {
                    one.criterion == mark.criterion
                        && one.mark == mark.mark
                        && also_words(other, one) == asked.words
                })
            };
            if group.len() > 1 && !group.iter().all(same) {
                asked.words = format!(
                    "{} turn: {}",
                    words::capital(&maneuver.direction),
                    decapital(&asked.words)
                );
            }
            if !out.contains(&asked) {
                out.push(asked);
            }
        }
    }
    out.sort_by_key(|asked| match asked.mark {
        Verdict::NotMet => 0,
        Verdict::TooClose => 1,
        Verdict::Met => 2,
        Verdict::NotRecorded => 3,
        Verdict::ForInstructor => 4,
    });
    out
}

/// `Height above ground: 3,070 ± 60 ft, at least 1,500 ft (S2)`.
pub(crate) fn also_words(maneuver: &ManeuverDebrief, mark: &Mark) -> String {
    let mut parts = Vec::new();
    if !matches!(mark.mark, Verdict::NotRecorded | Verdict::ForInstructor) {
        parts.extend(words::worst(mark, maneuver.direction.starts_with("left")));
        let limits = words::limits(mark);
        if !limits.is_empty() {
            parts.push(limits);
        }
    }
    // Why only a person can judge, and that a limit is assumed, is said in the table of marks; a question is put here.
    let said = match mark.mark {
        Verdict::ForInstructor => mark.note.contains('?'),
        Verdict::Met => mark.worst.is_none() || mark.limit_origin != "assumed",
        _ => true,
    };
    if said && !mark.note.trim().is_empty() {
        parts.push(words::tidy(&mark.note));
    }
    let name = words::capital(&mark.quantity);
    let code = words::element_short(&mark.element);
    let code = if code.is_empty() {
        String::new()
    } else {
        format!(" ({code})")
    };
    if parts.is_empty() {
        format!("{name}{code}")
    } else {
        format!("{name}: {}{code}", parts.join("; "))
    }
}

/// One line of the list of maneuvers: which marks, how many.
#[must_use]
pub fn tally(maneuver: &ManeuverDebrief) -> Vec<(Verdict, String)> {
    let of = |verdict: Verdict| {
        maneuver
            .marks
            .iter()
            .filter(move |mark| mark.mark == verdict)
    };
    let names = |verdict: Verdict| {
        let mut names: Vec<String> = Vec::new();
        for mark in of(verdict) {
            let name = words::plain_id(&mark.criterion);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(", ")
    };
    let mut out = Vec::new();
    for verdict in [Verdict::NotMet, Verdict::TooClose] {
        if of(verdict).next().is_some() {
            out.push((verdict, names(verdict)));
        }
    }
    for verdict in [Verdict::Met, Verdict::NotRecorded, Verdict::ForInstructor] {
        let count = of(verdict).count();
        if count > 0 {
            out.push((verdict, count.to_string()));
        }
    }
    out
}

/// Maneuvers that were found and have no task in the standard: `2 clearing turns 19:17, 41 s; …`.
#[must_use]
pub fn unmarked(debrief: &Debrief, watch: Watch) -> Option<String> {
    let said: Vec<String> = debrief
        .maneuvers
        .iter()
        .filter(|maneuver| !maneuver.marked)
        .map(|maneuver| {
            let doubt = match maneuver.confidence_word.as_str() {
                "certain" | "" => String::new(),
                word => format!(", {word}"),
            };
            format!(
                "{}\u{A0}{} {}, {}{doubt}",
                maneuver.number,
                decapital(&maneuver.title),
                watch.hm(maneuver.start_s),
                words::with_unit(maneuver.end_s - maneuver.start_s, 0, "s")
            )
        })
        .collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// Title of the whole debrief.
#[must_use]
pub fn debrief_title(debrief: &Debrief, flight: &Flight) -> String {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    watch.date().map_or_else(
        || format!("Debrief of {}", debrief.recording.name),
        |date| format!("Flight of {date}"),
    )
}
