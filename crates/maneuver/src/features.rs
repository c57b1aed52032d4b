//! What the decoder looks at: the flight on an even two-a-second grid, the aircraft's own scale of speed,
//! turn blocks and speed minima, and the sums that make any span cheap to ask about.
//!
//! Everything is SI. A channel that the recorder did not carry stays absent (or NaN), and every question
//! about it answers NaN, which the evidence then leaves out.

mod dips;
mod grid;
mod ground;
mod pulls;
mod scale;
mod smooth;
mod sums;
mod turns;
mod wind;

pub use dips::Dip;
pub use ground::{Contact, ContactKind};
pub use scale::Scale;
pub use sums::Window;
pub use turns::Turn;

use crate::features::grid::Grid;
use aircraft::Aircraft;
use flight::{Fit, Flight, PowerState};
use sums::Sums;

/// Samples of the decoder's grid are this far apart, s. Twice the slowest recorders' rate: boundaries are
/// then limited by the recording and not by the grid.
pub const STEP_S: f64 = 0.5;

/// The flight as the decoder sees it.
#[derive(Clone, Debug)]
pub struct Features {
    /// Number of samples, `STEP_S` apart, the first at 0 s.
    pub len: usize,
    /// `false` in holes of the recording that are too long to bridge.
    pub known: Vec<bool>,
    /// Airspeed in the aircraft's indicated frame, m/s, gusts of about a second removed.
    pub ias: Vec<f64>,
    /// True airspeed, m/s (indicated where the true one is not known).
    pub tas: Vec<f64>,
    /// Rate of change of `ias`, m/s².
    pub ias_rate: Vec<f64>,
    /// Altitude, m.
    pub altitude: Vec<f64>,
    /// Climb rate, m/s.
    pub climb: Vec<f64>,
    /// Bank, right positive, rad.
    pub bank: Vec<f64>,
    /// Pitch, rad; NaN without attitude.
    pub pitch: Vec<f64>,
    /// Direction through the air, unwrapped, rad.
    pub heading: Vec<f64>,
    /// Load factor, g; NaN where unknown.
    pub load: Vec<f64>,
    /// Share of the greatest lift in use (1 = stall), by the flight's own estimate; NaN where unknown.
    pub lift_ratio: Vec<f64>,
    /// Angle of attack, rad; NaN where unknown.
    pub aoa: Vec<f64>,
    /// Rate of change of specific energy, m/s.
    pub energy_rate: Vec<f64>,
    /// Power, 0 (closed) to 1 (all there is); NaN where neither engine figures nor the flight's power state tell.
    pub power: Vec<f64>,
    /// Stall warning, 0 to 1; NaN where not recorded.
    pub warning: Vec<f64>,
    /// Chance that the flaps are out, 0 to 1; NaN where unknown.
    pub flaps_out: Vec<f64>,
    /// Height above the ground, m; NaN where unknown.
    pub agl: Vec<f64>,
    /// Ground speed, m/s; NaN where unknown.
    pub ground_speed: Vec<f64>,
    /// East and north of the origin, m; NaN where unknown.
    pub east: Vec<f64>,
    /// North of the origin, m.
    pub north: Vec<f64>,
    /// Wheels on the ground.
    pub on_ground: Vec<bool>,
    /// The aircraft's speeds and the scale of vertical speeds.
    pub scale: Scale,
    /// How rough the air was for this aircraft: see [`flight::Flight::air`], but at least rough where the gusts
    /// are more than a share of its stall speed.
    pub air: flight::Air,
    /// What the recorder carried.
    pub fit: Fit,
    /// Blocks of turning one way.
    pub turns: Vec<Turn>,
    /// Local minima of airspeed that could be stalls.
    pub dips: Vec<Dip>,
    /// Pulls to the greatest lift in a bank, described as a minimum of airspeed is: what an accelerated stall is.
    pub pulls: Vec<Dip>,
    /// Takeoffs, landings and low passes.
    pub contacts: Vec<Contact>,
    /// Moments at which flaps came up, as far as the flight is sure of them, s.
    pub retractions_s: Vec<f64>,
    sums: Sums,
}

