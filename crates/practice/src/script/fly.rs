//! A script flown: the airplane put where it begins, one task after the other, and what is written of it.

use super::hands::Hands;
use super::{Script, Start, Task};
use crate::craft;
use crate::log::Log;
use crate::pilot::{self, Pilot, Skill};
use crate::recorder::{self, Field, Fit};
use crate::speeds::Speeds;
use crate::truth;
use air::geodesy::LocalFrame;
use air::units::{M_PER_FT, MPS_PER_KT, PA_PER_INHG};
use aircraft::Problem;
use dynamics::{Airframe, Controls, State};
use serde_json::{Value, json};

/// Longest flight, s.
const LONGEST_S: f64 = 4.0 * 3600.0;

/// A flown lesson.
#[derive(Debug)]
pub struct Flight {
    /// Moments and maneuvers.
    pub log: Log,
    /// The recording as the recorder writes it.
    pub recording: String,
    /// What really happened.
    pub truth: Value,
    /// The aircraft file that belongs to it.
    pub aircraft: String,
    /// Ends of the runway: latitude and longitude, deg.
    pub runway_deg: [[f64; 2]; 2],
}

/// The demonstration's airframe, for scripts that name none.
///
/// # Errors
/// None in a program that was tested.
pub fn default_airframe() -> Result<Airframe, Problem> {
    let text = include_str!("../../../../data/airframes/demo.toml");
    dynamics::parse(text, "data/airframes/demo.toml")
}

pub(super) fn fly(
    script: &Script,
    airframe: &Airframe,
    fit: Fit,
    seed: u64,
) -> Result<Flight, Problem> {
    for task in &script.tasks {
        detent(script, task, airframe)?;
    }
    let speeds = Speeds::by_model(airframe);
    let field = script.field();
    let frame = LocalFrame::new(script.place, script.elevation_m).ok();
    let mut pilot = begin(script, airframe, &speeds, seed)?;
    pilot.trims = true;
    let mut hands = Hands {
        pilot,
        speeds,
        script,
        frame,
    };
    for task in &script.tasks {
        hands.fly(task);
        if hands.pilot.seen.t > LONGEST_S {
            let what = "the flight has lasted four hours here".to_owned();
            return Err(script.problem(task.at, what, "fly less, or in two scripts"));
        }
        if hands.crashed(task) {
            let what = "the airplane hits the ground here".to_owned();
            let mend = "begin higher, or with a smaller fault";
            return Err(script.problem(task.at, what, mend));
        }
    }
    hands.finish();
    let log = hands.pilot.log;
    let recording = recorder::write(&log, &field, fit, 0.0, seed);
    let mut truth = truth::write(&log, airframe, &speeds, &field, fit, &script.name);
    truth["environment"] = environment(script);
    truth["seed"] = json!(seed);
    if let Some(place) = truth["field"].as_object_mut() {
        place.insert("lat".into(), json!(script.place.latitude_rad.to_degrees()));
        place.insert("lon".into(), json!(script.place.longitude_rad.to_degrees()));
        let feet = (script.elevation_m / M_PER_FT).round();
        place.insert("elevation_ft".into(), json!(feet));
    }
    let end = frame.map_or(script.place, |frame| {
        let [north, east] = script.runway.line().place(script.runway.length, 0.0);
        frame.place(east, north, 0.0)
    });
    let degrees = |place: air::geodesy::Place| {
        [
            place.latitude_rad.to_degrees(),
            place.longitude_rad.to_degrees(),
        ]
    };
    Ok(Flight {
        recording,
        truth,
        aircraft: aircraft::write(&craft::aircraft(airframe, &speeds)),
        runway_deg: [degrees(script.place), degrees(end)],
        log,
    })
}

/// A flap angle must be one of the airframe's detents.
fn detent(script: &Script, task: &Task, airframe: &Airframe) -> Result<(), Problem> {
    let Some(angle) = task.flaps else {
        return Ok(());
    };
    let near = |flap: &&dynamics::airframe::Flap| (flap.angle_rad - angle).abs() < 0.005;
    if airframe.flaps.iter().any(|flap| near(&flap)) {
        return Ok(());
    }
    let detents: Vec<String> = airframe
        .flaps
        .iter()
        .map(|flap| format!("{:.0}", flap.angle_rad.to_degrees()))
        .collect();
    let what = format!(
        "{} has no flap detent at {:.0}°",
        airframe.name,
        angle.to_degrees()
    );
    let mend = format!("write one of {}", detents.join(", "));
    Err(script.problem(task.flaps_at, what, &mend))
}

fn begin<'a>(
    script: &'a Script,
    airframe: &'a Airframe,
    speeds: &Speeds,
    seed: u64,
) -> Result<Pilot<'a>, Problem> {
    let skill = Skill {
        wander: script.wander,
    };
    let weather = &script.weather;
    match script.start {
        Start::Runway => {
            // On its wheels, the engine idling, the brakes set.
            let low = airframe.wheels.iter().map(|wheel| wheel.at_m[2]);
            let height = low.fold(0.0, f64::max);
            let mut state = State::level(height, script.runway.course, 0.0);
            state.0[13] = 80.0;
            let controls = Controls {
                brakes: 1.0,
                ..Controls::default()
            };
            Ok(Pilot::new(airframe, weather, state, controls, skill, seed))
        }
        Start::Air {
            height,
            speed,
            heading,
        } => {
            let start = pilot::Start {
                height_m: height,
                cas_mps: speed.unwrap_or(speeds.cruise),
                heading_rad: heading,
            };
            Pilot::in_level_flight(airframe, weather, &start, skill, seed).ok_or_else(|| {
                let at = aircraft::Place { line: 1, column: 1 };
                let what = format!(
                    "{} cannot fly level at {:.0} kt and this height",
                    airframe.name,
                    start.cas_mps / MPS_PER_KT
                );
                script.problem(at, what, "change speed_kias or height_ft in [start]")
            })
        }
    }
}

pub(super) fn field(script: &Script) -> Field {
    let date = jiff::tz::TimeZone::UTC.to_datetime(script.time).date();
    let variation = air::magnetic::variation(
        script.place.latitude_rad,
        script.place.longitude_rad,
        script.elevation_m,
        i32::from(date.year()),
        u16::try_from(date.day_of_year()).unwrap_or(1),
    );
    Field {
        place: script.place,
        elevation_m: script.elevation_m,
        start: script.time,
        variation_rad: variation.map_or(0.0, |found| found.value_rad),
        setting_pa: script.setting_pa,
    }
}

fn environment(script: &Script) -> Value {
    let round = |value: f64| (value * 100.0).round() / 100.0;
    json!({
        "wind_from_true_deg": round(script.wind.0.to_degrees()),
        "wind_kt": round(script.wind.1 / MPS_PER_KT),
        "gust_kt": round(script.weather.gust_mps / MPS_PER_KT),
        "isa_deviation_c": round(script.weather.warmer_k),
        "altimeter_setting_inhg": round(script.setting_pa / PA_PER_INHG),
    })
}
