//! How much a minimum of airspeed looks like an approach to the stall and a recovery from it.
//!
//! No single sign is asked for, because real breaks are gentle and a recovery at the first cue has none:
//! log-odds of several independent signs are added (stall definition after 14 CFR 23.201; signs after
//! FAA-H-8083-3C, chapter 5, and the fusion table of our own notes). What separates look-alikes is the
//! depth (an approach keeps 1.3 stall speeds), the sharp regain of speed with the nose lowered and power
//! added, and the climb afterwards.

use super::{deg, fpm, ft};
use crate::decode::Evidence;
use crate::features::{Dip, Features};
use flight::{Air, Fit};

/// Log-odds of "stall or recovery at its cue" against every other way to be slow.
#[must_use]
pub fn evidence(features: &Features, dip: &Dip) -> Evidence {
    evidence_of(features, dip, false)
}

/// The same for a stall that was pulled into out of a steep bank: it lets go fast, so that little speed is to be
/// regained; in its place the bank and the load come off.
#[must_use]
pub fn evidence_pulled(features: &Features, dip: &Dip) -> Evidence {
    evidence_of(features, dip, true)
}

fn evidence_of(features: &Features, dip: &Dip, pulled: bool) -> Evidence {
    // An airspeed out of GNSS and wind is known to 2 or 3 kt, and so is a guessed stall speed.
    let derived = matches!(features.fit, Fit::Gnss | Fit::GnssAttitude);
    let spread = if features.scale.told && !derived {
        0.055
    } else {
        0.08
    };
    // Gusts make sharp edges of their own: in rough air those prove less.
    let sharp = if features.air == Air::Rough { 0.5 } else { 1.0 };
    // And they make minima of their own by the dozen, of which one or the other looks like a stall by chance.
    let base = if features.air == Air::Rough {
        -0.5
    } else {
        0.5
    };
    // An approach or a gust is not pulled to the greatest lift in a steep bank: what looks like one in the recovery is
    // there a poor recovery, and hardly another maneuver.
    let as_poor = if pulled { 1.0 / 3.0 } else { 1.0 };
    let mut sum = Evidence::base(base)
        // Depth: the cue comes at about 1.1 stall speeds (14 CFR 23.207: warning at least 5 kt before).
        .within(dip.ratio, 0.0, 1.14, spread)
        .ramp(dip.ratio, 1.22, -1.0, 1.0, 1.5)
        .plus(let_go(features, dip, pulled, sharp))
        // It was slowed on purpose.
        .ramp(dip.decay, 0.001, -1.0, 0.010, 0.5)
        .ramp(dip.before_mps / dip.ias_mps, 1.08, -1.5, 1.35, 0.5)
        // The sink ends within seconds; an approach goes on down.
        .ramp(
            dip.settled_mps,
            -fpm(600.0),
            -3.5 * as_poor,
            -fpm(280.0),
            0.0,
        )
        // It is climbed away from, or at least the sink ends.
        .ramp(
            dip.climb_after_mps,
            fpm(50.0),
            -2.0 * as_poor,
            fpm(400.0),
            0.7,
        );
    sum = if dip.pitch_drop_rad.is_finite() {
        sum.ramp(dip.pitch_drop_rad, deg(2.0), -1.5, deg(10.0), 1.5 * sharp)
    } else {
        sum.ramp(dip.climb_drop_mps, fpm(150.0), -1.5, fpm(900.0), sharp)
    };
    // 0.83 of the greatest lift is the first cue; an approach at 1.3 stall speeds uses 0.6.
    let (low, worst) = if derived || !features.scale.told {
        (0.55, -2.5)
    } else {
        (0.62, -4.0)
    };
    sum =
        sum.ramp(dip.lift_ratio, low, worst, 0.80, 0.3)
            .ramp(dip.lift_ratio, 0.80, 0.0, 0.95, 0.7);
    // A horn that is recorded and silent speaks against it; a horn alone does not make a stall.
    sum = sum.ramp(dip.warning, 0.05, -0.7, 0.5, 1.5);
    sum = sum.ramp(dip.aoa_share, 0.25, -1.0, 0.8, 0.7);
    let rise = dip.power_after - dip.power.min(setup_power(features, dip));
    // A stall is set up with the power: reduced to slow down, then added to enter or to recover. Where it
    // stays the same, a gust or a climb at the ceiling was the cause; where it comes by halves, an approach.
    sum = sum
        .ramp(rise, 0.05, -6.0 * as_poor, 0.60, 0.0)
        .ramp(rise, 0.60, 0.0, 0.80, 0.7);
    if rise.is_nan() {
        // The same by energy; in rough air the gusts' energy hides it.
        let gain = (dip.energy_after_mps - setup_energy(features, dip).min(dip.energy_mps))
            / features.scale.k;
        let worst = if features.air == Air::Rough {
            -1.5
        } else {
            -4.0
        };
        sum = sum.ramp(gain, fpm(150.0), worst, fpm(550.0), 0.0).ramp(
            gain,
            fpm(550.0),
            0.0,
            fpm(1000.0),
            1.0,
        );
        // With full power the energy stops falling within seconds; on an approach it goes on.
        let after = dip.energy_after_mps / features.scale.k;
        sum = sum.ramp(after, -fpm(550.0), 1.3 * worst, -fpm(150.0), 0.0);
    }
    // Near the ground it is a landing or a takeoff, and no stall that anyone would train (ACS: completed
    // at or above 1,500 ft above the ground).
    sum.ramp(
        features.at(&features.agl, dip.at_s),
        ft(400.0),
        -6.0,
        ft(1000.0),
        0.0,
    )
}

