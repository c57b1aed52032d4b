//! Turns against heading turned: bank, airspeed, height, power and roll-out, left and right side by side on the
//! same scales, then the plan.

use crate::frame::Frame;
use crate::glyph;
use crate::palette::Role;
use crate::plan::{self, Paths};
use crate::ribbon;
use crate::svg::{Anchor, Drawing, Point, style};
use crate::text::{self, Face};
use crate::turn_plot::{panel, rollout};
use crate::words::{self, Watch};
use air::units::{M_PER_FT, MPS_PER_KT};
use debrief::{Debrief, ManeuverDebrief};
use flight::{Flight, Series};
use standard::Mark;

/// A turn with its heading turned, sample by sample.
pub(crate) struct Turn<'a> {
    pub(crate) maneuver: &'a ManeuverDebrief,
    /// +1 right, −1 left.
    pub(crate) sign: f64,
    pub(crate) first: usize,
    /// Degrees turned since the start, positive the way of the turn.
    pub(crate) turned: Vec<f64>,
}

impl<'a> Turn<'a> {
    fn new(maneuver: &'a ManeuverDebrief, flight: &Flight) -> Option<Self> {
        let heading = flight
            .heading
            .as_ref()
            .or(flight.air_track.as_ref())
            .or(flight.track.as_ref())?;
        let (first, last) = (
            flight.clock.index(maneuver.start_s),
            flight.clock.index(maneuver.end_s),
        );
        let sign = if maneuver.direction.starts_with("left") {
            -1.0
        } else {
            1.0
        };
        let start = (first..=last)
            .map(|index| heading.at(index))
            .find(|value| value.is_finite())?;
        let turned = (first..=last)
            .map(|index| {
                if flight.known.get(index).copied().unwrap_or(false) {
                    (heading.at(index) - start).to_degrees() * sign
                } else {
                    f64::NAN
                }
            })
            .collect();
        Some(Self {
            maneuver,
            sign,
            first,
            turned,
        })
    }

    pub(crate) fn most(&self) -> f64 {
        self.turned
            .iter()
            .copied()
            .filter(|value| value.is_finite())
            .fold(0.0, f64::max)
    }

    pub(crate) fn turned_at(&self, flight: &Flight, t: f64) -> Option<f64> {
        let index = flight.clock.index(t).checked_sub(self.first)?;
        self.turned
            .get(index)
            .copied()
            .filter(|value| value.is_finite())
    }

    /// A quantity against heading turned, with a break where either is unknown.
    pub(crate) fn curve(&self, series: &Series, convert: impl Fn(f64) -> f64) -> Vec<Point> {
        self.turned
            .iter()
            .enumerate()
            .map(|(offset, turned)| (*turned, convert(series.at(self.first + offset))))
            .collect()
    }

    pub(crate) fn mark(&self, criterion: &str) -> Option<&'a Mark> {
        self.maneuver
            .marks
            .iter()
            .find(|mark| mark.criterion == criterion)
    }
}

/// A quantity that is drawn.
pub(crate) struct Quantity<'a> {
    pub(crate) name: &'static str,
    pub(crate) criterion: &'static str,
    pub(crate) height: f64,
    pub(crate) span: f64,
    pub(crate) unit: &'static str,
    pub(crate) series: Option<&'a Series>,
    pub(crate) convert: fn(f64) -> f64,
    pub(crate) signed: bool,
}

fn quantities(flight: &Flight) -> Vec<Quantity<'_>> {
    let mut list = vec![
        Quantity {
            name: "Bank",
            criterion: "bank",
            height: 78.0,
            span: 20.0,
            unit: "deg",
            series: flight.bank.as_ref(),
            convert: f64::to_degrees,
            signed: true,
        },
        Quantity {
            name: "Airspeed",
            criterion: "airspeed",
            height: 60.0,
            span: 24.0,
            unit: "kt",
            series: flight.ias.as_ref(),
            convert: |v| v / MPS_PER_KT,
            signed: false,
        },
        Quantity {
            name: "Height",
            criterion: "altitude",
            height: 56.0,
            span: 240.0,
            unit: "ft",
            series: flight.altitude.as_ref(),
            convert: |v| v / M_PER_FT,
            signed: false,
        },
    ];
    if let Some(series) = flight.engine_speed.as_ref() {
        list.push(Quantity {
            name: "Power",
            criterion: "",
            height: 34.0,
            span: 300.0,
            unit: "rpm",
            series: Some(series),
            convert: |v| v * 60.0 / std::f64::consts::TAU,
            signed: false,
        });
    } else if let Some(series) = flight.power.as_ref() {
        list.push(Quantity {
            name: "Power",
            criterion: "",
            height: 34.0,
            span: 30.0,
            unit: "%",
            series: Some(series),
            convert: |v| v * 100.0,
            signed: false,
        });
    }
    list
}

