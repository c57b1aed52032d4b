//! Rules for what is flown as a turn.

use super::Opinion;
use crate::Kind;
use crate::features::{Features, Turn};
use crate::kinds::{deg, fpm, ft};

/// Single turns first, then pairs and runs of them.
pub fn opinions(features: &Features) -> Vec<Opinion> {
    let mut all = Vec::new();
    for turn in &features.turns {
        if let Some(kind) = single(features, turn) {
            all.push(Opinion {
                kind,
                start_s: turn.start_s,
                end_s: turn.end_s,
            });
        }
    }
    for two in features.turns.windows(2) {
        if pylons(features, &two[0], &two[1]) {
            let (start_s, end_s) = (two[0].start_s, two[1].end_s);
            all.push(Opinion {
                kind: Kind::EightsOnPylons,
                start_s,
                end_s,
            });
        }
        if clearing(features, &two[0], &two[1]) {
            let (start_s, end_s) = (two[0].start_s, two[1].end_s);
            all.push(Opinion {
                kind: Kind::ClearingTurns,
                start_s,
                end_s,
            });
        }
    }
    all.extend(s_turns(features));
    all.extend(rectangle(features));
    all
}

/// What one turn is by itself.
fn single(features: &Features, turn: &Turn) -> Option<Kind> {
    let turned = turn.turned_rad.abs();
    let level = turn.range_m < ft(300.0);
    let speed = turn.ias_mps / features.scale.vs1_mps;
    let minutes = turn.seconds() / 60.0;
    let sink = -turn.gained_m / turn.seconds();
    if turned > deg(300.0)
        && turned < deg(420.0)
        && turn.held_bank_rad > deg(36.0)
        && level
        && speed > 1.4
    {
        return Some(Kind::SteepTurn);
    }
    if turned > deg(650.0) && sink > fpm(450.0) && turn.gained_m < -ft(700.0) {
        return Some(Kind::SteepSpiral);
    }
    if turned > deg(600.0) && level && turn.held_bank_rad < deg(42.0) && minutes > 1.0 {
        return Some(Kind::TurnsAroundAPoint);
    }
    if turned > deg(150.0) && turned < deg(215.0) {
        let window = features.window(turn.start_s, turn.end_s);
        let slowest = window.min(&features.ias) / features.at(&features.ias, turn.start_s);
        if turn.gained_m > ft(300.0) && slowest < 0.80 {
            return Some(Kind::Chandelle);
        }
        let top = window.max(&features.altitude) - features.at(&features.altitude, turn.start_s);
        if top > ft(120.0) && turn.gained_m.abs() < 0.5 * top && slowest < 0.88 {
            return Some(Kind::LazyEight);
        }
    }
    None
}

/// A quarter one way and a quarter back.
fn clearing(features: &Features, a: &Turn, b: &Turn) -> bool {
    let quarter = |turn: &Turn| (deg(60.0)..deg(125.0)).contains(&turn.turned_rad.abs());
    let fast = a.ias_mps.min(b.ias_mps) > 1.4 * features.scale.vs1_mps;
    let level = a.range_m.max(b.range_m) < ft(220.0);
    let back = (a.turned_rad + b.turned_rad).abs() < deg(30.0);
    quarter(a) && quarter(b) && fast && level && back && b.start_s - a.end_s < 30.0
}

/// Most of a circle one way and most of one the other way, low, with a straight run between.
fn pylons(features: &Features, a: &Turn, b: &Turn) -> bool {
    let circle = |turn: &Turn| {
        (deg(230.0)..deg(400.0)).contains(&turn.turned_rad.abs()) && turn.held_bank_rad < deg(45.0)
    };
    let low = features.window(a.start_s, b.end_s).max(&features.agl) < ft(1600.0);
    circle(a) && circle(b) && a.right() != b.right() && b.start_s - a.end_s < 30.0 && low
}

/// Half circles that alternate.
fn s_turns(features: &Features) -> Vec<Opinion> {
    let half =
        |turn: &Turn| turn.turned_rad.abs() > deg(125.0) && turn.turned_rad.abs() < deg(240.0);
    let mut all = Vec::new();
    let mut run: Vec<&Turn> = Vec::new();
    for turn in &features.turns {
        let follows = run.last().is_some_and(|last: &&Turn| {
            last.right() != turn.right() && turn.start_s - last.end_s < 12.0
        });
        if !(half(turn) && turn.range_m < ft(250.0)) {
            run.clear();
            continue;
        }
        if !follows {
            run.clear();
        }
        run.push(turn);
        if run.len() >= 3 {
            let (start_s, end_s) = (run[0].start_s, turn.end_s);
            all.push(Opinion {
                kind: Kind::STurns,
                start_s,
                end_s,
            });
        }
    }
    all
}

/// Four corners the same way.
fn rectangle(features: &Features) -> Vec<Opinion> {
    let corner =
        |turn: &Turn| turn.turned_rad.abs() > deg(55.0) && turn.turned_rad.abs() < deg(130.0);
    let fours = features.turns.windows(4).filter(|four| {
        let same = four
            .iter()
            .all(|turn| corner(turn) && turn.right() == four[0].right());
        let window = features.window(four[0].start_s, four[3].end_s);
        same && window.height_range() < ft(300.0) && window.seconds() < 300.0
    });
    fours
        .map(|four| Opinion {
            kind: Kind::RectangularCourse,
            start_s: four[0].start_s,
            end_s: four[3].end_s,
        })
        .collect()
}