/// What shows that the wing was let fly again.
fn let_go(features: &Features, dip: &Dip, pulled: bool, sharp: f64) -> f64 {
    let speed = Evidence::base(0.0)
        // Speed comes back quickly: 3 to 15 %/s after a stall, hardly 1.4 when levelling off.
        .ramp(dip.recovery_rate, 0.012, -3.0, 0.032, 1.5 * sharp)
        .ramp(dip.regained, 0.10, -3.0, 0.25, 1.5 * sharp)
        .total();
    if !pulled {
        return speed;
    }
    let before = features.window(dip.at_s - 6.0, dip.at_s + 1.0);
    let after = features.window(dip.at_s + 4.0, dip.at_s + 9.0);
    let rolled_out = before.percentile(&features.bank, 0.75, f64::abs)
        - after.percentile(&features.bank, 0.5, f64::abs);
    let unloaded = dip.load
        - features
            .window(dip.at_s, dip.at_s + 6.0)
            .min(&features.load);
    let off = Evidence::base(0.0)
        .ramp(rolled_out, deg(8.0), -3.0, deg(28.0), 1.5)
        .ramp(unloaded, 0.15, -1.5, 0.45, 1.0)
        .total();
    speed.max(off)
}

/// Log-odds against a stall whose setup holds a turn each way: those are the clearing turns before it.
#[must_use]
pub fn reversal(features: &Features, start_s: f64, dip: &Dip) -> f64 {
    let inside = features.turns_in(start_s - 3.0, dip.at_s);
    let (mut left, mut right) = (false, false);
    for turn in inside
        .iter()
        .filter(|t| t.end_s < dip.at_s + 6.0 && t.turned_rad.abs() > deg(60.0))
    {
        right |= turn.right();
        left |= !turn.right();
    }
    if left && right { -8.0 } else { 0.0 }
}

/// Log-odds against a power-on entry whose power was never back: gusts and a climb at the ceiling stall a
/// wing too, but nobody set that up.
#[must_use]
pub fn power_never_back(features: &Features, dip: &Dip) -> f64 {
    let added = dip.power - setup_power(features, dip);
    Evidence::base(0.0)
        .ramp(added, 0.08, -6.0, 0.20, 0.0)
        .total()
}

/// Power while slowing down, before anything was added for a power-on entry.
fn setup_power(features: &Features, dip: &Dip) -> f64 {
    least_mean(features, dip, |w| w.mean_power())
}
fn setup_energy(features: &Features, dip: &Dip) -> f64 {
    least_mean(features, dip, |w| w.mean_energy_rate())
}

