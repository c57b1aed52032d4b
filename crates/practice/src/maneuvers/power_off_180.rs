//! Power off from abeam the touchdown point, all the way down (AFH ch. 9, power-off accuracy approach).

use super::landing::{self, Landing, Legs, Slip, slipping};
use super::pattern::{self, BANK, OUT_M, Pattern};
use crate::goal::{Goal, Nose, Power};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::runway::follow;
use crate::speeds::Speeds;
use air::units::{M_PER_FT, wrap_pi};
use dynamics::trim::{Path, Wanted, trim};

/// Height at which the glide ends and the flare begins, m.
const FLARE_M: f64 = 9.0;
/// What a flare out of a glide floats, m (tried out on the model).
const FLOAT_M: f64 = 5.0;

/// Sink against the ground for each flap detent in a glide at a speed: what the pilot knows of the airplane.
fn slopes(pilot: &Pilot, speed: f64) -> Vec<f64> {
    let weather = pilot.flying.weather;
    let density = weather.density_kgpm3(pilot.seen.height);
    let angle = |flap_rad: f64| {
        let wanted = Wanted {
            tas_mps: speed * (air::atmosphere::RHO0_KGPM3 / density).sqrt(),
            bank_rad: 0.0,
            flap_rad,
            path: Path::Throttle(0.0),
            density_kgpm3: density,
        };
        // Where the search for steady flight fails, the next speed will do.
        let near = [0.0, 0.4, -0.4, 0.8, -0.8, 1.5, -1.5];
        let found = near.iter().find_map(|more| {
            let tas_mps = wanted.tas_mps + more;
            trim(pilot.airframe(), &Wanted { tas_mps, ..wanted })
        });
        found.map_or(0.15, |found| -found.path_rad.tan())
    };
    let flaps = &pilot.airframe().flaps;
    flaps.iter().map(|flap| angle(flap.angle_rad)).collect()
}

/// Flies it from abeam the threshold on.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, about: &Pattern, how: &Landing) -> Flown {
    let line = about.upwind();
    // Abeam the point, not the threshold.
    let downwind = about.downwind();
    let height = pilot.seen.height;
    pilot.fly(60.0, |p| {
        (downwind.along(p.seen.place) < -how.point).then(|| {
            Goal::new(
                Nose::Height(height),
                follow(&p.seen, &downwind, BANK, 0.0),
                Power::Speed(1.15 * speeds.glide),
            )
        })
    });
    let mut flown = landing::begin("power_off_180", pilot, about, how);
    flown.moment("abeam", pilot.seen.t);
    flown.moment("idle", pilot.seen.t);
    let slopes = slopes(pilot, how.speed);
    let aim = how.point - FLOAT_M;
    // Wind along the runway at this height, + against the landing.
    let wind = pilot.flying.weather.wind(pilot.seen.height);
    let against = -(wind[0] * line.course.cos() + wind[1] * line.course.sin());
    let clean = slopes.first().copied().unwrap_or(0.12);
    let middle = slopes.get(slopes.len() / 2).copied().unwrap_or(clean);
    // Turn base when the glide, with some flap on final, just goes round: air path of each leg by its share of the wind.
    let still = |ground: f64, head: f64| ground / (1.0 - head / how.speed).max(0.3);
    let slip = Slip {
        wing: about.side,
        bank: 0.2,
    };
    let mut nose = 0.0;
    let mut legs = Legs {
        leg: 0,
        behind: f64::INFINITY,
    };
    pilot.fly(300.0, |p| {
        let along = line.along(p.seen.place);
        if legs.leg == 0 {
            let behind = (-along).max(0.0) + pattern::lead(&p.seen);
            // Round the base, its turns sinking faster (tried out on the model); the roll-out onto final lies a turn's
            // radius short of the base.
            let needed = 1.37 * clean * OUT_M
                + middle * still((behind + aim - 270.0).max(0.0), against)
                + FLARE_M;
            if p.seen.agl < needed {
                legs.behind = behind;
            }
        }
        legs.see(&p.seen, about, &mut flown);
        if legs.leg == 2 {
            let to_go = still((aim - along).max(1.0), against);
            let needs = (p.seen.agl - FLARE_M) / to_go;
            // As much flap as still reaches the point.
            let most = slopes.iter().rposition(|slope| *slope < needs).unwrap_or(0);
            landing::flaps(p, most.min(how.detent), speeds.vfe - 2.0, &mut flown);
        }
        let wings = follow(&p.seen, &legs.line(about), BANK, 0.0);
        let to_go = still((aim - along).max(1.0), against);
        let full = slopes.last().copied().unwrap_or(clean);
        let high = legs.leg == 2 && (p.seen.agl - FLARE_M) / to_go > 1.1 * full;
        let lined_up = wrap_pi(p.seen.track - line.course).abs() < 0.12;
        let wings = if high && lined_up && p.seen.agl > 55.0 {
            slipping(&p.seen, &line, &slip, &mut nose)
        } else {
            nose = 0.0;
            wings
        };
        let speed = if legs.leg == 2 {
            how.flown_speed
        } else {
            how.speed
        };
        (p.seen.agl > FLARE_M || legs.leg < 2 && p.seen.agl > 3.0)
            .then(|| Goal::new(Nose::Speed(speed), wings, Power::Throttle(0.0)))
    });
    landing::land(pilot, about, &mut flown);
    flown
        .numbers
        .insert("abeam_distance_ft", (OUT_M / M_PER_FT).round());
    flown
}
