//! A runway as a person gives it, and where on it a flight touched.
//!
//! Learned strips ([`crate::phases::runway::strip`]) have a direction and an altitude and no ends. With the two ends
//! that a person gives, the touchdown gets its distance beyond the threshold. It is worked out when a flight is
//! marked and not when it is reconstructed, so that a runway may be given at any time.

use crate::{Fact, Kind, Maneuver};
use air::geodesy::{LocalFrame, Place};
use air::units::{M_PER_FT, wrap_pi};
use flight::{Flight, Origin, Series};

/// A runway by its two ends. Which of them is the threshold, the landing shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Runway {
    /// One end.
    pub from: Place,
    /// The other.
    pub to: Place,
    /// Elevation, m above mean sea level, where it is known.
    pub elevation_m: Option<f64>,
}

/// A landing within this of the direction of the runway is on it, rad.
const SAME_WAY_RAD: f64 = 20.0 * std::f64::consts::PI / 180.0;
/// It may lie this far beside it, m: half of a wide runway and what a receiver has wrong.
const BESIDE_M: f64 = 60.0;
/// And this far before its begin or beyond its end, m.
const BEYOND_M: f64 = 150.0;
/// 1-σ of where a receiver without corrections has a whole flight, m (common practice, no source).
const RECEIVER_M: f64 = 3.0;
/// 1-σ of where an end lies that a person took from a chart, m.
const SURVEYED_M: f64 = 3.0;

/// A runway in one direction on the flight's own plane.
struct Line {
    begin: (f64, f64),
    course_rad: f64,
    length_m: f64,
}

impl Line {
    fn new(flight: &Flight, begin: Place, end: Place) -> Option<Line> {
        let origin = Place {
            latitude_rad: flight.origin_latitude_rad,
            longitude_rad: flight.origin_longitude_rad,
        };
        let frame = LocalFrame::new(origin, 0.0).ok()?;
        let [e0, n0, _] = frame.enu_m(begin.latitude_rad, begin.longitude_rad, 0.0);
        let [e1, n1, _] = frame.enu_m(end.latitude_rad, end.longitude_rad, 0.0);
        let length_m = (e1 - e0).hypot(n1 - n0);
        (length_m > 1.0).then_some(Line {
            begin: (e0, n0),
            course_rad: (e1 - e0).atan2(n1 - n0),
            length_m,
        })
    }

    /// Beyond the begin, and to the right of the middle line, m.
    fn along_across(&self, (east, north): (f64, f64)) -> (f64, f64) {
        let (sin, cos) = self.course_rad.sin_cos();
        let (east, north) = (east - self.begin.0, north - self.begin.1);
        (east * sin + north * cos, east * cos - north * sin)
    }

    fn carries(&self, course_rad: f64, (along, across): (f64, f64)) -> bool {
        wrap_pi(course_rad - self.course_rad).abs() < SAME_WAY_RAD
            && across.abs() < BESIDE_M
            && (-BEYOND_M..=self.length_m + BEYOND_M).contains(&along)
    }
}

/// Writes to every landing where it touched on the runway that it was on, and to every go-around how low it came.
pub fn place(flight: &Flight, runways: &[Runway], maneuvers: &mut [Maneuver]) {
    if runways.is_empty() {
        return;
    }
    for maneuver in maneuvers {
        match maneuver.kind {
            Kind::Landing | Kind::PowerOff180 => touched(flight, runways, maneuver),
            Kind::GoAround => low(flight, runways, maneuver),
            _ => {}
        }
    }
}

fn touched(flight: &Flight, runways: &[Runway], maneuver: &mut Maneuver) {
    let names = ["touchdown_beyond_threshold", "touchdown_offset"];
    let mut missing = |why: &'static str| {
        for name in names {
            maneuver.missing.insert(name, why);
        }
    };
    let (Some(east), Some(north)) = (&flight.east, &flight.north) else {
        missing("no position was recorded");
        return;
    };
    let course_rad = maneuver
        .facts
        .get("runway_course")
        .map_or(f64::NAN, |fact| fact.value);
    let event = maneuver
        .events
        .iter()
        .find(|event| event.name == "touchdown");
    let Some((at_s, sigma_s)) = event.map(|event| (event.at_s, event.sigma_s)) else {
        missing("the touchdown was not found");
        return;
    };
    let here = (between(flight, east, at_s), between(flight, north, at_s));
    let found = runways
        .iter()
        .flat_map(|one| [(one.from, one.to), (one.to, one.from)])
        .filter_map(|(begin, end)| Line::new(flight, begin, end))
        .map(|line| (line.along_across(here), line))
        .find(|(spot, line)| line.carries(course_rad, *spot));
    let Some(((along, across), _)) = found else {
        missing("none of the runways that were given lies where it touched");
        return;
    };
    let speed = maneuver
        .facts
        .get("touchdown_ground_speed")
        .map_or(30.0, |fact| fact.value);
    let place = RECEIVER_M.hypot(SURVEYED_M);
    let fact = |value: f64, sigma: f64| Fact {
        value,
        unit: "m",
        sigma,
        origin: Origin::Derived,
    };
    for name in names {
        maneuver.missing.remove(name);
    }
    let beyond = fact(along, place.hypot(speed * sigma_s));
    maneuver.facts.insert("touchdown_beyond_threshold", beyond);
    maneuver
        .facts
        .insert("touchdown_offset", fact(across, place));
}

/// How low a go-around came above the runway, where nothing else told it.
fn low(flight: &Flight, runways: &[Runway], maneuver: &mut Maneuver) {
    let Some(height) = flight.height.as_ref() else {
        return;
    };
    let event = maneuver.events.iter().find(|event| event.name == "lowest");
    let Some(at_s) = event.map(|event| event.at_s) else {
        return;
    };
    let elevation = runways.iter().find_map(|runway| runway.elevation_m);
    if let (Some(elevation), false) = (elevation, maneuver.facts.contains_key("lowest_height")) {
        let index = flight.clock.index(at_s);
        let fact = Fact {
            value: height.at(index) - elevation,
            unit: "m",
            sigma: height.sigma_at(index).max(3.0),
            origin: height.origin,
        };
        if fact.value.is_finite() && fact.value < 1000.0 * M_PER_FT {
            maneuver.missing.remove("lowest_height");
            maneuver.facts.insert("lowest_height", fact);
        }
    }
}

/// Straight line between two samples.
fn between(flight: &Flight, series: &Series, at_s: f64) -> f64 {
    let place = (at_s / flight.clock.step_s).max(0.0);
    let first = place.floor();
    let share = place - first;
    let (a, b) = (series.at(first as usize), series.at(first as usize + 1));
    if share < 1e-9 || b.is_nan() {
        a
    } else {
        a + share * (b - a)
    }
}
