//! The demo school's recorders: what each writes, in which units, rounded how.

use crate::engine;
use air::units::{
    M_PER_FT, M3PS_PER_GPH, M3PS_PER_LPH, MPS_PER_KMH, MPS_PER_KT, PA_PER_HPA, PA_PER_INHG,
};
use aircraft::Aircraft;
use dynamics::Airframe;
use jiff::Timestamp;
use practice::log::Sample;
use practice::recorder::{AirReading, Field, Reading};
use serde::Deserialize;
use std::fmt::Write as _;

/// How a recorder writes.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub enum Dialect {
    /// Long names, units in brackets, everything that the model has.
    Long,
    /// The same recorder set to write all decimals, as the lesson of the command line has it.
    Lesson,
    /// Units in a row of their own, no flaps and no controls.
    UnitRow,
    /// Short names with units, seconds since 1970.
    Short,
    /// Semicolons, dates and times as bare numbers, few units.
    Bare,
    /// The same with the names of newer software.
    BareNewer,
    /// A tablet: GNSS and attitude.
    Tablet,
    /// A track logger's table.
    Logger,
    /// A track logger's GPX.
    Gpx,
}

/// What a recording needs besides its rows.
pub struct About<'a> {
    /// Of the recorder, as its first line has it.
    pub airplane: &'a str,
    /// Name of the lesson.
    pub name: &'a str,
    /// Rows a second.
    pub hertz: usize,
    /// Where and when.
    pub field: Field,
    /// For the airspeed indicator's error.
    pub aircraft: &'a Aircraft,
    /// For the engine's instruments.
    pub airframe: &'a Airframe,
}

/// The whole recording.
pub fn write(dialect: Dialect, about: &About, rows: &[(&Sample, Reading)]) -> String {
    let mut out = head(dialect, about);
    for (sample, reading) in rows {
        let row = Row {
            about,
            sample,
            reading,
        };
        out.push_str(&row.text(dialect));
        out.push('\n');
    }
    if dialect == Dialect::Gpx {
        out.push_str("</trkseg></trk></gpx>\n");
    }
    out
}

fn head(dialect: Dialect, about: &About) -> String {
    match dialect {
        Dialect::Long => format!(
            "# full recorder, airplane: {}\n# rate (Hz): {}\nDate (UTC),Time (UTC),Latitude (deg),Longitude (deg),Indicated Altitude (ft),Altimeter Setting (inHg),GNSS Altitude (ft),Indicated Airspeed (kt),Ground Speed (kt),Vertical Speed (ft/min),Pitch (deg),Bank (deg),Magnetic Heading (deg),True Track (deg),Angle of Attack (deg),Stall Warning,Normal Load (g),Lateral Load (g),Flap Position (deg),Elevator (%),Aileron (%),Rudder (%),Throttle (%),Engine Speed (rpm),Manifold Pressure (inHg),Fuel Flow (gal/h),Outside Air Temperature (C)\n",
            about.airplane, about.hertz
        ),
        Dialect::Lesson => format!(
            "# Lesson: {}\n# Recorder fit: rich\n# Sample rate (Hz): {}\n# Start (UTC): {}\ntime [UTC],lat [deg],lon [deg],alt_indicated [ft],alt_pressure [ft],qnh [inHg],alt_gnss [ft],airspeed_ind [kt],speed_ground [kt],vspeed [fpm],att_pitch [deg],att_roll [deg],heading_mag [deg],track_true [deg],aoa [deg],stall_warn [0/1],acc_lat [g],acc_norm [g],flap [deg],elev [%],ail [%],rudder [%],ptrim [%],throttle [%],rpm [1/min],mp [inHg],fuel [gph],oat [C]\n",
            about.name,
            about.hertz,
            about.field.start.strftime("%Y-%m-%d %H:%M:%S")
        ),
        Dialect::UnitRow => "Date,Time,Latitude,Longitude,Alt Baro,Baro Set,Alt GNSS,IAS,GndSpd,VSpd,Pitch,Roll,Hdg Mag,Trk True,Load Norm,Load Lat,Eng RPM,MAP,Fuel Flow,OAT\nyyyy-mm-dd,hh:mm:ss,deg,deg,ft,inHg,ft,kt,kt,ft/min,deg,deg,deg,deg,g,g,rpm,inHg,gal/h,deg C\n".to_owned(),
        Dialect::Short => "utc_s,lat_deg,lon_deg,alt_ind_ft,qnh_hpa,alt_gnss_m,ias_kt,gs_kt,vs_fpm,pitch_deg,bank_deg,hdg_mag_deg,trk_true_deg,load_norm_g,load_lat_g,flap_deg,throttle_pct,rpm,map_inhg,fuel_gph,oat_c\n".to_owned(),
        Dialect::Bare => "DATE;UTC;LAT;LON;ALT QNH FT;ALT GNSS M;IAS;GS;PITCH;ROLL;HDG;TRK;NZ;NY;RPM;FF LPH;OAT\n".to_owned(),
        Dialect::BareNewer => "DATE;UTC;LAT;LON;ALT;GALT;SPD;GS;PIT;ROL;HDG;TRK;NZ;NY;ENG;FF;TEMP\n".to_owned(),
        Dialect::Tablet => "time,lat,lon,alt_gnss_m,speed_m_s,course_deg,pitch_deg,bank_deg\n".to_owned(),
        Dialect::Logger => "time,latitude,longitude,elevation (m),speed (km/h),course (deg)\n".to_owned(),
        Dialect::Gpx => "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"track logger\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><name>lesson</name><trkseg>\n".to_owned(),
    }
}

