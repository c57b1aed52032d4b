//! Errors and intervals by figure.

use crate::Case;
use air::units::MPS_PER_KT;
use dynamics::trim::{Path, Wanted, trim};
use performance::{DayFit, Measure};
use practice::recorder::Fit;
use std::collections::BTreeMap;

/// Error and 1-σ of one figure.
type One = (f64, f64);

/// All of them.
#[derive(Default)]
pub struct Score {
    told: BTreeMap<String, Vec<One>>,
    untold: BTreeMap<String, usize>,
    /// True figures of the flight at hand: the equations of steady flight take their time.
    truth: (String, BTreeMap<String, Option<f64>>),
}

impl Score {
    /// Takes the rows of a fit.
    pub fn take(&mut self, case: &Case, file: &str, fit: &DayFit, print: bool) {
        if self.truth.0 != case.name {
            self.truth = (case.name.clone(), truth(case, fit));
        }
        let kind = if case.kind == Fit::Rich {
            "rich"
        } else {
            "panel"
        };
        for row in fit.speeds() {
            let truth = self.truth.1.get(&row.id).copied().flatten();
            let Some(truth) = truth else { continue };
            let name = if row.id.starts_with("stall") {
                "stall"
            } else {
                &row.id
            };
            let by = if row.measure == Measure::Airspeed {
                MPS_PER_KT
            } else {
                1.0
            };
            let value = row.cas.or(row.flown);
            if print {
                match value {
                    Some((value, sigma)) => println!(
                        "    {:12} {:7.2} ± {:5.2}  true {:7.2}  {:+5.2} σ",
                        row.id,
                        value / by,
                        sigma / by,
                        truth / by,
                        (value - truth) / sigma
                    ),
                    None => println!(
                        "    {:12} true {:7.2} {}",
                        row.id,
                        truth / by,
                        row.reason.unwrap_or_default()
                    ),
                }
            }
            for kind in [kind, "all"] {
                let key = format!("{name:11} {file:5} {kind:5}");
                match value {
                    Some((value, sigma)) => self
                        .told
                        .entry(key)
                        .or_default()
                        .push(((value - truth) / by, sigma / by)),
                    None => *self.untold.entry(key).or_default() += 1,
                }
            }
        }
    }

    /// One line each.
    pub fn print(&self) {
        println!(
            "figure, file, recorder: told of all; mean error, rms; mean σ; in 68, 90, 95 % intervals"
        );
        for (key, all) in &self.told {
            let count = all.len() as f64;
            let mean = |of: &dyn Fn(&One) -> f64| all.iter().map(of).sum::<f64>() / count;
            let within = |z: f64| 100.0 * mean(&|(e, s)| f64::from(u8::from(e.abs() < z * s)));
            println!(
                "{key} {:4} of {:4}  {:+6.2} {:6.2}  ±{:5.2}  {:3.0} {:3.0} {:3.0} %",
                all.len(),
                all.len() + self.untold.get(key).copied().unwrap_or(0),
                mean(&|(e, _)| *e),
                mean(&|(e, _)| e * e).sqrt(),
                mean(&|(_, s)| *s),
                within(1.0),
                within(1.645),
                within(1.96)
            );
        }
    }
}

/// True figures by the id of their row, for the density of the day.
fn truth(case: &Case, fit: &DayFit) -> BTreeMap<String, Option<f64>> {
    let density = fit.density_ratio * air::atmosphere::RHO0_KGPM3;
    let best = dynamics::figures::best(&case.airframe, density, 0.0);
    let mut all: BTreeMap<String, Option<f64>> = [
        ("vy", best.rate.map(|best| best.0)),
        ("climb_rate", best.rate.map(|best| best.1)),
        ("vx", best.angle.map(|best| best.0)),
        ("best_glide", best.glide.map(|best| best.0)),
        ("glide_ratio", best.glide.map(|best| best.1)),
    ]
    .map(|(id, value)| (id.to_owned(), value))
    .into();
    for angle in &fit.detents_rad {
        let id = format!("stall_{:.0}", angle.to_degrees());
        all.insert(id, Some(slowest_steady(case, *angle)));
    }
    all
}

/// The slowest calibrated speed of steady flight, throttle closed: the stalling speed or minimum steady flight speed of 14 CFR 23.49 as
/// amended to 1996, m/s.
fn slowest_steady(case: &Case, flap_rad: f64) -> f64 {
    let steady = |cas: f64| {
        let wanted = Wanted {
            tas_mps: cas,
            bank_rad: 0.0,
            flap_rad,
            path: Path::Throttle(0.0),
            density_kgpm3: air::atmosphere::RHO0_KGPM3,
        };
        trim(&case.airframe, &wanted).is_some()
    };
    let (mut low, mut high) = (12.0, 45.0);
    while high - low > 0.02 {
        let middle = 0.5 * (low + high);
        if steady(middle) {
            high = middle
        } else {
            low = middle
        }
    }
    high
}
