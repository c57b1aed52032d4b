//! How well the words of a header name a quantity.

use crate::Quantity;
use crate::vocabulary::{Dimension, NameRule, Unit, VOCABULARY};
use crate::words::HeaderWords;

/// Points of one rule: its weight less what is left over in the name; `None` when it does not apply.
#[allow(clippy::cast_precision_loss)]
fn name_score(words: &[(&[u16], f64)], rule: &NameRule) -> Option<f64> {
    // A bit a word; names of more words than that have no meaning that is listed.
    let mut used = 0_u32;
    for concept in &rule.concepts {
        let index = words
            .iter()
            .take(32)
            .enumerate()
            .position(|(index, (concepts, _))| {
                used & (1 << index) == 0 && concepts.contains(concept)
            })?;
        used |= 1 << index;
    }
    let left: f64 = words
        .iter()
        .enumerate()
        .filter(|(index, _)| *index >= 32 || used & (1 << index) == 0)
        .map(|(_, (_, cost))| cost)
        .sum();
    let score = rule.weight + 0.3 * (rule.concepts.len() as f64 - 1.0) - left;
    (score > 0.5).then_some(score)
}

/// What a word costs that the rule does not need.
fn left_over(word: &str) -> f64 {
    if word.bytes().all(|byte| byte.is_ascii_digit()) {
        0.3
    } else if VOCABULARY.means(word, "not_here") {
        4.0
    } else if ["position", "pilot", "attitude", "utc"]
        .iter()
        .any(|filler| VOCABULARY.means(word, filler))
    {
        0.3
    } else if VOCABULARY.concepts_of(word).is_empty() {
        0.7
    } else {
        2.0
    }
}

/// Candidates of a column by its words and its written unit, best first.
pub fn by_words(words: &HeaderWords) -> Vec<(Quantity, Option<Unit>, f64)> {
    let mut out: Vec<(Quantity, Option<Unit>, f64)> = Vec::new();
    let mut readings: Vec<(&[String], Option<&Unit>)> = vec![(&words.words, words.unit.as_ref())];
    if let Some((unit, take)) = &words.trailing_unit
        && let Some(rest) = words.words.get(..words.words.len().saturating_sub(*take))
    {
        readings.push((rest, Some(unit)));
    }
    for (words, unit) in readings {
        let words: Vec<(&[u16], f64)> = words
            .iter()
            .map(|word| (VOCABULARY.concepts_of(word), left_over(word)))
            .collect();
        for rule in &VOCABULARY.names {
            let Some(mut score) = name_score(&words, rule) else {
                continue;
            };
            let unit = match unit {
                Some(unit) if fits(unit, rule.quantity.dimension()) => {
                    score += 0.5;
                    Some(unit.clone())
                }
                Some(_) => {
                    score -= 3.0;
                    None
                }
                None => None,
            };
            match out
                .iter_mut()
                .find(|(quantity, ..)| *quantity == rule.quantity)
            {
                Some(known) if known.2 < score => *known = (rule.quantity, unit, score),
                Some(_) => {}
                None => out.push((rule.quantity, unit, score)),
            }
        }
    }
    out.retain(|(.., score)| *score > 0.0);
    out.sort_by(|a, b| b.2.total_cmp(&a.2));
    out
}

