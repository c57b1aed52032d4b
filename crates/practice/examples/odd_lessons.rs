//! Writes lessons of an odd structure with their truth into a folder, for the score: slow flight that a
//! stall begins out of, no clearing turns, half lazy eights alone, chained attempts, strong wind, rough air.

use air::geodesy::Place;
use air::units::{M_PER_FT, MPS_PER_KT};
use dynamics::trim::{Path, Wanted, trim};
use dynamics::{Airframe, Controls, Weather, WindAt, parse};
use practice::maneuvers::slow_flight::{self, SlowFlight};
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::maneuvers::{legs, performance, turns};
use practice::pilot::{Pilot, Skill};
use practice::recorder::{self, Field, Fit};
use practice::speeds::Speeds;
use practice::truth;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let folder = args
        .next()
        .ok_or("usage: odd_lessons FOLDER [FLIGHTS] [SEED]")?;
    let flights: u64 = args.next().map_or(Ok(8), |n| n.parse())?;
    let seed: u64 = args.next().map_or(Ok(1), |n| n.parse())?;
    std::fs::create_dir_all(&folder)?;
    let base = parse(
        include_str!("../../../data/airframes/demo.toml"),
        "demo.toml",
    )?;
    for flight in 0..flights {
        one(&folder, &base, flight, seed * 1000 + flight)?;
    }
    Ok(())
}

fn one(
    folder: &str,
    base: &Airframe,
    flight: u64,
    seed: u64,
) -> Result<(), Box<dyn std::error::Error>> {
    let mut dice = Pcg64::seed_from_u64(seed);
    let airframe = varied(base, &mut dice);
    let speeds = Speeds::of(&airframe);
    let fit = Fit::ALL[(flight % 4) as usize].0;
    let gusts = [0.0, 0.4, 0.8, 1.4][dice.random_range(0..4)];
    let wind_kt = [0.0, 8.0, 15.0, 25.0][dice.random_range(0..4)] * MPS_PER_KT;
    let toward: f64 = dice.random_range(0.0..std::f64::consts::TAU);
    let weather = Weather {
        warmer_k: dice.random_range(-8.0..15.0),
        reference_pressure_m: dice.random_range(0.0..300.0),
        wind: vec![WindAt {
            height_m: 0.0,
            toward_mps: [wind_kt * toward.cos(), wind_kt * toward.sin()],
        }],
        gust_mps: gusts,
    };
    let height = 1100.0 + dice.random_range(0.0..300.0);
    let wanted = Wanted {
        tas_mps: speeds.cruise * 1.05,
        bank_rad: 0.0,
        flap_rad: 0.0,
        path: Path::Angle(0.0),
        density_kgpm3: weather.density_kgpm3(height),
    };
    let found = trim(&airframe, &wanted).ok_or("no level flight")?;
    let mut state = found.state;
    state.0[2] = -height;
    let heading: f64 = dice.random_range(0.0..std::f64::consts::TAU);
    let [bank, pitch, _] = state.attitude();
    state.set_attitude(bank, pitch, heading);
    let s = found.surfaces;
    let controls = Controls {
        elevator: s.elevator,
        aileron: s.aileron,
        rudder: s.rudder,
        throttle: s.throttle,
        ..Controls::default()
    };
    let mut pilot = Pilot::new(
        &airframe,
        &weather,
        state,
        controls,
        Skill {
            wander: dice.random_range(0.6..1.6),
        },
        seed,
    );
    legs::cruise(&mut pilot, speeds.cruise, dice.random_range(30.0..80.0));
    let parts = dice.random_range(7..11);
    for _ in 0..parts {
        part(&mut pilot, &speeds, height, &mut dice);
        if dice.random::<f64>() < 0.7 {
            legs::settle(&mut pilot, height, &speeds);
            if dice.random::<f64>() < 0.3 {
                let by =
                    dice.random_range(0.5..2.6) * if dice.random::<bool>() { 1.0 } else { -1.0 };
                legs::turn(&mut pilot, by, 0.35, speeds.cruise);
                legs::cruise(&mut pilot, speeds.cruise, 8.0);
            }
        }
    }
    legs::settle(&mut pilot, height, &speeds);
    let name = format!("odd_{seed:05}");
    let field = Field {
        place: Place {
            latitude_rad: dice.random_range(0.5..0.9),
            longitude_rad: dice.random_range(-1.5..0.3),
        },
        elevation_m: dice.random_range(0.0..300.0),
        start: "2026-05-14T09:12:00Z".parse()?,
        variation_rad: dice.random_range(-0.2..0.2),
        setting_pa: 101_325.0,
    };
    let dropped = if dice.random::<f64>() < 0.3 {
        0.01
    } else {
        0.0
    };
    std::fs::write(
        format!("{folder}/{name}.csv"),
        recorder::write(&pilot.log, &airframe, &field, fit, dropped, seed),
    )?;
    let mut json = truth::write(&pilot.log, &airframe, &speeds, &field, fit, &name);
    json["file"] = format!("{name}.csv").into();
    json["environment"] = serde_json::json!({"wind_kt": wind_kt / MPS_PER_KT, "gust_mps": gusts, "height_ft": height / M_PER_FT});
    std::fs::write(
        format!("{folder}/{name}.truth.json"),
        serde_json::to_string_pretty(&json)?,
    )?;
    Ok(())
}

