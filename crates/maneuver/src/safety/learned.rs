//! Height above the ground where nobody gave the terrain: above the runway that was rolled on, near it.
//!
//! A roll shows the altitude of its runway by the same altimeter or receiver that shows the height later, so that
//! setting and temperature cancel but for what changed in between. How far around the ground is as high as the runway
//! nobody measured: within three miles, about the size of a traffic pattern and its approaches, it is taken to be, with
//! a σ that grows with the distance.

use air::units::{M_PER_FT, M_PER_NM};
use flight::{Flight, Origin, Series, Sigma};

/// As far as a runway's altitude is taken for the ground's, m (assumed).
const NEAR_M: f64 = 3.0 * M_PER_NM;
/// 1-σ of the ground at that distance beside what is taken for a whole area, m: 100 ft (assumed).
const FAR_SIGMA_M: f64 = 100.0 * M_PER_FT;
/// 1-σ of the level of a runway in an altitude, m: strips slope, the weather moves the altimeter by some meters an hour.
const LEVEL_SIGMA_M: f64 = 3.0;
/// A shorter stretch on the ground is a doubtful flag, s.
const LEAST_S: f64 = 3.0;

/// A runway that was rolled on.
struct Level {
    altitude_m: f64,
    place: (f64, f64),
}

/// Height above the nearest runway, unknown beyond three miles of any; `None` where no roll shows one.
pub(super) fn agl(flight: &Flight) -> Option<Series> {
    let altitude = flight.altitude.as_ref().or(flight.height.as_ref())?;
    let (east, north) = (flight.east.as_ref()?, flight.north.as_ref()?);
    let levels = levels(flight, altitude, (east, north));
    if levels.is_empty() {
        return None;
    }
    let one = |index: usize| {
        let place = (east.at(index), north.at(index));
        let far = |level: &Level| (place.0 - level.place.0).hypot(place.1 - level.place.1);
        let nearest = levels.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        let away = far(nearest);
        let own = altitude.sigma_at(index).max(1.0).hypot(LEVEL_SIGMA_M);
        let sigma = own.hypot(FAR_SIGMA_M * away / NEAR_M);
        (away <= NEAR_M).then_some((altitude.at(index) - nearest.altitude_m, sigma))
    };
    let all = (0..flight.clock.len).map(|index| one(index).unwrap_or((f64::NAN, f64::NAN)));
    let (values, sigmas): (Vec<f64>, Vec<f64>) = all.unzip();
    values
        .iter()
        .any(|value| value.is_finite())
        .then(|| Series {
            values,
            sigma: Sigma::Each(sigmas.iter().map(|sigma| *sigma as f32).collect()),
            origin: Origin::Derived,
        })
}

/// The stretches on the ground: median altitude, and where each began and ended.
fn levels(flight: &Flight, altitude: &Series, (east, north): (&Series, &Series)) -> Vec<Level> {
    let count = flight.clock.len.min(flight.on_ground.len());
    let least = (LEAST_S / flight.clock.step_s.max(1e-3)) as usize;
    let mut out = Vec::new();
    let mut index = 0;
    while index < count {
        let grounded = |i: &usize| flight.on_ground.get(*i).copied().unwrap_or(false);
        if !grounded(&index) {
            index += 1;
            continue;
        }
        let end = (index..count).take_while(grounded).last().unwrap_or(index) + 1;
        let mut heights: Vec<f64> = (index..end)
            .map(|i| altitude.at(i))
            .filter(|height| height.is_finite())
            .collect();
        heights.sort_by(f64::total_cmp);
        if let Some(middle) = heights.get(heights.len() / 2)
            && end - index >= least.max(2)
        {
            // The two ends of a roll, or of a taxi: what lies between is near one of them.
            for at in [index, end - 1] {
                let place = (east.at(at), north.at(at));
                if place.0.is_finite() && place.1.is_finite() {
                    out.push(Level {
                        altitude_m: *middle,
                        place,
                    });
                }
            }
        }
        index = end;
    }
    out
}
