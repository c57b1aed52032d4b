//! The stages in their order.

use std::time::Instant;

use aircraft::Aircraft;
use recording::{Quantity, Recording};

use crate::airspeed::Airspeed;
use crate::attitude::{self, Angle};
use crate::grid::Grid;
use crate::horizontal::{self, Horizontal};
use crate::vertical::{self, Vertical};
use crate::wind::{self, Sight, Wind};
use crate::{
    Air, Fit, Flaps, FlapStep, Flight, Origin, PowerState, Series, Sigma, Surroundings, airspeed, airmass,
    ground, gust, height, power, stats, turn,
};

/// Lag of pitot and static lines where nobody says, s (light trainers 0.3 to 0.6, from memory).
const PNEUMATIC_LAG_S: f64 = 0.45;
/// Slowest flying speed where nobody says, m/s.
const SLOWEST_MPS: f64 = 23.0;

/// Reconstructs a flight from its recording.
///
/// Nothing here fails: what the recording cannot support stays `None`, and faults of its channels are
/// in [`Flight::remarks`].
#[must_use]
pub fn build(recording: &Recording, aircraft: &Aircraft, surroundings: &Surroundings) -> Flight {
    build_timed(recording, aircraft, surroundings).0
}

/// As [`build`], with the seconds that each stage took.
#[must_use]
pub fn build_timed(
    recording: &Recording,
    aircraft: &Aircraft,
    surroundings: &Surroundings,
) -> (Flight, Vec<(&'static str, f64)>) {
    let mut stages = Vec::new();
    let mut start = Instant::now();
    let mut lap = |name: &'static str| {
        stages.push((name, start.elapsed().as_secs_f64()));
        start = Instant::now();
    };
    let grid = Grid::new(recording);
    let mut work = Work::new(&grid, aircraft);
    lap("time base");
    work.motion();
    lap("motion");
    work.wind();
    lap("wind");
    work.vertical_again();
    lap("vertical");
    let mut flight = work.finish(recording, surroundings);
    lap("assembly");
    if flight.flaps.is_none() {
        flight.flaps = crate::flaps::infer(&flight, aircraft);
    }
    lap("flaps");
    lift(&mut flight, aircraft);
    lap("lift");
    (flight, stages)
}

/// Everything on the way.
struct Work<'a> {
    grid: &'a Grid<'a>,
    aircraft: &'a Aircraft,
    lag_s: f64,
    ground: Option<Horizontal>,
    vertical: Option<Vertical>,
    airspeed: Option<Airspeed>,
    density_root: Vec<f64>,
    temperature: Option<Vec<f64>>,
    scale: f64,
    flying: Vec<bool>,
    pitch: Option<Angle>,
    bank: Option<Angle>,
    heading: Option<Angle>,
    variation_rad: f64,
    wind: Option<Wind>,
    load: Option<Vec<f64>>,
    tas: Option<Vec<f64>>,
    tas_rate: Option<Vec<f64>>,
}

impl<'a> Work<'a> {
    fn new(grid: &'a Grid<'a>, aircraft: &'a Aircraft) -> Self {
        Self {
            grid,
            aircraft,
            lag_s: aircraft.recorder.pitot_lag_s.unwrap_or(PNEUMATIC_LAG_S),
            ground: None,
            vertical: None,
            airspeed: None,
            density_root: Vec::new(),
            temperature: None,
            scale: 1.0,
            flying: Vec::new(),
            pitch: None,
            bank: None,
            heading: None,
            variation_rad: 0.0,
            wind: None,
            load: None,
            tas: None,
            tas_rate: None,
        }
    }

