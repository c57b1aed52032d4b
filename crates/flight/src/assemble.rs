//! From the smoothed motion to the flight's series, each with its σ and origin.

use recording::{Quantity, Recording};

use crate::build::{Work, finite, speed};
use crate::recorded::{self, series};
use crate::stats::Errors;
use crate::{
    Air, Fit, Flight, Origin, Series, Sigma, Surroundings, faults, gust, height, power, rotation,
    turn,
};

/// Slowest flying speed where nobody says, m/s.
pub const SLOWEST_MPS: f64 = 23.0;
/// 1-σ of an airspeed indicator's steady error, m/s: some 0.8 kt (from memory).
const IAS_BIAS_MPS: f64 = 0.4;
/// rad.
pub const DEGREE: f64 = std::f64::consts::PI / 180.0;
/// What some tenths of a second between the channels make of a rate, s.
pub const ALIGNMENT_S: f64 = 0.15;

/// Puts the flight together.
pub fn flight(mut work: Work<'_>, recording: &Recording, surroundings: &Surroundings) -> Flight {
    let mut flight = recorded::empty(recording, work.grid);
    flight.fit = fit(&work);
    flight.variation_rad = work.variation_rad;
    flight.remarks = faults::remarks(work.grid, work.grid.faults());
    flight.remarks.extend(faults::empty_remark(recording));
    flight.remarks.extend(work.remarks.iter().cloned());
    put_ground(&mut work, &mut flight);
    put_climb(&mut work, &mut flight);
    put_gusts(&work, &mut flight);
    put_speeds(&mut work, &mut flight);
    rotation::put_turning(&work, &mut flight);
    rotation::put_attitude(&work, &mut flight);
    put_load(&work, &mut flight);
    put_incidence(&work, &mut flight);
    put_height(&work, &mut flight, surroundings);
    put_energy(&mut flight);
    put_engine(&work, &mut flight);
    put_wind(&mut work, &mut flight);
    recorded::put_controls(&mut flight, work.grid);
    flight.temperature = work
        .temperature
        .map(|values| series(values, Sigma::Constant(1.5), Origin::Measured));
    flight.on_ground = work.flying.iter().map(|flying| !flying).collect();
    flight.flaps = recorded::flaps(work.grid);
    flight
}

fn fit(work: &Work<'_>) -> Fit {
    let has = |quantity: Quantity| work.grid.has(quantity);
    let extra = has(Quantity::Flap) || has(Quantity::Elevator) || has(Quantity::AngleOfAttack);
    match (
        work.airspeed.is_some(),
        work.pitch.is_some() && work.bank.is_some(),
        work.ground.is_some(),
    ) {
        (true, true, _) if extra => Fit::Rich,
        (true, true, _) => Fit::Panel,
        (false, true, true) => Fit::GnssAttitude,
        (false, false, true) => Fit::Gnss,
        _ => Fit::Sparse,
    }
}

/// σ of every sample from a rule.
pub fn each(len: usize, rule: impl Fn(usize) -> f64) -> Sigma {
    Sigma::Each((0..len).map(|i| rule(i) as f32).collect())
}

fn put_ground(work: &mut Work<'_>, flight: &mut Flight) {
    let Some(ground) = &mut work.ground else {
        return;
    };
    flight.origin_latitude_rad = ground.origin_latitude_rad;
    flight.origin_longitude_rad = ground.origin_longitude_rad;
    let [east, north] = std::mem::take(&mut ground.position);
    flight.east = Some(series(
        east,
        Sigma::Each(ground.position_sigma.clone()),
        Origin::Measured,
    ));
    flight.north = Some(series(
        north,
        Sigma::Each(std::mem::take(&mut ground.position_sigma)),
        Origin::Measured,
    ));
    let speed = speed(&ground.velocity);
    let track = turn::direction(&ground.velocity[0], &ground.velocity[1], 3.0);
    let sigma = |i: usize| f64::from(ground.velocity_sigma[i]);
    flight.track = Some(series(
        track,
        each(speed.len(), |i| sigma(i) / speed[i].max(3.0)),
        Origin::Measured,
    ));
    flight.ground_speed = Some(series(
        speed,
        Sigma::Each(ground.velocity_sigma.clone()),
        Origin::Measured,
    ));
}