/// Draws one turn, or two side by side (one under the other on a narrow page).
#[must_use]
pub fn draw(
    debrief: &Debrief,
    maneuvers: &[&ManeuverDebrief],
    flight: &Flight,
    frame: &Frame,
) -> Option<Drawing> {
    let turns: Vec<Turn<'_>> = maneuvers
        .iter()
        .filter_map(|maneuver| Turn::new(maneuver, flight))
        .collect();
    if turns.is_empty() || turns.len() != maneuvers.len() {
        return None;
    }
    let mut drawing = Drawing::new(frame.width, 0.0);
    let bottom = if frame.narrow {
        turns.iter().fold(0.0, |y, turn| {
            column(&mut drawing, debrief, &[turn], flight, frame, y) + 16.0
        })
    } else {
        column(
            &mut drawing,
            debrief,
            &turns.iter().collect::<Vec<_>>(),
            flight,
            frame,
            0.0,
        )
    };
    drawing.height = bottom;
    let titles: Vec<&str> = maneuvers
        .iter()
        .map(|maneuver| maneuver.title.as_str())
        .collect();
    drawing.title = format!("{}: against heading turned, and plan", titles.join(" and "));
    drawing.desc = describe(maneuvers);
    Some(drawing)
}

/// Left and right edge of each plot.
fn plots(frame: &Frame, count: usize) -> Vec<(f64, f64)> {
    match (frame.narrow, count) {
        (true, _) => vec![(frame.x0 + 8.0, frame.x1)],
        (false, 1) => vec![(150.0, 560.0)],
        (false, _) => vec![(150.0, 392.0), (446.0, 688.0)],
    }
}

