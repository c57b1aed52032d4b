//! Flights whose path over the ground is prescribed: straight legs and arcs, with a wind to be held against. The wind
//! triangle gives ground speed and heading, and the rate of the heading the bank (tan φ = V·ψ̇/g): closed form, so that
//! what was prescribed is the truth.

use super::blank;
use air::units::{G0_MPS2, M_PER_FT, MPS_PER_KT};
use flight::{Air, Fit, Flight, Origin, Series, Sigma};

const DT: f64 = 0.1;
/// Ground of the practice area, m.
pub const TERRAIN_M: f64 = 300.0;

#[derive(Clone, Copy)]
struct Row {
    east: f64,
    north: f64,
    heading: f64,
    height: f64,
    tas: f64,
}

/// A flight along the ground. Angles in degrees, speeds in knots, distances in meters.
#[derive(Clone)]
pub struct Course {
    /// Seconds flown.
    pub t: f64,
    /// East of the origin, m.
    pub east: f64,
    /// North of the origin, m.
    pub north: f64,
    /// Track over the ground, rad.
    pub track: f64,
    /// Climb, ft/min.
    pub fpm: f64,
    /// Follows the pivotal altitude.
    pub pivotal: bool,
    heading: f64,
    tas: f64,
    agl: f64,
    wind: (f64, f64),
    gust: f64,
    seed: u64,
    rows: Vec<Row>,
}

