//! Where and when a lesson begins, its field and its weather.

use super::read::{HEADING, KIAS};
use super::reader::{Range, Section};
use super::{Script, Start};
use crate::runway::Runway;
use air::atmosphere;
use air::geodesy::Place as OnEarth;
use air::units::{M_PER_FT, MPS_PER_KT, PA_PER_INHG};
use aircraft::Problem;
use dynamics::{Weather, WindAt};
use jiff::Timestamp;

pub(super) fn start(top: &Section) -> Result<(Start, Timestamp), Problem> {
    let usual = "2026-05-14T09:12:00Z";
    let mut start = Start::Air {
        height: 3000.0 * M_PER_FT,
        speed: None,
        heading: 0.0,
    };
    let mut written = usual;
    if let Some(section) = top.section("start")? {
        section.only(&["where", "height_ft", "speed_kias", "heading_deg", "time"])?;
        let runway = section.word("where", &[("runway", true), ("air", false)])?;
        if runway == Some(true) {
            section.only(&["where", "time"])?;
            start = Start::Runway;
        } else {
            let height = section.number("height_ft", Range(500.0, 12_000.0, "ft"))?;
            let heading = section.number("heading_deg", HEADING)?;
            start = Start::Air {
                height: height.unwrap_or(3000.0) * M_PER_FT,
                speed: section.number("speed_kias", KIAS)?.map(|v| v * MPS_PER_KT),
                heading: heading.unwrap_or(0.0).to_radians(),
            };
        }
        written = section.text("time")?.unwrap_or(usual);
        let time: Option<Timestamp> = written.parse().ok();
        // The magnetic model covers these years, and the debrief needs it.
        let years = air::magnetic::FIRST_YEAR..=air::magnetic::LAST_YEAR;
        let year = written.get(..4).and_then(|year| year.parse::<i32>().ok());
        if time.is_none() || !year.is_some_and(|year| years.contains(&year)) {
            let what = format!("time = \"{written}\" is no time that can be flown at");
            let mend = format!(
                "write a UTC time from {} to {} like \"{usual}\"",
                years.start(),
                years.end()
            );
            return Err(top.page.problem(section.place("time"), what, &mend));
        }
    }
    let time = written.parse().unwrap_or(Timestamp::UNIX_EPOCH);
    Ok((start, time))
}

pub(super) fn field(top: &Section, script: &mut Script) -> Result<(), Problem> {
    // Over open water, so that no field on Earth is meant.
    let (mut latitude, mut longitude) = (38.0, -140.0);
    let (mut elevation, mut course, mut length) = (500.0, 90.0, 5000.0);
    if let Some(section) = top.section("field")? {
        section.only(&[
            "latitude_deg",
            "longitude_deg",
            "elevation_ft",
            "runway_deg",
            "runway_ft",
        ])?;
        let get = |key: &str, range: Range, usual: f64| {
            section
                .number(key, range)
                .map(|found| found.unwrap_or(usual))
        };
        latitude = get("latitude_deg", Range(-70.0, 70.0, "deg"), latitude)?;
        longitude = get("longitude_deg", Range(-180.0, 180.0, "deg"), longitude)?;
        elevation = get("elevation_ft", Range(-200.0, 8000.0, "ft"), elevation)?;
        course = get("runway_deg", HEADING, course)?;
        length = get("runway_ft", Range(2500.0, 15_000.0, "ft"), length)?;
    }
    script.place = OnEarth {
        latitude_rad: latitude.to_radians(),
        longitude_rad: longitude.to_radians(),
    };
    script.elevation_m = elevation * M_PER_FT;
    script.runway = Runway {
        course: course.to_radians(),
        length: length * M_PER_FT,
    };
    Ok(())
}

pub(super) fn weather(top: &Section, script: &mut Script) -> Result<(), Problem> {
    let mut values = [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 29.92];
    if let Some(section) = top.section("weather")? {
        let keys: [(&str, Range); 7] = [
            ("wind_from_deg", HEADING),
            ("wind_kt", Range(0.0, 40.0, "kt")),
            ("wind_kt_per_1000ft", Range(-5.0, 10.0, "kt")),
            ("wind_veer_deg_per_1000ft", Range(-20.0, 20.0, "deg")),
            ("gust_kt", Range(0.0, 6.0, "kt")),
            ("warmer_c", Range(-30.0, 30.0, "°C")),
            ("altimeter_inhg", Range(28.0, 31.5, "inHg")),
        ];
        section.only(&keys.map(|(key, _)| key))?;
        for (value, (key, range)) in values.iter_mut().zip(keys) {
            *value = section.number(key, range)?.unwrap_or(*value);
        }
    }
    let [from, speed, shear, veer, gust, warmer, setting] = values;
    script.setting_pa = setting * PA_PER_INHG;
    script.wind = (from.to_radians(), speed * MPS_PER_KT);
    let layer = |thousands: f64| {
        let toward = (from + veer * thousands + 180.0).to_radians();
        let speed = (speed + shear * thousands).max(0.0) * MPS_PER_KT;
        WindAt {
            height_m: 1000.0 * thousands * M_PER_FT,
            toward_mps: [speed * toward.cos(), speed * toward.sin()],
        }
    };
    script.weather = Weather {
        warmer_k: warmer,
        reference_pressure_m: atmosphere::pressure_altitude_from_indicated_m(
            script.elevation_m,
            script.setting_pa,
        ),
        wind: (0..=12).map(|k| layer(f64::from(k))).collect(),
        gust_mps: gust * MPS_PER_KT,
    };
    Ok(())
}