/// In steps of a size, without a minus before nothing.
fn steps(value: f64, size: f64) -> f64 {
    (value / size).round() * size + 0.0
}

/// With so many decimals, without a minus before nothing.
fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| byte == b'0' || byte == b'.') => rest.to_owned(),
        _ => text,
    }
}

struct Row<'a> {
    about: &'a About<'a>,
    sample: &'a Sample,
    reading: &'a Reading,
}

impl Row<'_> {
    fn text(&self, dialect: Dialect) -> String {
        let air = self.reading.air.as_ref();
        match (dialect, air) {
            (Dialect::Tablet, _) => self.tablet(),
            (Dialect::Logger, _) => self.logger(),
            (Dialect::Gpx, _) => self.gpx(),
            (_, None) => String::new(),
            (Dialect::Long, Some(air)) => self.long(air),
            (Dialect::Lesson, Some(air)) => self.lesson(air),
            (Dialect::UnitRow, Some(air)) => self.unit_row(air),
            (Dialect::Short, Some(air)) => self.short(air),
            (Dialect::Bare | Dialect::BareNewer, Some(air)) => self.bare(air),
        }
    }

    /// Tenths of a second only where there is more than one row in it.
    fn tenths(&self) -> bool {
        self.about.hertz > 1
    }

    fn clock(&self, plain: &str) -> String {
        let time: Timestamp = self.reading.time;
        let whole = time.strftime(plain).to_string();
        if self.tenths() {
            format!("{whole}.{}", time.subsec_millisecond() / 100)
        } else {
            whole
        }
    }

    fn stamp(&self) -> String {
        format!("{}Z", self.clock("%Y-%m-%dT%H:%M:%S"))
    }

    fn place(&self) -> [f64; 2] {
        self.reading.place_deg
    }

    /// The airspeed indicator shows what the aircraft file's calibration says, the recorder what it shows.
    fn ias_kt(&self, air: &AirReading) -> f64 {
        let calibrated = air.ias_kt.max(0.0) * MPS_PER_KT;
        let shown = self
            .about
            .aircraft
            .indicated_mps(calibrated, self.sample.surfaces.flap_rad);
        // Below a walk the needle lies on its stop.
        shown.max(0.0) / MPS_PER_KT
    }

    fn manifold(&self) -> f64 {
        engine::manifold_inhg(self.about.airframe, self.sample)
    }

    fn fuel(&self) -> f64 {
        engine::fuel_gph(self.about.airframe, self.sample)
    }

    fn setting_inhg(&self) -> f64 {
        self.about.field.setting_pa / PA_PER_INHG
    }

    fn flap_deg(&self) -> f64 {
        self.sample.surfaces.flap_rad.to_degrees()
    }

    fn long(&self, air: &AirReading) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        let s = &self.sample.surfaces;
        let percent = |x: f64| fixed(100.0 * x, 0);
        let mut out = format!(
            "{},{},{lat:.6},{lon:.6},{:.0},{:.2},{:.0},{},{},{},",
            r.time.strftime("%Y-%m-%d"),
            self.clock("%H:%M:%S"),
            air.indicated_ft,
            self.setting_inhg(),
            r.gnss_ft,
            fixed(self.ias_kt(air), 1),
            fixed(r.ground_kt, 1),
            fixed(steps(air.climb_fpm, 10.0), 0),
        );
        let _ = write!(
            out,
            "{},{},{:.1},{:.0},{},{},{:.2},{},{:.0},{},{},{},{},{:.0},{:.1},{:.1},{}",
            fixed(r.pitch_deg, 1),
            fixed(r.bank_deg, 1),
            r.heading_deg,
            r.track_deg,
            fixed(air.alpha_deg.unwrap_or_default(), 1),
            u8::from(self.sample.warning),
            r.normal_g,
            fixed(air.lateral_g, 2),
            self.flap_deg(),
            percent(s.elevator),
            percent(s.aileron),
            percent(s.rudder),
            percent(self.sample.controls.throttle),
            steps(air.rpm, 10.0),
            self.manifold(),
            self.fuel(),
            fixed(air.oat_c, 0),
        );
        out
    }

    fn lesson(&self, air: &AirReading) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        let s = &self.sample.surfaces;
        let percent = |x: f64| fixed(100.0 * x, 1);
        let mut out = format!(
            "{},{lat:.7},{lon:.7},{:.0},{:.0},{:.2},{:.0},{},{},{},",
            self.stamp(),
            air.indicated_ft,
            air.pressure_ft,
            self.setting_inhg(),
            r.gnss_ft,
            fixed(self.ias_kt(air), 1),
            fixed(r.ground_kt, 1),
            fixed(air.climb_fpm, 0),
        );
        let _ = write!(
            out,
            "{},{},{:.1},{:.1},{},{},{},{:.3},{:.1},{},{},{},{},{},{:.0},{:.1},{:.1},{}",
            fixed(r.pitch_deg, 2),
            fixed(r.bank_deg, 2),
            r.heading_deg,
            r.track_deg,
            fixed(air.alpha_deg.unwrap_or_default(), 2),
            u8::from(self.sample.warning),
            fixed(air.lateral_g, 3),
            r.normal_g,
            self.flap_deg(),
            percent(s.elevator),
            percent(s.aileron),
            percent(s.rudder),
            percent(self.sample.controls.trim),
            fixed(100.0 * self.sample.controls.throttle, 0),
            air.rpm,
            self.manifold(),
            self.fuel(),
            fixed(air.oat_c, 1),
        );
        out
    }

    fn unit_row(&self, air: &AirReading) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        format!(
            "{},{},{lat:.6},{lon:.6},{:.0},{:.2},{:.0},{},{},{},{},{},{:.1},{:.0},{:.2},{},{:.0},{:.1},{:.1},{}",
            r.time.strftime("%Y-%m-%d"),
            self.clock("%H:%M:%S"),
            air.indicated_ft,
            self.setting_inhg(),
            r.gnss_ft,
            fixed(steps(self.ias_kt(air), 0.5), 1),
            fixed(r.ground_kt, 1),
            fixed(steps(air.climb_fpm, 10.0), 0),
            fixed(r.pitch_deg, 1),
            fixed(r.bank_deg, 1),
            r.heading_deg,
            r.track_deg,
            r.normal_g,
            fixed(air.lateral_g, 2),
            steps(air.rpm, 10.0),
            self.manifold(),
            self.fuel(),
            fixed(air.oat_c, 0),
        )
    }

    fn short(&self, air: &AirReading) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        let since = r.time.as_millisecond();
        let seconds = since.div_euclid(1000);
        let stamp = if self.tenths() {
            format!("{seconds}.{}", since.rem_euclid(1000) / 100)
        } else {
            seconds.to_string()
        };
        format!(
            "{stamp},{lat:.6},{lon:.6},{:.0},{:.0},{:.1},{},{},{},{},{},{:.1},{:.0},{:.2},{},{:.0},{:.0},{:.0},{:.1},{:.1},{}",
            air.indicated_ft,
            self.about.field.setting_pa / PA_PER_HPA,
            r.gnss_ft * M_PER_FT,
            fixed(self.ias_kt(air), 1),
            fixed(r.ground_kt, 1),
            fixed(steps(air.climb_fpm, 10.0), 0),
            fixed(r.pitch_deg, 1),
            fixed(r.bank_deg, 1),
            r.heading_deg,
            r.track_deg,
            r.normal_g,
            fixed(air.lateral_g, 2),
            self.flap_deg(),
            100.0 * self.sample.controls.throttle,
            steps(air.rpm, 10.0),
            self.manifold(),
            self.fuel(),
            fixed(air.oat_c, 0),
        )
    }

    fn bare(&self, air: &AirReading) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        format!(
            "{};{};{lat:.6};{lon:.6};{:.0};{:.0};{};{};{};{};{:.0};{:.0};{:.2};{};{:.0};{:.1};{}",
            r.time.strftime("%d%m%y"),
            self.clock("%H%M%S"),
            air.indicated_ft,
            r.gnss_ft * M_PER_FT,
            fixed(steps(self.ias_kt(air), 0.5), 1),
            fixed(r.ground_kt, 1),
            fixed(r.pitch_deg, 1),
            fixed(r.bank_deg, 1),
            r.heading_deg,
            r.track_deg,
            r.normal_g,
            fixed(air.lateral_g, 2),
            steps(air.rpm, 10.0),
            self.fuel() * M3PS_PER_GPH / M3PS_PER_LPH,
            fixed(air.oat_c, 0),
        )
    }

    fn tablet(&self) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        format!(
            "{},{lat:.6},{lon:.6},{:.1},{},{:.1},{},{}",
            self.stamp(),
            r.gnss_ft * M_PER_FT,
            fixed(r.ground_kt * MPS_PER_KT, 1),
            r.track_deg,
            fixed(r.pitch_deg, 1),
            fixed(r.bank_deg, 1),
        )
    }

    fn logger(&self) -> String {
        let r = self.reading;
        let [lat, lon] = self.place();
        format!(
            "{},{lat:.6},{lon:.6},{:.1},{},{:.0}",
            self.stamp(),
            r.gnss_ft * M_PER_FT,
            fixed(r.ground_kt * MPS_PER_KT / MPS_PER_KMH, 1),
            r.track_deg,
        )
    }

    fn gpx(&self) -> String {
        let [lat, lon] = self.place();
        format!(
            "<trkpt lat=\"{lat:.6}\" lon=\"{lon:.6}\"><ele>{:.1}</ele><time>{}</time></trkpt>",
            self.reading.gnss_ft * M_PER_FT,
            self.stamp(),
        )
    }
}
