//! One pair, or rather one clean flight and all the flights with faults that go with it.

use crate::Moves;
use crate::airplane::{self, Airplane};
use crate::day::{self, Day};
use crate::fault::{self, Fault};
use crate::lesson::{self, Plan};
use crate::truth::{self, Reading, tidy};
use air::units::MPS_PER_KT;
use dynamics::Airframe;
use dynamics::outside::{Earth, Outside};
use practice::log::{Flown, Log};
use practice::maneuvers::stalls::{Entry, Stall};
use practice::pilot::{Pilot, STEP_S, Skill, Start};
use practice::recorder;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::{Value, json};
use std::error::Error;
use std::path::PathBuf;

/// Two faults at once: so many flights of a pair.
const DOUBLES: usize = 4;
/// Draws before a pair is given up.
const TRIES: u64 = 40;

/// What is written.
pub struct Pair {
    /// Names and texts.
    pub files: Vec<(String, String)>,
    /// For `truth.json`.
    pub truth: Value,
    /// For the screen.
    pub line: String,
}

/// A flight and what it came to.
struct Flight {
    log: Log,
    flown: Flown,
    reading: Reading,
}

/// Everything that the flights of a pair share.
struct Shared {
    airplane: Airplane,
    day: Day,
    plan: Plan,
    seed: u64,
    moves: Moves,
}

/// Draws pairs until the clean flight stalls and is cleanly recovered, then flies the faults.
pub fn fly(base: &Airframe, number: u64, seed: u64, moves: Moves) -> Result<Pair, Box<dyn Error>> {
    for again in 0..TRIES {
        let seed = (seed << 32) ^ (number << 8) ^ again;
        let mut dice = Pcg64::seed_from_u64(seed);
        let airplane = airplane::draw(base, number, &mut dice);
        let day = day::draw(&mut dice)?;
        let plan = lesson::draw(&airplane.speeds, &mut dice);
        let shared = Shared {
            airplane,
            day,
            plan,
            seed,
            moves,
        };
        let Some(from) = shared.before()? else {
            continue;
        };
        let clean = shared.fly(&from, &shared.plan.stall)?;
        if let Some(clean) = clean.filter(|flight| !second(flight, &shared.airplane.airframe)) {
            return write(&shared, &from, &clean, number, &mut dice);
        }
    }
    Err(format!("pair {number}: no draw of {TRIES} gave a clean stall").into())
}

impl Shared {
    /// The pilot after all that comes before the stall under test; none where the airplane cannot begin.
    fn before(&self) -> Result<Option<Pilot<'_>>, Box<dyn Error>> {
        let start = Start {
            height_m: self.plan.height_m,
            cas_mps: self.airplane.speeds.cruise,
            heading_rad: self.plan.heading_rad,
        };
        let skill = Skill {
            wander: self.plan.wander,
        };
        let airframe = &self.airplane.airframe;
        let taken = Pilot::in_level_flight(airframe, &self.day.weather, &start, skill, self.seed);
        let Some(pilot) = taken else {
            return Ok(None);
        };
        let mut pilot = self.moved(pilot)?;
        lesson::before(&mut pilot, &self.airplane.speeds, &self.plan);
        ended(&pilot)?;
        Ok(Some(pilot))
    }

    /// The stall with this recovery, from where the pilot stands; none where there is no full stall.
    fn fly(&self, from: &Pilot<'_>, stall: &Stall) -> Result<Option<Flight>, Box<dyn Error>> {
        let mut pilot = self.moved(from.clone())?;
        let flown = lesson::stall(&mut pilot, &self.airplane.speeds, stall);
        ended(&pilot)?;
        let reading = truth::read(&pilot.log, &flown, self.day.field.elevation_m);
        Ok(reading.map(|reading| Flight {
            log: pilot.log,
            flown,
            reading,
        }))
    }

    /// With what moves the airplane under the pilot.
    fn moved<'a>(&self, pilot: Pilot<'a>) -> Result<Pilot<'a>, Box<dyn Error>> {
        match self.moves {
            Moves::Model => Ok(pilot),
            Moves::Jsbsim => Ok(pilot.in_plant(Box::new(self.outside()?))?),
        }
    }

    /// The airplane in the other library, over its round earth.
    fn outside(&self) -> Result<Outside, Box<dyn Error>> {
        let python = std::env::var_os("PROOFWING_TEST_JSBSIM").unwrap_or_else(|| "python3".into());
        let folder = plant_folder();
        let airframe = &self.airplane.airframe;
        Ok(Outside::start(
            python.as_ref(),
            &folder,
            airframe,
            STEP_S,
            Earth::Round,
        )?)
    }

    fn record(&self, flight: &Flight, index: usize) -> String {
        // Each flight has a recorder with errors of its own.
        let seed = self.seed.wrapping_mul(64).wrapping_add(index as u64);
        let day = &self.day;
        recorder::write(&flight.log, &day.field, day.fit, day.dropped, seed)
    }
}

/// Where the other library finds its airplane.
pub fn plant_folder() -> PathBuf {
    std::env::temp_dir().join(format!("recovery-pairs-{}", std::process::id()))
}

/// An error where the plant was lost on the way.
fn ended(pilot: &Pilot<'_>) -> Result<(), Box<dyn Error>> {
    match pilot.lost() {
        Some(lost) => Err(lost.clone().into()),
        None => Ok(()),
    }
}