    fn motion(&mut self) {
        let grid = self.grid;
        self.ground = horizontal::smooth(grid);
        let air = airmass::find(grid);
        self.density_root = air.density_root;
        self.temperature = air.temperature;
        self.scale = air.scale;
        let help = vertical::Help { acceleration: None, lag_s: self.lag_s, scale: self.scale };
        self.vertical = vertical::smooth(grid, &help);
        self.airspeed = airspeed::smooth(grid, self.lag_s);
        let ground_speed = self.ground.as_ref().map(|ground| speed(&ground.velocity));
        self.flying = ground::flying(
            grid,
            &ground::Clues {
                ground_speed: ground_speed.as_deref(),
                ias: self.airspeed.as_ref().map(|airspeed| airspeed.ias.as_slice()),
                climb: self.vertical.as_ref().map(|vertical| vertical.climb.as_slice()),
                slowest_mps: self.aircraft.speeds.vs0_mps.unwrap_or(SLOWEST_MPS),
            },
        );
        self.pitch = attitude::smooth(grid, Quantity::Pitch, 0.1);
        self.bank = attitude::smooth(grid, Quantity::Bank, 0.5);
        self.heading = attitude::smooth(grid, Quantity::HeadingTrue, 0.05);
        if let Some(pitch) = &mut self.pitch {
            shift(&mut pitch.value, self.aircraft.recorder.pitch_offset_rad.unwrap_or(0.0));
        }
        if let Some(bank) = &mut self.bank {
            shift(&mut bank.value, self.aircraft.recorder.bank_offset_rad.unwrap_or(0.0));
        }
        self.magnetic_heading();
        self.load = load(grid);
    }

    /// Heading from a magnetic one: the variation recorded, or by the world magnetic model, or none.
    fn magnetic_heading(&mut self) {
        let recorded = self.grid.values(Quantity::MagneticVariation);
        let recorded = recorded.map_or(f64::NAN, stats::median);
        self.variation_rad = if recorded.is_finite() { recorded } else { self.modelled_variation() };
        if self.heading.is_none()
            && let Some(mut heading) = attitude::smooth(self.grid, Quantity::HeadingMagnetic, 0.05)
        {
            shift(&mut heading.value, self.variation_rad);
            self.heading = Some(heading);
        }
    }

    fn modelled_variation(&self) -> f64 {
        let Some(ground) = self.ground.as_ref().filter(|ground| ground.located) else { return 0.0 };
        let (year, day) = airmass::date(self.grid.start_unix_s());
        air::magnetic::variation(ground.origin_latitude_rad, ground.origin_longitude_rad, 500.0, year, day)
            .map_or(0.0, |variation| variation.value_rad)
    }

    fn wind(&mut self) {
        let raw = self.airspeed.as_ref().map(|airspeed| {
            airspeed
                .ias
                .iter()
                .zip(&self.density_root)
                .map(|(ias, root)| self.aircraft.calibrated_mps(*ias, 0.0) / root)
                .collect::<Vec<f64>>()
        });
        if let Some(ground) = &self.ground {
            self.wind = wind::estimate(
                self.grid,
                ground,
                self.vertical.as_ref().map(|vertical| vertical.altitude.as_slice()),
                &Sight {
                    heading: self.heading.as_ref().map(|heading| heading.value.as_slice()),
                    heading_rate: self.heading.as_ref().map(|heading| heading.rate.as_slice()),
                    heading_prior_rad: 4_f64.to_radians(),
                    tas: raw.as_deref(),
                    flying: &self.flying,
                },
            );
        }
        let (scale, offset) = self.wind.as_ref().map_or((1.0, 0.0), |wind| (wind.scale, wind.offset_mps));
        if let (Some(raw), Some(airspeed)) = (raw, &self.airspeed) {
            self.tas_rate = Some(
                airspeed.rate.iter().zip(&self.density_root).map(|(rate, root)| scale * rate / root).collect(),
            );
            self.tas = Some(raw.into_iter().map(|value| value * scale + offset).collect());
        } else if let (Some(ground), Some(wind)) = (&self.ground, &self.wind) {
            let air = self.air_velocity(ground, wind);
            let tas = speed(&air);
            let along = (0..tas.len())
                .map(|i| {
                    (air[0][i] * ground.acceleration[0][i] + air[1][i] * ground.acceleration[1][i])
                        / tas[i].max(1.0)
                })
                .collect();
            self.tas_rate = Some(along);
            self.tas = Some(tas);
        }
    }

    fn air_velocity(&self, ground: &Horizontal, wind: &Wind) -> [Vec<f64>; 2] {
        [0, 1].map(|axis| {
            ground.velocity[axis].iter().zip(&wind.components[axis]).map(|(v, w)| v - w).collect()
        })
    }