fn least_mean(
    features: &Features,
    dip: &Dip,
    mean: impl Fn(&crate::features::Window<'_>) -> f64,
) -> f64 {
    let first = (dip.at_s - 45.0).max(0.0);
    let mut least = f64::NAN;
    let mut t = first;
    while t + 6.0 <= dip.at_s {
        least = least.min(mean(&features.window(t, t + 6.0)));
        t += 2.0;
    }
    least
}

/// Log-odds of power on against power off at the entry.
#[must_use]
pub fn power_on(features: &Features, dip: &Dip) -> f64 {
    let k = features.scale.k;
    // "Power on" is at least 65 % (ACS), "off" is idle: the middle is where neither is flown.
    let by_engine = ((dip.power - 0.40) * 12.0).clamp(-4.0, 4.0);
    // Without engine figures the energy balance tells: at idle it falls by the whole sink.
    // Gusts blur it, and where the airspeed is worked out from the groundspeed the wind's gusts do once more.
    let blur = match features.air {
        Air::Calm => 110.0,
        Air::Light => 140.0,
        Air::Rough => 240.0,
    };
    // Out of slow flight either is entered level, and within seconds: what was held before still has its power.
    let before = features.window(dip.at_s - 32.0, dip.at_s - 12.0);
    let out_of_slow = before.max(&features.ias) < 1.35 * features.scale.vs1_mps;
    let energy = if out_of_slow {
        let last = features.window(dip.at_s - 5.0, dip.at_s - 1.0);
        last.mean_energy_rate().min(dip.energy_best_mps)
    } else {
        dip.energy_best_mps
    };
    let by_energy = ((energy / k - fpm(-350.0)) / fpm(blur)).clamp(-4.0, 4.0);
    let by_climb = ((dip.climb_mps / k - fpm(60.0)) / fpm(300.0)).clamp(-1.0, 1.0);
    // Under power the nose must go higher for the speed to fall.
    let by_pitch = ((dip.pitch_rad - deg(15.0)) / deg(2.5)).clamp(-1.5, 1.5);
    // Power off is flown out of a stabilized descent, power on out of a level deceleration.
    let mut by_approach = ((dip.approach_mps / k - fpm(-230.0)) / fpm(120.0)).clamp(-1.5, 1.0);
    if out_of_slow {
        by_approach = by_approach.min(0.0);
    }
    let sum = known(by_energy) + known(by_climb) + known(by_pitch) + known(by_approach);
    if by_engine.is_finite() {
        by_engine + 0.3 * sum
    } else {
        sum
    }
}

fn known(x: f64) -> f64 {
    if x.is_nan() { 0.0 } else { x }
}

/// Log-odds of a banked, pulled entry against a straight or gently turning one.
#[must_use]
pub fn accelerated(features: &Features, dip: &Dip) -> f64 {
    // Turning stalls are flown at up to 20° of bank and wander to 35 when flown badly; accelerated ones at
    // about 45, held for a few seconds (FAA-S-ACS-7B CA.VII.D).
    // A bank out of GNSS turn rate is smeared by some five degrees over so short a roll.
    let middle = if features.fit == Fit::Gnss {
        32.0
    } else {
        37.0
    };
    let (bank, load, _) = pull(features, dip);
    let by_bank = ((bank - deg(middle)) / deg(2.5)).clamp(-4.0, 3.0);
    let by_turn = ((dip.turned_rad - deg(60.0)) / deg(20.0)).clamp(-1.0, 1.0);
    // Out of level flight with the power back, not out of a descent and not under power.
    let by_approach =
        ((dip.approach_mps / features.scale.k - fpm(-220.0)) / fpm(130.0)).clamp(-1.0, 0.5);
    let by_power = -0.6 * known(power_on(features, dip)).max(0.0);
    // A turning stall at 20 to 30° carries up to 1.15 g, one at 45° 1.4.
    let by_load = ((load - 1.22) / 0.08).clamp(-1.0, 1.0);
    by_bank + known(by_turn) + known(by_approach) + by_power + known(by_load)
}

/// Log-odds against a stall of its own at a minimum that a pull to the stall in a steep bank led to: the least speed comes
/// in the roll-out, or in a second stall.
#[must_use]
pub fn after_a_pull(features: &Features, dip: &Dip) -> f64 {
    let pulls = features.pulls_in(dip.at_s - AFTER_PULL_S, dip.at_s + BEFORE_PULL_S);
    let pulled = pulls
        .iter()
        .filter(|pull| accelerated(features, pull) > 0.0)
        .map(|pull| evidence_pulled(features, pull).total())
        .fold(0.0, f64::max);
    -pulled.min(6.0)
}

/// The least speed of a stall that was pulled comes at most so long after the pull, s; and a roll-in may cost more speed
/// than the pull, so long before.
pub const AFTER_PULL_S: f64 = 20.0;
/// See [`AFTER_PULL_S`].
pub const BEFORE_PULL_S: f64 = 6.0;

/// Bank and load with which it was pulled, and when: before the least speed, or right after it where the nose fell in the
/// roll-in and the speed came back before the pull.
fn pull(features: &Features, dip: &Dip) -> (f64, f64, f64) {
    let mut at = (dip.bank_rad, dip.load, dip.at_s);
    let mut t = dip.at_s;
    while t < dip.at_s + 6.0 {
        let moment = features.window(t, t + 2.0);
        let load = moment.mean(&features.load);
        let bank = moment.mean_bank().abs();
        // Banked and pulled at once, with nothing let go before: after a break it is the recovery that is pulled.
        let whole = features.window(dip.at_s - 2.0, t + 1.0).min(&features.load) > 0.9;
        // At 45° of bank a wing lets go at 1.19 stall speeds.
        let fast = moment.mean_ias() > 1.14 * features.scale.vs1_mps;
        // A bank that was chosen is held; a wing that dropped passes through it.
        let widest =
            features
                .window(dip.at_s - 1.0, t + 2.0)
                .percentile(&features.bank, 1.0, f64::abs);
        let held = widest < bank + deg(12.0);
        if whole && fast && held && load > at.1.max(1.2) && bank > deg(30.0) {
            at = (bank.max(at.0), load, t + 2.0);
        }
        t += 0.5;
    }
    at
}

/// Log-odds of a zoom from speed (nose-high upset, pull-up) against an approach to the stall.
#[must_use]
pub fn zoom(features: &Features, dip: &Dip) -> f64 {
    let vs = features.scale.vs1_mps;
    let fast_s = 17.0;
    let recent = features
        .window(dip.at_s - fast_s, dip.at_s)
        .max(&features.ias)
        / vs;
    let fast = ((recent - 1.45) / 0.12).clamp(-3.0, 2.0);
    let climb = ((dip.zoom_mps / features.scale.k - fpm(1100.0)) / fpm(250.0)).clamp(-3.0, 2.0);
    // The nose of an upset is well above any approach to a power-off stall (18° and more against 8 to 15).
    let nose = ((dip.pitch_rad - deg(14.0)) / deg(3.0)).clamp(-3.0, 2.0);
    let zoom = fast.min(climb);
    if nose.is_nan() { zoom } else { zoom.min(nose) }
}

/// End of a stall: a few seconds into the climb, or when speed is back and no climb follows.
#[must_use]
pub fn end_after(features: &Features, dip: &Dip) -> f64 {
    let vy = features.scale.vy_mps;
    let fast = features.window(dip.at_s, dip.at_s + 75.0);
    let vy_s = fast
        .slice(&features.ias)
        .iter()
        .position(|v| *v >= vy)
        .map_or(f64::NAN, |i| features.time_s(fast.from + i));
    // It may be flown level to a higher speed before it climbs, but not turned to another heading first.
    let turned = vy_s < dip.climbing_s
        && features.turns_in(vy_s, dip.climbing_s).iter().any(|turn| {
            let middle_s = 0.5 * (turn.start_s + turn.end_s);
            turn.turned_rad.abs() > deg(45.0) && middle_s < dip.climbing_s
        });
    let end = if dip.climbing_s.is_nan() || turned {
        let back = if vy_s.is_nan() { dip.at_s + 15.0 } else { vy_s };
        back.min(dip.at_s + 30.0) + 4.0
    } else {
        dip.climbing_s + 9.0
    };
    // The flaps come up last.
    let up = features.last_retraction_s(dip.at_s, end + 6.0);
    // A chain of attempts: the next one begins where the speed falls again toward the stall.
    let later = features.dips_in(dip.at_s + 0.1, dip.at_s + 150.0);
    let next = later.iter().find(|d| d.ratio < 1.25);
    let chained = next.map_or(f64::INFINITY, |d| d.before_s.max(dip.at_s + 8.0));
    // Whatever else is missing, a turn through half a circle is a thing of its own.
    let turns = features.turns_in(dip.at_s + 6.0, end + 60.0);
    let own = turns
        .iter()
        .find(|turn| turn.start_s > dip.at_s + 6.0 && turn.turned_rad.abs() > deg(150.0));
    let turn_s = own.map_or(f64::INFINITY, |turn| turn.start_s);
    end.max(up + 6.0)
        .min(chained)
        .min(turn_s)
        .min(features.end_s())
}

/// Direction by what was flown into the stall: banked steadily, or wings level.
#[must_use]
pub fn direction(features: &Features, dip: &Dip) -> crate::Direction {
    let entry = features.window(dip.at_s - 11.0, dip.at_s - 1.0);
    let bank = entry.percentile(&features.bank, 0.5, |b| b);
    if bank.abs() < deg(8.0) || bank.is_nan() {
        crate::Direction::Straight
    } else {
        super::side(bank)
    }
}