/// Whether the wing stalled again, 1 s after the recovery began or later: then the flight is not clean.
fn second(flight: &Flight, airframe: &Airframe) -> bool {
    let Some(began) = flight.flown.moments.get("recovery_start") else {
        return true;
    };
    let until = flight.reading.full_s + truth::LATER_S;
    flight
        .log
        .samples
        .iter()
        .filter(|s| (began + 1.0..until).contains(&s.seen.t))
        .any(|s| s.seen.alpha > airframe.critical_near(s.seen.flap))
}

fn write(
    shared: &Shared,
    from: &Pilot<'_>,
    clean: &Flight,
    number: u64,
    dice: &mut Pcg64,
) -> Result<Pair, Box<dyn Error>> {
    let stall = &shared.plan.stall;
    let airframe = &shared.airplane.airframe;
    let flap = airframe
        .flaps
        .get(stall.detent)
        .map_or(0.0, |f| f.angle_rad);
    let flap_deg = flap.to_degrees();
    let name = |index: usize| format!("pair_{number:03}_{index:02}.csv");
    let aircraft = format!("pair_{number:03}.aircraft.toml");
    let mut files = vec![
        (aircraft.clone(), shared.airplane.file.clone()),
        (name(0), shared.record(clean, 0)),
    ];
    let mut flights = Vec::new();
    let mut costs = Vec::new();
    for faults in fault::all(stall, flap_deg, DOUBLES, dice) {
        let Some(flight) = shared.fly(from, &with(stall, &faults))? else {
            continue;
        };
        let index = files.len() - 1;
        files.push((name(index), shared.record(&flight, index)));
        let mut told = json!({
            "file": name(index),
            "faults": faults.iter().map(Fault::told).collect::<Vec<_>>(),
            "full_stall_s": tidy(flight.reading.full_s),
            "clean": clean.reading.told(), "faulty": flight.reading.told(),
            "cost_ft": clean.reading.cost(&flight.reading),
            "stalled_again": second(&flight, airframe),
            "moments": moments(&flight.flown),
        });
        if faults.len() > 1 {
            let mut alone = Vec::new();
            for one in &faults {
                let flight = shared.fly(from, &with(stall, &[*one]))?;
                let cost = flight.map(|flight| clean.reading.cost(&flight.reading));
                alone.push(cost.unwrap_or(Value::Null));
            }
            told["alone_ft"] = alone.into();
        }
        costs.push(told["cost_ft"]["lowest_ft"].clone());
        flights.push(told);
    }
    let lost = (clean.reading.full_m - clean.reading.lowest_m) / air::units::M_PER_FT;
    let line = format!(
        "pair {number:03}: {} {:.0}° of flap, {} air, clean {lost:.0} ft, faults {}",
        kind(stall),
        flap_deg,
        shared.day.turbulence,
        costs
            .iter()
            .map(|c| format!("{:.0}", c.as_f64().unwrap_or(f64::NAN)))
            .collect::<Vec<_>>()
            .join(" "),
    );
    let truth = json!({
        "pair": number, "aircraft": aircraft, "fit": shared.day.fit.id(),
        "airplane": {
            "type": airframe.name, "mass_kg": tidy(airframe.inertia.mass_kg),
            "reference_kg": tidy(shared.airplane.reference_kg), "mass_in_aircraft_file": shared.airplane.mass_known,
            "rated_power_w": tidy(airframe.engine.rated_w), "drag_zero": airframe.wing.drag_zero,
            "drag_lift": airframe.wing.drag_lift, "sharpness_per_rad": airframe.separation.sharpness_per_rad,
        },
        "turbulence": shared.day.turbulence, "gust_mps": tidy(shared.day.weather.gust_mps),
        "wind_kt": tidy(shared.day.wind_kt), "warmer_k": tidy(shared.day.weather.warmer_k),
        "wander": tidy(shared.plan.wander), "elevation_ft": tidy(shared.day.field.elevation_m / air::units::M_PER_FT),
        "kind": kind(stall), "bank_deg": tidy(stall.bank.to_degrees()), "flap_deg": tidy(flap_deg),
        "entry_throttle": stall.entry_throttle.unwrap_or(0.0),
        "vs1_kt": tidy(shared.airplane.speeds.vs1 / MPS_PER_KT), "vy_kt": tidy(shared.airplane.speeds.vy / MPS_PER_KT),
        "clean": {
            "file": name(0), "full_stall_s": tidy(clean.reading.full_s), "heights": clean.reading.told(),
            "moments": moments(&clean.flown),
        },
        "lesson": clean.log.flown.iter().map(|one| json!({
            "kind": one.kind, "t_start": tidy(one.start_s), "t_end": tidy(one.end_s), "moments": moments(one),
        })).collect::<Vec<_>>(),
        "flights": flights,
    });
    Ok(Pair { files, truth, line })
}

fn with(stall: &Stall, faults: &[Fault]) -> Stall {
    let mut stall = *stall;
    for fault in faults {
        fault.put(&mut stall);
    }
    stall
}

fn kind(stall: &Stall) -> &'static str {
    match stall.entry {
        Entry::PowerOff => "power_off_stall",
        Entry::PowerOn => "power_on_stall",
        Entry::Accelerated => "accelerated_stall",
    }
}

fn moments(flown: &Flown) -> Value {
    let pairs = flown.moments.iter();
    Value::Object(pairs.map(|(k, v)| (k.clone(), json!(tidy(*v)))).collect())
}
