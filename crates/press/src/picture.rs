//! The picture that shows a kind of maneuver best, from one table.
//!
//! A chandelle is flown by heading turned, a turn around a point by bearing, a landing by distance: drawn over time
//! alone, what to see in them is hidden. Every kind has ribbons and traces over time as well; a kind without a row
//! in the table, a school's own included, has only those.

mod about;
mod attitude;
mod chart;
mod course;
mod map;
mod runway;
mod serpentine;
mod span;
mod turned;

use crate::frame::Frame;
use crate::svg::Drawing;
use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;

/// What a picture is drawn against.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Picture {
    /// Half a turn: bank, pitch, height and airspeed against heading turned.
    HalfTurn,
    /// Half turns one way and the other, laid over each other.
    HalfTurns,
    /// A point on the ground: plan with rings, then distance, bank and ground speed against bearing.
    AboutPoint,
    /// Two pylons: plan, then height and pivotal height against bearing.
    AboutPylons,
    /// A line on the ground: plan turned to it, bank along it.
    AlongLine,
    /// Legs and corners: plan with crab and drift.
    Course,
    /// Height and speed over distance from the touchdown, and the plan.
    ToRunway,
    /// The same from the lift-off.
    FromRunway,
    /// The same from the lowest point.
    OverRunway,
    /// Pitch against bank.
    Attitude,
}

/// Kind id → its picture. The web room draws the same ones, and so does paper.
pub const PICTURES: [(&str, Picture); 13] = [
    ("chandelle", Picture::HalfTurn),
    ("lazy_eight", Picture::HalfTurns),
    ("steep_spiral", Picture::AboutPoint),
    ("turns_around_a_point", Picture::AboutPoint),
    ("eights_on_pylons", Picture::AboutPylons),
    ("s_turns", Picture::AlongLine),
    ("rectangular_course", Picture::Course),
    ("landing", Picture::ToRunway),
    ("power_off_180", Picture::ToRunway),
    ("takeoff", Picture::FromRunway),
    ("go_around", Picture::OverRunway),
    ("engine_out_approach", Picture::OverRunway),
    ("unusual_attitude_recovery", Picture::Attitude),
];

/// The picture of a kind; `None` where traces over time say it best.
#[must_use]
pub fn of(kind: &str) -> Option<Picture> {
    PICTURES
        .iter()
        .find(|(id, _)| *id == kind)
        .map(|(_, picture)| *picture)
}

/// Names of the traces over time that a picture makes needless on paper.
#[must_use]
pub fn replaces(picture: Picture) -> &'static [&'static str] {
    match picture {
        Picture::HalfTurn | Picture::HalfTurns => &["Height", "Airspeed", "Pitch", "Bank"],
        Picture::AboutPoint => &["Bank", "Pitch"],
        Picture::AboutPylons => &["Bank", "Pitch", "Height"],
        Picture::AlongLine => &["Bank", "Pitch"],
        Picture::Course => &["Pitch"],
        Picture::ToRunway | Picture::FromRunway | Picture::OverRunway => &["Bank"],
        Picture::Attitude => &[],
    }
}

/// Least share of its usual height that a picture gets.
const LEAST_SHARE: f64 = 0.85;

/// What a picture is drawn from.
#[derive(Clone, Copy)]
pub(crate) struct Scene<'a> {
    pub(crate) debrief: &'a Debrief,
    pub(crate) maneuver: &'a ManeuverDebrief,
    pub(crate) flight: &'a Flight,
}

/// Draws the picture of a maneuver's kind. `None` where its kind has none, or the recording does not support it.
#[must_use]
pub fn draw(
    debrief: &Debrief,
    maneuver: &ManeuverDebrief,
    flight: &Flight,
    frame: &Frame,
) -> Option<Drawing> {
    // Lowered like the traces it would show nothing of what it is for.
    let frame = &frame.lower(frame.height.max(LEAST_SHARE));
    let scene = Scene {
        debrief,
        maneuver,
        flight,
    };
    if flight.clock.len < 2 || !flight.clock.step_s.is_normal() {
        return None;
    }
    let picture = of(&maneuver.kind)?;
    let mut drawing = match picture {
        Picture::HalfTurn => turned::half(scene, frame),
        Picture::HalfTurns => turned::halves(scene, frame),
        Picture::AboutPoint => about::point(scene, frame),
        Picture::AboutPylons => about::pylons(scene, frame),
        Picture::AlongLine => serpentine::draw(scene, frame),
        Picture::Course => course::draw(scene, frame),
        Picture::ToRunway | Picture::FromRunway | Picture::OverRunway => {
            runway::draw(scene, frame, picture)
        }
        Picture::Attitude => attitude::draw(scene, frame),
    }?;
    drawing.title = format!("{}: {}", maneuver.title, drawing.title);
    Some(drawing)
}