    /// The vertical motion once more, now with the load factor.
    fn vertical_again(&mut self) {
        let Some(vertical) = &self.vertical else { return };
        let Some(load) = &self.load else { return };
        let g = air::units::G0_MPS2;
        let rate = |i: usize| self.tas_rate.as_ref().map_or(0.0, |rate| finite(rate[i]));
        let up: Vec<f64> = (0..self.grid.clock.len)
            .map(|i| {
                let bank = self.bank.as_ref().map_or(0.0, |bank| bank.value[i]);
                let sin = self.tas.as_ref().map_or(0.0, |tas| {
                    (vertical.climb[i] / tas[i].max(15.0)).clamp(-0.7, 0.7)
                });
                // Lift across the path, and what speeds the aircraft up along it.
                g * (load[i] * bank.cos() * (1.0 - sin * sin).sqrt() - 1.0) + (rate(i) + g * sin) * sin
            })
            .collect();
        // Over a flight the vertical acceleration sums to nothing; what remains is the sensor's bias.
        let bias = stats::median(
            up.iter().zip(&vertical.acceleration).zip(&self.flying).filter(|(_, flying)| **flying).map(|((a, b), _)| a - b),
        );
        let up: Vec<f64> = up.into_iter().map(|value| value - finite(bias)).collect();
        let help = vertical::Help { acceleration: Some(&up), lag_s: self.lag_s, scale: self.scale };
        self.vertical = vertical::smooth(self.grid, &help);
    }

    fn finish(self, recording: &Recording, surroundings: &Surroundings) -> Flight {
        let mut flight = empty(recording, self.grid);
        flight.fit = self.fit();
        flight.variation_rad = self.variation_rad;
        self.put_ground(&mut flight);
        self.put_vertical(&mut flight, surroundings);
        self.put_air(&mut flight);
        self.put_attitude(&mut flight);
        self.put_engine(&mut flight);
        put_controls(&mut flight, self.grid);
        self.put_angles(&mut flight);
        self.put_gusts(&mut flight);
        flight.temperature = self.temperature.map(|values| series(values, Sigma::Constant(1.5), Origin::Measured));
        flight.on_ground = self.flying.iter().map(|flying| !flying).collect();
        flight.flaps = recorded_flaps(self.grid);
        flight
    }

    fn fit(&self) -> Fit {
        let has = |quantity: Quantity| self.grid.values(quantity).is_some();
        let extra = has(Quantity::Flap) || has(Quantity::Elevator) || has(Quantity::AngleOfAttack);
        match (self.airspeed.is_some(), self.pitch.is_some() && self.bank.is_some(), self.ground.is_some()) {
            (true, true, _) if extra => Fit::Rich,
            (true, true, _) => Fit::Panel,
            (false, true, true) => Fit::GnssAttitude,
            (false, false, true) => Fit::Gnss,
            _ => Fit::Sparse,
        }
    }

    fn put_ground(&self, flight: &mut Flight) {
        let Some(ground) = &self.ground else { return };
        flight.origin_latitude_rad = ground.origin_latitude_rad;
        flight.origin_longitude_rad = ground.origin_longitude_rad;
        let [east, north] = ground.position.clone();
        flight.east = Some(series(east, Sigma::Each(ground.position_sigma.clone()), Origin::Measured));
        flight.north = Some(series(north, Sigma::Each(ground.position_sigma.clone()), Origin::Measured));
        let speed = speed(&ground.velocity);
        let track = turn::direction(&ground.velocity[0], &ground.velocity[1], 3.0);
        let track_sigma = ground.velocity_sigma.iter().zip(&speed).map(|(s, v)| s / v.max(3.0) as f32).collect();
        flight.track = Some(series(track, Sigma::Each(track_sigma), Origin::Measured));
        flight.ground_speed = Some(series(speed, Sigma::Each(ground.velocity_sigma.clone()), Origin::Measured));
    }