fn put_climb(work: &mut Work<'_>, flight: &mut Flight) {
    let Some(vertical) = &mut work.vertical else {
        return;
    };
    let altitude_sigma = std::mem::take(&mut vertical.altitude_sigma);
    flight.altitude = Some(series(
        vertical.altitude.clone(),
        Sigma::Each(altitude_sigma),
        Origin::Measured,
    ));
    let climb_sigma = Sigma::Each(std::mem::take(&mut vertical.climb_sigma));
    flight.climb = Some(series(vertical.climb.clone(), climb_sigma, Origin::Derived));
}

fn put_gusts(work: &Work<'_>, flight: &mut Flight) {
    let Some(tas) = &work.tas else { return };
    let incidence = || -> Option<Vec<f64>> {
        let (pitch, vertical) = (work.pitch.as_ref()?, work.vertical.as_ref()?);
        let path = |i: usize| {
            (vertical.climb[i] / tas[i].max(12.0))
                .clamp(-1.0, 1.0)
                .asin()
        };
        Some((0..tas.len()).map(|i| pitch.value[i] - path(i)).collect())
    };
    (flight.gust_mps, flight.air) = gust::estimate(&gust::Clues {
        load: work.load.as_deref(),
        incidence: &incidence,
        // A tenth of a degree of pitch, a foot of altimeter rounding or twice that of GNSS.
        incidence_noise_mps: if work.vertical.as_ref().is_some_and(|v| v.barometric) {
            0.1
        } else {
            0.2
        },
        tas,
        bank: work.bank.as_ref().map(|bank| bank.value.as_slice()),
        stall_mps: work.aircraft.speeds.vs1_mps.unwrap_or(SLOWEST_MPS),
        flying: &work.flying,
        step_s: work.grid.clock.step_s,
    });
}

/// Gust strength to reckon with, m/s: estimated, else that of light air.
fn gust_mps(flight: &Flight) -> f64 {
    if flight.gust_mps.is_finite() {
        flight.gust_mps.max(0.15)
    } else {
        match flight.air {
            Air::Calm => 0.25,
            Air::Light => 0.7,
            Air::Rough => 1.6,
        }
    }
}

/// The wind goes last, because the others need it.
fn put_wind(work: &mut Work<'_>, flight: &mut Flight) {
    let Some(wind) = work.wind.take() else { return };
    let sigma = Sigma::Each(wind.sigma);
    let [east, north] = wind.components;
    flight.wind_east = Some(series(east, sigma.clone(), Origin::Derived));
    flight.wind_north = Some(series(north, sigma, Origin::Derived));
}

fn put_speeds(work: &mut Work<'_>, flight: &mut Flight) {
    let len = work.grid.clock.len;
    let gust = gust_mps(flight);
    let wind_sigma = |i: usize| {
        work.wind
            .as_ref()
            .map_or(3.0, |wind| f64::from(wind.sigma[i]))
    };
    let stall = work.aircraft.speeds.vs1_mps.unwrap_or(SLOWEST_MPS);
    if let Some(airspeed) = &work.airspeed {
        // Near the stall the flow at the probes turns: 3 % of the speed there (the static port shows it).
        let steep = |i: usize| (stall / airspeed.ias[i].max(0.8 * stall)).powi(8);
        let sigma = |i: usize| {
            let lag = ALIGNMENT_S * finite(airspeed.rate[i]);
            f64::from(airspeed.ias_sigma[i])
                .with(IAS_BIAS_MPS)
                .with(lag)
                .with(0.03 * stall * steep(i))
        };
        flight.ias = Some(series(
            airspeed.ias.clone(),
            each(len, sigma),
            Origin::Measured,
        ));
        // Scale and offset were fitted to the ground speed over the flight.
        let steady = if work.wind.is_some() { 0.5 } else { 1.2 };
        let tas_sigma = |i: usize| sigma(i).with(steady);
        flight.tas = work
            .tas
            .clone()
            .map(|tas| series(tas, each(len, tas_sigma), Origin::Derived));
        let rate_sigma = |i: usize| f64::from(airspeed.rate_sigma[i]);
        flight.tas_rate = work
            .tas_rate
            .take()
            .map(|rate| series(rate, each(len, rate_sigma), Origin::Derived));
    } else if let (Some(tas), Some(ground)) = (&work.tas, &work.ground) {
        let sigma = |i: usize| {
            wind_sigma(i)
                .with(gust)
                .with(f64::from(ground.velocity_sigma[i]))
        };
        let ias = tas
            .iter()
            .zip(&work.density_root)
            .map(|(tas, root)| work.aircraft.indicated_mps(tas * root, 0.0));
        flight.ias = Some(series(
            ias.collect(),
            each(len, |i| sigma(i).with(0.5)),
            Origin::Derived,
        ));
        flight.tas = Some(series(tas.clone(), each(len, sigma), Origin::Derived));
        let rate_sigma = |i: usize| f64::from(ground.acceleration_sigma[i]);
        flight.tas_rate = work
            .tas_rate
            .take()
            .map(|rate| series(rate, each(len, rate_sigma), Origin::Derived));
    }
}

