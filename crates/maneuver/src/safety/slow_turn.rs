//! Turning slowly near the ground: the turn to final that stalls.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};
use air::units::M_PER_FT;
use flight::Origin;

/// A turn is in the pattern or lower below this height above ground, ft: the usual pattern height (FAA-H-8083-3C,
/// chapter 8).
const PATTERN_FT: f64 = 1000.0;
/// Below this it is the flare or the first seconds after lift-off, ft (assumed).
const FLARE_FT: f64 = 50.0;
/// Less bank is no turn, deg (assumed).
const TURN_DEG: f64 = 15.0;
/// Least airspeed in stall speeds at that bank (common practice, no source: 1.3 is flown on final, and a gust or a
/// pull takes the tenth).
const MARGIN: f64 = 1.2;
/// A gust on the gauge is shorter, s.
const HOLD_S: f64 = 1.5;

/// Slower than 1.2 of the stall speed at the bank, VS/√cos φ (FAA-H-8083-25C, chapter 5), in a turn below 1,000 ft.
pub(super) fn find(scene: &Scene) -> Answer {
    let agl = scene.agl()?;
    let bank = scene.bank()?;
    scene.has_measured_airspeed()?;
    let speeds = &scene.aircraft.speeds;
    if speeds.vs0_mps.or(speeds.vs1_mps).is_none() && scene.stall_speed(0, 1.0).is_none() {
        return Err("the aircraft's file gives no stall speed");
    }
    let found = excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
        let (height, height_sigma) = scene.height(agl, index);
        let low = height + height_sigma < PATTERN_FT * M_PER_FT && height > FLARE_FT * M_PER_FT;
        let (angle, angle_sigma) = scene.angle(bank, index);
        let turning = angle.abs() - angle_sigma > TURN_DEG.to_radians();
        if !low || !turning {
            return None;
        }
        // Beyond 75° the formula asks for twice the stall speed: other events tell of that.
        let angle = angle.abs().min(75_f64.to_radians());
        let (stall, stall_sigma) = scene.stall_speed(index, 1.0 / angle.cos())?;
        let (value, sigma) = scene.airspeed(index);
        let limit = MARGIN * stall;
        // d(VS/√cos φ)/dφ = VS/√cos φ · tan φ / 2.
        let by_bank = limit * 0.5 * angle.tan() * angle_sigma;
        let sigma = sigma.hypot(MARGIN * stall_sigma).hypot(by_bank);
        Some(Reading::below(value, sigma, limit))
    });
    let against = Against {
        id: "slow_turn_low",
        unit: "m/s",
        origin: Origin::Measured,
        limit_origin: LimitOrigin::Assumed,
        source: "common practice, no source: 1.2 of the stall speed at that bank",
    };
    Ok(scene.events(&against, found))
}
