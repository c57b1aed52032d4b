//! Stall speeds, best speeds and what goes with them, as flown beside what the aircraft file has.

use crate::model::{DayFit, FORM, MIDDLE};
use crate::regress::Belief;
use crate::samples::{PIECE_S, Piece};
use crate::stall::Flown;
use air::units::MPS_PER_KT;
use aircraft::Aircraft;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

/// Recorded share below which power counts as idle.
pub(crate) const IDLE: f64 = 0.06;
/// And above which as full.
pub(crate) const FULL: f64 = 0.92;

/// What kind of figure a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// An airspeed, m/s.
    Airspeed,
    /// A climb rate, m/s.
    ClimbRate,
    /// A plain ratio.
    Ratio,
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Speed {
    /// Stable id: `stall_0` (degrees of flap), `stall_power_on`, `vy`, `vx`, `climb_rate`, `best_glide`, `glide_ratio`.
    pub id: String,
    /// For people.
    pub name: String,
    /// What it is.
    pub measure: Measure,
    /// Calibrated airspeed and 1-σ, m/s; none where the row is no airspeed or has no value.
    pub cas: Option<(f64, f64)>,
    /// As flown and 1-σ: indicated airspeed, climb rate, ratio. None where the data do not show it.
    pub flown: Option<(f64, f64)>,
    /// What the aircraft file has, brought to the mass of the day: indicated, m/s.
    pub file: Option<f64>,
    /// Why there is no value, in words.
    pub reason: Option<String>,
}

/// Draws from what is believed.
const DRAWS: usize = 400;
/// Least time at a setting, s.
const LEAST_S: f64 = 30.0;
/// The indicator's own steady error, m/s, as the flight reckons with it: of every speed that is read off it.
const INDICATOR_MPS: f64 = 0.4;
/// A figure is the flight's own where it left at most so much of the 1-σ that was believed before: then half of what is known of it, or more,
/// came from the flight (variances of independent sources).
const LEARNED: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Widest 1-σ of a best speed that is worth a row, m/s.
const WIDEST_MPS: f64 = 5.0 * MPS_PER_KT;

/// All rows.
pub(crate) fn rows(
    fit: &DayFit,
    before: &Belief,
    aircraft: &Aircraft,
    pieces: &[Piece],
    stalls: &[Flown],
) -> Vec<Speed> {
    let mut out = stall_rows(fit, aircraft, stalls);
    out.extend(best_rows(fit, before, aircraft, pieces));
    out
}

/// An indicated speed of the file, brought to the mass of the day.
fn of_file(aircraft: &Aircraft, indicated: Option<f64>) -> Option<f64> {
    let cas = aircraft.calibrated_mps(indicated?, 0.0) * aircraft.mass_ratio().sqrt();
    Some(aircraft.indicated_mps(cas, 0.0))
}

fn stall_rows(fit: &DayFit, aircraft: &Aircraft, stalls: &[Flown]) -> Vec<Speed> {
    let mut out = Vec::new();
    for (detent, angle) in fit.detents_rad.iter().enumerate() {
        let count = stalls
            .iter()
            .filter(|one| one.power_off && one.detent == detent)
            .count();
        let degrees = angle.to_degrees().round();
        let name = if detent == 0 {
            "Stall, power off, flaps up".to_owned()
        } else {
            format!("Stall, power off, flaps {degrees:.0}°")
        };
        let file = aircraft
            .stall_speed_at(detent, 1.0)
            .map(|figure| figure.value_mps);
        let (cas, flown, reason) = if count > 0 {
            let (cas, sigma) = fit.stall_cas_mps(*angle);
            let indicated = aircraft.indicated_mps(cas, *angle);
            (Some((cas, sigma)), Some((indicated, sigma)), None)
        } else {
            (
                None,
                None,
                Some("no power-off stall past the break was flown in this setting".to_owned()),
            )
        };
        out.push(Speed {
            id: format!("stall_{degrees:.0}"),
            name,
            measure: Measure::Airspeed,
            cas,
            flown,
            file,
            reason,
        });
    }
    let on: Vec<&Flown> = stalls
        .iter()
        .filter(|one| !one.power_off && one.detent == 0)
        .collect();
    if !on.is_empty() {
        let mean = on.iter().map(|one| one.cas_mps).sum::<f64>() / on.len() as f64;
        let own = on
            .iter()
            .map(|one| one.sigma_mps.powi(2))
            .sum::<f64>()
            .sqrt()
            / on.len() as f64;
        let sigma = own.hypot(0.4);
        out.push(Speed {
            id: "stall_power_on".to_owned(),
            name: "Stall, power on, flaps up".to_owned(),
            measure: Measure::Airspeed,
            cas: Some((mean, sigma)),
            flown: Some((aircraft.indicated_mps(mean, 0.0), sigma)),
            file: None,
            reason: None,
        });
    }
    out
}