    fn put_vertical(&self, flight: &mut Flight, surroundings: &Surroundings) {
        let Some(vertical) = &self.vertical else { return };
        flight.altitude = Some(series(
            vertical.altitude.clone(),
            Sigma::Each(vertical.altitude_sigma.clone()),
            Origin::Measured,
        ));
        flight.climb = Some(series(vertical.climb.clone(), Sigma::Each(vertical.climb_sigma.clone()), Origin::Derived));
        let on_ground: Vec<bool> = self.flying.iter().map(|flying| !flying).collect();
        let critical = self.aircraft.critical_aoa_rad.unwrap_or(16_f64.to_radians());
        let steep = self.angle_of_attack().map(|aoa| aoa.iter().map(|aoa| aoa / critical).collect::<Vec<f64>>());
        let speed = self.airspeed.as_ref().map(|airspeed| height::Speed {
            ias: &airspeed.ias,
            steep: steep.as_deref(),
            stall_mps: self.aircraft.speeds.vs1_mps.unwrap_or(SLOWEST_MPS),
        });
        let height = height::find(self.grid, vertical, speed.as_ref(), &on_ground, surroundings.terrain_m);
        let sigma = height.sigma_m;
        if let Some(words) = height.remark {
            flight.remarks.push((0.0, flight.clock.time_s(flight.clock.len.saturating_sub(1)), words));
        }
        if let Some(terrain) = surroundings.terrain_m {
            let agl = height.values.iter().map(|height| height - terrain).collect();
            flight.agl = Some(series(agl, Sigma::Constant(sigma), Origin::Derived));
        }
        flight.height = Some(series(height.values, Sigma::Constant(sigma), Origin::Derived));
    }

    /// By the vane, else pitch above the air path.
    fn angle_of_attack(&self) -> Option<Vec<f64>> {
        if let Some(vane) = self.grid.values(Quantity::AngleOfAttack) {
            return Some(vane);
        }
        let (pitch, vertical, tas) = (self.pitch.as_ref()?, self.vertical.as_ref()?, self.tas.as_ref()?);
        let bank = |i: usize| self.bank.as_ref().map_or(0.0, |bank| bank.value[i]);
        Some(
            (0..tas.len())
                .map(|i| {
                    let path = (vertical.climb[i] / tas[i].max(12.0)).clamp(-1.0, 1.0).asin();
                    angle_of_attack(pitch.value[i], bank(i), path)
                })
                .collect(),
        )
    }

    fn put_air(&self, flight: &mut Flight) {
        if let Some(wind) = &self.wind {
            let sigma = Sigma::Each(wind.sigma.clone());
            flight.wind_east = Some(series(wind.components[0].clone(), sigma.clone(), Origin::Derived));
            flight.wind_north = Some(series(wind.components[1].clone(), sigma, Origin::Derived));
        }
        let origin = if self.airspeed.is_some() { Origin::Measured } else { Origin::Derived };
        let wind_sigma = self.wind.as_ref().map_or(2.0, |wind| wind.sigma.first().map_or(2.0, |s| f64::from(*s)));
        if let Some(airspeed) = &self.airspeed {
            flight.ias = Some(series(airspeed.ias.clone(), Sigma::Each(airspeed.ias_sigma.clone()), origin));
        } else if let Some(tas) = &self.tas {
            let ias = tas.iter().zip(&self.density_root).map(|(tas, root)| tas * root).collect();
            flight.ias = Some(series(ias, Sigma::Constant(wind_sigma.hypot(0.7)), origin));
        }
        let tas_sigma = if self.airspeed.is_some() { 0.7 } else { wind_sigma };
        flight.tas = self.tas.clone().map(|tas| series(tas, Sigma::Constant(tas_sigma), Origin::Derived));
        flight.tas_rate = self.tas_rate.clone().map(|rate| series(rate, Sigma::Constant(0.3), Origin::Derived));
        if let (Some(ground), Some(wind)) = (&self.ground, &self.wind) {
            let air = self.air_velocity(ground, wind);
            let track = turn::direction(&air[0], &air[1], 8.0);
            let sigma = wind_sigma / 40.0;
            flight.air_track = Some(series(track, Sigma::Constant(sigma), Origin::Derived));
            let rate: Vec<f64> = (0..self.grid.clock.len)
                .map(|i| {
                    let [a, b] = [air[0][i], air[1][i]];
                    let square = a * a + b * b;
                    let turn = ground.acceleration[0][i] * b - ground.acceleration[1][i] * a;
                    if square > 64.0 { turn / square } else { f64::NAN }
                })
                .collect();
            flight.turn_rate = Some(series(rate, Sigma::Constant(0.5_f64.to_radians()), Origin::Derived));
        }
    }

