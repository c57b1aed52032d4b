//! Forces and moments of the air on the airframe.
//!
//! Below the stall the usual linear derivatives (Etkin & Reid, *Dynamics of Flight*, 3rd ed. 1996, ch. 5;
//! Roskam, *Airplane Flight Dynamics*, part I, 1995). At and past the stall each half of the wing has its own
//! attached share `X` of the flow ([`crate::stall`]); what the halves differ by rolls and yaws the airplane.
//! Coefficients refer to wing area, span and mean chord; moments to the center of gravity, body axes.

use crate::airframe::{Airframe, Flap};
use crate::state::{Surfaces, Vec3};

/// The motion through the air.
#[derive(Clone, Copy, Debug)]
pub struct Airflow {
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad, + wind from the right.
    pub beta_rad: f64,
    /// Rates against the air: roll, pitch, yaw, rad/s.
    pub rates: Vec3,
    /// Density, kg/m³.
    pub density_kgpm3: f64,
    /// Height above the ground, m: for ground effect.
    pub height_m: f64,
}

impl Airflow {
    /// From the velocity against the air in body axes.
    #[must_use]
    #[inline]
    pub fn new(air: Vec3, rates: Vec3, density_kgpm3: f64, height_m: f64) -> Airflow {
        let [u, v, w] = air;
        let tas_mps = (u * u + v * v + w * w).sqrt().max(0.1);
        Airflow {
            tas_mps,
            alpha_rad: w.atan2(u),
            beta_rad: (v / tas_mps).clamp(-1.0, 1.0).asin(),
            rates,
            density_kgpm3,
            height_m,
        }
    }

    /// Dynamic pressure, Pa.
    #[must_use]
    #[inline]
    pub fn pressure_pa(&self) -> f64 {
        0.5 * self.density_kgpm3 * self.tas_mps * self.tas_mps
    }
}

/// What the air does.
#[derive(Clone, Copy, Debug)]
pub struct Loads {
    /// Force in body axes, N.
    pub force: Vec3,
    /// Moment about the center of gravity in body axes, N·m, without what depends on the rate of the angle of attack.
    pub moment: Vec3,
    /// Moment in pitch for each rad/s of angle of attack, N·m·s.
    pub pitch_by_alpha_rate: f64,
    /// Lift coefficient.
    pub lift: f64,
    /// Drag coefficient.
    pub drag: f64,
    /// Angle of attack of the left and of the right half, rad.
    pub alpha_halves: [f64; 2],
}

/// Forces and moments. `thrust_n` is what the propeller pulls: its stream washes wing and tail.
#[must_use]
pub fn loads(
    airframe: &Airframe,
    flow: &Airflow,
    surfaces: &Surfaces,
    attached: [f64; 2],
    thrust_n: f64,
) -> Loads {
    let flap = airframe.flap(surfaces.flap_rad);
    let along = flow.alpha_rad.sin_cos();
    loads_at(airframe, flow, surfaces, attached, thrust_n, &flap, along)
}