/// Whether a unit can be the unit of a quantity of this dimension.
pub fn fits(unit: &Unit, dimension: Dimension) -> bool {
    unit.dimension == dimension
        || matches!(
            (dimension, unit.dimension),
            (Dimension::Flag, Dimension::Ratio | Dimension::Flag)
                | (Dimension::Ratio, Dimension::Flag | Dimension::Angle)
        )
        || dimension == Dimension::Other
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::split_header;

    /// What the trade writes at the head of a column, in the ways that are usual (common practice, no
    /// source): the first reading by words alone must be the right one.
    #[test]
    fn usual_names_are_understood() {
        use Quantity as Q;
        let mut wrong = Vec::new();
        for (names, quantity) in [
            (
                "latitude|Lat|LAT (deg)|gps_lat|GPS Latitude|position_latitude|Latitud|Breitengrad|latitude_deg",
                Q::Latitude,
            ),
            (
                "longitude|Lon|LONG|gpsLon|GPS Longitude|Lng|Longitud|Länge [°]|longitude_deg",
                Q::Longitude,
            ),
            (
                "IAS|ias_kt|Indicated Airspeed|IndicatedAirspeed (kt)|Air Speed Ind|KIAS|Airspeed|Airspeed (indicated)|indicated_airspeed_kts|Vi (km/h)|Fahrt [km/h]",
                Q::AirspeedIndicated,
            ),
            (
                "TAS|True Airspeed|true_airspeed (kts)|KTAS|TrueAirspeed",
                Q::AirspeedTrue,
            ),
            ("CAS|Calibrated Airspeed|KCAS", Q::AirspeedCalibrated),
            (
                "GS|Ground Speed|groundspeed|GndSpd (kt)|GPS Speed|gps_ground_speed|SOG|Ground Spd|Geschwindigkeit über Grund|Vitesse sol|speed_over_ground_kt",
                Q::GroundSpeed,
            ),
            (
                "VS|VSI|vertical_speed|Vertical Speed (fpm)|VertSpd|Climb Rate|RateOfClimb|rate_of_climb|ROC|Vario|vspeed|VVI|Steigen m/s|Sinkrate",
                Q::VerticalSpeed,
            ),
            (
                "Pressure Altitude|PressAlt|press_alt_ft|PALT|Pressure Alt|altitude_pressure|Druckhöhe",
                Q::AltitudePressure,
            ),
            (
                "Baro Altitude|BaroAlt|Indicated Altitude|Alt Ind|AltInd (ft)|altitude_baro|Baro-Alt",
                Q::AltitudeIndicated,
            ),
            (
                "GPS Altitude|AltGPS|gps_alt|Alt GPS (ft)|GNSS Altitude|GPS Alt MSL|altitude_wgs84|GPS Height|Höhe GPS|Alt. WGS84",
                Q::AltitudeGnss,
            ),
            (
                "QNH|Altimeter Setting|AltimeterSetting (inHg)|baro_setting|Baro Set|Kollsman|BaroSetting|Altimeter setting (hPa)",
                Q::AltimeterSetting,
            ),
            (
                "Pitch|Pitch Angle|att_pitch|PITCH_DEG|Pitch Attitude (deg)|pitch_angle|Nick|Nickwinkel|Assiette|theta",
                Q::Pitch,
            ),
            (
                "Roll|Bank|Roll Angle|bank_angle_deg|Bank Angle (°)|RollAttitude|Querlage|phi|Querneigung",
                Q::Bank,
            ),
            (
                "Heading|HDG|Mag Heading|heading_mag|Magnetic Heading (deg)|HdgMag|Steuerkurs|Compass|Heading Magnetic",
                Q::HeadingMagnetic,
            ),
            ("True Heading|heading_true|HDGT|HdgTrue", Q::HeadingTrue),
            (
                "Track|TRK|Ground Track|Course|COG|GPS Track|track_true|Track Angle|True Track|course_deg|Kurs über Grund|Ground Course",
                Q::TrackTrue,
            ),
            (
                "AOA|Angle of Attack|alpha|AngleOfAttack (deg)|Anstellwinkel",
                Q::AngleOfAttack,
            ),
            (
                "Normal G|NormAcc|Normal Acceleration (g)|g_load|G Load|Load Factor|nz|Nz (g)|Vertical G|acc_z|AccZ|Vert Accel|Normal Accel|Lastvielfaches|vertical_acceleration",
                Q::LoadNormal,
            ),
            (
                "Lateral G|LatAcc|Lateral Acceleration|ny|acc_y|AccelY|Lat Accel|lateral_g",
                Q::LoadLateral,
            ),
            (
                "Longitudinal Acceleration|nx|acc_x|LonAcc|Long Accel|longitudinal_g",
                Q::LoadLongitudinal,
            ),
            (
                "Flaps|Flap Position|flap_deg|FLAP|Flap Angle|Klappen|Flaps (deg)|flap_pos",
                Q::Flap,
            ),
            ("Gear|Landing Gear|Gear Position|Fahrwerk", Q::Gear),
            (
                "Elevator|elevator_pos|Elevator Position (%)|Höhenruder|Elev",
                Q::Elevator,
            ),
            ("Aileron|Aileron Position|Querruder|aileron_pct", Q::Aileron),
            (
                "Rudder|rudder_pos|Rudder Position (%)|Seitenruder",
                Q::Rudder,
            ),
            (
                "Pitch Trim|Elevator Trim|pitch_trim_pct|Trim|ElevatorTrim|Trimmung",
                Q::PitchTrim,
            ),
            (
                "Throttle|throttle_pos|Throttle Position (%)|Power Lever|TPS|Gashebel|throttle_pct",
                Q::Throttle,
            ),
            (
                "RPM|Engine RPM|E1 RPM|Eng1 RPM|engine_speed|Engine Speed (rpm)|Prop RPM|Drehzahl|Motordrehzahl",
                Q::EngineSpeed,
            ),
            (
                "MAP|Manifold Pressure|MP (inHg)|manifold_press|MAP inHg|Ladedruck|E1 MAP|Manifold Press.",
                Q::ManifoldPressure,
            ),
            (
                "Fuel Flow|FF|fuel_flow_gph|FFlow|E1 FFlow|Fuel Flow (gal/h)|FuelFlow|Kraftstofffluss|Fuel Flow 1 (gph)",
                Q::FuelFlow,
            ),
            (
                "OAT|Outside Air Temp|outside_temp|OutsideAirTemperature (C)|Aussentemperatur|Ambient Temp|Outside Temperature",
                Q::OutsideAirTemperature,
            ),
            (
                "Stall Warning|stall_warn|Stall Horn|StallWarning",
                Q::StallWarning,
            ),
            (
                "Wind Speed|WindSpd|wind_speed_kt|Windgeschwindigkeit",
                Q::WindSpeed,
            ),
            (
                "Wind Direction|WindDir|wind_dir|Wind Dir (deg)|Windrichtung",
                Q::WindDirectionFrom,
            ),
            (
                "Mag Var|MagVar|Magnetic Variation|variation_deg|Magnetic Declination",
                Q::MagneticVariation,
            ),
            ("Roll Rate|roll_rate_dps|RollRate (deg/s)", Q::RollRate),
            ("Pitch Rate|pitch_rate|PitchRate", Q::PitchRate),
            (
                "Yaw Rate|Turn Rate|Rate of Turn|yaw_rate (deg/s)",
                Q::YawRate,
            ),
            ("HDOP|hdop", Q::FixQuality),
            (
                "% Power|Power (%)|Percent Power|power_pct|Engine Power",
                Q::PowerShare,
            ),
        ] {
            for name in names.split('|') {
                let words = split_header(name, "");
                let found = by_words(&words);
                if found.first().map(|best| best.0) != Some(quantity) {
                    let first: Vec<_> = found.iter().take(2).map(|best| (best.0, best.2)).collect();
                    wrong.push(format!(
                        "{name} ({:?}): {first:?} instead of {quantity:?}",
                        words.words
                    ));
                }
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}