fn column(
    drawing: &mut Drawing,
    debrief: &Debrief,
    turns: &[&Turn<'_>],
    flight: &Flight,
    frame: &Frame,
    top: f64,
) -> f64 {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let plots = plots(frame, turns.len());
    let most = turns.iter().map(|turn| turn.most()).fold(360.0, f64::max) + 8.0;
    let mut y = top + 13.0;
    if !frame.narrow {
        drawing.text(
            (0.0, y),
            Anchor::Start,
            frame.second(),
            "against heading turned",
        );
    }
    for (turn, (x0, _)) in turns.iter().zip(&plots) {
        let side = if turn.sign < 0.0 { "Left" } else { "Right" };
        let words = format!(
            "{side} turn, {} to {}",
            watch.hms(turn.maneuver.start_s),
            watch.hms(turn.maneuver.end_s)
        );
        drawing.text(
            (if frame.narrow { 0.0 } else { *x0 }, y),
            Anchor::Start,
            style(Face::SansBold, 13.0, Role::Ink),
            &words,
        );
    }
    y += 8.0;
    for quantity in quantities(flight) {
        y = panel(drawing, turns, flight, frame, &plots, &quantity, most, y);
    }
    if turns
        .iter()
        .any(|turn| turn.mark("rollout_heading").is_some())
    {
        y = rollout(drawing, turns, frame, &plots, y);
    }
    plan_row(drawing, debrief, turns, flight, frame, &plots, y)
}

/// Writes the name of a row at the left, or above on a narrow page; gives the y where the row begins.
pub(crate) fn row_name(
    drawing: &mut Drawing,
    frame: &Frame,
    name: &str,
    second: &str,
    y: f64,
) -> f64 {
    if frame.narrow {
        let after = drawing
            .text((0.0, y + 14.0), Anchor::Start, frame.name(), name)
            .x1;
        let words = text::fit(
            Face::Sans,
            frame.label - 0.5,
            second,
            frame.width - after - 8.0,
        );
        drawing.text(
            (after + 8.0, y + 14.0),
            Anchor::Start,
            frame.second(),
            &words,
        );
        return y + 18.0;
    }
    drawing.text((0.0, y + 14.0), Anchor::Start, frame.name(), name);
    for (index, line) in text::wrap(Face::Sans, frame.label - 0.5, second, frame.names - 4.0)
        .iter()
        .enumerate()
    {
        drawing.text(
            (0.0, y + 27.0 + 13.0 * index as f64),
            Anchor::Start,
            frame.second(),
            line,
        );
    }
    y
}

/// Glyph, word and worst above a plot.
pub(crate) fn verdict(
    drawing: &mut Drawing,
    frame: &Frame,
    mark: &Mark,
    left_turn: bool,
    x: f64,
    y: f64,
    room: f64,
) {
    // The plot shows the size of the bank, so a left turn that is too steep breaks the upper limit.
    let below = ribbon::is_below(mark)
        != (mark.criterion == "bank" && mark.target.is_some_and(|target| target < 0.0));
    glyph::draw(drawing, (x, y - 9.5), 17.0, mark.mark, below);
    let after = drawing
        .text(
            (x + 23.0, y),
            Anchor::Start,
            frame.name(),
            words::mark(mark.mark),
        )
        .x1;
    let words = words::worst(mark, left_turn).unwrap_or_else(|| mark.note.clone());
    let words = text::fit(
        Face::Sans,
        frame.label - 0.5,
        &words,
        room - (after - x) - 7.0,
    );
    drawing.text((after + 7.0, y), Anchor::Start, frame.second(), &words);
}

fn plan_row(
    drawing: &mut Drawing,
    debrief: &Debrief,
    turns: &[&Turn<'_>],
    flight: &Flight,
    frame: &Frame,
    plots: &[(f64, f64)],
    y: f64,
) -> f64 {
    let paths: Vec<Paths> = turns
        .iter()
        .filter_map(|turn| Paths::new(debrief, flight, turn.maneuver.start_s, turn.maneuver.end_s))
        .collect();
    if paths.len() != turns.len() {
        return y;
    }
    let height = 128.0 * frame.height;
    let width = plots
        .iter()
        .map(|(x0, x1)| x1 - x0)
        .fold(f64::INFINITY, f64::min)
        - 20.0;
    let feet_per_px = plan::scale(&paths.iter().collect::<Vec<_>>(), width, height);
    let air = paths.iter().all(|paths| !paths.air.is_empty());
    let second = if air {
        "solid: through the air; dashed: over the ground"
    } else {
        "dashed: over the ground; wind not known"
    };
    let mut words = second.to_owned();
    if let (true, Some(wind)) = (air, plan::wind_words(debrief)) {
        words = format!("{words}; {wind}");
    }
    let mut key = y + 14.0;
    drawing.text((0.0, key), Anchor::Start, frame.name(), "Plan");
    let room = if frame.narrow {
        frame.width - 8.0
    } else {
        frame.names + 20.0
    };
    for line in words
        .split("; ")
        .flat_map(|part| text::wrap(Face::Sans, frame.label - 0.5, part, room))
    {
        key += frame.label + 2.5;
        drawing.text((0.0, key), Anchor::Start, frame.second(), &line);
    }
    key = plan::scale_bar(
        drawing,
        feet_per_px,
        (0.0, key + 12.0),
        110.0,
        frame.label - 0.5,
    );
    key += frame.label - 0.5;
    drawing.text(
        (0.0, key),
        Anchor::Start,
        frame.second(),
        "filled: in; open: out",
    );
    let top = if frame.narrow { key + 8.0 } else { y + 4.0 };
    for (paths, (x0, x1)) in paths.iter().zip(plots) {
        plan::draw(
            drawing,
            paths,
            feet_per_px,
            (x0 + 10.0, top),
            x1 - x0 - 20.0,
            height,
        );
    }
    (top + height + 8.0).max(key + 6.0)
}

fn describe(maneuvers: &[&ManeuverDebrief]) -> String {
    let mut out = String::new();
    for maneuver in maneuvers {
        let left = maneuver.direction.starts_with("left");
        out.push_str(&format!("{}: ", maneuver.title));
        for criterion in ["bank", "airspeed", "altitude", "rollout_heading"] {
            if let Some(mark) = maneuver
                .marks
                .iter()
                .find(|mark| mark.criterion == criterion)
            {
                let worst = words::worst(mark, left)
                    .map(|worst| format!(", {worst}"))
                    .unwrap_or_default();
                out.push_str(&format!(
                    "{} {}{worst}; ",
                    words::plain_id(criterion),
                    words::mark(mark.mark)
                ));
            }
        }
    }
    out.trim_end_matches([' ', ';']).to_owned()
}
