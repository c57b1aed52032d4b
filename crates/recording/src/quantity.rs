//! Names of quantities for machines, and what unit each is kept in.

use crate::Quantity;
use crate::vocabulary::Dimension;

/// Every quantity with its id, its dimension and its SI unit.
const TABLE: &[(Quantity, &str, Dimension)] = &[
    (Quantity::Latitude, "latitude", Dimension::Angle),
    (Quantity::Longitude, "longitude", Dimension::Angle),
    (
        Quantity::AltitudeIndicated,
        "altitude_indicated",
        Dimension::Length,
    ),
    (
        Quantity::AltitudePressure,
        "altitude_pressure",
        Dimension::Length,
    ),
    (Quantity::AltitudeGnss, "altitude_gnss", Dimension::Length),
    (
        Quantity::AltimeterSetting,
        "altimeter_setting",
        Dimension::Pressure,
    ),
    (
        Quantity::AirspeedIndicated,
        "airspeed_indicated",
        Dimension::Speed,
    ),
    (
        Quantity::AirspeedCalibrated,
        "airspeed_calibrated",
        Dimension::Speed,
    ),
    (Quantity::AirspeedTrue, "airspeed_true", Dimension::Speed),
    (Quantity::GroundSpeed, "ground_speed", Dimension::Speed),
    (Quantity::VerticalSpeed, "vertical_speed", Dimension::Speed),
    (Quantity::Pitch, "pitch", Dimension::Angle),
    (Quantity::Bank, "bank", Dimension::Angle),
    (
        Quantity::HeadingMagnetic,
        "heading_magnetic",
        Dimension::Angle,
    ),
    (Quantity::HeadingTrue, "heading_true", Dimension::Angle),
    (Quantity::TrackTrue, "track_true", Dimension::Angle),
    (Quantity::TrackMagnetic, "track_magnetic", Dimension::Angle),
    (Quantity::PitchRate, "pitch_rate", Dimension::Rate),
    (Quantity::RollRate, "roll_rate", Dimension::Rate),
    (Quantity::YawRate, "yaw_rate", Dimension::Rate),
    (Quantity::AngleOfAttack, "angle_of_attack", Dimension::Angle),
    (Quantity::Sideslip, "sideslip", Dimension::Angle),
    (Quantity::StallWarning, "stall_warning", Dimension::Flag),
    (Quantity::LoadNormal, "load_normal", Dimension::Load),
    (Quantity::LoadLateral, "load_lateral", Dimension::Load),
    (
        Quantity::LoadLongitudinal,
        "load_longitudinal",
        Dimension::Load,
    ),
    (Quantity::Flap, "flap", Dimension::Angle),
    (Quantity::Gear, "gear", Dimension::Flag),
    (Quantity::Elevator, "elevator", Dimension::Ratio),
    (Quantity::Aileron, "aileron", Dimension::Ratio),
    (Quantity::Rudder, "rudder", Dimension::Ratio),
    (Quantity::PitchTrim, "pitch_trim", Dimension::Ratio),
    (Quantity::Throttle, "throttle", Dimension::Ratio),
    (Quantity::EngineSpeed, "engine_speed", Dimension::Revs),
    (
        Quantity::ManifoldPressure,
        "manifold_pressure",
        Dimension::Pressure,
    ),
    (Quantity::FuelFlow, "fuel_flow", Dimension::Flow),
    (Quantity::PowerShare, "power_share", Dimension::Ratio),
    (
        Quantity::OutsideAirTemperature,
        "outside_air_temperature",
        Dimension::Temperature,
    ),
    (Quantity::WindSpeed, "wind_speed", Dimension::Speed),
    (
        Quantity::WindDirectionFrom,
        "wind_direction_from",
        Dimension::Angle,
    ),
    (
        Quantity::MagneticVariation,
        "magnetic_variation",
        Dimension::Angle,
    ),
    (Quantity::FixQuality, "fix_quality", Dimension::Other),
    (Quantity::Other, "other", Dimension::Other),
];

impl Quantity {
    /// Every quantity, in the order of the type.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| row.0)
    }

    /// The stable name that machines read, e.g. `airspeed_indicated`.
    #[must_use]
    pub fn id(self) -> &'static str {
        TABLE
            .iter()
            .find(|row| row.0 == self)
            .map_or("other", |row| row.1)
    }

    /// The quantity with this id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        TABLE.iter().find(|row| row.1 == id).map(|row| row.0)
    }

    /// The unit its values are kept in: SI; load factors in g, shares and control positions as fractions.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self.dimension() {
            Dimension::Angle => "rad",
            Dimension::Length => "m",
            Dimension::Speed => "m/s",
            Dimension::Rate | Dimension::Revs => "rad/s",
            Dimension::Load => "g",
            Dimension::Pressure => "Pa",
            Dimension::Temperature => "K",
            Dimension::Flow => "m³/s",
            Dimension::Time => "s",
            Dimension::Ratio | Dimension::Flag | Dimension::Other => "1",
        }
    }

    pub(crate) fn dimension(self) -> Dimension {
        TABLE
            .iter()
            .find(|row| row.0 == self)
            .map_or(Dimension::Other, |row| row.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ids are what serde writes, they are unique, and they come back.
    #[test]
    fn prop_every_id_comes_back_and_is_what_serde_writes() {
        for quantity in Quantity::all() {
            assert_eq!(Quantity::from_id(quantity.id()), Some(quantity));
            let written = format!("{quantity:?}");
            let mut snake = String::new();
            for letter in written.chars() {
                if letter.is_uppercase() && !snake.is_empty() {
                    snake.push('_');
                }
                snake.extend(letter.to_lowercase());
            }
            assert_eq!(snake, quantity.id());
        }
    }
}
