//! The fit of the day for people: knots, feet a minute, and words for what the flight does not show.

use crate::document::{FitOfTheDay, FitPoint, FitRow};
use crate::words::suffix;
use air::units::{MPS_PER_FPM, MPS_PER_KT};
use aircraft::Aircraft;
use performance::{DayFit, Measure, Point, Power, Speed};

/// The words that every fit carries.
const CAUTION: &str = "From this flight, to compare on the ground. These are not the manual's figures, and none of them is \
    for use in flight: the approved flight manual comes first.";
/// What no flight can tell.
const SPLIT: &str = "How much of the drag with the throttle closed is the propeller's is assumed; thrust less drag is from the flight.";

/// The fit as the document has it. `alone` is the same flight's without the earlier ones; none = there are none.
#[must_use]
pub fn fit_of_the_day(fit: &DayFit, alone: Option<&DayFit>, aircraft: &Aircraft) -> FitOfTheDay {
    let points = points(fit, aircraft);
    let mut words = fit.support.words.clone();
    let without = alone.filter(|_| fit.support.earlier > 0);
    let rows: Vec<FitRow> = fit
        .speeds()
        .iter()
        .map(|speed| {
            let other = without.map(DayFit::speeds).unwrap_or_default();
            row(speed, other.iter().find(|other| other.id == speed.id))
        })
        .collect();
    if without.is_some() {
        words.extend(drawn(fit.support.earlier, &rows));
    }
    if !points.is_empty() {
        words.push(SPLIT.to_owned());
    }
    let carried = alone.unwrap_or(fit).carried();
    FitOfTheDay {
        caution: CAUTION.to_owned(),
        words,
        rows,
        points,
        earlier: fit.support.earlier,
        carried: carried.says_something().then_some(carried),
    }
}

/// How many earlier flights the figures are drawn to, and what they were without them.
fn drawn(earlier: usize, rows: &[FitRow]) -> Vec<String> {
    let flights = if earlier == 1 { "flight" } else { "flights" };
    let mut out = vec![format!(
        "Drawn to {earlier} earlier {flights} of this aircraft, most where this one says least."
    )];
    // A digit more than the table has: the change is often smaller than its σ.
    let figure = |row: &FitRow| {
        let (value, sigma) = (row.alone?, row.alone_sigma?);
        let digits = usize::from(row.unit != "ft/min");
        (row.flown != row.alone || row.sigma != row.alone_sigma).then(|| {
            let unit = suffix(&row.unit);
            format!("{} {value:.digits$} ± {sigma:.digits$}{unit}", row.name)
        })
    };
    let them = if earlier == 1 { "it" } else { "them" };
    let (there, gone): (Vec<&FitRow>, Vec<&FitRow>) =
        rows.iter().partition(|row| row.flown.is_some());
    let before: Vec<String> = there.into_iter().filter_map(figure).collect();
    if !before.is_empty() {
        out.push(format!("Without {them}: {}.", before.join("; ")));
    }
    let before: Vec<String> = gone.into_iter().filter_map(figure).collect();
    if !before.is_empty() {
        out.push(format!("Shown only without {them}: {}.", before.join("; ")));
    }
    let new: Vec<&str> = rows
        .iter()
        .filter(|row| row.flown.is_some() && row.alone.is_none())
        .map(|row| row.name.as_str())
        .collect();
    if !new.is_empty() {
        out.push(format!(
            "This flight alone does not show {}.",
            new.join("; ")
        ));
    }
    out
}

fn row(speed: &Speed, alone: Option<&Speed>) -> FitRow {
    let (factor, unit) = match speed.measure {
        Measure::Airspeed => (MPS_PER_KT, "kt"),
        Measure::ClimbRate => (MPS_PER_FPM, "ft/min"),
        Measure::Ratio => (1.0, ""),
    };
    let shown = |value: f64| Some(short(value / factor)).filter(|value| value.is_finite());
    let alone = alone.and_then(|alone| alone.flown);
    FitRow {
        id: speed.id.clone(),
        name: speed.name.clone(),
        unit: unit.to_owned(),
        flown: speed.flown.and_then(|(value, _)| shown(value)),
        sigma: speed.flown.and_then(|(_, sigma)| shown(sigma)),
        alone: alone.and_then(|(value, _)| shown(value)),
        alone_sigma: alone.and_then(|(_, sigma)| shown(sigma)),
        file: speed.file.and_then(shown),
        reason: speed.reason.clone(),
    }
}

/// Full power at VY and idle at the best glide, as flown where the flight shows them, else as the file has them; nothing
/// where neither says.
fn points(fit: &DayFit, aircraft: &Aircraft) -> Vec<FitPoint> {
    if !fit.support.drag {
        return Vec::new();
    }
    let rows = fit.speeds();
    let speed = |id: &str| {
        let row = rows.iter().find(|row| row.id == id)?;
        let file = row
            .file
            .map(|indicated| aircraft.calibrated_mps(indicated, 0.0));
        row.cas.map(|(value, _)| value).or(file)
    };
    let asked = [
        ("Full power at VY", speed("vy"), Power::Share(1.0)),
        (
            "Throttle closed at best glide",
            speed("best_glide"),
            Power::Idle,
        ),
    ];
    asked
        .into_iter()
        .filter_map(|(name, cas_mps, power)| point(fit, aircraft, name, cas_mps?, power))
        .collect()
}