impl Features {
    /// Builds the features of a flight. Never fails: what is missing is NaN and proposes nothing.
    #[must_use]
    pub fn new(flight: &Flight, aircraft: &Aircraft) -> Features {
        let grid = Grid::of(flight);
        let known = grid.known(flight);
        let altitude = grid.series(flight.altitude.as_ref().or(flight.height.as_ref()));
        let ground_speed = smooth::gaussian(&grid.series(flight.ground_speed.as_ref()), 0.7);
        let Air {
            ias,
            tas,
            heading,
            by_ground,
        } = Air::of(flight, &grid, &altitude, &ground_speed);
        let climb = smooth::gaussian(
            &flight.climb.as_ref().map_or_else(
                || smooth::rate(&smooth::gaussian(&altitude, 1.5), 2),
                |series| grid.series(Some(series)),
            ),
            1.0,
        );
        let energy_rate = smooth::gaussian(
            &flight
                .excess_power
                .as_ref()
                .filter(|_| !by_ground)
                .map_or_else(
                    || energy_rate(&tas, &climb),
                    |series| grid.series(Some(series)),
                ),
            1.5,
        );
        let heading = heading.unwrap_or_else(|| direction(flight, &grid, &tas, by_ground));
        let bank_known = flight
            .bank
            .as_ref()
            .filter(|_| !(by_ground && flight.fit == Fit::Gnss));
        let bank = smooth::gaussian(
            &bank_known.map_or_else(
                || coordinated_bank(&tas, &heading),
                |series| grid.series(Some(series)),
            ),
            0.7,
        );
        let on_ground = grid.flags(&flight.on_ground);
        let agl = grid.series(flight.agl.as_ref());
        let rolling = ground::rolling(&altitude, &climb, &ias, &on_ground);
        let scale = Scale::of(&ias, &rolling, &known, aircraft);
        let mut features = Features {
            len: grid.len,
            ias_rate: smooth::rate(&ias, 3),
            pitch: smooth::gaussian(&grid.series(flight.pitch.as_ref()), 0.5),
            load: smooth::gaussian(&grid.series(flight.load.as_ref()), 0.5),
            lift_ratio: smooth::gaussian(&grid.series(flight.lift_ratio.as_ref()), 0.7),
            aoa: smooth::gaussian(&grid.series(flight.aoa.as_ref()), 0.7),
            power: power(flight, &grid),
            warning: grid.series(flight.stall_warning.as_ref()),
            flaps_out: flight
                .flaps
                .as_ref()
                .map_or_else(|| vec![f64::NAN; grid.len], |flaps| grid.floats(&flaps.out)),
            ground_speed,
            east: grid.series(flight.east.as_ref()),
            north: grid.series(flight.north.as_ref()),
            air: roughness(flight, scale.vs1_mps),
            fit: flight.fit,
            turns: Vec::new(),
            dips: Vec::new(),
            pulls: Vec::new(),
            contacts: Vec::new(),
            retractions_s: retractions(flight),
            sums: Sums::default(),
            known,
            ias,
            tas,
            altitude,
            climb,
            bank,
            heading,
            energy_rate,
            agl,
            on_ground,
            scale,
        };
        features.sums = Sums::of(&features);
        features.turns = turns::find(&features);
        features.contacts = ground::find(&features);
        features.dips = dips::find(&features);
        features.pulls = pulls::find(&features);
        features
    }

    /// Time of a sample, s.
    #[must_use]
    pub fn time_s(&self, index: usize) -> f64 {
        index as f64 * STEP_S
    }

    /// Nearest sample to a time, clamped.
    #[must_use]
    pub fn index(&self, time_s: f64) -> usize {
        if time_s.is_nan() || time_s <= 0.0 {
            return 0;
        }
        ((time_s / STEP_S).round() as usize).min(self.len.saturating_sub(1))
    }

