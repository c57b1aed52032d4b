//! Which quantities leave, under which name and in which unit: the one list that all formats share.

use air::units::{K_AT_0_C, MPS_PER_KT};
use flight::{Flight, Origin, PowerState, Series};

use crate::column::{Column, Spread, Values};
use crate::units::Unit;

/// Id, title, unit, series.
type Row<'a> = (&'static str, &'static str, Unit, Option<&'a Series>);

/// Wind slower than this has no direction to speak of, m/s (a hundredth of a knot).
const NO_WIND_MPS: f64 = 0.01 * MPS_PER_KT;

/// The columns that the flight can fill, in the order in which they are written.
///
/// Directions are unwrapped (they run on past 360 and below 0), so that no line jumps at north;
/// `heading_deg` is magnetic, `track_deg` and `air_track_deg` are true.
pub(crate) fn columns(flight: &Flight) -> Vec<Column<'_>> {
    let mut out: Vec<Column<'_>> = motion(flight)
        .into_iter()
        .filter_map(|(id, title, unit, series)| {
            // The flight's heading is true, the pilot's is magnetic: variation is east positive.
            let added_si = if id == "heading_deg" {
                -flight.variation_rad
            } else {
                0.0
            };
            Some(Column::of(id, title, unit, series?, added_si))
        })
        .collect();
    out.extend(stall_margin(flight));
    out.extend(wind(flight));
    out.extend(
        power_and_controls(flight)
            .into_iter()
            .filter_map(|(id, title, unit, series)| {
                Some(Column::of(id, title, unit, series?, 0.0))
            }),
    );
    out.extend(flight.temperature.as_ref().map(|series| {
        Column::of(
            "oat_c",
            "Outside air temperature",
            Unit::Celsius,
            series,
            -K_AT_0_C,
        )
    }));
    out.extend(flap_chance(flight));
    out.extend(classes(flight));
    out
}

fn motion(flight: &Flight) -> [Row<'_>; 23] {
    let f = flight;
    [
        ("altitude_ft", "Altitude", Unit::Foot, f.altitude.as_ref()),
        (
            "height_ft",
            "Height above mean sea level",
            Unit::Foot,
            f.height.as_ref(),
        ),
        ("agl_ft", "Height above terrain", Unit::Foot, f.agl.as_ref()),
        (
            "climb_fpm",
            "Climb rate",
            Unit::FootPerMinute,
            f.climb.as_ref(),
        ),
        (
            "ground_speed_kt",
            "Ground speed",
            Unit::Knot,
            f.ground_speed.as_ref(),
        ),
        ("track_deg", "Track, true", Unit::Degree, f.track.as_ref()),
        ("ias_kt", "Indicated airspeed", Unit::Knot, f.ias.as_ref()),
        ("tas_kt", "True airspeed", Unit::Knot, f.tas.as_ref()),
        (
            "tas_rate_kt_s",
            "Change of true airspeed",
            Unit::KnotPerSecond,
            f.tas_rate.as_ref(),
        ),
        (
            "heading_deg",
            "Heading, magnetic",
            Unit::Degree,
            f.heading.as_ref(),
        ),
        (
            "air_track_deg",
            "Direction through the air, true",
            Unit::Degree,
            f.air_track.as_ref(),
        ),
        (
            "turn_rate_deg_s",
            "Rate of turn",
            Unit::DegreePerSecond,
            f.turn_rate.as_ref(),
        ),
        ("pitch_deg", "Pitch", Unit::Degree, f.pitch.as_ref()),
        ("bank_deg", "Bank", Unit::Degree, f.bank.as_ref()),
        ("load_g", "Load factor", Unit::LoadFactor, f.load.as_ref()),
        (
            "lateral_g",
            "Lateral load",
            Unit::LoadFactor,
            f.lateral.as_ref(),
        ),
        (
            "path_deg",
            "Flight-path angle through the air",
            Unit::Degree,
            f.path.as_ref(),
        ),
        ("aoa_deg", "Angle of attack", Unit::Degree, f.aoa.as_ref()),
        (
            "lift_coefficient",
            "Lift coefficient",
            Unit::One,
            f.lift_coefficient.as_ref(),
        ),
        (
            "energy_ft",
            "Specific energy",
            Unit::Foot,
            f.energy.as_ref(),
        ),
        (
            "excess_power_fpm",
            "Specific excess power",
            Unit::FootPerMinute,
            f.excess_power.as_ref(),
        ),
        ("east_m", "East of the origin", Unit::Meter, f.east.as_ref()),
        (
            "north_m",
            "North of the origin",
            Unit::Meter,
            f.north.as_ref(),
        ),
    ]
}

