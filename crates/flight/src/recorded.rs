//! What the recorder wrote that is passed on as it is: flaps, controls, engine, stall warning.

use recording::{Quantity, Recording};

use crate::grid::Grid;
use crate::{FlapStep, Flaps, Flight, Origin, Series, Sigma};

/// Recorded flap position with its steps.
pub fn flaps(grid: &Grid<'_>) -> Option<Flaps> {
    let values = grid.steps(Quantity::Flap)?;
    let least = 3_f64.to_radians();
    let mut steps: Vec<FlapStep> = Vec::new();
    let (mut from, mut settled) = (f64::NAN, 0_usize);
    for (i, value) in values.iter().enumerate() {
        if value.is_nan() {
            continue;
        }
        if from.is_nan() {
            from = *value;
        }
        if (value - from).abs() < least {
            settled = i;
            continue;
        }
        // Moving: a step ends where the flaps rest for half a second, in which they would travel two degrees and more.
        let ahead = i + (0.5 / grid.clock.step_s).ceil() as usize;
        let to = values.get(ahead).copied().unwrap_or(*value);
        if (to - value).abs() < 0.5_f64.to_radians() {
            steps.push(FlapStep {
                at_s: grid.clock.time_s(settled),
                sigma_s: grid.clock.step_s.max(0.3),
                from_rad: from,
                to_rad: *value,
                probability: 1.0,
                origin: Origin::Measured,
            });
            from = *value;
            settled = i;
        }
    }
    let out = values
        .iter()
        .map(|value| {
            if value.is_nan() {
                f32::NAN
            } else {
                f32::from(*value > least)
            }
        })
        .collect();
    Some(Flaps {
        angle: series(
            values,
            Sigma::Constant(1_f64.to_radians()),
            Origin::Measured,
        ),
        out,
        steps,
    })
}

/// Control positions and the stall warning.
pub fn put_controls(flight: &mut Flight, grid: &Grid<'_>) {
    let put = |quantity| {
        grid.filled(quantity)
            .map(|values| series(values, Sigma::Constant(0.02), Origin::Measured))
    };
    flight.elevator = put(Quantity::Elevator);
    flight.aileron = put(Quantity::Aileron);
    flight.rudder = put(Quantity::Rudder);
    flight.trim = put(Quantity::PitchTrim);
    flight.stall_warning = grid
        .steps(Quantity::StallWarning)
        .map(|values| series(values, Sigma::Constant(0.0), Origin::Measured));
}

/// Puts a series together.
pub fn series(values: Vec<f64>, sigma: Sigma, origin: Origin) -> Series {
    Series {
        values,
        sigma,
        origin,
    }
}

/// A flight of which nothing is known yet.
pub fn empty(recording: &Recording, grid: &Grid<'_>) -> Flight {
    Flight {
        name: recording.name.clone(),
        start_unix_s: recording.start_unix_s,
        known: grid.known.clone(),
        ..Flight::empty(grid.clock)
    }
}