impl Course {
    /// At 95 kt and 800 ft above ground on a track, in a wind.
    pub fn new(track: f64, wind_from: f64, wind_kt: f64) -> Course {
        let toward = (wind_from + 180.0).to_radians();
        let wind = wind_kt * MPS_PER_KT;
        let mut course = Course {
            t: 0.0,
            east: 0.0,
            north: 0.0,
            track: track.to_radians(),
            fpm: 0.0,
            pivotal: false,
            heading: 0.0,
            tas: 95.0 * MPS_PER_KT,
            agl: 800.0 * M_PER_FT,
            wind: (wind * toward.sin(), wind * toward.cos()),
            gust: 0.0,
            seed: 11,
            rows: Vec::new(),
        };
        course.nose();
        course
    }
    /// Gusts of this many m/s, 1-σ.
    pub fn gusts(mut self, mps: f64) -> Course {
        self.gust = mps;
        self
    }
    /// Sets the height above ground, ft.
    pub fn at(&mut self, feet: f64) -> &mut Course {
        self.agl = feet * M_PER_FT;
        self
    }
    /// Ground speed along the present track, m/s.
    pub fn ground_mps(&self) -> f64 {
        let (sin, cos) = self.track.sin_cos();
        let along = self.wind.0 * sin + self.wind.1 * cos;
        let across = self.wind.0 * cos - self.wind.1 * sin;
        along + (self.tas * self.tas - across * across).sqrt()
    }
    /// The heading that holds the present track.
    fn nose(&mut self) {
        let speed = self.ground_mps();
        let east = speed * self.track.sin() - self.wind.0;
        let north = speed * self.track.cos() - self.wind.1;
        self.heading = self.heading + air::units::wrap_pi(east.atan2(north) - self.heading);
    }
    fn step(&mut self, east_mps: f64, north_mps: f64) {
        self.east += east_mps * DT;
        self.north += north_mps * DT;
        self.agl += self.fpm * M_PER_FT / 60.0 * DT;
        if self.pivotal {
            let there = east_mps.hypot(north_mps).powi(2) / G0_MPS2;
            self.agl += (there - self.agl) * DT / 1.5;
        }
        self.rows.push(Row {
            east: self.east,
            north: self.north,
            heading: self.heading,
            height: TERRAIN_M + self.agl,
            tas: self.tas,
        });
        self.t += DT;
    }
    /// Straight along the present track.
    pub fn straight(&mut self, seconds: f64) -> &mut Course {
        for _ in 0..(seconds / DT).round() as usize {
            let speed = self.ground_mps();
            self.nose();
            self.step(speed * self.track.sin(), speed * self.track.cos());
        }
        self
    }
    /// Straight along the present track for so many meters.
    pub fn leg(&mut self, meters: f64) -> &mut Course {
        self.straight(meters / self.ground_mps())
    }
    /// Around an arc over the ground, right positive.
    pub fn arc(&mut self, radius_m: f64, degrees: f64) -> &mut Course {
        self.arc_as(degrees, |_| radius_m)
    }
    /// The same with a radius for each angle turned, degrees.
    pub fn arc_as(&mut self, degrees: f64, radius_m: impl Fn(f64) -> f64) -> &mut Course {
        let mut turned = 0.0;
        while turned < degrees.abs() {
            let speed = self.ground_mps();
            let step = (speed * DT / radius_m(turned)).to_degrees();
            turned += step;
            self.track += step.to_radians() * degrees.signum();
            self.nose();
            self.step(speed * self.track.sin(), speed * self.track.cos());
        }
        self
    }
    /// A half circle over the ground, right positive: the roll begins at once, takes a second and a half to the curve
    /// of the radius, and comes out of it as long before the reversed track.
    pub fn half(&mut self, radius_m: f64, side: f64) -> &mut Course {
        let (full, ramp) = (1.0 / radius_m, 1.0 / (radius_m * 1.5));
        let (mut curve, mut turned) = (0.0_f64, 0.0);
        loop {
            let speed = self.ground_mps();
            // What is still turned while the roll comes out.
            let lead = speed * curve * curve / (2.0 * ramp);
            let out = turned + lead >= std::f64::consts::PI;
            if out && curve <= ramp * DT {
                return self;
            }
            curve = if out {
                curve - ramp * DT
            } else {
                (curve + ramp * DT).min(full)
            };
            turned += speed * curve * DT;
            self.track += side * speed * curve * DT;
            self.nose();
            self.step(speed * self.track.sin(), speed * self.track.cos());
        }
    }
    /// Greatest distance from such a line between two times, and half of the way along it, m.
    pub fn half_circle(
        &self,
        (east, north): (f64, f64),
        direction: f64,
        from_s: f64,
        to_s: f64,
    ) -> [f64; 2] {
        let (sin, cos) = direction.to_radians().sin_cos();
        let rows = &self.rows[(from_s / DT) as usize..(to_s / DT) as usize];
        let beside = |row: &Row| ((row.east - east) * cos - (row.north - north) * sin).abs();
        let along = |row: &Row| (row.east - east) * sin + (row.north - north) * cos;
        let way = along(&rows[rows.len() - 1]) - along(&rows[0]);
        [rows.iter().map(beside).fold(0.0, f64::max), 0.5 * way.abs()]
    }
    /// When the path goes over the line through a place that lies along `direction`, degrees: all times, s.
    pub fn crossings(&self, (east, north): (f64, f64), direction: f64) -> Vec<f64> {
        let (sin, cos) = direction.to_radians().sin_cos();
        let beside = |row: &Row| (row.east - east) * cos - (row.north - north) * sin;
        let passes = self.rows.windows(2).enumerate();
        passes
            .filter(|(_, two)| beside(&two[0]) * beside(&two[1]) <= 0.0)
            .map(|(i, _)| (i as f64 + 0.5) * DT)
            .collect()
    }
    /// A turn through the air at one bank, carried along by the wind: nothing is held against it.
    pub fn carried(&mut self, bank: f64, degrees: f64) -> &mut Course {
        let rate = G0_MPS2 * bank.abs().to_radians().tan() / self.tas * degrees.signum();
        let mut turned = 0.0_f64;
        while turned.abs() < degrees.abs().to_radians() {
            turned += rate * DT;
            self.heading += rate * DT;
            self.drift();
        }
        self
    }
    /// Straight through the air on the present heading, carried along by the wind.
    pub fn carried_straight(&mut self, seconds: f64) -> &mut Course {
        for _ in 0..(seconds / DT).round() as usize {
            self.drift();
        }
        self
    }
    fn drift(&mut self) {
        let east = self.tas * self.heading.sin() + self.wind.0;
        let north = self.tas * self.heading.cos() + self.wind.1;
        let track = east.atan2(north);
        self.track += air::units::wrap_pi(track - self.track);
        self.step(east, north);
    }
    /// Around a point with the wing on it, right positive: at the pivotal altitude this is coordinated.
    pub fn pylon(&mut self, (east, north): (f64, f64), degrees: f64) -> &mut Course {
        let side = degrees.signum() * std::f64::consts::FRAC_PI_2;
        let mut turned = 0.0;
        while turned < degrees.abs().to_radians() {
            let bearing = (east - self.east).atan2(north - self.north);
            let turn = air::units::wrap_pi(bearing - side - self.heading);
            turned += turn.abs();
            self.heading += turn;
            self.drift();
        }
        self
    }

    /// The flight as the reconstruction would hand it over, one sample a second.
    pub fn land(&self, fit: Fit) -> Flight {
        self.sampled(fit, 1.0)
    }

