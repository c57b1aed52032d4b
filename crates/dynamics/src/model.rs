//! The equations of motion, and one step of time.

use crate::aero::{self, Airflow};
use crate::airframe::{Airframe, Flap};
use crate::gear;
use crate::method::{Before, Method};
use crate::state::{Controls, SIZE, State, Surfaces, Vec3, rotate, rotate_back};
use crate::weather::{Gust, Turbulence, Weather};
use air::units::G0_MPS2;

/// The air at the aircraft during a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Around {
    /// Steady wind toward north, east, down, m/s.
    pub wind: Vec3,
    /// Gust in body axes.
    pub gust: Gust,
    /// Density, kg/m³.
    pub density_kgpm3: f64,
    /// Height of the ground, m.
    pub ground_m: f64,
}

/// What a step felt.
#[derive(Clone, Copy, Debug)]
pub struct Felt {
    /// Air forces without weight over mass, body axes, in g: what an accelerometer reads at the center of gravity (down is −normal).
    pub specific_force_g: Vec3,
    /// Motion through the air.
    pub flow: Airflow,
    /// Lift coefficient.
    pub lift: f64,
    /// Thrust, N.
    pub thrust_n: f64,
    /// Power of the engine as a share of its rated power.
    pub power_share: f64,
    /// Whether a wheel carries weight.
    pub on_ground: bool,
}

/// Rates of the state, and what is felt (Stevens & Lewis 2003, ch. 1–2; flat earth).
#[must_use]
pub fn rates(
    airframe: &Airframe,
    state: &State,
    surfaces: &Surfaces,
    around: &Around,
) -> ([f64; SIZE], Felt) {
    let held = Held::new(airframe, surfaces, around);
    let (row, acting) = held.rates(state);
    (row, held.felt(&acting))
}

/// What the evaluations of one step share, worked out once: they are most of the time that a flight takes.
struct Held<'s> {
    airframe: &'s Airframe,
    surfaces: &'s Surfaces,
    around: &'s Around,
    flap: Flap,
    per_mass: f64,
    turning: Turning,
    per_spin_inertia: f64,
    per_lag: f64,
}

/// The moments of inertia turned around.
struct Turning {
    roll: f64,
    both: f64,
    yaw: f64,
    pitch: f64,
}

/// What acts at a state.
struct Acting {
    force: Vec3,
    flow: Airflow,
    lift: f64,
    thrust_n: f64,
    torque_nm: f64,
    spin_radps: f64,
    on_ground: bool,
}