    fn put_attitude(&self, flight: &mut Flight) {
        if let Some(heading) = &self.heading {
            let bias = self.wind.as_ref().map_or(0.0, |wind| wind.heading_bias_rad);
            let value = heading.value.iter().map(|value| value + bias).collect();
            flight.heading = Some(series(value, widen(&heading.sigma, 0.7_f64.to_radians()), Origin::Measured));
            flight.turn_rate = Some(series(heading.rate.clone(), Sigma::Constant(0.5_f64.to_radians()), Origin::Derived));
        } else {
            flight.heading = flight.air_track.clone();
        }
        if let Some(pitch) = &self.pitch {
            let sigma = widen(&pitch.sigma, 0.5_f64.to_radians());
            flight.pitch = Some(series(pitch.value.clone(), sigma, Origin::Measured));
        }
        if let Some(bank) = &self.bank {
            let sigma = widen(&bank.sigma, 0.5_f64.to_radians());
            flight.bank = Some(series(bank.value.clone(), sigma, Origin::Measured));
        } else if let (Some(rate), Some(tas)) = (&flight.turn_rate, &self.tas) {
            let up = self.vertical.as_ref().map(|vertical| &vertical.acceleration);
            let bank = (0..tas.len())
                .map(|i| turn::coordinated_bank_rad(rate.at(i) * tas[i], up.map_or(0.0, |up| finite(up[i]))))
                .collect();
            flight.bank = Some(series(bank, Sigma::Constant(2.5_f64.to_radians()), Origin::Derived));
        }
        flight.load = self.load.clone().map(|load| series(load, Sigma::Constant(0.03), Origin::Measured)).or_else(|| {
            let bank = flight.bank.as_ref()?;
            let up = self.vertical.as_ref().map(|vertical| &vertical.acceleration);
            let load = (0..self.grid.clock.len)
                .map(|i| (1.0 + up.map_or(0.0, |up| finite(up[i])) / air::units::G0_MPS2).max(0.0) / bank.at(i).cos().max(0.2))
                .collect();
            Some(series(load, Sigma::Constant(0.08), Origin::Derived))
        });
        flight.lateral = self
            .grid
            .values(Quantity::LoadLateral)
            .map(|values| series(values, Sigma::Constant(0.015), Origin::Measured));
    }

    fn put_gusts(&self, flight: &mut Flight) {
        let Some(tas) = &self.tas else { return };
        let incidence: Option<Vec<f64>> = match (&self.pitch, &flight.path) {
            (Some(pitch), Some(path)) => {
                Some(pitch.value.iter().zip(&path.values).map(|(pitch, path)| pitch - path).collect())
            }
            _ => None,
        };
        (flight.gust_mps, flight.air) = gust::estimate(&gust::Clues {
            load: self.load.as_deref(),
            incidence: incidence.as_deref(),
            // A tenth of a degree of pitch, a foot of altimeter rounding or twice that of GNSS.
            incidence_noise_mps: if self.vertical.as_ref().is_some_and(|v| v.barometric) { 0.1 } else { 0.2 },
            tas,
            bank: self.bank.as_ref().map(|bank| bank.value.as_slice()),
            stall_mps: self.aircraft.speeds.vs1_mps.unwrap_or(SLOWEST_MPS),
            flying: &self.flying,
            step_s: self.grid.clock.step_s,
        });
    }

    fn put_engine(&self, flight: &mut Flight) {
        let engine = power::Engine {
            speed: self.grid.values(Quantity::EngineSpeed),
            manifold: self.grid.values(Quantity::ManifoldPressure),
            fuel: self.grid.values(Quantity::FuelFlow),
            throttle: self.grid.values(Quantity::Throttle),
            share: self.grid.values(Quantity::PowerShare),
        };
        let ias = flight.ias.as_ref().map(|ias| ias.values.clone());
        let motion = power::Motion {
            ias: ias.as_deref(),
            density_root: &self.density_root,
            flying: &self.flying,
            step_s: self.grid.clock.step_s,
        };
        let (power, states) = power::estimate(&engine, self.aircraft, &motion);
        flight.power = power;
        flight.power_state = states;
        let put = |values: Option<Vec<f64>>, sigma: f64| {
            values.map(|values| series(values, Sigma::Constant(sigma), Origin::Measured))
        };
        flight.engine_speed = put(engine.speed, 1.0);
        flight.manifold_pressure = put(engine.manifold, 500.0);
        flight.fuel_flow = put(engine.fuel, 1e-7);
        flight.throttle = put(engine.throttle, 0.02);
    }

