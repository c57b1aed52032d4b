//! The start of a spin: one wing stalled more than the other, and the nose swings with it.
//!
//! FAA-H-8083-3C, chapter 5, spins: the airplane is stalled, and yaws and rolls the same way, nose low, the airspeed
//! low and steady; a spiral dive is fast instead. What tells the two apart is that a wing that flies cannot turn the
//! path faster than its greatest lift allows: at a speed V the load is at most (V/VS)², so the rate of turn is at most
//!
//! ψ̇ = g · (V/VS)² · sin φ / (V · cos γ)
//!
//! (the lift's horizontal share over the speed, turning flight in FAA-H-8083-25C, chapter 5). At 1.3 VS of 50 kt that is
//! less than 30° a second even with the wings upright. A nose that goes through 90° in three seconds, slower than
//! that and nose low, is not flown there by a wing that flies.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};
use air::units::G0_MPS2;
use flight::{Origin, Series};

/// The nose's swing is looked at over this time, s.
const SWING_S: f64 = 3.0;
/// Swing within it, deg: see above.
const SWING_DEG: f64 = 90.0;
/// A heading is held to this while the nose swings, deg (assumed: its filter lags).
const HEADING_DEG: f64 = 5.0;
/// The wing dropped at least this far, deg: a stall that is recovered at once stays below (14 CFR 23.203 allowed 60
/// to the turn's side after a turning stall, 15 after one with wings level).
const DROP_DEG: f64 = 45.0;
/// The nose went at least this far down, deg (assumed; a spin of a trainer hangs at 30 to 60).
const NOSE_DEG: f64 = -15.0;
/// Faster than this many stall speeds it is a spiral.
const FAST: f64 = 1.3;

/// The start of a spin. The value is the swing of the nose in three seconds, right positive.
pub(super) fn find(scene: &Scene) -> Answer {
    let flight = scene.flight;
    let bank = scene.bank()?;
    let pitch = scene.pitch()?;
    scene.has_measured_airspeed()?;
    let heading = super::scene::measured(flight.heading.as_ref());
    let heading = heading.ok_or("no heading was recorded")?;
    let speeds = &scene.aircraft.speeds;
    let clean = scene.aircraft.stall_speed_at(0, 1.0);
    let clean = clean.map(|figure| figure.value_mps).or(speeds.vs1_mps);
    let stall = clean.ok_or("the aircraft's file gives no stall speed")?;
    let swing = Swing {
        scene,
        heading,
        bank,
        pitch,
        stall_mps: stall,
        ahead: (SWING_S / flight.clock.step_s).round().clamp(1.0, 1e4) as usize,
    };
    let found = excursions(scene.all(), flight.clock.step_s, 0.0, |index| {
        swing.reading(index)
    });
    let against = Against {
        id: "spin_entry",
        unit: "rad",
        origin: Origin::Derived,
        limit_origin: LimitOrigin::Assumed,
        source: "FAA-H-8083-3C, chapter 5, spins; the numbers are argued from the greatest lift of the wing",
    };
    let mut events = scene.events(&against, found);
    for event in &mut events {
        // A reading stands at the beginning of its three seconds.
        event.at_s += 0.5 * SWING_S;
        event.end_s += SWING_S;
    }
    Ok(events)
}

struct Swing<'a> {
    scene: &'a Scene<'a>,
    heading: &'a Series,
    bank: &'a Series,
    pitch: &'a Series,
    stall_mps: f64,
    ahead: usize,
}

impl Swing<'_> {
    fn reading(&self, index: usize) -> Option<Reading> {
        let end = index + self.ahead;
        let turned = self.heading.at(end) - self.heading.at(index);
        // The dearer questions only where the nose swings at all.
        if turned.is_nan() || turned.abs() < 0.5 * SWING_DEG.to_radians() {
            return None;
        }
        let flight = self.scene.flight;
        let slow = (index..=end).all(|i| {
            let (speed, sigma) = self.scene.airspeed(i);
            speed - sigma < FAST * self.stall_mps
        });
        let signed = |i: usize| self.bank.at(i) * turned.signum();
        let dropped = (index..=end).map(signed).fold(f64::NAN, f64::max);
        // The nose follows the wing: it may still be on its way down.
        let nose = (index..=end + self.ahead)
            .map(|i| self.pitch.at(i))
            .fold(f64::NAN, f64::min);
        if !slow || dropped.is_nan() || dropped < DROP_DEG.to_radians() {
            return None;
        }
        if nose.is_nan() || nose > NOSE_DEG.to_radians() {
            return None;
        }
        let limit = SWING_DEG.to_radians().max(self.by_lift(index, end));
        let sigma = HEADING_DEG.to_radians().hypot(
            self.heading
                .sigma_at(index)
                .hypot(self.heading.sigma_at(end)),
        );
        let known = flight.known.get(end).copied().unwrap_or(false);
        known.then(|| Reading {
            value: turned,
            ..Reading::above(turned.abs(), sigma, limit)
        })
    }

    /// The most that a wing which flies can turn the path, rad.
    fn by_lift(&self, from: usize, to: usize) -> f64 {
        let flight = self.scene.flight;
        let rate = |index: usize| {
            let (ias, _) = self.scene.airspeed(index);
            let tas = flight.tas.as_ref().map_or(ias, |tas| tas.at(index));
            let load = (ias / self.stall_mps).powi(2);
            let steep = self.pitch.at(index).cos().max(0.5);
            G0_MPS2 * load * self.bank.at(index).sin().abs() / (tas.max(5.0) * steep)
        };
        let rates = (from..to).map(rate).filter(|rate| rate.is_finite());
        rates.sum::<f64>() * flight.clock.step_s
    }
}
