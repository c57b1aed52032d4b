//! Recorders as they are: each has a rate, sees some quantities and not others, lags, rounds, drifts and drops.

use crate::log::{Log, Sample};
use air::atmosphere;
use air::geodesy::{LocalFrame, Place};
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use jiff::{SignedDuration, Timestamp};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;
use std::fmt::Write as _;

/// What is carried aboard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Everything, 10 Hz.
    Rich,
    /// A glass panel, 1 Hz.
    Panel,
    /// Position and attitude, 5 Hz.
    GnssAttitude,
    /// Position alone, 1 Hz.
    Gnss,
}

impl Fit {
    /// Every fit with its id.
    pub const ALL: [(Fit, &'static str); 4] = [
        (Fit::Rich, "rich"),
        (Fit::Panel, "panel"),
        (Fit::GnssAttitude, "gps_att"),
        (Fit::Gnss, "gps"),
    ];

    /// Id.
    #[must_use]
    pub fn id(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(fit, _)| *fit == self)
            .map_or("", |(_, id)| id)
    }

    /// Fit of an id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Fit> {
        Self::ALL
            .iter()
            .find(|(_, known)| *known == id)
            .map(|(fit, _)| *fit)
    }

    /// Rows a second.
    #[must_use]
    pub fn hertz(self) -> usize {
        10 / self.every()
    }

    /// Samples of the log between two rows.
    fn every(self) -> usize {
        match self {
            Fit::Rich => 1,
            Fit::GnssAttitude => 2,
            Fit::Panel | Fit::Gnss => 10,
        }
    }
}

/// Where and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// The reference point.
    pub place: Place,
    /// Its height above sea level, m.
    pub elevation_m: f64,
    /// Start of the recording.
    pub start: Timestamp,
    /// Magnetic variation, east positive, rad.
    pub variation_rad: f64,
    /// Altimeter setting, Pa.
    pub setting_pa: f64,
}

/// Errors that a recorder keeps for a flight, and those that come and go.
struct Errors {
    random: Pcg64,
    pitch: f64,
    bank: f64,
    heading: f64,
    alpha: f64,
    speed: f64,
    lateral: f64,
    gnss: [f64; 3],
}

impl Errors {
    fn new(seed: u64) -> Errors {
        let mut random = Pcg64::seed_from_u64(seed ^ 0x0bad_5eed);
        let mut n = |size: f64| {
            let x: f64 = StandardNormal.sample(&mut random);
            size * x.clamp(-2.5, 2.5)
        };
        let (pitch, bank, heading) = (n(0.006), n(0.006), n(0.02));
        let (alpha, speed, lateral) = (n(0.006), n(0.006), n(0.006));
        let gnss = [n(1.5), n(1.5), n(3.0)];
        Errors {
            random,
            pitch,
            bank,
            heading,
            alpha,
            speed,
            lateral,
            gnss,
        }
    }

    fn noise(&mut self, size: f64) -> f64 {
        let x: f64 = StandardNormal.sample(&mut self.random);
        size * x
    }

    /// Position error of a receiver: a slow walk of meters.
    fn walk(&mut self, step_s: f64) {
        for (axis, size) in [1.5, 1.5, 3.0].into_iter().enumerate() {
            let keep = (-step_s / 90.0_f64).exp();
            let noise = self.noise(size * (1.0 - keep * keep).sqrt());
            self.gnss[axis] = keep * self.gnss[axis] + noise;
        }
    }
}

/// What the pneumatic and inertial parts have made of the motion so far: first-order lags.
struct Lagged {
    ias: f64,
    pressure_altitude: f64,
    climb: f64,
    pitch: f64,
    bank: f64,
}

/// Lags of pitot and static lines and of a vertical speed indicator, s (from memory: tenths of a second, one to two seconds).
const PNEUMATIC_S: f64 = 0.45;
/// The vertical speed indicator's.
const CLIMB_S: f64 = 1.5;
/// The attitude's.
const ATTITUDE_S: f64 = 0.1;

impl Lagged {
    fn follow(&mut self, sample: &Sample, step_s: f64) {
        let to = |value: &mut f64, goal: f64, lag: f64| {
            *value += (1.0 - (-step_s / lag).exp()) * (goal - *value)
        };
        to(&mut self.ias, sample.seen.ias, PNEUMATIC_S);
        to(
            &mut self.pressure_altitude,
            atmosphere::pressure_altitude_m(sample.pressure_pa),
            PNEUMATIC_S,
        );
        to(&mut self.climb, sample.seen.climb, CLIMB_S);
        to(&mut self.pitch, sample.seen.pitch, ATTITUDE_S);
        to(&mut self.bank, sample.seen.bank, ATTITUDE_S);
    }
}

