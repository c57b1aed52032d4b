//! A stretch of a flight as the ledger wants it.

use flight::{Flight, Origin, Series};
use ledger::flown::{About, Flown, STEP_S, Sample};
use performance::DayFit;

/// Cuts a stretch out of a flight; in words what it lacks.
pub(super) fn cut(
    flight: &Flight,
    fit: &DayFit,
    from_s: f64,
    to_s: f64,
) -> Result<Flown, &'static str> {
    let altitude = flight.altitude.as_ref().ok_or("no altitude was recorded")?;
    let ias = flight
        .ias
        .as_ref()
        .filter(|ias| ias.origin != Origin::Assumed)
        .ok_or("no airspeed was recorded")?;
    let tas = flight.tas.as_ref().ok_or("no airspeed was recorded")?;
    let power = flight
        .power
        .as_ref()
        .ok_or("nothing of the engine was recorded")?;
    let clock = flight.clock;
    let last = clock.time_s(clock.len.saturating_sub(1));
    let (from, to) = (from_s.max(0.0), to_s.min(last));
    let count = ((to - from) / STEP_S).floor().max(0.0) as usize;
    let known = |t: f64| flight.known.get(clock.index(t)) == Some(&true);
    let mut samples = Vec::with_capacity(count);
    for k in 0..=count {
        let t = from + k as f64 * STEP_S;
        if !known(t) {
            return Err("the recording has a hole there");
        }
        samples.push(Sample {
            t,
            height: between(flight, altitude, t),
            tas: between(flight, tas, t),
            power: fit.thrust_share(or(between(flight, power, t), 0.5)),
            bank: or(
                flight
                    .bank
                    .as_ref()
                    .map_or(0.0, |bank| between(flight, bank, t)),
                0.0,
            ),
            flap: or(
                flight
                    .flaps
                    .as_ref()
                    .map_or(0.0, |flaps| flaps.angle.at(clock.index(t))),
                0.0,
            ),
            air: flight
                .updraft
                .as_ref()
                .map(|air| between(flight, air, t))
                .filter(|air| air.is_finite()),
            ..Sample::default()
        });
    }
    // A vane shows the air in a stall as well as before and after it.
    let vane = flight.aoa.as_ref().map(|aoa| aoa.origin) == Some(flight::Origin::Measured);
    let air_in_stall = vane && samples.iter().all(|s| s.air.is_some());
    let middle = clock.index(0.5 * (from + to));
    let root = ias_over_tas(flight, middle);
    Flown::new(
        samples,
        About {
            density_root: root,
            flaps_known: flaps_known(flight, from, to),
            height_sigma_m: relative_sigma_m(altitude.sigma_at(middle)),
            speed_sigma_mps: or(ias.sigma_at(middle), 1.0),
            gust_mps: or(flight.gust_mps, 0.5),
            air_in_stall,
        },
    )
    .ok_or("altitude or airspeed have a hole there")
}

/// A height difference over half a minute is known better than a height: what is slow is the same at both ends.
fn relative_sigma_m(sigma_m: f64) -> f64 {
    or(sigma_m, 3.0).clamp(1.0, 3.0)
}

/// Whether the flaps' angle is recorded or inferred wherever it counts.
fn flaps_known(flight: &Flight, from: f64, to: f64) -> bool {
    flight.flaps.as_ref().is_some_and(|flaps| {
        let range = flight.clock.index(from)..=flight.clock.index(to);
        let known = range
            .clone()
            .filter(|i| flaps.angle.at(*i).is_finite())
            .count();
        known * 10 >= range.count() * 9
    })
}

/// √ of the density ratio, from the airspeeds: at a trainer's speeds calibrated and equivalent are one.
fn ias_over_tas(flight: &Flight, near: usize) -> f64 {
    let ratio = |i: usize| {
        let (ias, tas) = (flight.ias.as_ref()?.at(i), flight.tas.as_ref()?.at(i));
        Some(ias / tas).filter(|r| r.is_finite())
    };
    ratio(near).unwrap_or(0.95).clamp(0.6, 1.1)
}

fn or(value: f64, other: f64) -> f64 {
    if value.is_finite() { value } else { other }
}

/// Straight between the samples of a flight.
fn between(flight: &Flight, series: &Series, t: f64) -> f64 {
    let place = t / flight.clock.step_s;
    let low = place.floor().max(0.0) as usize;
    let (a, b) = (series.at(low), series.at(low + 1));
    if b.is_finite() {
        a + (place - low as f64) * (b - a)
    } else {
        a
    }
}
