//! Writing an aircraft as the file that [`crate::parse`] reads.

use std::f64::consts::TAU;
use std::fmt::Write as _;

use air::units::{KG_PER_LB, MPS_PER_KT, W_PER_HP};

use crate::{Aircraft, Propeller};

/// The aircraft as TOML: knots, degrees, pounds, horsepower, square meters. What is unknown is left
/// out. Numbers are rounded to six decimals, so reading it back gives the same aircraft within that.
#[must_use]
pub fn write(aircraft: &Aircraft) -> String {
    let mut page = Page::default();
    page.text("name", &aircraft.name);
    if !aircraft.description.is_empty() {
        page.text("description", &aircraft.description);
    }
    let degree = 1_f64.to_radians();
    speeds(&mut page, aircraft);
    for detent in &aircraft.flaps {
        page.section("[[flaps]]");
        page.number("angle_deg", Some(detent.angle_rad), degree);
        page.number("limit_kias", detent.limit_mps, MPS_PER_KT);
        page.number("stall_kias", detent.stall_mps, MPS_PER_KT);
        page.number("warning_aoa_deg", detent.warning_aoa_rad, degree);
        page.number("aoa_offset_deg", detent.aoa_offset_rad, degree);
        page.number("drag_offset", detent.drag_offset, 1.0);
    }
    page.section("[mass]");
    page.number("reference_lb", aircraft.mass.reference_kg, KG_PER_LB);
    page.number("actual_lb", aircraft.mass.actual_kg, KG_PER_LB);
    page.number("maximum_lb", aircraft.mass.maximum_kg, KG_PER_LB);
    page.number("empty_lb", aircraft.mass.empty_kg, KG_PER_LB);
    page.section("[limits]");
    page.number("load_max_g", aircraft.limits.load_max_g, 1.0);
    page.number("load_min_g", aircraft.limits.load_min_g, 1.0);
    page.section("[engine]");
    page.number("rated_power_hp", aircraft.engine.rated_power_w, W_PER_HP);
    page.number("rated_rpm", aircraft.engine.rated_speed_radps, TAU / 60.0);
    page.number("idle_rpm", aircraft.engine.idle_speed_radps, TAU / 60.0);
    match aircraft.engine.propeller {
        Propeller::Unknown => {}
        Propeller::FixedPitch => page.text("propeller", "fixed_pitch"),
        Propeller::ConstantSpeed => page.text("propeller", "constant_speed"),
    }
    page.section("[wing]");
    page.number("area_m2", aircraft.wing_area_m2, 1.0);
    page.number("span_m", aircraft.wing_span_m, 1.0);
    page.number("critical_aoa_deg", aircraft.critical_aoa_rad, degree);
    for pair in &aircraft.calibration {
        page.section("[[calibration]]");
        page.number("indicated_kias", Some(pair.indicated_mps), MPS_PER_KT);
        page.number("calibrated_kcas", Some(pair.calibrated_mps), MPS_PER_KT);
        page.number("flap_deg", pair.flap_angle_rad, degree);
    }
    page.section("[recorder]");
    page.number("pitot_lag_s", aircraft.recorder.pitot_lag_s, 1.0);
    page.number(
        "vertical_speed_lag_s",
        aircraft.recorder.vertical_speed_lag_s,
        1.0,
    );
    page.number(
        "pitch_offset_deg",
        aircraft.recorder.pitch_offset_rad,
        degree,
    );
    page.number("bank_offset_deg", aircraft.recorder.bank_offset_rad, degree);
    page.text
}

fn speeds(page: &mut Page, aircraft: &Aircraft) {
    let s = &aircraft.speeds;
    page.section("[speeds]");
    for (key, value) in [
        ("vs0_kias", s.vs0_mps),
        ("vs1_kias", s.vs1_mps),
        ("rotate_kias", s.rotate_mps),
        ("vx_kias", s.vx_mps),
        ("vy_kias", s.vy_mps),
        ("best_glide_kias", s.best_glide_mps),
        ("approach_kias", s.approach_mps),
        ("vfe_kias", s.vfe_mps),
        ("va_kias", s.va_mps),
        ("vno_kias", s.vno_mps),
        ("vne_kias", s.vne_mps),
    ] {
        page.number(key, value, MPS_PER_KT);
    }
}

#[derive(Default)]
struct Page {
    text: String,
    /// Heading that is written with its first entry, so that an empty section leaves nothing.
    heading: Option<&'static str>,
}

impl Page {
    fn section(&mut self, heading: &'static str) {
        self.heading = Some(heading);
    }

    fn open(&mut self) {
        if let Some(heading) = self.heading.take() {
            let _ = writeln!(self.text, "\n{heading}");
        }
    }

    fn number(&mut self, key: &str, value: Option<f64>, si_per_unit: f64) {
        let Some(value) = value.filter(|value| value.is_finite()) else {
            return;
        };
        self.open();
        // Six decimals keep a knot to a micrometer a second; adding 0 turns −0 into 0.
        let rounded = (value / si_per_unit * 1e6).round() / 1e6 + 0.0;
        let _ = writeln!(self.text, "{key} = {rounded}");
    }

    fn text(&mut self, key: &str, value: &str) {
        self.open();
        let mut quoted = String::new();
        for character in value.chars() {
            match character {
                '"' => quoted.push_str("\\\""),
                '\\' => quoted.push_str("\\\\"),
                control if control.is_control() => {
                    let _ = write!(quoted, "\\u{:04X}", u32::from(control));
                }
                plain => quoted.push(plain),
            }
        }
        let _ = writeln!(self.text, "{key} = \"{quoted}\"");
    }
}