/// What a flight at one power setting, flaps up, says of an optimum. Only speeds that were held count: what was only passed through
/// in an acceleration is in the fit, but is no climb or glide to find a best speed from.
struct Setting {
    seconds: f64,
    slowest: f64,
    fastest: f64,
}

impl Setting {
    fn of(pieces: &[Piece], which: impl Fn(&Piece) -> bool) -> Setting {
        let mut speeds: Vec<f64> = pieces
            .iter()
            .filter(|p| p.detent == 0 && p.held && which(p))
            .map(|p| p.u)
            .collect();
        speeds.sort_by(f64::total_cmp);
        let at = |share: f64| {
            speeds
                .get(((speeds.len() as f64 - 1.0).max(0.0) * share).round() as usize)
                .copied()
        };
        Setting {
            seconds: speeds.len() as f64 * PIECE_S,
            slowest: at(0.05).unwrap_or(f64::NAN),
            fastest: at(0.95).unwrap_or(f64::NAN),
        }
    }

    /// Why the optimum at `u` is not shown, if so.
    fn objection(&self, what: &str, best: &Best, scale_mps: f64) -> Option<String> {
        if self.seconds < LEAST_S {
            return Some(if self.seconds > 0.0 {
                format!("only {:.0} s of steady {what} were flown", self.seconds)
            } else {
                format!("no steady {what} was flown")
            });
        }
        let kt = |u: f64| u * scale_mps / MPS_PER_KT;
        if !(self.slowest..=self.fastest).contains(&best.u) {
            return Some(format!(
                "steady {what} was flown from {:.0} to {:.0} kt calibrated, and the best speed is not among these",
                kt(self.slowest),
                kt(self.fastest)
            ));
        }
        if best.sigma_u * scale_mps > WIDEST_MPS || best.at_edge > 0.1 {
            return Some(format!(
                "the {what} flown leaves it open (within {:.0} kt at best)",
                kt(best.sigma_u).max(5.0)
            ));
        }
        if best.sigma_u > LEARNED * best.believed_u {
            return Some(format!(
                "the {what} flown adds too little to what was believed before (within {:.0} kt instead of {:.0})",
                kt(best.sigma_u).ceil(),
                kt(best.believed_u).ceil().max(kt(best.sigma_u).ceil())
            ));
        }
        None
    }
}

/// Where the maximum lies and how high it is.
struct Best {
    u: f64,
    sigma_u: f64,
    /// 1-σ of what was believed of it before the flight.
    believed_u: f64,
    worth: f64,
    sigma_worth: f64,
    at_edge: f64,
}

/// Laws that are possible, each bent by what the law itself may be wrong by ([`FORM`]).
fn possible(law: &Belief) -> Vec<(Vec<f64>, f64)> {
    let mut rng = Pcg64::seed_from_u64(0x0da7_f117);
    let root = law.cov.root();
    let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
    (0..DRAWS)
        .map(|_| {
            let random: Vec<f64> = law.mean.iter().map(|_| normal()).collect();
            let moved = root.times(&random);
            let law = law.mean.iter().zip(moved).map(|(mean, off)| mean + off);
            (law.collect(), FORM * normal())
        })
        .collect()
}