    /// The same with another step, s.
    pub fn sampled(&self, fit: Fit, step_s: f64) -> Flight {
        let smooth = self.headings();
        let every = (step_s / DT).round().max(1.0) as usize;
        let places: Vec<usize> = (0..self.rows.len()).step_by(every).collect();
        let mut noise = Noise::new(self.seed);
        let bumps: Vec<[f64; 3]> = places.iter().map(|_| noise.next(step_s)).collect();
        let of = |f: &dyn Fn(&Row, usize, &[f64; 3]) -> f64, sigma: f64, origin: Origin| {
            Some(Series {
                values: places
                    .iter()
                    .zip(&bumps)
                    .map(|(i, bump)| f(&self.rows[*i], *i, bump))
                    .collect(),
                sigma: Sigma::Constant(sigma),
                origin,
            })
        };
        let rate = |i: usize| {
            let (a, b) = (i.saturating_sub(5), (i + 5).min(smooth.len() - 1));
            (smooth[b] - smooth[a]) / ((b - a).max(1) as f64 * DT)
        };
        let bank = |i: usize| (self.tas * rate(i) / G0_MPS2).atan();
        let gust = self.gust;
        let attitude = fit != Fit::Gnss;
        let air_data = matches!(fit, Fit::Rich | Fit::Panel);
        let derived = |yes: bool| {
            if yes {
                Origin::Measured
            } else {
                Origin::Derived
            }
        };
        let mut flight = blank(places.len(), step_s, fit);
        flight.air = match gust {
            gust if gust > 1.2 => Air::Rough,
            gust if gust > 0.4 => Air::Light,
            _ => Air::Calm,
        };
        flight.power_state = vec![flight::PowerState::Unknown; places.len()];
        flight.east = of(&|r, _, _| r.east, 1.5, Origin::Measured);
        flight.north = of(&|r, _, _| r.north, 1.5, Origin::Measured);
        flight.altitude = of(&|r, _, b| r.height + gust * b[1], 2.0, Origin::Measured);
        flight.height = flight.altitude.clone();
        flight.agl = of(
            &|r, _, b| r.height - TERRAIN_M + gust * b[1],
            4.0,
            Origin::Derived,
        );
        flight.climb = of(&|_, _, b| 0.7 * gust * b[1], 0.5, Origin::Derived);
        let ias = if air_data { 0.6 } else { 1.6 };
        flight.ias = of(&|r, _, b| r.tas + gust * b[0], ias, derived(air_data));
        flight.tas = flight.ias.clone();
        flight.heading = of(&|_, i, _| smooth[i], 0.03, derived(attitude));
        flight.air_track = of(&|_, i, _| smooth[i], 0.03, Origin::Derived);
        flight.turn_rate = of(&|_, i, _| rate(i), 0.01, Origin::Derived);
        flight.bank = of(
            &|_, i, b| bank(i) + 0.03 * gust * b[2],
            if attitude { 0.01 } else { 0.04 },
            derived(attitude),
        );
        if attitude {
            flight.pitch = of(&|_, _, b| 0.05 + 0.01 * gust * b[1], 0.01, Origin::Measured);
            flight.load = of(&|_, i, _| 1.0 / bank(i).cos(), 0.02, Origin::Measured);
        }
        flight.wind_east = of(&|_, _, _| self.wind.0, 0.6, Origin::Derived);
        flight.wind_north = of(&|_, _, _| self.wind.1, 0.6, Origin::Derived);
        flight
    }

    /// Heading with the corners of prescribed paths rounded: a roll takes a second or two.
    fn headings(&self) -> Vec<f64> {
        let reach = (1.2 / DT) as usize;
        (0..self.rows.len())
            .map(|i| {
                let near =
                    &self.rows[i.saturating_sub(reach)..(i + reach + 1).min(self.rows.len())];
                near.iter().map(|row| row.heading).sum::<f64>() / near.len() as f64
            })
            .collect()
    }
}

/// Three gusts that last about two seconds, 1-σ of one.
struct Noise {
    seed: u64,
    state: [f64; 3],
}

impl Noise {
    fn new(seed: u64) -> Noise {
        Noise {
            seed,
            state: [0.0; 3],
        }
    }
    fn normal(&mut self) -> f64 {
        let mut sum = -6.0;
        for _ in 0..12 {
            self.seed = self
                .seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            sum += (self.seed >> 11) as f64 / (1u64 << 53) as f64;
        }
        sum
    }
    fn next(&mut self, step_s: f64) -> [f64; 3] {
        let keep = (-step_s / 2.0).exp();
        for i in 0..3 {
            let fresh = self.normal() * (1.0 - keep * keep).sqrt();
            self.state[i] = keep * self.state[i] + fresh;
        }
        self.state
    }
}