    /// A span to ask about, by times in seconds; clamped to the flight.
    #[must_use]
    pub fn window(&self, start_s: f64, end_s: f64) -> Window<'_> {
        let from = self.index(start_s);
        Window::new(self, from, self.index(end_s).max(from))
    }

    /// Value of one of the series at a time, NaN outside the flight.
    #[must_use]
    pub fn at(&self, series: &[f64], time_s: f64) -> f64 {
        if time_s < -STEP_S || time_s > self.len as f64 * STEP_S {
            return f64::NAN;
        }
        series.get(self.index(time_s)).copied().unwrap_or(f64::NAN)
    }

    /// Turns that begin in a stretch, in order. The stretch bounds the work: a day's recording must not cost
    /// the square of it.
    #[must_use]
    pub fn turns_in(&self, from_s: f64, to_s: f64) -> &[Turn] {
        let first = self.turns.partition_point(|turn| turn.start_s < from_s);
        let last = self.turns.partition_point(|turn| turn.start_s < to_s);
        self.turns.get(first..last.max(first)).unwrap_or(&[])
    }

    /// Speed minima in a stretch, in order.
    #[must_use]
    pub fn dips_in(&self, from_s: f64, to_s: f64) -> &[Dip] {
        let first = self.dips.partition_point(|dip| dip.at_s < from_s);
        let last = self.dips.partition_point(|dip| dip.at_s < to_s);
        self.dips.get(first..last.max(first)).unwrap_or(&[])
    }

    /// Pulls in a bank in a stretch, in order.
    #[must_use]
    pub fn pulls_in(&self, from_s: f64, to_s: f64) -> &[Dip] {
        let first = self.pulls.partition_point(|pull| pull.at_s < from_s);
        let last = self.pulls.partition_point(|pull| pull.at_s < to_s);
        self.pulls.get(first..last.max(first)).unwrap_or(&[])
    }

    /// Last flap retraction between two times; `from_s` itself when there is none.
    #[must_use]
    pub fn last_retraction_s(&self, from_s: f64, to_s: f64) -> f64 {
        let inside = self
            .retractions_s
            .iter()
            .filter(|t| **t > from_s && **t <= to_s);
        inside.fold(from_s, |last, t| last.max(*t))
    }

    /// End of the flight, s.
    #[must_use]
    pub fn end_s(&self) -> f64 {
        self.len.saturating_sub(1) as f64 * STEP_S
    }

    pub(crate) fn sums(&self) -> &Sums {
        &self.sums
    }
}

/// Gusts of this share of the stall speed are rough: what is rough (1.1 m/s) for a stall speed of 48 kt. The
/// same gust changes the airspeed and the lift of a slower aircraft by more.
const ROUGH_SHARE: f64 = 0.045;

fn roughness(flight: &Flight, vs1_mps: f64) -> flight::Air {
    if flight.gust_mps > ROUGH_SHARE * vs1_mps {
        flight::Air::Rough
    } else {
        flight.air
    }
}

/// Retractions that are recorded or nearly sure (0.8: the confidence from which inferred steps are right
/// nine times in ten).
fn retractions(flight: &Flight) -> Vec<f64> {
    let Some(flaps) = &flight.flaps else {
        return Vec::new();
    };
    let up = flaps
        .steps
        .iter()
        .filter(|step| step.to_rad < step.from_rad && step.probability >= 0.8);
    up.map(|step| step.at_s).collect()
}

/// Motion through the air.
struct Air {
    ias: Vec<f64>,
    tas: Vec<f64>,
    /// Direction, where it comes with the wind.
    heading: Option<Vec<f64>>,
    /// The flight itself has no airspeed that can be one.
    by_ground: bool,
}

impl Air {
    fn of(flight: &Flight, grid: &Grid, altitude: &[f64], ground_speed: &[f64]) -> Air {
        let recorded = grid.series(flight.ias.as_ref().or(flight.tas.as_ref()));
        if plausible(&recorded, &grid.flags(&flight.on_ground)) {
            let ias = smooth::gaussian(&recorded, 1.0);
            let tas = smooth::gaussian(&grid.series(flight.tas.as_ref()), 1.0);
            let tas = smooth::fill_from(&tas, &ias);
            return Air {
                ias,
                tas,
                heading: None,
                by_ground: false,
            };
        }
        let track = grid.series(flight.track.as_ref());
        let Some(found) = wind::by_turns(ground_speed, &track, altitude) else {
            // Ground speed is a poor airspeed, but turns and ground contacts can still be told by it: better
            // than none, and better than one out of a wind that cannot be.
            let ias = smooth::gaussian(ground_speed, 1.0);
            return Air {
                tas: ias.clone(),
                ias,
                heading: None,
                by_ground: true,
            };
        };
        let ias = smooth::gaussian(&indicated(&found.tas, altitude), 1.0);
        let tas = smooth::fill_from(&smooth::gaussian(&found.tas, 1.0), &ias);
        // A recorded heading is better than one out of a wind.
        let heading = (flight.fit == Fit::Gnss).then_some(found.heading);
        Air {
            ias,
            tas,
            heading,
            by_ground: true,
        }
    }
}

/// Indicated airspeed of a true one by the standard atmosphere's density at that altitude.
fn indicated(tas: &[f64], altitude: &[f64]) -> Vec<f64> {
    let root = |h: f64| {
        let pressure = air::atmosphere::pressure_pa(h);
        let density =
            air::atmosphere::density_kgpm3(pressure, air::atmosphere::standard_temperature_k(h));
        (density / 1.225).sqrt()
    };
    tas.iter()
        .zip(altitude)
        .map(|(v, h)| if h.is_finite() { v * root(*h) } else { *v })
        .collect()
}