/// The maximum over speed of what `worth` makes of speed and excess, over the possible laws.
fn best(
    fit: &DayFit,
    laws: &[(Vec<f64>, f64)],
    share: f64,
    worth: impl Fn(f64, f64) -> f64,
) -> Best {
    const STEPS: usize = 300;
    let basis = fit.basis();
    let rows: Vec<(f64, Vec<f64>)> = (0..=STEPS)
        .map(|step| {
            let u = 1.02 + 0.005 * step as f64;
            (u, basis.row(u, 1.0, 0.0, share, false, fit.density_ratio))
        })
        .collect();
    let mut found: Vec<(f64, f64)> = Vec::with_capacity(laws.len());
    let mut edges = 0;
    for (law, bent) in laws {
        let mut top = (f64::NAN, f64::NEG_INFINITY, 0);
        for (step, (u, x)) in rows.iter().enumerate() {
            let value = worth(*u, crate::linear::dot(x, law) + bent * (u - MIDDLE));
            if value > top.1 {
                top = (*u, value, step);
            }
        }
        if top.2 == 0 || top.2 == STEPS {
            edges += 1;
        }
        found.push((top.0, top.1));
    }
    let middle = |of: &dyn Fn(&(f64, f64)) -> f64| {
        let mut all: Vec<f64> = found.iter().map(of).collect();
        all.sort_by(f64::total_cmp);
        let last = (all.len() as f64 - 1.0).max(0.0);
        let at = |share: f64| {
            all.get((last * share).round() as usize)
                .copied()
                .unwrap_or(f64::NAN)
        };
        (at(0.5), 0.5 * (at(0.84) - at(0.16)))
    };
    let (u, sigma_u) = middle(&|one| one.0);
    let (worth, sigma_worth) = middle(&|one| one.1);
    Best {
        u,
        sigma_u,
        believed_u: f64::INFINITY,
        worth,
        sigma_worth,
        at_edge: edges as f64 / laws.len().max(1) as f64,
    }
}

fn best_rows(fit: &DayFit, before: &Belief, aircraft: &Aircraft, pieces: &[Piece]) -> Vec<Speed> {
    let (laws, believed) = (possible(&fit.law), possible(before));
    let (scale, day) = (fit.vs1_cas_mps, fit.density_ratio);
    let to_tas = scale / day.max(0.1).sqrt();
    let full = Setting::of(pieces, |p| p.share > FULL);
    let idle = Setting::of(pieces, |p| p.share < IDLE);
    // What was believed before goes along, so that a figure is the flight's and not the file's.
    let both = |share: f64, worth: &dyn Fn(f64, f64) -> f64| {
        let mut found = best(fit, &laws, share, worth);
        found.believed_u = best(fit, &believed, share, worth).sigma_u;
        found
    };
    let rate = both(1.0, &|u, excess| u * to_tas * excess);
    let angle = both(1.0, &|_, excess| excess);
    let glide = both(0.0, &|_, excess| excess);
    let speeds = &aircraft.speeds;

    let row =
        |id: &str, name: &str, setting: &Setting, what: &str, best: &Best, file: Option<f64>| {
            let reason = match fit.support.why_not {
                Some(why) => Some(why.to_owned()),
                None => setting.objection(what, best, scale),
            };
            let (cas, sigma) = (best.u * scale, (best.sigma_u * scale).hypot(INDICATOR_MPS));
            let told = reason.is_none();
            Speed {
                id: id.to_owned(),
                name: name.to_owned(),
                measure: Measure::Airspeed,
                cas: told.then_some((cas, sigma)),
                flown: told.then(|| (aircraft.indicated_mps(cas, 0.0), sigma)),
                file: of_file(aircraft, file),
                reason,
            }
        };
    let climbs = "climb at full power with flaps up";
    let glides = "glide with the throttle closed and flaps up";
    let vy = row(
        "vy",
        "Best rate of climb, VY",
        &full,
        climbs,
        &rate,
        speeds.vy_mps,
    );
    let vx = row(
        "vx",
        "Best angle of climb, VX",
        &full,
        climbs,
        &angle,
        speeds.vx_mps,
    );
    let vg = row(
        "best_glide",
        "Best glide",
        &idle,
        glides,
        &glide,
        speeds.best_glide_mps,
    );
    let beside = |id: &str, name: &str, measure: Measure, of: &Speed, flown: (f64, f64)| Speed {
        id: id.to_owned(),
        name: name.to_owned(),
        measure,
        cas: None,
        flown: of
            .flown
            .map(|_| flown)
            .filter(|(value, sigma)| value.is_finite() && sigma.is_finite()),
        file: None,
        reason: of.reason.clone(),
    };
    let climb = beside(
        "climb_rate",
        "Climb rate at VY, in the air of the day",
        Measure::ClimbRate,
        &vy,
        (rate.worth, rate.sigma_worth),
    );
    // sin γ of the best glide as a ratio of distance to height.
    let down = -glide.worth;
    let ratio = (1.0 / (down * down) - 1.0).sqrt();
    let ratio = beside(
        "glide_ratio",
        "Glide ratio, throttle closed",
        Measure::Ratio,
        &vg,
        (ratio, ratio * glide.sigma_worth / down),
    );
    vec![vy, climb, vx, vg, ratio]
}
