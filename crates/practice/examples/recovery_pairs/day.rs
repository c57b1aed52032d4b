//! The air of the day, the field and the recorder aboard.

use air::geodesy::Place;
use air::units::MPS_PER_KT;
use dynamics::{Weather, WindAt};
use practice::recorder::{Field, Fit};
use rand::RngExt;
use rand_pcg::Pcg64;
use std::error::Error;
use std::f64::consts::TAU;

/// Where, when, in which air.
pub struct Day {
    pub weather: Weather,
    pub wind_kt: f64,
    pub turbulence: &'static str,
    pub field: Field,
    pub fit: Fit,
    /// Share of the recorder's rows that are lost.
    pub dropped: f64,
}

/// Light and moderate about the intensities that MIL-HDBK-1797 gives for low altitude, 0.1 of a wind of 15 and 30 kt
/// at 20 ft: 0.8 and 1.5 m/s.
pub fn draw(dice: &mut Pcg64) -> Result<Day, Box<dyn Error>> {
    let (turbulence, gust_mps) = match dice.random_range(0..3) {
        0 => ("none", 0.0),
        1 => ("light", dice.random_range(0.5..0.9)),
        _ => ("moderate", dice.random_range(1.1..1.6)),
    };
    let wind_kt: f64 = dice.random_range(0.0..25.0);
    let toward: f64 = dice.random_range(0.0..TAU);
    let wind = |share: f64, turned: f64| {
        let (s, c) = (toward + turned).sin_cos();
        let speed = share * wind_kt * MPS_PER_KT;
        [speed * c, speed * s]
    };
    let elevation_m = dice.random_range(0.0..300.0);
    let weather = Weather {
        warmer_k: dice.random_range(-10.0..18.0),
        reference_pressure_m: elevation_m + dice.random_range(-60.0..60.0),
        // A little more and a little to the right for every thousand feet.
        wind: vec![
            WindAt {
                height_m: 0.0,
                toward_mps: wind(0.7, 0.0),
            },
            WindAt {
                height_m: 2500.0,
                toward_mps: wind(1.1, 0.3),
            },
        ],
        gust_mps,
    };
    let field = Field {
        place: Place {
            latitude_rad: dice.random_range(0.5..0.9),
            longitude_rad: dice.random_range(-1.5..0.3),
        },
        elevation_m,
        start: "2026-05-14T09:12:00Z".parse()?,
        variation_rad: dice.random_range(-0.2..0.2),
        setting_pa: air::atmosphere::P0_PA,
    };
    let fit = if dice.random::<bool>() {
        Fit::Rich
    } else {
        Fit::Panel
    };
    let dropped = if dice.random::<f64>() < 0.25 {
        0.01
    } else {
        0.0
    };
    Ok(Day {
        weather,
        wind_kt,
        turbulence,
        field,
        fit,
        dropped,
    })
}