/// Whether an airspeed can be one: no light airplane flies at a third of its ordinary speed (stall speeds are
/// 0.4 of cruise and more), so an airspeed that does comes out of a wrong wind.
fn plausible(ias: &[f64], on_ground: &[bool]) -> bool {
    let mut flown: Vec<f64> = ias
        .iter()
        .zip(on_ground)
        .filter(|(v, g)| v.is_finite() && !**g)
        .map(|(v, _)| *v)
        .collect();
    let fast = smooth::percentile_of(&mut flown, 0.85);
    flown.retain(|v| *v > 5.0 || fast < 25.0);
    let slow = smooth::percentile_of(&mut flown, 0.04);
    slow > 0.35 * fast
}

/// d(h + V²/2g)/dt, m/s, where the flight does not say.
fn energy_rate(tas: &[f64], climb: &[f64]) -> Vec<f64> {
    let rate = smooth::rate(tas, 3);
    tas.iter()
        .zip(climb)
        .zip(&rate)
        .map(|((v, c), a)| c + v * a / air::units::G0_MPS2)
        .collect()
}

/// Direction through the air: the wind-free track first, because it needs no compass; then the heading;
/// then turn rate or bank added up; the ground track last.
fn direction(flight: &Flight, grid: &Grid, tas: &[f64], by_ground: bool) -> Vec<f64> {
    // Where attitude is recorded the heading leads: it has no lag and does not depend on the wind estimate.
    let recorded = match flight.fit {
        Fit::Gnss if by_ground => [flight.track.as_ref(), None, None],
        Fit::Gnss => [
            flight.air_track.as_ref(),
            flight.heading.as_ref(),
            flight.track.as_ref(),
        ],
        _ => [
            flight.heading.as_ref(),
            flight.air_track.as_ref(),
            flight.track.as_ref(),
        ],
    };
    for series in recorded.into_iter().flatten() {
        let values = grid.series(Some(series));
        if values.iter().filter(|v| v.is_finite()).count() * 2 > values.len() {
            return values;
        }
    }
    let rate = flight.turn_rate.as_ref().map_or_else(
        || {
            let bank = grid.series(flight.bank.as_ref());
            bank.iter()
                .zip(tas)
                .map(|(b, v)| air::units::G0_MPS2 * b.tan() / v.max(10.0))
                .collect::<Vec<f64>>()
        },
        |series| grid.series(Some(series)),
    );
    let mut sum = 0.0;
    rate.iter()
        .map(|r| {
            if r.is_finite() {
                sum += r * STEP_S;
            }
            sum
        })
        .collect()
}

/// tan φ = V·χ̇/g of a coordinated turn (FAA-H-8083-25, chapter 5, rate of turn).
fn coordinated_bank(tas: &[f64], heading: &[f64]) -> Vec<f64> {
    let rate = smooth::rate(&smooth::gaussian(heading, 1.0), 2);
    tas.iter()
        .zip(&rate)
        .map(|(v, r)| (v * r / air::units::G0_MPS2).atan())
        .collect()
}

/// Power as one number per sample: the share if the flight has it, else the engine speed within its own
/// range, else what the power state says, else unknown.
fn power(flight: &Flight, grid: &Grid) -> Vec<f64> {
    let share = grid.series(flight.power.as_ref());
    if share.iter().any(|p| p.is_finite()) {
        return smooth::gaussian(&share, 0.7);
    }
    let speed = grid.series(flight.engine_speed.as_ref());
    if speed.iter().any(|p| p.is_finite()) {
        let (low, high) = (
            smooth::percentile(&speed, 0.02),
            smooth::percentile(&speed, 0.98),
        );
        if high - low > 0.2 * high {
            let scaled: Vec<f64> = speed
                .iter()
                .map(|r| ((r - low) / (high - low)).clamp(0.0, 1.0))
                .collect();
            return smooth::gaussian(&scaled, 0.7);
        }
    }
    let states: Vec<f32> = flight
        .power_state
        .iter()
        .map(|state| match state {
            PowerState::Idle => 0.0,
            PowerState::Partial => 0.5,
            PowerState::Full => 1.0,
            PowerState::Unknown => f32::NAN,
        })
        .collect();
    smooth::gaussian(&grid.floats(&states), 0.7)
}