/// One row as a recorder has it before it rounds, in the units that recorders write.
#[derive(Clone, Copy, Debug)]
pub struct Reading {
    /// Since the start, s.
    pub t_s: f64,
    /// When.
    pub time: Timestamp,
    /// Latitude and longitude, deg.
    pub place_deg: [f64; 2],
    /// Height of the receiver above sea level, ft.
    pub gnss_ft: f64,
    /// Ground speed, kt.
    pub ground_kt: f64,
    /// True track, deg.
    pub track_deg: f64,
    /// Pitch, deg.
    pub pitch_deg: f64,
    /// Bank, deg.
    pub bank_deg: f64,
    /// Magnetic heading, deg.
    pub heading_deg: f64,
    /// Load factor along the lift.
    pub normal_g: f64,
    /// Air data and engine; none where the fit has no pitot tube.
    pub air: Option<AirReading>,
}

/// What needs a pitot tube or wires to the engine.
#[derive(Clone, Copy, Debug)]
pub struct AirReading {
    /// Altimeter, ft.
    pub indicated_ft: f64,
    /// Pressure altitude, ft.
    pub pressure_ft: f64,
    /// Airspeed, kt: calibrated, as no position error is modeled.
    pub ias_kt: f64,
    /// Rate of climb, ft/min.
    pub climb_fpm: f64,
    /// Lateral load, g.
    pub lateral_g: f64,
    /// Propeller, 1/min.
    pub rpm: f64,
    /// Outside air, °C.
    pub oat_c: f64,
    /// Angle of attack, deg; only where the fit is rich.
    pub alpha_deg: Option<f64>,
}

/// Writes the recording as a table with units in its header. `dropped` is the share of rows that are lost.
#[must_use]
pub fn write(log: &Log, field: &Field, fit: Fit, dropped: f64, seed: u64) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}", header(fit));
    for (sample, reading) in read(log, field, fit, dropped, seed) {
        row(&mut out, sample, &reading, field, fit);
    }
    out
}

/// What a recorder reads, row by row, beside the moment that it read.
#[must_use]
pub fn read<'a>(
    log: &'a Log,
    field: &Field,
    fit: Fit,
    dropped: f64,
    seed: u64,
) -> Vec<(&'a Sample, Reading)> {
    let mut errors = Errors::new(seed);
    let mut rows = Vec::new();
    let Some(first) = log.samples.first() else {
        return rows;
    };
    let Ok(frame) = LocalFrame::new(field.place, field.elevation_m) else {
        return rows;
    };
    let mut lagged = Lagged {
        ias: first.seen.ias,
        pressure_altitude: atmosphere::pressure_altitude_m(first.pressure_pa),
        climb: first.seen.climb,
        pitch: first.seen.pitch,
        bank: first.seen.bank,
    };
    for (index, sample) in log.samples.iter().enumerate() {
        lagged.follow(sample, crate::pilot::LOG_S);
        errors.walk(crate::pilot::LOG_S);
        if index % fit.every() != 0 || errors.random.random::<f64>() < dropped {
            continue;
        }
        rows.push((
            sample,
            reading(sample, &lagged, &mut errors, field, &frame, fit),
        ));
    }
    rows
}

fn header(fit: Fit) -> &'static str {
    match fit {
        Fit::Rich => {
            "Time (UTC),Latitude (deg),Longitude (deg),Baro Altitude (ft),Altimeter Setting (inHg),GNSS Altitude (ft),IAS (kt),Ground Speed (kt),Vertical Speed (ft/min),Pitch (deg),Roll (deg),Magnetic Heading (deg),Ground Track (deg),AOA (deg),Stall Warning,Lateral G (g),Normal G (g),Flap (deg),Elevator (%),Elevator Trim (%),Aileron (%),Rudder (%),Throttle (%),RPM,OAT (degC)"
        }
        Fit::Panel => {
            "Time (UTC),Latitude (deg),Longitude (deg),Baro Altitude (ft),Altimeter Setting (inHg),GNSS Altitude (ft),IAS (kt),Ground Speed (kt),Vertical Speed (ft/min),Pitch (deg),Roll (deg),Magnetic Heading (deg),Ground Track (deg),Lateral G (g),Normal G (g),RPM,OAT (degC)"
        }
        Fit::GnssAttitude => {
            "Time (UTC),Latitude (deg),Longitude (deg),GNSS Altitude (ft),Ground Speed (kt),Ground Track (deg),Pitch (deg),Roll (deg),Magnetic Heading (deg),Normal G (g)"
        }
        Fit::Gnss => {
            "Time (UTC),Latitude (deg),Longitude (deg),GNSS Altitude (ft),Ground Speed (kt),Ground Track (deg)"
        }
    }
}