    fn put_angles(&self, flight: &mut Flight) {
        if let (Some(climb), Some(tas)) = (&flight.climb, &flight.tas) {
            let path = (0..tas.values.len())
                .map(|i| {
                    let tas = tas.at(i);
                    if tas > 12.0 { (climb.at(i) / tas).clamp(-1.0, 1.0).asin() } else { f64::NAN }
                })
                .collect();
            flight.path = Some(series(path, Sigma::Constant(0.6_f64.to_radians()), Origin::Derived));
        }
        let vane = self.grid.values(Quantity::AngleOfAttack);
        flight.aoa = match (vane, &flight.pitch, &flight.path) {
            (Some(vane), ..) => Some(series(vane, Sigma::Constant(0.7_f64.to_radians()), Origin::Measured)),
            (None, Some(pitch), Some(path)) => {
                let aoa = (0..path.values.len())
                    .map(|i| angle_of_attack(pitch.at(i), flight.bank.as_ref().map_or(0.0, |bank| bank.at(i)), path.at(i)))
                    .collect();
                Some(series(aoa, Sigma::Constant(1.0_f64.to_radians()), Origin::Derived))
            }
            _ => None,
        };
        if let (Some(height), Some(tas)) = (&flight.height, &flight.tas) {
            let energy = (0..tas.values.len()).map(|i| air::energy::specific_energy_m(height.at(i), tas.at(i))).collect();
            flight.energy = Some(series(energy, Sigma::Constant(8.0), Origin::Derived));
        }
        if let (Some(climb), Some(tas), Some(rate)) = (&flight.climb, &flight.tas, &flight.tas_rate) {
            let power = (0..tas.values.len())
                .map(|i| air::energy::specific_power_mps(climb.at(i), tas.at(i), rate.at(i)))
                .collect();
            flight.excess_power = Some(series(power, Sigma::Constant(0.8), Origin::Derived));
        }
    }
}

/// Angle of attack without sideslip, rad: the pitch above the path, seen in the aircraft's plane of
/// symmetry. From sin γ = sin θ cos α − cos φ cos θ sin α.
fn angle_of_attack(pitch: f64, bank: f64, path: f64) -> f64 {
    let (a, b) = (pitch.sin(), bank.cos() * pitch.cos());
    let size = a.hypot(b).max(1e-6);
    a.atan2(b) - (path.sin() / size).clamp(-1.0, 1.0).asin()
}

fn lift(flight: &mut Flight, aircraft: &Aircraft) {
    let (Some(load), Some(ias)) = (&flight.load, &flight.ias) else { return };
    let clean = aircraft.speeds.vs1_mps;
    let stall = |i: usize| {
        let angle = flight.flaps.as_ref().map_or(f64::NAN, |flaps| flaps.angle.at(i));
        let detent = aircraft.nearest_detent(angle);
        detent.and_then(|detent| aircraft.stall_speed(detent)).map(|figure| figure.value_mps).or(clean)
    };
    let mass = aircraft.mass_ratio();
    if stall(0).is_some() {
        let values = (0..ias.values.len())
            .map(|i| {
                let speed = ias.at(i);
                let stall = stall(i).unwrap_or(f64::NAN);
                if speed > 8.0 { load.at(i) * mass * (stall / speed).powi(2) } else { f64::NAN }
            })
            .collect();
        flight.lift_ratio = Some(series(values, Sigma::Constant(0.1), Origin::Derived));
    }
    if let (Some(area), Some(mass), Some(tas)) = (aircraft.wing_area_m2, aircraft.mass_in_use_kg(), &flight.tas) {
        let values = (0..tas.values.len())
            .map(|i| {
                let speed = ias.at(i);
                let pressure = 0.5 * 1.225 * speed * speed;
                if speed > 8.0 { load.at(i) * mass * air::units::G0_MPS2 / (pressure * area) } else { f64::NAN }
            })
            .collect();
        flight.lift_coefficient = Some(series(values, Sigma::Constant(0.08), Origin::Derived));
    }
}

