//! The turns that a figure is made of, one after the other: half circles, corners, circles about pylons.

use super::motion::Motion;

/// Bank under which the wings count as level, rad (3°): what trim and attitude filters leave.
const LEVEL_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// Bank that makes it a turn, rad.
const TURN_RAD: f64 = 8.0 * std::f64::consts::PI / 180.0;
/// A bump that levels the wings for less than this does not end a turn, s.
const BUMP_S: f64 = 2.5;

/// One turn one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Wings leave level, s.
    pub start_s: f64,
    /// Wings level again, s.
    pub end_s: f64,
    /// Turned, right positive, rad.
    pub turned_rad: f64,
}

impl Block {
    /// +1 to the right, −1 to the left.
    #[must_use]
    pub fn sign(&self) -> f64 {
        self.turned_rad.signum()
    }
    /// The middle, s.
    #[must_use]
    pub fn middle_s(&self) -> f64 {
        0.5 * (self.start_s + self.end_s)
    }
}

/// The turns of at least `least_rad` in a stretch, in order.
#[must_use]
pub fn find(motion: &Motion, from_s: f64, to_s: f64, least_rad: f64) -> Vec<Block> {
    let bank = motion.bank.smooth(1.0);
    // Runs of one sign, as (start, end, greatest).
    let mut runs: Vec<(f64, f64, f64)> = Vec::new();
    let mut before: Option<(f64, f64)> = None;
    for (time_s, bank) in bank.between(from_s, to_s) {
        let edge = |level: f64| match before {
            Some((t0, b0)) if (bank - b0).abs() > 1e-9 => {
                t0 + (time_s - t0) * ((level - b0) / (bank - b0)).clamp(0.0, 1.0)
            }
            _ => time_s,
        };
        let signed = LEVEL_RAD.copysign(bank);
        let continues = before
            .filter(|(_, b0)| b0.abs() > LEVEL_RAD && b0.signum() == bank.signum())
            .is_some();
        if bank.abs() > LEVEL_RAD {
            let known = runs.last_mut().filter(|_| continues);
            if let Some(run) = known {
                run.1 = time_s;
                run.2 = if bank.abs() > run.2.abs() {
                    bank
                } else {
                    run.2
                };
            } else {
                close(&mut runs, before, edge);
                runs.push((edge(signed), time_s, bank));
            }
        } else {
            close(&mut runs, before, edge);
        }
        before = Some((time_s, bank));
    }
    joined(&runs)
        .into_iter()
        .filter(|run| run.2.abs() >= TURN_RAD)
        .map(|run| Block {
            start_s: run.0,
            end_s: run.1,
            turned_rad: motion.heading.at(run.1) - motion.heading.at(run.0),
        })
        .filter(|block| block.turned_rad.abs() >= least_rad)
        .collect()
}

/// Ends the last run where its bank went through level.
fn close(runs: &mut [(f64, f64, f64)], before: Option<(f64, f64)>, edge: impl Fn(f64) -> f64) {
    if let (Some(run), Some((time_s, bank))) = (runs.last_mut(), before)
        && bank.abs() > LEVEL_RAD
        && (run.1 - time_s).abs() < 1e-9
    {
        run.1 = edge(LEVEL_RAD.copysign(bank));
    }
}

/// Runs one way with a bump between them are one.
fn joined(runs: &[(f64, f64, f64)]) -> Vec<(f64, f64, f64)> {
    let mut out: Vec<(f64, f64, f64)> = Vec::new();
    for run in runs {
        match out.last_mut() {
            Some(last) if last.2 * run.2 > 0.0 && run.0 - last.1 <= BUMP_S => {
                last.1 = run.1;
                last.2 = if run.2.abs() > last.2.abs() {
                    run.2
                } else {
                    last.2
                };
            }
            _ => out.push(*run),
        }
    }
    out
}