fn reading(
    sample: &Sample,
    lagged: &Lagged,
    errors: &mut Errors,
    field: &Field,
    frame: &LocalFrame,
    fit: Fit,
) -> Reading {
    let seen = &sample.seen;
    let since = SignedDuration::from_millis((seen.t * 1000.0).round() as i64);
    let place = frame.place(
        seen.place[1] + errors.gnss[1],
        seen.place[0] + errors.gnss[0],
        seen.height,
    );
    let deg = f64::to_degrees;
    let turn = |x: f64| x.rem_euclid(360.0);
    let gnss_ft = (field.elevation_m + seen.height + errors.gnss[2]) / M_PER_FT;
    // The order of the draws is the order of the columns: a seed keeps its recording.
    let ground_kt = (seen.groundspeed / MPS_PER_KT + errors.noise(0.15)).max(0.0);
    let track_deg = turn(deg(seen.track) + errors.noise(20.0 / ground_kt.max(2.0) * 0.4));
    let pitch_deg = deg(lagged.pitch + errors.pitch) + errors.noise(0.1);
    let bank_deg = deg(lagged.bank + errors.bank) + errors.noise(0.1);
    let heading_deg =
        turn(deg(seen.heading - field.variation_rad + errors.heading) + errors.noise(0.3));
    let normal_g = seen.normal_g + errors.noise(0.015);
    let air = matches!(fit, Fit::Rich | Fit::Panel).then(|| {
        let indicated =
            atmosphere::indicated_altitude_m(lagged.pressure_altitude, field.setting_pa);
        AirReading {
            indicated_ft: indicated / M_PER_FT + errors.noise(1.0),
            pressure_ft: lagged.pressure_altitude / M_PER_FT,
            ias_kt: lagged.ias / MPS_PER_KT * (1.0 + errors.speed) + errors.noise(0.3),
            climb_fpm: lagged.climb / MPS_PER_FPM + errors.noise(12.0),
            lateral_g: seen.lateral_g + errors.lateral + errors.noise(0.006),
            rpm: sample.spin_radps * 60.0 / std::f64::consts::TAU + errors.noise(6.0),
            oat_c: sample.temperature_k - 273.15,
            alpha_deg: (fit == Fit::Rich)
                .then(|| deg(seen.alpha + errors.alpha) + errors.noise(0.25)),
        }
    });
    Reading {
        t_s: seen.t,
        time: field.start.checked_add(since).unwrap_or(field.start),
        place_deg: [deg(place.latitude_rad), deg(place.longitude_rad)],
        gnss_ft,
        ground_kt,
        track_deg,
        pitch_deg,
        bank_deg,
        heading_deg,
        normal_g,
        air,
    }
}

/// One row as the fit's own table has it.
fn row(out: &mut String, sample: &Sample, reading: &Reading, field: &Field, fit: Fit) {
    let [latitude, longitude] = reading.place_deg;
    let (gnss, ground, track) = (reading.gnss_ft, reading.ground_kt, reading.track_deg);
    let (pitch, bank, heading) = (reading.pitch_deg, reading.bank_deg, reading.heading_deg);
    let normal = reading.normal_g;
    let _ = write!(out, "{:.1},{latitude:.7},{longitude:.7}", reading.time);
    let Some(air) = &reading.air else {
        let _ = match fit {
            Fit::Gnss => writeln!(out, ",{gnss:.0},{ground:.1},{track:.0}"),
            _ => writeln!(
                out,
                ",{gnss:.0},{ground:.1},{track:.1},{pitch:.1},{bank:.1},{heading:.0},{normal:.2}"
            ),
        };
        return;
    };
    let setting = field.setting_pa / 3386.389;
    let (lateral, rpm, oat) = (air.lateral_g, air.rpm, air.oat_c);
    let _ = write!(
        out,
        ",{:.0},{setting:.2},{gnss:.0},{:.1},{ground:.1},{:.0},{pitch:.2},{bank:.2},{heading:.1},{track:.1}",
        air.indicated_ft, air.ias_kt, air.climb_fpm
    );
    let Some(alpha) = air.alpha_deg else {
        let _ = writeln!(out, ",{lateral:.3},{normal:.3},{rpm:.0},{oat:.1}");
        return;
    };
    let flap = sample.surfaces.flap_rad.to_degrees();
    let percent = |x: f64| 100.0 * x;
    let _ = writeln!(
        out,
        ",{alpha:.2},{},{lateral:.3},{normal:.3},{flap:.1},{:.1},{:.1},{:.1},{:.1},{:.0},{rpm:.0},{oat:.1}",
        u8::from(sample.warning),
        percent(sample.surfaces.elevator),
        percent(sample.controls.trim),
        percent(sample.surfaces.aileron),
        percent(sample.surfaces.rudder),
        percent(sample.controls.throttle),
    );
}