/// Normal load, g, with the ways of writing it that occur put right.
fn load(grid: &Grid<'_>) -> Option<Vec<f64>> {
    let mut values = grid.values(Quantity::LoadNormal)?;
    // Some recorders write the increment over level flight.
    let middle = stats::median(values.iter().copied());
    if middle.abs() < 0.3 {
        shift(&mut values, 1.0);
    }
    Some(values)
}

fn recorded_flaps(grid: &Grid<'_>) -> Option<Flaps> {
    let values = grid.steps(Quantity::Flap)?;
    let least = 3_f64.to_radians();
    let mut steps: Vec<FlapStep> = Vec::new();
    let (mut from, mut settled) = (f64::NAN, 0_usize);
    for (i, value) in values.iter().enumerate() {
        if value.is_nan() {
            continue;
        }
        if from.is_nan() {
            from = *value;
        }
        if (value - from).abs() < least {
            settled = i;
            continue;
        }
        // Moving: a step ends where the flaps rest for a second.
        let ahead = i + (1.0 / grid.clock.step_s).ceil() as usize;
        let to = values.get(ahead).copied().unwrap_or(*value);
        if (to - value).abs() < 0.5_f64.to_radians() {
            steps.push(FlapStep {
                at_s: grid.clock.time_s(settled),
                sigma_s: grid.clock.step_s.max(0.3),
                from_rad: from,
                to_rad: *value,
                probability: 1.0,
                origin: Origin::Measured,
            });
            from = *value;
            settled = i;
        }
    }
    let out = values.iter().map(|value| if value.is_nan() { f32::NAN } else { f32::from(*value > least) }).collect();
    Some(Flaps { angle: series(values, Sigma::Constant(1_f64.to_radians()), Origin::Measured), out, steps })
}

fn put_controls(flight: &mut Flight, grid: &Grid<'_>) {
    let put = |quantity| grid.values(quantity).map(|values| series(values, Sigma::Constant(0.02), Origin::Measured));
    flight.elevator = put(Quantity::Elevator);
    flight.aileron = put(Quantity::Aileron);
    flight.rudder = put(Quantity::Rudder);
    flight.stall_warning =
        grid.steps(Quantity::StallWarning).map(|values| series(values, Sigma::Constant(0.0), Origin::Measured));
}

fn series(values: Vec<f64>, sigma: Sigma, origin: Origin) -> Series {
    Series { values, sigma, origin }
}

fn widen(sigmas: &[f32], bias: f64) -> Sigma {
    Sigma::Each(sigmas.iter().map(|sigma| sigma.hypot(bias as f32)).collect())
}

fn speed(velocity: &[Vec<f64>; 2]) -> Vec<f64> {
    velocity[0].iter().zip(&velocity[1]).map(|(east, north)| east.hypot(*north)).collect()
}

fn shift(values: &mut [f64], by: f64) {
    for value in values {
        *value += by;
    }
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

fn empty(recording: &Recording, grid: &Grid<'_>) -> Flight {
    let len = grid.clock.len;
    Flight {
        name: recording.name.clone(),
        start_unix_s: recording.start_unix_s,
        clock: grid.clock,
        known: grid.known.clone(),
        fit: Fit::Sparse,
        air: Air::Light,
        gust_mps: f64::NAN,
        origin_latitude_rad: 0.0,
        origin_longitude_rad: 0.0,
        variation_rad: 0.0,
        east: None, north: None, altitude: None, height: None, agl: None, climb: None,
        ground_speed: None, track: None, ias: None, tas: None, tas_rate: None,
        heading: None, air_track: None, turn_rate: None, pitch: None, bank: None, load: None, lateral: None,
        path: None, aoa: None, lift_ratio: None, lift_coefficient: None, wind_east: None, wind_north: None,
        energy: None, excess_power: None, engine_speed: None, power: None,
        power_state: vec![PowerState::Unknown; len],
        stall_warning: None, flaps: None, elevator: None, aileron: None, rudder: None, throttle: None,
        manifold_pressure: None, fuel_flow: None, temperature: None,
        on_ground: vec![false; len],
        remarks: Vec::new(),
    }
}