fn power_and_controls(flight: &Flight) -> [Row<'_>; 10] {
    let f = flight;
    let flap = f.flaps.as_ref().map(|flaps| &flaps.angle);
    [
        (
            "rpm",
            "Engine speed",
            Unit::RevolutionPerMinute,
            f.engine_speed.as_ref(),
        ),
        ("power_percent", "Power", Unit::Percent, f.power.as_ref()),
        (
            "throttle_percent",
            "Throttle",
            Unit::Percent,
            f.throttle.as_ref(),
        ),
        (
            "manifold_inhg",
            "Manifold pressure",
            Unit::InchOfMercury,
            f.manifold_pressure.as_ref(),
        ),
        (
            "fuel_flow_gph",
            "Fuel flow",
            Unit::GallonPerHour,
            f.fuel_flow.as_ref(),
        ),
        (
            "elevator_percent",
            "Elevator, nose up",
            Unit::Percent,
            f.elevator.as_ref(),
        ),
        (
            "aileron_percent",
            "Aileron, right",
            Unit::Percent,
            f.aileron.as_ref(),
        ),
        (
            "rudder_percent",
            "Rudder, right",
            Unit::Percent,
            f.rudder.as_ref(),
        ),
        (
            "stall_warning",
            "Stall warning",
            Unit::One,
            f.stall_warning.as_ref(),
        ),
        ("flap_deg", "Flaps", Unit::Degree, flap),
    ]
}

/// Speed above the stall speed of the moment, percent: 100·(1/√(lift ratio) − 1), because the lift ratio is
/// n·(Vs/V)², so that V over the stall speed √n·Vs is one over its root. 0 is the stall, 30 is the usual
/// approach margin. NaN without lift, where there is no stall speed. 1-σ by the slope: 50·ratio^(−3/2)·σ.
/// Source: FAA-H-8083-25C, ch. 5, "Load Factors and Stalling Speeds" (stall speed goes with √n).
fn stall_margin(flight: &Flight) -> Option<Column<'_>> {
    let ratio = flight.lift_ratio.as_ref()?;
    let len = flight.clock.len;
    let mut values = Vec::with_capacity(len);
    let mut sigmas = Vec::with_capacity(len);
    for index in 0..len {
        let share = ratio.at(index);
        if share > 0.0 {
            let times = share.sqrt().recip();
            values.push(finite(100.0 * (times - 1.0)));
            sigmas.push(finite(50.0 * times / share * ratio.sigma_at(index)));
        } else {
            values.push(f32::NAN);
            sigmas.push(f32::NAN);
        }
    }
    Some(Column {
        id: "stall_margin_percent",
        title: "Speed above the stall speed of the moment",
        unit: Unit::Percent,
        origin: ratio.origin,
        values: Values::Ready(values),
        spread: Spread::Ready(sigmas),
    })
}