impl<'s> Held<'s> {
    fn new(airframe: &'s Airframe, surfaces: &'s Surfaces, around: &'s Around) -> Held<'s> {
        let i = &airframe.inertia;
        let base = 1.0 / (i.xx_kgm2 * i.zz_kgm2 - i.xz_kgm2 * i.xz_kgm2);
        Held {
            airframe,
            surfaces,
            around,
            flap: airframe.flap(surfaces.flap_rad),
            per_mass: 1.0 / i.mass_kg,
            turning: Turning {
                roll: i.zz_kgm2 * base,
                both: i.xz_kgm2 * base,
                yaw: i.xx_kgm2 * base,
                pitch: 1.0 / i.yy_kgm2,
            },
            per_spin_inertia: 1.0 / airframe.propeller.inertia_kgm2,
            per_lag: 1.0 / airframe.separation.lag_s,
        }
    }

    #[inline]
    fn rates(&self, state: &State) -> ([f64; SIZE], Acting) {
        let (airframe, surfaces, around) = (self.airframe, self.surfaces, self.around);
        let to_earth = state.to_earth();
        let body = state.velocity_body();
        let [p, q, r] = state.rates();
        let wind = rotate_back(&to_earth, around.wind);
        let air = [
            body[0] - wind[0] - around.gust.velocity[0],
            body[1] - wind[1] - around.gust.velocity[1],
            body[2] - wind[2] - around.gust.velocity[2],
        ];
        let flow = Airflow::new(
            air,
            [p - around.gust.roll_radps, q, r],
            around.density_kgpm3,
            state.height_m() - around.ground_m,
        );
        let spin = state.0[13];
        let pull = airframe.propeller.pull(air[0], spin, around.density_kgpm3);
        let attached = [state.0[14], state.0[15]];
        // Sine and cosine of the angle of attack lie in the velocity.
        let plane = air[0] * air[0] + air[2] * air[2];
        let along = if plane > 0.0 {
            let share = 1.0 / plane.sqrt();
            (air[2] * share, air[0] * share)
        } else {
            (0.0, 1.0)
        };
        let loads = aero::loads_at(
            airframe,
            &flow,
            surfaces,
            attached,
            pull.thrust_n,
            &self.flap,
            along,
        );
        let wheels = gear::loads(
            &airframe.wheels,
            state,
            surfaces,
            &to_earth,
            around.ground_m,
        );
        let (ground_force, ground_moment) = wheels.unwrap_or_default();

        let force = [
            loads.force[0] + pull.thrust_n + ground_force[0],
            loads.force[1] + ground_force[1],
            loads.force[2] + ground_force[2],
        ];
        let accel = [
            force[0] * self.per_mass + G0_MPS2 * to_earth[2][0] + r * body[1] - q * body[2],
            force[1] * self.per_mass + G0_MPS2 * to_earth[2][1] + p * body[2] - r * body[0],
            force[2] * self.per_mass + G0_MPS2 * to_earth[2][2] + q * body[0] - p * body[1],
        ];
        // Rate of the angle of attack: gusts count as steady within a step.
        let alpha_rate = (accel[2] * air[0] - accel[0] * air[2]) / plane.max(1.0);

        let torque = airframe
            .engine
            .torque_nm(surfaces.throttle, around.density_kgpm3, spin);
        let moment = [
            // The engine turns the propeller clockwise seen from behind, and itself the other way.
            loads.moment[0] - pull.torque_nm + ground_moment[0],
            loads.moment[1] + loads.pitch_by_alpha_rate * alpha_rate + ground_moment[1],
            loads.moment[2] + ground_moment[2],
        ];
        let turning = self.turned(moment, [p, q, r]);

        let mut row = [0.0; SIZE];
        let over_ground = rotate(&to_earth, body);
        row[..3].copy_from_slice(&over_ground);
        row[3..6].copy_from_slice(&accel);
        let [w, x, y, z] = [state.0[6], state.0[7], state.0[8], state.0[9]];
        row[6] = -0.5 * (x * p + y * q + z * r);
        row[7] = 0.5 * (w * p + y * r - z * q);
        row[8] = 0.5 * (w * q + z * p - x * r);
        row[9] = 0.5 * (w * r + x * q - y * p);
        row[10..13].copy_from_slice(&turning);
        row[13] = (torque - pull.torque_nm) * self.per_spin_inertia;
        for half in 0..2 {
            let side = if half == 0 { -1.0 } else { 1.0 };
            let goal = airframe.separation.tends_to(
                loads.alpha_halves[half],
                alpha_rate,
                attached[half],
                self.flap.separation_rad,
                side,
            );
            row[14 + half] = (goal - attached[half]) * self.per_lag;
        }
        let acting = Acting {
            force,
            flow,
            lift: loads.lift,
            thrust_n: pull.thrust_n,
            torque_nm: torque,
            spin_radps: spin,
            on_ground: ground_force[2] != 0.0,
        };
        (row, acting)
    }

    /// Euler's equations with the product of inertia xz.
    #[inline]
    fn turned(&self, moment: Vec3, [p, q, r]: Vec3) -> Vec3 {
        let i = &self.airframe.inertia;
        let (xx, yy, zz, xz) = (i.xx_kgm2, i.yy_kgm2, i.zz_kgm2, i.xz_kgm2);
        let roll = moment[0] + (yy - zz) * q * r + xz * p * q;
        let pitch = moment[1] + (zz - xx) * p * r - xz * (p * p - r * r);
        let yaw = moment[2] + (xx - yy) * p * q - xz * q * r;
        let by = &self.turning;
        [
            by.roll * roll + by.both * yaw,
            by.pitch * pitch,
            by.both * roll + by.yaw * yaw,
        ]
    }

    fn felt(&self, acting: &Acting) -> Felt {
        let per_weight = self.per_mass / G0_MPS2;
        Felt {
            specific_force_g: acting.force.map(|f| f * per_weight),
            flow: acting.flow,
            lift: acting.lift,
            thrust_n: acting.thrust_n,
            power_share: acting.torque_nm.max(0.0) * acting.spin_radps
                / self.airframe.engine.rated_w,
            on_ground: acting.on_ground,
        }
    }
}

/// An aircraft in flight: state, surfaces and the air it meets.
#[derive(Clone, Debug)]
pub struct Flying<'a> {
    /// The airframe.
    pub airframe: &'a Airframe,
    /// Conditions.
    pub weather: &'a Weather,
    /// State.
    pub state: State,
    /// Surfaces.
    pub surfaces: Surfaces,
    /// Turbulence.
    pub turbulence: Turbulence,
    /// Height of the ground above the reference, m.
    pub ground_m: f64,
    /// Since the start, s.
    pub time_s: f64,
    /// How a step is taken.
    pub method: Method,
    before: Option<Before>,
}

impl<'a> Flying<'a> {
    /// Begins with a state and settled controls.
    #[must_use]
    pub fn new(
        airframe: &'a Airframe,
        weather: &'a Weather,
        state: State,
        controls: &Controls,
        seed: u64,
    ) -> Self {
        Flying {
            airframe,
            weather,
            state,
            surfaces: Surfaces::settled(&limited(airframe, controls)),
            turbulence: Turbulence::new(seed),
            ground_m: 0.0,
            time_s: 0.0,
            method: Method::default(),
            before: None,
        }
    }

    /// The air at the aircraft now; draws the next gust.
    pub fn around(&mut self, step_s: f64) -> Around {
        let height = self.state.height_m();
        let gust = if self.weather.gust_mps > 0.0 {
            let body = self.state.velocity_body();
            let speed = (body[0] * body[0] + body[1] * body[1] + body[2] * body[2]).sqrt();
            let above = height - self.ground_m;
            self.turbulence.next(
                step_s,
                speed,
                above,
                self.weather.gust_mps,
                self.airframe.wing.span_m,
            )
        } else {
            Gust::default()
        };
        Around {
            wind: self.weather.wind(height),
            gust,
            density_kgpm3: self.weather.density_kgpm3(height),
            ground_m: self.ground_m,
        }
    }

    /// One step by [`Flying::method`], with wind, gust, density and surfaces held over it.
    pub fn step(&mut self, controls: &Controls, step_s: f64) -> Felt {
        let around = self.around(step_s);
        let controls = limited(self.airframe, controls);
        self.surfaces
            .follow(&controls, &self.airframe.rates, step_s);
        let held = Held::new(self.airframe, &self.surfaces, &around);
        let acting = self
            .method
            .step(&mut self.state, &mut self.before, step_s, |state| {
                held.rates(state)
            });
        self.time_s += step_s;
        held.felt(&acting)
    }
}

/// The flap lever goes no further than the last detent.
pub(crate) fn limited(airframe: &Airframe, controls: &Controls) -> Controls {
    let last = airframe.flaps.last().map_or(0.0, |flap| flap.angle_rad);
    Controls {
        flap_rad: controls.flap_rad.min(last),
        ..*controls
    }
}
