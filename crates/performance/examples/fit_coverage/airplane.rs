//! Airplanes like none of the repository's: size, power, drag, propeller and stall drawn around the demonstration's.

use aircraft::{Aircraft, Detent, Propeller};
use dynamics::Airframe;
use practice::speeds::Speeds;
use rand::RngExt;
use rand_pcg::Pcg64;

/// One, at the mass of its manual.
pub fn draw(base: &Airframe, dice: &mut Pcg64) -> Airframe {
    let mut airframe = base.clone();
    load(&mut airframe, dice.random_range(0.84..1.15));
    airframe.engine.rated_w *= dice.random_range(0.80..1.35);
    airframe.wing.drag_zero *= dice.random_range(0.85..1.45);
    airframe.wing.drag_lift *= dice.random_range(0.85..1.20);
    airframe.separation.sharpness_per_rad *= dice.random_range(0.7..1.4);
    for flap in &mut airframe.flaps {
        flap.drag *= dice.random_range(0.7..1.4);
    }
    // A finer or a coarser propeller: the same blades, turned, do the same at another advance ratio.
    let pitch: f64 = dice.random_range(0.85..1.2);
    let blades = &mut airframe.propeller;
    for (of, power) in [(&mut blades.thrust, 0.3), (&mut blades.power, 1.2)] {
        let size = pitch.powf(power);
        *of = [
            size * of[0],
            size * of[1] / pitch,
            size * of[2] / (pitch * pitch),
        ];
    }
    airframe.settle_critical();
    airframe
}

/// Mass and inertia times a number.
pub fn load(airframe: &mut Airframe, by: f64) {
    let inertia = &mut airframe.inertia;
    inertia.mass_kg *= by;
    inertia.xx_kgm2 *= by;
    inertia.yy_kgm2 *= by;
    inertia.zz_kgm2 *= by;
    inertia.xz_kgm2 *= by;
}

/// What a school knows: stall speeds, detents, power and mass; best speeds as given.
pub fn file(airframe: &Airframe, actual_kg: Option<f64>, best: Option<&Speeds>) -> Aircraft {
    let speeds = Speeds::of(airframe);
    let mut aircraft = Aircraft::unknown();
    aircraft.speeds.vs1_mps = Some(speeds.vs1);
    aircraft.speeds.vs0_mps = Some(speeds.vs0);
    aircraft.speeds.vfe_mps = Some(speeds.vfe);
    aircraft.speeds.vne_mps = Some(3.0 * speeds.vs1);
    if let Some(best) = best {
        aircraft.speeds.vx_mps = Some(best.vx);
        aircraft.speeds.vy_mps = Some(best.vy);
        aircraft.speeds.best_glide_mps = Some(best.glide);
    }
    aircraft.engine.rated_power_w = Some(airframe.engine.rated_w);
    aircraft.engine.propeller = Propeller::FixedPitch;
    aircraft.mass.reference_kg = Some(airframe.inertia.mass_kg);
    aircraft.mass.actual_kg = actual_kg;
    aircraft.flaps = airframe
        .flaps
        .iter()
        .map(|flap| Detent {
            angle_rad: flap.angle_rad,
            ..Detent::default()
        })
        .collect();
    aircraft.completed()
}
