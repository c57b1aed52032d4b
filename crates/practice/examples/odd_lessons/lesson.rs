//! One lesson: an airplane of its own, a day of its own, seven to ten things flown.

use crate::parts;
use air::geodesy::Place;
use air::units::{M_PER_FT, MPS_PER_KT};
use dynamics::{Airframe, Weather, WindAt};
use practice::craft;
use practice::maneuvers::legs;
use practice::pilot::{Pilot, Skill, Start};
use practice::recorder::{self, Field, Fit};
use practice::speeds::Speeds;
use practice::truth;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;
use std::error::Error;
use std::f64::consts::TAU;

/// What is written.
pub struct Lesson {
    pub name: String,
    pub recording: String,
    pub truth: serde_json::Value,
    pub aircraft: String,
}

/// Flies one; everything about it follows from the seed.
pub fn fly(base: &Airframe, fit: usize, seed: u64) -> Result<Lesson, Box<dyn Error>> {
    let mut dice = Pcg64::seed_from_u64(seed);
    let airframe = varied(base, &mut dice);
    let speeds = Speeds::of(&airframe);
    let (fit, _) = Fit::ALL.get(fit).copied().ok_or("no such fit")?;
    let (weather, wind_kt) = day(&mut dice);
    let start = Start {
        height_m: dice.random_range(1100.0..1400.0),
        cas_mps: speeds.cruise,
        heading_rad: dice.random_range(0.0..TAU),
    };
    let skill = Skill {
        wander: dice.random_range(0.6..1.6),
    };
    let mut pilot = Pilot::in_level_flight(&airframe, &weather, &start, skill, seed)
        .ok_or("this airplane cannot hold its cruise")?;
    script(&mut pilot, &speeds, start.height_m, &mut dice);

    let name = format!("odd_{seed:05}");
    let field = field(&mut dice)?;
    let dropped = if dice.random::<f64>() < 0.3 {
        0.01
    } else {
        0.0
    };
    let recording = recorder::write(&pilot.log, &field, fit, dropped, seed);
    let mut truth = truth::write(&pilot.log, &airframe, &speeds, &field, fit, &name);
    truth["file"] = format!("{name}.csv").into();
    truth["environment"] = serde_json::json!({
        "wind_kt": wind_kt, "gust_mps": weather.gust_mps, "height_ft": start.height_m / M_PER_FT,
    });
    Ok(Lesson {
        name,
        recording,
        truth,
        aircraft: aircraft::write(&craft::aircraft(&airframe, &speeds)),
    })
}

fn script(pilot: &mut Pilot, speeds: &Speeds, height: f64, dice: &mut Pcg64) {
    legs::cruise(pilot, speeds.cruise, dice.random_range(30.0..80.0));
    for _ in 0..dice.random_range(7..11) {
        parts::fly(pilot, speeds, height, dice);
        if dice.random::<f64>() < 0.7 {
            legs::settle(pilot, height, speeds);
            if dice.random::<f64>() < 0.3 {
                let by = dice.random_range(0.5..2.6) * parts::side(dice);
                legs::turn(pilot, by, 0.35, speeds.cruise);
                legs::cruise(pilot, speeds.cruise, 8.0);
            }
        }
    }
    if dice.random::<f64>() < 0.5 {
        parts::by_ground_reference(pilot, speeds, dice);
    }
    if dice.random::<f64>() < 0.5 {
        parts::land(pilot, speeds, dice);
    } else {
        legs::settle(pilot, height, speeds);
    }
}

/// The weather, and its wind in knots.
fn day(dice: &mut Pcg64) -> (Weather, f64) {
    let gust_mps = [0.0, 0.4, 0.8, 1.4][dice.random_range(0..4)];
    let wind_kt = [0.0, 8.0, 15.0, 25.0][dice.random_range(0..4)];
    let toward: f64 = dice.random_range(0.0..TAU);
    let wind_mps = wind_kt * MPS_PER_KT;
    let weather = Weather {
        warmer_k: dice.random_range(-8.0..15.0),
        reference_pressure_m: dice.random_range(0.0..300.0),
        wind: vec![WindAt {
            height_m: 0.0,
            toward_mps: [wind_mps * toward.cos(), wind_mps * toward.sin()],
        }],
        gust_mps,
    };
    (weather, wind_kt)
}

fn field(dice: &mut Pcg64) -> Result<Field, Box<dyn Error>> {
    Ok(Field {
        place: Place {
            latitude_rad: dice.random_range(0.5..0.9),
            longitude_rad: dice.random_range(-1.5..0.3),
        },
        elevation_m: dice.random_range(0.0..300.0),
        start: "2026-05-14T09:12:00Z".parse()?,
        variation_rad: dice.random_range(-0.2..0.2),
        setting_pa: air::atmosphere::P0_PA,
    })
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
    airframe.settle_critical();
    airframe
}