fn put_load(work: &Work<'_>, flight: &mut Flight) {
    let len = work.grid.clock.len;
    let gust = gust_mps(flight);
    flight.lateral = work
        .grid
        .filled(Quantity::LoadLateral)
        .map(|values| series(values, Sigma::Constant(0.012), Origin::Measured));
    if let Some(load) = &work.load {
        flight.load = Some(series(
            load.clone(),
            Sigma::Constant(0.03),
            Origin::Measured,
        ));
        return;
    }
    let Some(bank) = &flight.bank else { return };
    let up = |i: usize| {
        work.vertical
            .as_ref()
            .map_or(0.0, |vertical| finite(vertical.acceleration[i]))
    };
    let load = (0..len)
        .map(|i| (1.0 + up(i) / air::units::G0_MPS2).max(0.0) / bank.at(i).cos().max(0.2))
        .collect();
    // What a position every second does not see of a gust, and the bank's error by tan φ.
    let sigma =
        |i: usize| (0.04 + 0.05 * gust).with(bank.at(i).tan().abs().min(3.0) * bank.sigma_at(i));
    flight.load = Some(series(load, each(len, sigma), Origin::Derived));
}

fn put_incidence(work: &Work<'_>, flight: &mut Flight) {
    let len = work.grid.clock.len;
    let gust = gust_mps(flight);
    if let (Some(climb), Some(tas)) = (&flight.climb, &flight.tas) {
        let path = (0..len)
            .map(|i| {
                if tas.at(i) > 12.0 {
                    (climb.at(i) / tas.at(i)).clamp(-1.0, 1.0).asin()
                } else {
                    f64::NAN
                }
            })
            .collect();
        let acceleration = |i: usize| {
            work.vertical
                .as_ref()
                .map_or(0.0, |vertical| finite(vertical.acceleration[i]))
        };
        let sigma = |i: usize| {
            let error = climb
                .sigma_at(i)
                .with(gust)
                .with(ALIGNMENT_S * acceleration(i));
            error.with(climb.at(i) / tas.at(i) * tas.sigma_at(i)) / tas.at(i).max(12.0)
        };
        flight.path = Some(series(path, each(len, sigma), Origin::Derived));
    }
    let rate = |i: usize| {
        work.pitch
            .as_ref()
            .map_or(0.0, |pitch| finite(pitch.rate[i]))
    };
    if let Some(vane) = work.grid.filled(Quantity::AngleOfAttack) {
        // A vane's zero is set to half a degree or so; upwash and wobble the rest.
        let sigma = |i: usize| (0.6 * DEGREE).with(ALIGNMENT_S * rate(i));
        flight.aoa = Some(series(vane, each(len, sigma), Origin::Measured));
    } else if let (Some(aoa), Some(pitch), Some(path)) =
        (work.angle_of_attack(), &flight.pitch, &flight.path)
    {
        let sigma = |i: usize| pitch.sigma_at(i).with(path.sigma_at(i));
        flight.aoa = Some(series(aoa, each(len, sigma), Origin::Derived));
    }
}