/// Another airplane of the kind: bigger or smaller, sharper or gentler.
fn varied(base: &Airframe, dice: &mut Pcg64) -> Airframe {
    let mut airframe = base.clone();
    let size = dice.random_range(0.85..1.15_f64);
    airframe.inertia.mass_kg *= size;
    airframe.inertia.xx_kgm2 *= size;
    airframe.inertia.yy_kgm2 *= size;
    airframe.inertia.zz_kgm2 *= size;
    airframe.engine.rated_w *= size * dice.random_range(0.95..1.15);
    airframe.separation.sharpness_per_rad *= dice.random_range(0.8..1.4);
    airframe.separation.part = dice.random_range(0.5..0.75);
    airframe.separation.uneven_rad *= dice.random_range(0.2..2.0);
    airframe.pitch.separated *= dice.random_range(0.5..1.4);
    airframe.name = format!("variant_{:04}", dice.random_range(0..9999));
    airframe.critical_rad = airframe
        .flaps
        .iter()
        .map(|flap| airframe.critical(flap.angle_rad).0)
        .collect();
    airframe
}

fn part(pilot: &mut Pilot, speeds: &Speeds, height: f64, dice: &mut Pcg64) {
    let side = if dice.random::<bool>() { 1.0 } else { -1.0 };
    let entry = [Entry::PowerOff, Entry::PowerOn, Entry::PowerOff][dice.random_range(0..3)];
    let mut stall = Stall::clean(entry);
    stall.at_cue = dice.random::<f64>() < 0.2;
    stall.held_s = dice.random_range(0.1..2.0);
    stall.late_power_s = dice.random_range(0.0..3.5);
    stall.deep = if dice.random::<f64>() < 0.2 {
        0.12
    } else {
        0.0
    };
    stall.slowing = dice.random_range(0.4..1.0);
    if entry == Entry::PowerOff {
        stall.detent = dice.random_range(0..4);
        stall.descent_s = if dice.random::<f64>() < 0.3 {
            0.0
        } else {
            dice.random_range(5.0..25.0)
        };
    }
    if dice.random::<f64>() < 0.25 {
        stall.bank = side * 0.3;
    }
    let choice = dice.random_range(0..10);
    // Out of a stall nobody goes straight into these: first back to cruise.
    if matches!(choice, 0 | 1 | 5..=8)
        && (pilot.seen.ias < 0.85 * speeds.cruise || (pilot.seen.height - height).abs() > 150.0)
    {
        legs::settle(pilot, height, speeds);
    }
    // And between two things there is a breath.
    if matches!(choice, 2 | 3 | 5..=9) {
        let speed = pilot.seen.ias;
        legs::cruise(pilot, speed, 6.0);
    }
    match choice {
        0 => {
            // Slow flight of a minute or so, and the stall straight out of it.
            let how = SlowFlight {
                seconds: dice.random_range(45.0..80.0),
                margin: dice.random_range(1.12..1.2),
                detent: stall.detent,
                turn: 0.0,
                recover: false,
            };
            let flown = slow_flight::fly(pilot, speeds, &how);
            pilot.log.flown.push(flown);
            stall.setup = false;
            stall.descent_s = 0.0;
            let flown = stalls::fly(pilot, speeds, &stall);
            pilot.log.flown.push(flown);
        }
        1 => {
            let how = SlowFlight {
                seconds: dice.random_range(60.0..90.0),
                margin: dice.random_range(1.12..1.22),
                detent: dice.random_range(0..4),
                turn: side * 1.2,
                recover: true,
            };
            let flown = slow_flight::fly(pilot, speeds, &how);
            pilot.log.flown.push(flown);
        }
        2 | 3 => {
            if dice.random::<f64>() < 0.4 {
                let flown = turns::clearing(pilot, speeds);
                pilot.log.flown.push(flown);
            }
            let flown = stalls::fly(pilot, speeds, &stall);
            pilot.log.flown.push(flown);
        }
        4 => {
            // Two attempts, one after the other.
            for _ in 0..2 {
                let flown = stalls::fly(pilot, speeds, &stall);
                pilot.log.flown.push(flown);
                pilot.controls.flap_rad = 0.0;
                let heading = pilot.seen.heading;
                let at = pilot.seen.height;
                pilot.hold(
                    8.0,
                    practice::goal::Goal::new(
                        practice::goal::Nose::Height(at),
                        practice::goal::Wings::Heading(heading),
                        practice::goal::Power::Throttle(0.9),
                    ),
                );
            }
        }
        5 => {
            let flown = turns::steep(pilot, speeds, side > 0.0, dice.random_range(0.72..0.9));
            pilot.log.flown.push(flown);
            if dice.random::<bool>() {
                legs::cruise(pilot, speeds.cruise, 5.0);
                let flown = turns::steep(pilot, speeds, side < 0.0, dice.random_range(0.72..0.9));
                pilot.log.flown.push(flown);
            }
        }
        6 => {
            let flown = performance::half_eight(pilot, side > 0.0);
            pilot.log.flown.push(flown);
        }
        7 => {
            let flown = performance::chandelle(pilot, speeds, side > 0.0);
            pilot.log.flown.push(flown);
        }
        8 => {
            let mut stall = Stall::clean(Entry::Accelerated);
            stall.bank = side * 0.78;
            stall.late_power_s = dice.random_range(0.2..2.0);
            let flown = stalls::fly(pilot, speeds, &stall);
            pilot.log.flown.push(flown);
        }
        _ => {
            legs::climb_to(pilot, height + 350.0, speeds.vy);
            let heading = pilot.seen.heading;
            pilot.hold(
                20.0,
                practice::goal::Goal::new(
                    practice::goal::Nose::Height(height + 350.0),
                    practice::goal::Wings::Heading(heading),
                    practice::goal::Power::Speed(speeds.cruise),
                ),
            );
            let flown = if dice.random::<bool>() {
                performance::spiral(pilot, speeds, side > 0.0, 3.0)
            } else {
                performance::emergency_descent(pilot, speeds, height - 150.0)
            };
            pilot.log.flown.push(flown);
        }
    }
}