fn point(
    fit: &DayFit,
    aircraft: &Aircraft,
    name: &str,
    cas_mps: f64,
    power: Power,
) -> Option<FitPoint> {
    let tas_mps = cas_mps / fit.density_ratio.max(0.1).sqrt();
    let at = Point {
        cas_mps,
        tas_mps,
        load_factor: 1.0,
        flap_rad: 0.0,
        power,
        density_ratio: fit.density_ratio,
    };
    let point = FitPoint {
        name: name.to_owned(),
        speed_kt: short(aircraft.indicated_mps(cas_mps, 0.0) / MPS_PER_KT),
        thrust: fine(fit.thrust(&at)),
        thrust_sigma: fine(fit.thrust_sigma(&at)),
        drag: fine(fit.drag(&at)),
        drag_sigma: fine(fit.drag_sigma(&at)),
        climb_fpm: short(fit.excess(&at) * tas_mps / MPS_PER_FPM),
        climb_sigma_fpm: short(fit.excess_sigma(&at) * tas_mps / MPS_PER_FPM),
    };
    let all = [
        point.speed_kt,
        point.thrust,
        point.drag,
        point.climb_fpm,
        point.climb_sigma_fpm,
    ];
    all.iter().all(|value| value.is_finite()).then_some(point)
}

/// Two decimals of a knot or a foot a minute.
fn short(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// Five decimals of the weight.
fn fine(value: f64) -> f64 {
    (value * 1e5).round() / 1e5
}

impl FitOfTheDay {
    /// What has a value.
    pub fn shown(&self) -> impl Iterator<Item = &FitRow> {
        self.rows.iter().filter(|row| row.flown.is_some())
    }

    /// What has none, each reason once: `Best glide; Glide ratio (no glide with the throttle closed was flown)`.
    #[must_use]
    pub fn not_shown(&self) -> Vec<String> {
        let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
        for row in self.rows.iter().filter(|row| row.flown.is_none()) {
            let why = row
                .reason
                .as_deref()
                .unwrap_or("the flight does not show it");
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, names)) => names.push(&row.name),
                None => reasons.push((why, vec![&row.name])),
            }
        }
        reasons
            .into_iter()
            .map(|(why, names)| format!("{} ({why})", names.join("; ")))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(unit: &str, flown: Option<f64>, sigma: f64) -> FitRow {
        FitRow {
            id: "vy".to_owned(),
            name: "Best rate of climb, VY".to_owned(),
            unit: unit.to_owned(),
            flown,
            sigma: flown.map(|_| sigma),
            alone: None,
            alone_sigma: None,
            file: Some(74.0),
            reason: flown.is_none().then(|| "no climb was flown".to_owned()),
        }
    }

    /// Law: what is not shown is told once for each reason.
    #[test]
    fn prop_reasons_are_told_once() {
        let fit = FitOfTheDay {
            caution: CAUTION.to_owned(),
            words: Vec::new(),
            rows: vec![
                row("kt", None, 1.0),
                row("kt", Some(70.0), 1.0),
                row("kt", None, 1.0),
            ],
            points: Vec::new(),
            earlier: 0,
            carried: None,
        };
        assert_eq!(fit.shown().count(), 1);
        let told = fit.not_shown();
        assert_eq!(
            told,
            ["Best rate of climb, VY; Best rate of climb, VY (no climb was flown)"]
        );
    }

    /// Law: what earlier flights changed is told with the figure as it was, and what they did not change is not.
    #[test]
    fn prop_what_earlier_flights_changed_is_told() {
        let mut moved = row("kt", Some(76.0), 2.0);
        (moved.alone, moved.alone_sigma) = (Some(78.0), Some(4.0));
        let mut same = row("kt", Some(51.0), 1.0);
        (same.alone, same.alone_sigma) = (Some(51.0), Some(1.0));
        let mut new = row("", Some(9.0), 0.2);
        new.name = "Glide ratio".to_owned();
        let mut gone = row("kt", None, 1.0);
        (gone.alone, gone.alone_sigma) = (Some(64.0), Some(3.0));
        let told = drawn(2, &[moved, same, new, gone, row("kt", None, 1.0)]);
        assert_eq!(
            told,
            [
                "Drawn to 2 earlier flights of this aircraft, most where this one says least.",
                "Without them: Best rate of climb, VY 78.0 ± 4.0 kt.",
                "Shown only without them: Best rate of climb, VY 64.0 ± 3.0 kt.",
                "This flight alone does not show Glide ratio.",
            ]
        );
    }

    /// Law: a flight of which nothing is known gives rows without values and no points.
    #[test]
    fn prop_nothing_flown_is_nothing_claimed() {
        let flight = flight::Flight::empty(flight::Clock {
            step_s: 1.0,
            len: 5,
        });
        let aircraft = Aircraft::unknown();
        let day = performance::fit(&flight, &[], &aircraft, &[]);
        let fit = fit_of_the_day(&day, None, &aircraft);
        assert!(fit.carried.is_none() && fit.earlier == 0);
        assert!(fit.points.is_empty() && fit.shown().count() == 0);
        assert!(fit.rows.iter().all(|row| row.reason.is_some()));
    }
}