/// The same with what the caller knows already: what the flap changes, sine and cosine of the angle of attack.
#[inline]
pub(crate) fn loads_at(
    airframe: &Airframe,
    flow: &Airflow,
    surfaces: &Surfaces,
    attached: [f64; 2],
    thrust_n: f64,
    flap: &Flap,
    (sa, ca): (f64, f64),
) -> Loads {
    let wing = &airframe.wing;
    let pressure = flow.pressure_pa();
    let reach = pressure * wing.area_m2;
    let [p, q, r] = flow.rates;
    let half = 0.5 / flow.tas_mps;
    let (pb, qc, rb) = (
        p * wing.span_m * half,
        q * wing.chord_m * half,
        r * wing.span_m * half,
    );
    let (alpha, beta) = (flow.alpha_rad, flow.beta_rad);
    let stream = airframe.propeller.stream_ratio(thrust_n, flow);
    // Thrust coefficient on wing area; bounded, because standing still it has no meaning.
    let tc = (thrust_n / reach.max(1.0)).clamp(-0.5, 2.0);
    let ground = ground_effect(flow.height_m + wing.height_m, wing.span_m);

    // Each half meets its own angle: the one that goes down meets more.
    let lever = airframe.separation.lever * wing.span_m;
    let by_roll = (p * lever * 2.0 * half).clamp(-0.35, 0.35);
    let alpha_halves = [alpha - by_roll, alpha + by_roll];
    let zero = wing.zero_lift_rad + flap.zero_lift_rad;
    let washed = 1.0 + wing.stream_lift * tc.max(0.0);
    // Attached lift of a half, and what of it is left.
    let lift_of = |half: usize| {
        let angle = alpha_halves[half] - zero;
        let whole = wing.lift_slope * angle.clamp(-1.2, 1.2);
        let kept =
            airframe
                .separation
                .kept(alpha_halves[half], attached[half], flap.separation_rad);
        (whole, kept * whole)
    };
    let ((whole_left, left), (whole_right, right)) = (lift_of(0), lift_of(1));
    let wings = 0.5 * (left + right) * washed * ground.lift;
    let lift = wings + wing.lift_pitch_rate * qc + wing.lift_elevator * surfaces.elevator * stream;
    let apart = 1.0 - 0.5 * (attached[0] + attached[1]);
    let separated = [1.0 - attached[0], 1.0 - attached[1]];
    let drag = wing.drag_zero
        + flap.drag
        + wing.drag_lift * wings * wings * ground.drag
        + wing.drag_separated * apart * (sa * (1.0 / FIFTEEN)).powi(2)
        + wing.drag_sideslip * beta * beta;

    let lateral = &airframe.lateral;
    // Ailerons sit where the flow leaves last but leave it does.
    let grip = 1.0 - lateral.aileron_lost * apart;
    let fin = 0.5 * (1.0 + stream);
    let side = lateral.side_beta * beta
        + lateral.side_yaw_rate * rb
        + lateral.side_rudder * surfaces.rudder * stream;
    // The derivatives hold for attached flow; the halves add only what separation takes from them.
    let (lost_left, lost_right) = (left - whole_left, right - whole_right);
    let roll = lateral.roll_beta * beta
        + lateral.roll_roll_rate * pb
        + lateral.roll_yaw_rate * rb
        + lateral.roll_aileron * surfaces.aileron * grip
        + lateral.roll_rudder * surfaces.rudder * stream
        - 0.5 * airframe.separation.lever * (lost_right - lost_left);
    let yaw = lateral.yaw_beta * beta * fin
        + lateral.yaw_roll_rate * pb
        + lateral.yaw_yaw_rate * rb * fin
        + lateral.yaw_aileron * surfaces.aileron * grip
        + lateral.yaw_rudder * surfaces.rudder * stream
        + lateral.yaw_thrust * tc
        + 0.5 * airframe.separation.lever * wing.drag_separated * (separated[1] - separated[0]);
    let pitch = airframe.pitch.zero
        + flap.pitch
        + airframe.pitch.alpha * alpha
        + airframe.pitch.pitch_rate * qc
        + airframe.pitch.elevator * surfaces.elevator * stream
        + airframe.pitch.separated * apart
        + airframe.pitch.thrust * tc;

    Loads {
        force: [
            reach * (lift * sa - drag * ca),
            reach * side,
            reach * (-lift * ca - drag * sa),
        ],
        moment: [
            reach * wing.span_m * roll,
            reach * wing.chord_m * pitch,
            reach * wing.span_m * yaw,
        ],
        pitch_by_alpha_rate: reach * wing.chord_m * airframe.pitch.alpha_rate * wing.chord_m * half,
        lift,
        drag,
        alpha_halves,
    }
}

/// Sine of 15°: where the file's drag of a separated wing counts; it grows as the plate that the wing then is.
pub(crate) const FIFTEEN: f64 = 0.258_819_045;

struct GroundEffect {
    lift: f64,
    drag: f64,
}

/// Near the ground the induced drag falls: φ = (16 h/b)²/(1 + (16 h/b)²) (McCormick, *Aerodynamics,
/// Aeronautics and Flight Mechanics*, 2nd ed. 1995, eq. 4.50), h the height of the wing; the lift slope rises by a few percent.
#[inline]
fn ground_effect(wing_height_m: f64, span_m: f64) -> GroundEffect {
    if wing_height_m > 2.0 * span_m {
        return GroundEffect {
            lift: 1.0,
            drag: 1.0,
        };
    }
    let x = 16.0 * wing_height_m.max(0.0) / span_m;
    let drag = (x * x / (1.0 + x * x)).max(0.05);
    GroundEffect {
        lift: 1.0 + 0.1 * (1.0 - drag),
        drag,
    }
}
