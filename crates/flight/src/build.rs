//! The stages in their order.

use std::time::Instant;

use aircraft::Aircraft;
use recording::{Quantity, Recording};

use crate::airspeed::Airspeed;
use crate::assemble::{self, SLOWEST_MPS};
use crate::attitude::{self, Angle};
use crate::grid::Grid;
use crate::horizontal::{self, Horizontal};
use crate::lift::{self, angle_of_attack};
use crate::stats::Errors;
use crate::vertical::{self, Vertical};
use crate::wind::{self, Sight, Wind};
use crate::{Flight, Surroundings, airmass, airspeed, faults, ground, stats, turn};

/// Lag of pitot and static lines where nobody says, s (light trainers 0.3 to 0.6, from memory).
const PNEUMATIC_LAG_S: f64 = 0.45;
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
    work.screen();
    work.vertical_again();
    lap("vertical");
    let mut flight = assemble::flight(work, recording, surroundings);
    lap("assembly");
    if flight.flaps.is_none() {
        flight.flaps = crate::flaps::infer(&flight, aircraft);
    }
    lap("flaps");
    lift::fill(&mut flight, aircraft);
    flight.updraft = crate::updraft::find(&flight, aircraft);
    lap("lift");
    (flight, stages)
}

/// Everything on the way.
pub(crate) struct Work<'a> {
    pub grid: &'a Grid<'a>,
    pub aircraft: &'a Aircraft,
    pub lag_s: f64,
    pub ground: Option<Horizontal>,
    pub vertical: Option<Vertical>,
    pub airspeed: Option<Airspeed>,
    pub density_root: Vec<f64>,
    pub temperature: Option<Vec<f64>>,
    pub scale: f64,
    pub flying: Vec<bool>,
    pub pitch: Option<Angle>,
    pub bank: Option<Angle>,
    pub heading: Option<Angle>,
    pub variation_rad: f64,
    pub variation_known: bool,
    pub wind: Option<Wind>,
    pub load: Option<Vec<f64>>,
    pub tas: Option<Vec<f64>>,
    pub tas_rate: Option<Vec<f64>>,
    pub remarks: Vec<(f64, f64, String)>,
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
            variation_known: true,
            wind: None,
            load: None,
            tas: None,
            tas_rate: None,
            remarks: Vec::new(),
        }
    }

    fn motion(&mut self) {
        let grid = self.grid;
        self.ground = horizontal::smooth(grid);
        let air = airmass::find(grid);
        self.density_root = air.density_root;
        self.temperature = air.temperature;
        self.scale = air.scale;
        let help = vertical::Help {
            acceleration: None,
            lag_s: self.lag_s,
            scale: self.scale,
        };
        self.vertical = vertical::smooth(grid, &help);
        self.airspeed = airspeed::smooth(grid, self.lag_s);
        let ground_speed = self.ground.as_ref().map(|ground| speed(&ground.velocity));
        self.flying = ground::flying(
            grid,
            &ground::Clues {
                ground_speed: ground_speed.as_deref(),
                ias: self
                    .airspeed
                    .as_ref()
                    .map(|airspeed| airspeed.ias.as_slice()),
                climb: self
                    .vertical
                    .as_ref()
                    .map(|vertical| vertical.climb.as_slice()),
                slowest_mps: self.aircraft.speeds.vs0_mps.unwrap_or(SLOWEST_MPS),
            },
        );
        self.pitch = attitude::smooth(grid, Quantity::Pitch, 0.1);
        self.bank = attitude::smooth(grid, Quantity::Bank, 0.5);
        self.heading = attitude::smooth(grid, Quantity::HeadingTrue, 0.05);
        if let Some(pitch) = &mut self.pitch {
            shift(
                &mut pitch.value,
                self.aircraft.recorder.pitch_offset_rad.unwrap_or(0.0),
            );
        }
        if let Some(bank) = &mut self.bank {
            shift(
                &mut bank.value,
                self.aircraft.recorder.bank_offset_rad.unwrap_or(0.0),
            );
        }
        self.magnetic_heading();
        self.load = load(grid);
    }

    /// Heading from a magnetic one: the variation recorded, or by the world magnetic model, or none.
    fn magnetic_heading(&mut self) {
        let recorded = self.grid.values(Quantity::MagneticVariation);
        let recorded = recorded.map_or(f64::NAN, stats::median);
        let variation = if recorded.is_finite() {
            Some(recorded)
        } else {
            self.modelled_variation()
        };
        self.variation_rad = variation.unwrap_or(0.0);
        self.variation_known = variation.is_some() || self.heading.is_some();
        if self.heading.is_none()
            && let Some(mut heading) = attitude::smooth(self.grid, Quantity::HeadingMagnetic, 0.05)
        {
            shift(&mut heading.value, self.variation_rad);
            self.heading = Some(heading);
        }
    }

    fn modelled_variation(&self) -> Option<f64> {
        let ground = self.ground.as_ref().filter(|ground| ground.located)?;
        let (year, day) = airmass::date(self.grid.start_unix_s());
        // It changes by a thousandth of a degree in a thousand feet: any usual height will do.
        let (latitude, longitude) = (ground.origin_latitude_rad, ground.origin_longitude_rad);
        air::magnetic::variation(latitude, longitude, 500.0, year, day)
            .ok()
            .map(|variation| variation.value_rad)
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
                self.vertical
                    .as_ref()
                    .map(|vertical| vertical.altitude.as_slice()),
                &Sight {
                    heading: self
                        .heading
                        .as_ref()
                        .map(|heading| heading.value.as_slice()),
                    heading_rate: self.heading.as_ref().map(|heading| heading.rate.as_slice()),
                    heading_prior_rad: if self.variation_known { 3_f64 } else { 20_f64 }
                        .to_radians(),
                    tas: raw.as_deref(),
                    flying: &self.flying,
                },
            );
        }
        let (scale, offset) = self
            .wind
            .as_ref()
            .map_or((1.0, 0.0), |wind| (wind.scale, wind.offset_mps));
        if let (Some(raw), Some(airspeed)) = (raw, &self.airspeed) {
            self.tas_rate = Some(
                airspeed
                    .rate
                    .iter()
                    .zip(&self.density_root)
                    .map(|(rate, root)| scale * rate / root)
                    .collect(),
            );
            self.tas = Some(
                raw.into_iter()
                    .map(|value| value * scale + offset)
                    .collect(),
            );
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

    /// East and north through the air, m/s.
    pub fn air_velocity(&self, ground: &Horizontal, wind: &Wind) -> [Vec<f64>; 2] {
        [0, 1].map(|axis| {
            ground.velocity[axis]
                .iter()
                .zip(&wind.components[axis])
                .map(|(v, w)| v - w)
                .collect()
        })
    }

    /// Airspeed and attitude against the motion over the ground: a blocked pitot, a tumbled horizon.
    fn screen(&mut self) {
        let (Some(ground), Some(wind)) = (&self.ground, &self.wind) else {
            return;
        };
        let [east, north] = self.air_velocity(ground, wind);
        let step = self.grid.clock.step_s;
        let flying = &self.flying;
        let mut remarks = Vec::new();
        let time = |i: usize| self.grid.clock.time_s(i);
        if let (Some(tas), Some(airspeed)) = (&mut self.tas, &mut self.airspeed) {
            let difference = |i: usize| {
                if flying[i] {
                    tas[i] - east[i].with(north[i])
                } else {
                    0.0
                }
            };
            let least = (20.0 / step) as usize;
            for span in faults::apart(difference, 12.0, least, tas.len()) {
                let words = "the airspeed does not belong to the motion over the ground (blocked pitot or \
                             static line?); not used here";
                remarks.push((time(span.start), time(span.end), words.to_owned()));
                for column in [&mut *tas, &mut airspeed.ias, &mut airspeed.rate] {
                    if let Some(column) = column.get_mut(span.clone()) {
                        column.fill(f64::NAN);
                    }
                }
            }
        }
        if let (Some(bank), Some(pitch)) = (&mut self.bank, &mut self.pitch) {
            let difference = |i: usize| {
                let turn =
                    ground.acceleration[0][i] * north[i] - ground.acceleration[1][i] * east[i];
                let coordinated =
                    turn::coordinated_bank_rad(turn / east[i].with(north[i]).max(10.0), 0.0);
                if flying[i] {
                    bank.value[i] - coordinated
                } else {
                    0.0
                }
            };
            let limit = 30_f64.to_radians();
            for span in faults::apart(difference, limit, (8.0 / step) as usize, bank.value.len()) {
                let words = "the recorded attitude does not belong to the motion (tumbled or still aligning); \
                             not used here";
                remarks.push((time(span.start), time(span.end), words.to_owned()));
                for column in [&mut bank.value, &mut pitch.value] {
                    if let Some(column) = column.get_mut(span.clone()) {
                        column.fill(f64::NAN);
                    }
                }
            }
        }
        self.remarks.extend(remarks);
    }

    /// The vertical motion once more, now with the load factor.
    fn vertical_again(&mut self) {
        let Some(vertical) = &self.vertical else {
            return;
        };
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
                g * (load[i] * finite(bank).cos() * (1.0 - sin * sin).sqrt() - 1.0)
                    + (rate(i) + g * sin) * sin
            })
            .collect();
        // Over a flight the vertical acceleration sums to nothing; what remains is the sensor's bias.
        let bias = stats::median(
            up.iter()
                .zip(&vertical.acceleration)
                .zip(&self.flying)
                .filter(|(_, flying)| **flying)
                .map(|((a, b), _)| a - b),
        );
        let up: Vec<f64> = up.into_iter().map(|value| value - finite(bias)).collect();
        let help = vertical::Help {
            acceleration: Some(&up),
            lag_s: self.lag_s,
            scale: self.scale,
        };
        self.vertical = vertical::smooth(self.grid, &help);
    }

    /// By the vane, else pitch above the air path.
    pub fn angle_of_attack(&self) -> Option<Vec<f64>> {
        if let Some(vane) = self.grid.filled(Quantity::AngleOfAttack) {
            return Some(vane);
        }
        let (pitch, vertical, tas) = (
            self.pitch.as_ref()?,
            self.vertical.as_ref()?,
            self.tas.as_ref()?,
        );
        let bank = |i: usize| self.bank.as_ref().map_or(0.0, |bank| bank.value[i]);
        Some(
            (0..tas.len())
                .map(|i| {
                    let path = (vertical.climb[i] / tas[i].max(12.0))
                        .clamp(-1.0, 1.0)
                        .asin();
                    angle_of_attack(pitch.value[i], bank(i), path)
                })
                .collect(),
        )
    }
}

/// Normal load, g, with the ways of writing it that occur put right.
fn load(grid: &Grid<'_>) -> Option<Vec<f64>> {
    let mut values = grid.filled(Quantity::LoadNormal)?;
    // Some recorders write the increment over level flight.
    let middle = stats::median(values.iter().copied());
    if middle.abs() < 0.3 {
        shift(&mut values, 1.0);
    }
    Some(values)
}

/// Size of a horizontal velocity.
pub(crate) fn speed(velocity: &[Vec<f64>; 2]) -> Vec<f64> {
    velocity[0]
        .iter()
        .zip(&velocity[1])
        .map(|(east, north)| east.with(*north))
        .collect()
}

fn shift(values: &mut [f64], by: f64) {
    for value in values {
        *value += by;
    }
}

/// The value, or 0 where there is none.
pub(crate) fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}
