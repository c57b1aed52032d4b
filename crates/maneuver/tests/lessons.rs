//! Whole lessons put together at random: other stall speeds, gusts, winds, orders and manners than anybody
//! chose. What was flown is known; found and false ones are counted over all of them.

mod common;

use aircraft::Aircraft;
use common::{Goal, Pilot, aircraft};
use flight::Fit;
use maneuver::{Kind, find};

/// A small generator of its own, so that a lesson is the same on every machine.
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64) / (1u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.unit() * (high - low)
    }
    fn side(&mut self) -> f64 {
        if self.unit() < 0.5 { -1.0 } else { 1.0 }
    }
}

/// One lesson of eight pieces; the truth as kind, start and end.
fn lesson(seed: u64, gust: f64) -> (Pilot, Vec<(Kind, f64, f64)>) {
    let mut dice = Dice(seed.wrapping_mul(7919) + 13);
    let mut pilot = Pilot::new(dice.between(40.0, 62.0))
        .wind(dice.between(-15.0, 15.0), dice.between(-15.0, 15.0))
        .gusts(gust);
    let mut truth = Vec::new();
    pilot.cruise(60.0);
    // One sharp stall first: a flight without an aircraft file has to show its stall speed.
    for piece in 0..8 {
        let which = if piece == 0 {
            0
        } else {
            (dice.unit() * 9.0) as usize
        };
        if dice.unit() < 0.6 {
            let begun = pilot.t;
            let side = dice.side();
            let bank = dice.between(22.0, 31.0);
            pilot
                .turn(90.0 * side, bank)
                .cruise(dice.between(1.0, 6.0))
                .turn(-90.0 * side, bank);
            truth.push((Kind::ClearingTurns, begun, pilot.t));
            pilot.cruise(dice.between(3.0, 8.0));
        }
        let begun = pilot.t;
        let bottom = dice.between(0.90, 1.05);
        let sharp = dice.between(0.25, 1.0);
        let bank = if dice.unit() < 0.4 {
            dice.side() * dice.between(12.0, 20.0)
        } else {
            0.0
        };
        let kind = match which {
            0 | 1 => {
                pilot.power_off_stall(bottom, if piece == 0 { 1.0 } else { sharp }, bank);
                Some(Kind::PowerOffStall)
            }
            2 | 3 => {
                pilot.power_on_stall(bottom, sharp, bank);
                Some(Kind::PowerOnStall)
            }
            4 => {
                pilot.turn(360.0 * dice.side(), dice.between(42.0, 52.0));
                Some(Kind::SteepTurn)
            }
            5 => {
                pilot
                    .slow_flight(dice.between(1.10, 1.20), dice.between(65.0, 200.0))
                    .speed_up();
                Some(Kind::SlowFlight)
            }
            other => {
                filler(&mut pilot, other, &mut dice);
                None
            }
        };
        if let Some(kind) = kind {
            truth.push((kind, begun, pilot.t));
        }
        pilot.cruise(dice.between(40.0, 80.0));
    }
    (pilot, truth)
}

/// Ordinary flying that looks like something.
fn filler(pilot: &mut Pilot, which: usize, dice: &mut Dice) {
    let vs = pilot.vs;
    match which {
        6 => {
            pilot.turn(
                dice.side() * dice.between(30.0, 180.0),
                dice.between(12.0, 25.0),
            );
        }
        7 => {
            let kt = dice.between(1.40, 1.55) * vs;
            pilot.slow_to(kt, 0.8);
            pilot.fly(
                60.0,
                Goal {
                    kt,
                    kt_per_s: 1.0,
                    fpm: 0.0,
                    bank: 0.0,
                    power: 0.45,
                },
            );
        }
        _ => {
            let kt = dice.between(1.28, 1.38) * vs;
            pilot.slow_to(kt, 1.0).flaps(true);
            pilot.fly(
                40.0,
                Goal {
                    kt,
                    kt_per_s: 1.0,
                    fpm: -550.0,
                    bank: 0.0,
                    power: 0.25,
                },
            );
            pilot.fly(
                30.0,
                Goal {
                    kt: 1.45 * vs,
                    kt_per_s: 1.2,
                    fpm: 600.0,
                    bank: 0.0,
                    power: 1.0,
                },
            );
            pilot.flaps(false);
        }
    }
}

/// Found, true and false over many lessons in one fit.
fn count(fit: Fit, told: bool, gust: f64, lessons: u64) -> (usize, usize, usize) {
    let (mut found, mut total, mut wrong) = (0, 0, 0);
    for seed in 0..lessons {
        let (pilot, truth) = lesson(seed, gust);
        let file = if told {
            aircraft(pilot.vs)
        } else {
            Aircraft::default()
        };
        let spans = find(&pilot.land(fit), &file);
        let mut used = vec![false; spans.len()];
        for (kind, start, end) in &truth {
            let hit = spans.iter().enumerate().position(|(i, s)| {
                let common = s.end_s.min(*end) - s.start_s.max(*start);
                let longer = (s.end_s - s.start_s).max(end - start);
                !used[i] && s.kind == *kind && common > 0.5 * longer
            });
            if let Some(i) = hit {
                used[i] = true;
                found += 1;
            } else {
                println!("{fit:?} lesson {seed}: missed {kind:?} {start:.0}-{end:.0} s");
            }
        }
        for (span, _) in spans.iter().zip(&used).filter(|(_, used)| !**used) {
            println!("{fit:?} lesson {seed}: false {span:?}");
            wrong += 1;
        }
        total += truth.len();
    }
    (found, total, wrong)
}

fn at_least(fit: Fit, told: bool, gust: f64, recall: f64, precision: f64) {
    let (found, total, wrong) = count(fit, told, gust, 40);
    let r = found as f64 / total as f64;
    let p = found as f64 / (found + wrong) as f64;
    println!(
        "{fit:?} told {told} gust {gust} m/s: {found}/{total} +{wrong}, recall {r:.3}, precision {p:.3}"
    );
    assert!(
        r >= recall && p >= precision,
        "recall {r:.3}, precision {p:.3}"
    );
}

#[test]
fn prop_random_lessons_in_calm_air() {
    at_least(Fit::Rich, true, 0.0, 0.97, 0.97);
    at_least(Fit::Panel, true, 0.0, 0.97, 0.97);
    at_least(Fit::GnssAttitude, true, 0.0, 0.97, 0.97);
    at_least(Fit::Gnss, true, 0.0, 0.95, 0.93);
}

#[test]
fn prop_random_lessons_without_an_aircraft_file() {
    at_least(Fit::Panel, false, 0.0, 0.95, 0.95);
}

#[test]
fn prop_random_lessons_in_gusts() {
    at_least(Fit::Panel, true, 0.7, 0.95, 0.95);
    at_least(Fit::GnssAttitude, true, 0.7, 0.93, 0.93);
}
