//! How the aircraft points and turns, from the smoothed motion: turn, heading, pitch, bank.

use crate::assemble::{ALIGNMENT_S, DEGREE, each};
use crate::build::{Work, finite, speed};
use crate::recorded::series;
use crate::stats::Errors;
use crate::{Fit, Flight, Origin, bias, turn};

/// Direction through the air, rate of turn, heading.
pub fn put_turning(work: &Work<'_>, flight: &mut Flight) {
    let len = work.grid.clock.len;
    if let (Some(ground), Some(wind)) = (&work.ground, &work.wind) {
        let air = work.air_velocity(ground, wind);
        let tas = speed(&air);
        let track = turn::direction(&air[0], &air[1], 8.0);
        let sigma = |i: usize| {
            f64::from(wind.sigma[i]).with(f64::from(ground.velocity_sigma[i])) / tas[i].max(8.0)
        };
        flight.air_track = Some(series(track, each(len, sigma), Origin::Derived));
        let rate = (0..len)
            .map(|i| {
                let [a, b] = [air[0][i], air[1][i]];
                let turn = ground.acceleration[0][i] * b - ground.acceleration[1][i] * a;
                if tas[i] > 8.0 {
                    turn / (tas[i] * tas[i])
                } else {
                    f64::NAN
                }
            })
            .collect();
        let sigma = |i: usize| f64::from(ground.acceleration_sigma[i]) / tas[i].max(8.0);
        flight.turn_rate = Some(series(rate, each(len, sigma), Origin::Derived));
    }
    if let Some(heading) = &work.heading {
        let (bias, bias_sigma) = work.wind.as_ref().map_or((0.0, DEGREE), |wind| {
            (wind.heading_bias_rad, wind.heading_bias_sigma_rad)
        });
        let value = heading.value.iter().map(|value| value + bias).collect();
        let sigma = |i: usize| {
            let lag = ALIGNMENT_S * finite(heading.rate[i]);
            f64::from(heading.sigma[i])
                .with(bias_sigma.max(0.6 * DEGREE))
                .with(lag)
        };
        flight.heading = Some(series(value, each(len, sigma), Origin::Measured));
        let rate_sigma = |i: usize| f64::from(heading.rate_sigma[i]);
        flight.turn_rate = Some(series(
            heading.rate.clone(),
            each(len, rate_sigma),
            Origin::Derived,
        ));
    } else {
        flight.heading = flight.air_track.clone();
    }
}

/// Pitch and bank; bank from coordinated flight where it is not recorded.
pub fn put_attitude(work: &Work<'_>, flight: &mut Flight) {
    let len = work.grid.clock.len;
    // Panels are leveled with the airframe; a tablet is stuck on by hand.
    let mounting = if flight.fit == Fit::GnssAttitude {
        1.5
    } else {
        0.5
    } * DEGREE;
    if let Some(pitch) = &work.pitch {
        let told = work.aircraft.recorder.pitch_offset_rad.is_some();
        let steady = if told { 0.3 * DEGREE } else { mounting };
        let sigma = |i: usize| {
            f64::from(pitch.sigma[i])
                .with(steady)
                .with(ALIGNMENT_S * finite(pitch.rate[i]))
        };
        flight.pitch = Some(series(
            pitch.value.clone(),
            each(len, sigma),
            Origin::Measured,
        ));
    }
    let up = work
        .vertical
        .as_ref()
        .map(|vertical| &vertical.acceleration);
    let up = |i: usize| up.map_or(0.0, |up| finite(up[i]));
    let Some((rate, tas)) = flight.turn_rate.as_ref().zip(flight.tas.as_ref()) else {
        if let Some(bank) = &work.bank {
            let sigma = |i: usize| f64::from(bank.sigma[i]).with(mounting);
            flight.bank = Some(series(
                bank.value.clone(),
                each(len, sigma),
                Origin::Measured,
            ));
        }
        return;
    };
    if let Some(bank) = &work.bank {
        let told = work.aircraft.recorder.bank_offset_rad.is_some();
        let mut value = bank.value.clone();
        let mut steady = vec![if told { 0.3 } else { 0.6 } as f32 * DEGREE as f32; len];
        if flight.fit == Fit::GnssAttitude && !told {
            let up: Vec<f64> = (0..len).map(up).collect();
            let turning = bias::Turning {
                bank: &bank.value,
                rate: &rate.values,
                tas: &tas.values,
                up: &up,
                flying: &work.flying,
                expected_rad: mounting,
            };
            let (error, sigma) =
                bias::of_bank(&turning, &work.grid.stretches, work.grid.clock.step_s);
            for (value, error) in value.iter_mut().zip(&error) {
                *value -= finite(*error);
            }
            steady = sigma
                .iter()
                .map(|sigma| sigma.max(0.5 * DEGREE as f32))
                .collect();
        }
        let sigma = |i: usize| {
            f64::from(bank.sigma[i])
                .with(f64::from(steady[i]))
                .with(ALIGNMENT_S * finite(bank.rate[i]))
        };
        flight.bank = Some(series(value, each(len, sigma), Origin::Measured));
    } else {
        let bank: Vec<f64> = (0..len)
            .map(|i| turn::coordinated_bank_rad(rate.at(i) * tas.at(i), up(i)))
            .collect();
        let sigma = |i: usize| {
            // d tan φ = d(V·rate)/g; a slip of a few degrees shifts the bank by half of it.
            let across = (rate.sigma_at(i) * tas.at(i)).with(rate.at(i) * tas.sigma_at(i))
                / air::units::G0_MPS2;
            (across * bank[i].cos().powi(2)).with(1.2 * DEGREE)
        };
        let sigma = each(len, sigma);
        flight.bank = Some(series(bank, sigma, Origin::Derived));
    }
}
