//! What values a quantity can take in a light airplane, in SI: wide limits that physics or the type of
//! instrument sets, not limits fitted to any recording (common practice, no source).

use crate::Quantity;
use crate::sample::Facts;
use crate::vocabulary::Unit;

/// Values beyond these cannot be: they are read as no value.
pub fn hard_limits(quantity: Quantity) -> (f64, f64) {
    use std::f64::consts::{PI, TAU};
    match quantity {
        Quantity::Latitude => (-PI / 2.0, PI / 2.0),
        Quantity::Longitude => (-PI, TAU),
        Quantity::AltitudeIndicated | Quantity::AltitudePressure | Quantity::AltitudeGnss => {
            (-1000.0, 20_000.0)
        }
        // Records of the atmosphere: 870 to 1084 hPa, with room for a wrong setting.
        Quantity::AltimeterSetting => (80_000.0, 115_000.0),
        Quantity::AirspeedIndicated
        | Quantity::AirspeedCalibrated
        | Quantity::AirspeedTrue
        | Quantity::GroundSpeed => (-3.0, 350.0),
        Quantity::VerticalSpeed => (-150.0, 150.0),
        Quantity::Pitch => (-1.6, 1.6),
        Quantity::Bank => (-3.2, 3.2),
        Quantity::HeadingMagnetic
        | Quantity::HeadingTrue
        | Quantity::TrackTrue
        | Quantity::TrackMagnetic
        | Quantity::WindDirectionFrom => (-TAU, TAU + 0.02),
        Quantity::PitchRate | Quantity::RollRate | Quantity::YawRate => (-10.0, 10.0),
        Quantity::AngleOfAttack | Quantity::Sideslip => (-1.6, 1.6),
        Quantity::StallWarning | Quantity::Gear => (-0.01, 1.01),
        Quantity::LoadNormal | Quantity::LoadLateral | Quantity::LoadLongitudinal => (-20.0, 20.0),
        Quantity::Flap => (-0.4, 1.4),
        Quantity::Elevator | Quantity::Aileron | Quantity::Rudder | Quantity::PitchTrim => {
            (-2.0, 2.0)
        }
        Quantity::Throttle | Quantity::PowerShare => (-0.3, 1.6),
        Quantity::EngineSpeed => (-1.0, 1100.0),
        Quantity::ManifoldPressure => (0.0, 250_000.0),
        Quantity::FuelFlow => (-1e-7, 3e-4),
        Quantity::OutsideAirTemperature => (180.0, 345.0),
        Quantity::WindSpeed => (-0.01, 150.0),
        Quantity::MagneticVariation => (-PI, PI),
        Quantity::FixQuality | Quantity::Other => (f64::NEG_INFINITY, f64::INFINITY),
    }
}

/// Points for the values of a column, if they were this quantity in this unit.
pub fn points(quantity: Quantity, unit: &Unit, facts: &Facts) -> (f64, Option<String>) {
    let si = |value: f64| value * unit.factor + unit.offset;
    let (a, b) = (si(facts.low), si(facts.high));
    let (low, high) = (a.min(b), a.max(b));
    let middle = si(facts.median);
    let (least, most) = hard_limits(quantity);
    if high < least || low > most {
        return (-30.0, Some("values outside what this can be".to_owned()));
    }
    if low < least || high > most {
        return (
            -9.0,
            Some("many values outside what this can be".to_owned()),
        );
    }
    let span = high - low;
    let typical = match quantity {
        Quantity::Latitude | Quantity::Longitude => span < 0.5,
        Quantity::AltitudeIndicated | Quantity::AltitudePressure | Quantity::AltitudeGnss => {
            high < 6000.0 && span > 20.0
        }
        Quantity::AltimeterSetting => middle > 94_000.0 && middle < 106_000.0 && span < 4000.0,
        Quantity::AirspeedIndicated
        | Quantity::AirspeedCalibrated
        | Quantity::AirspeedTrue
        | Quantity::GroundSpeed => high > 20.0 && high < 110.0 && low > -1.5,
        Quantity::VerticalSpeed => middle.abs() < 5.0 && high > 0.5 && high < 20.0 && low > -40.0,
        Quantity::Pitch => middle.abs() < 0.3 && high < 1.0 && high - low > 0.03,
        Quantity::Bank => middle.abs() < 0.4 && span > 0.15,
        Quantity::HeadingMagnetic
        | Quantity::HeadingTrue
        | Quantity::TrackTrue
        | Quantity::TrackMagnetic => span > 1.0,
        Quantity::AngleOfAttack => middle > -0.15 && middle < 0.35 && high < 0.6 && span > 0.01,
        Quantity::LoadNormal => (middle - 1.0).abs() < 0.15 && span < 5.0,
        Quantity::LoadLateral | Quantity::LoadLongitudinal => middle.abs() < 0.4 && span < 2.0,
        Quantity::StallWarning | Quantity::Gear => facts.distinct <= 3,
        Quantity::Flap => high < 1.05 && high > 0.08 || (high - low).abs() < 1e-9,
        Quantity::Elevator | Quantity::Aileron | Quantity::Rudder | Quantity::PitchTrim => {
            high.abs().max(low.abs()) > 0.02
        }
        Quantity::Throttle | Quantity::PowerShare => high > 0.3 && high < 1.15 && low > -0.1,
        Quantity::EngineSpeed => high > 100.0 && high < 640.0,
        Quantity::ManifoldPressure => high > 40_000.0 && high < 170_000.0 && low > 10_000.0,
        // 1.5 to 30 gallons an hour.
        Quantity::FuelFlow => high > 1.6e-6 && high < 3.2e-5,
        Quantity::OutsideAirTemperature => low > 230.0 && high < 320.0 && span < 45.0,
        Quantity::WindSpeed => high < 50.0,
        _ => true,
    };
    if typical {
        (1.0, None)
    } else {
        (-1.5, Some("unusual values".to_owned()))
    }
}