/// Wind as direction from (true) and speed, and its two components.
///
/// With σe and σn of the components: σ of the speed is √((e·σe)² + (n·σn)²)/w, σ of the direction is
/// √((n·σe)² + (e·σn)²)/w², never more than what a direction nobody knows has (180/√3 = 104°).
fn wind(flight: &Flight) -> Vec<Column<'_>> {
    let (Some(east), Some(north)) = (flight.wind_east.as_ref(), flight.wind_north.as_ref()) else {
        return Vec::new();
    };
    let len = flight.clock.len;
    let mut parts: [Vec<f32>; 4] = std::array::from_fn(|_| Vec::with_capacity(len));
    let [from, from_sigma, speed, speed_sigma] = &mut parts;
    for index in 0..len {
        let (e, n) = (east.at(index), north.at(index));
        let (sigma_e, sigma_n) = (east.sigma_at(index), north.sigma_at(index));
        let w = length(e, n);
        speed.push(finite(w / MPS_PER_KT));
        if w > NO_WIND_MPS {
            from.push(finite((-e).atan2(-n).to_degrees().rem_euclid(360.0)));
            let across = length(n * sigma_e, e * sigma_n) / (w * w);
            from_sigma.push(finite(across.to_degrees().min(180.0 / 3_f64.sqrt())));
            speed_sigma.push(finite(length(e * sigma_e, n * sigma_n) / w / MPS_PER_KT));
        } else {
            from.push(f32::NAN);
            from_sigma.push(f32::NAN);
            speed_sigma.push(finite(sigma_e.max(sigma_n) / MPS_PER_KT));
        }
    }
    let [from, from_sigma, speed, speed_sigma] = parts;
    // The less sure of the two speaks for both.
    let origin = east.origin.max(north.origin);
    let made = |id, title, unit, values, sigmas| Column {
        id,
        title,
        unit,
        origin,
        values: Values::Ready(values),
        spread: Spread::Ready(sigmas),
    };
    vec![
        made(
            "wind_from_deg",
            "Wind from, true",
            Unit::Degree,
            from,
            from_sigma,
        ),
        made("wind_kt", "Wind speed", Unit::Knot, speed, speed_sigma),
        Column::of("wind_east_kt", "Wind toward east", Unit::Knot, east, 0.0),
        Column::of("wind_north_kt", "Wind toward north", Unit::Knot, north, 0.0),
    ]
}

fn flap_chance(flight: &Flight) -> Option<Column<'_>> {
    let flaps = flight.flaps.as_ref()?;
    Some(Column {
        id: "flap_out_probability",
        title: "Chance that the flaps are out",
        unit: Unit::One,
        origin: flaps.angle.origin,
        values: Values::Ready(flaps.out.clone()),
        spread: Spread::None,
    })
}

/// Power class (0 unknown, 1 idle, 2 partial, 3 full) where any is known, and on the ground (0 or 1).
fn classes(flight: &Flight) -> Vec<Column<'_>> {
    let class = |id, title, values| Column {
        id,
        title,
        unit: Unit::One,
        origin: Origin::Derived,
        values: Values::Ready(values),
        spread: Spread::None,
    };
    let mut out = Vec::new();
    if flight
        .power_state
        .iter()
        .any(|state| *state != PowerState::Unknown)
    {
        let number = |state: &PowerState| match state {
            PowerState::Unknown => 0.0,
            PowerState::Idle => 1.0,
            PowerState::Partial => 2.0,
            PowerState::Full => 3.0,
        };
        let values = flight.power_state.iter().map(number).collect();
        out.push(class(
            "power_state",
            "Power: 0 unknown, 1 idle, 2 partial, 3 full",
            values,
        ));
    }
    if !flight.on_ground.is_empty() {
        let values = flight
            .on_ground
            .iter()
            .map(|on| f32::from(u8::from(*on)))
            .collect();
        out.push(class("on_ground", "On the ground: 0 no, 1 yes", values));
    }
    out
}

/// Plainly, since no wind is so large or small that its square would not fit; `hypot` is many times slower.
fn length(a: f64, b: f64) -> f64 {
    (a * a + b * b).sqrt()
}

fn finite(value: f64) -> f32 {
    let value = value as f32;
    if value.is_finite() { value } else { f32::NAN }
}