fn put_height(work: &Work<'_>, flight: &mut Flight, surroundings: &Surroundings) {
    let Some(vertical) = &work.vertical else {
        return;
    };
    let on_ground: Vec<bool> = work.flying.iter().map(|flying| !flying).collect();
    let critical = work.aircraft.critical_aoa_rad.unwrap_or(16.0 * DEGREE);
    let aoa = flight.aoa.as_ref();
    let steep = aoa.map(|aoa| {
        aoa.values
            .iter()
            .map(|aoa| aoa / critical)
            .collect::<Vec<f64>>()
    });
    let speed = work.airspeed.as_ref().map(|airspeed| height::Speed {
        ias: &airspeed.ias,
        steep: steep.as_deref(),
        stall_mps: work.aircraft.speeds.vs1_mps.unwrap_or(SLOWEST_MPS),
    });
    let height = height::find(
        work.grid,
        vertical,
        speed.as_ref(),
        &on_ground,
        surroundings.terrain_m,
    );
    let sigma = Sigma::Constant(height.sigma_m);
    if let Some(words) = height.remark {
        flight.remarks.push((
            0.0,
            flight.clock.time_s(flight.clock.len.saturating_sub(1)),
            words,
        ));
    }
    if let Some(terrain) = surroundings.terrain_m {
        let agl = height
            .values
            .iter()
            .map(|height| height - terrain)
            .collect();
        flight.agl = Some(series(agl, sigma.clone(), Origin::Derived));
    }
    flight.height = Some(series(height.values, sigma, Origin::Derived));
}

fn put_energy(flight: &mut Flight) {
    let len = flight.clock.len;
    let g = air::units::G0_MPS2;
    let Some(tas) = &flight.tas else { return };
    if let Some(height) = &flight.height {
        let energy = (0..len)
            .map(|i| air::energy::specific_energy_m(height.at(i), tas.at(i)))
            .collect();
        let sigma = |i: usize| height.sigma_at(i).with(tas.at(i) * tas.sigma_at(i) / g);
        flight.energy = Some(series(energy, each(len, sigma), Origin::Derived));
    }
    if let (Some(climb), Some(rate)) = (&flight.climb, &flight.tas_rate) {
        let power = (0..len)
            .map(|i| air::energy::specific_power_mps(climb.at(i), tas.at(i), rate.at(i)))
            .collect();
        let gust = gust_mps(flight);
        let sigma = |i: usize| {
            climb
                .sigma_at(i)
                .with(gust)
                .with(tas.at(i) * rate.sigma_at(i) / g)
        };
        flight.excess_power = Some(series(power, each(len, sigma), Origin::Derived));
    }
}

fn put_engine(work: &Work<'_>, flight: &mut Flight) {
    let engine = power::Engine {
        speed: work.grid.filled(Quantity::EngineSpeed),
        manifold: work.grid.filled(Quantity::ManifoldPressure),
        fuel: work.grid.filled(Quantity::FuelFlow),
        throttle: work.grid.filled(Quantity::Throttle),
        share: work.grid.filled(Quantity::PowerShare),
    };
    let motion = power::Motion {
        ias: flight.ias.as_ref().map(|ias| ias.values.as_slice()),
        density_root: &work.density_root,
        flying: &work.flying,
        step_s: work.grid.clock.step_s,
    };
    let (power, states) = power::estimate(&engine, work.aircraft, &motion);
    flight.power = power;
    flight.power_state = states;
    let put = |values: Option<Vec<f64>>, quantity: Quantity, floor: f64| -> Option<Series> {
        let sigma = Sigma::Constant(work.grid.rounding(quantity, floor));
        values.map(|values| series(values, sigma, Origin::Measured))
    };
    // Ten turns a minute; a tenth of an inch of mercury; one per cent of a lever.
    flight.engine_speed = put(engine.speed, Quantity::EngineSpeed, 1.0);
    flight.manifold_pressure = put(engine.manifold, Quantity::ManifoldPressure, 340.0);
    flight.fuel_flow = put(engine.fuel, Quantity::FuelFlow, 2e-7);
    flight.throttle = put(engine.throttle, Quantity::Throttle, 0.01);
}
