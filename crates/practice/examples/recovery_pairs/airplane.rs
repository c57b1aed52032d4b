//! Airplanes of the kind of the demonstration's, and what their school knows of them.

use air::units::{KG_PER_LB, MPS_PER_KT, W_PER_HP};
use dynamics::Airframe;
use practice::speeds::Speeds;
use rand::RngExt;
use rand_pcg::Pcg64;
use std::fmt::Write as _;

/// An airplane as it is loaded on the day, and as its manual describes it.
pub struct Airplane {
    /// As it flies.
    pub airframe: Airframe,
    /// Speeds that its manual prints and its pilot flies, at the reference mass.
    pub speeds: Speeds,
    /// The aircraft file.
    pub file: String,
    /// Whether the aircraft file knows the mass of the day.
    pub mass_known: bool,
    /// Reference mass, kg.
    pub reference_kg: f64,
}

/// Size, power, drag, induced drag, sharpness of the stall, part of the wing that lets go, nose-down break, unevenness,
/// flap drag: factors on the demonstration's, `part` as it is.
struct Type {
    name: &'static str,
    size: f64,
    power: f64,
    drag: f64,
    induced: f64,
    sharpness: f64,
    part: f64,
    pitch_break: f64,
    uneven: f64,
    flap_drag: f64,
}

#[rustfmt::skip]
const TYPES: [Type; 6] = [
    Type { name: "pair_a", size: 1.00, power: 1.00, drag: 1.00, induced: 1.00, sharpness: 1.0, part: 0.60, pitch_break: 1.0, uneven: 1.0, flap_drag: 1.0 },
    Type { name: "pair_b", size: 0.90, power: 0.84, drag: 1.12, induced: 1.06, sharpness: 0.8, part: 0.55, pitch_break: 0.7, uneven: 0.4, flap_drag: 1.2 },
    Type { name: "pair_c", size: 1.10, power: 1.22, drag: 0.92, induced: 0.96, sharpness: 1.3, part: 0.68, pitch_break: 1.2, uneven: 1.5, flap_drag: 0.9 },
    Type { name: "pair_d", size: 0.86, power: 0.80, drag: 1.05, induced: 0.90, sharpness: 1.1, part: 0.62, pitch_break: 1.0, uneven: 0.6, flap_drag: 1.1 },
    Type { name: "pair_e", size: 1.05, power: 1.08, drag: 1.18, induced: 1.10, sharpness: 0.9, part: 0.52, pitch_break: 0.8, uneven: 1.2, flap_drag: 1.3 },
    Type { name: "pair_f", size: 1.14, power: 1.12, drag: 1.00, induced: 1.03, sharpness: 1.4, part: 0.72, pitch_break: 1.3, uneven: 0.8, flap_drag: 0.8 },
];

/// One of the types, loaded for the day.
pub fn draw(base: &Airframe, number: u64, dice: &mut Pcg64) -> Airplane {
    let kind = &TYPES[(number % TYPES.len() as u64) as usize];
    let mut airframe = of_type(base, kind);
    let speeds = Speeds::of(&airframe);
    let reference_kg = airframe.inertia.mass_kg;
    // Engines and paint age; two fly in it, or one, with much fuel or little.
    airframe.engine.rated_w *= dice.random_range(0.94..1.03);
    airframe.wing.drag_zero *= dice.random_range(0.97..1.08);
    load(&mut airframe, dice.random_range(0.86..1.0));
    airframe.settle_critical();
    let mass_known = dice.random::<bool>();
    let actual = mass_known.then_some(airframe.inertia.mass_kg);
    let file = aircraft_file(base, kind, &speeds, actual);
    Airplane {
        airframe,
        speeds,
        file,
        mass_known,
        reference_kg,
    }
}

fn of_type(base: &Airframe, kind: &Type) -> Airframe {
    let mut airframe = base.clone();
    kind.name.clone_into(&mut airframe.name);
    load(&mut airframe, kind.size);
    airframe.engine.rated_w *= kind.power;
    airframe.wing.drag_zero *= kind.drag;
    airframe.wing.drag_lift *= kind.induced;
    airframe.separation.sharpness_per_rad *= kind.sharpness;
    airframe.separation.part = kind.part;
    airframe.separation.uneven_rad *= kind.uneven;
    airframe.pitch.separated *= kind.pitch_break;
    for flap in &mut airframe.flaps {
        flap.drag *= kind.flap_drag;
    }
    airframe.settle_critical();
    airframe
}

fn load(airframe: &mut Airframe, by: f64) {
    let inertia = &mut airframe.inertia;
    inertia.mass_kg *= by;
    inertia.xx_kgm2 *= by;
    inertia.yy_kgm2 *= by;
    inertia.zz_kgm2 *= by;
    inertia.xz_kgm2 *= by;
}

fn aircraft_file(base: &Airframe, kind: &Type, speeds: &Speeds, actual_kg: Option<f64>) -> String {
    let airframe = of_type(base, kind);
    let kt = |v: f64| (10.0 * v / MPS_PER_KT).round() / 10.0;
    let mut out = format!("name = \"{}\"\n\n[speeds]\n", airframe.name);
    for (name, speed) in [
        ("vs0", speeds.vs0),
        ("vs1", speeds.vs1),
        ("rotate", speeds.rotate),
        ("vx", speeds.vx),
        ("vy", speeds.vy),
        ("best_glide", speeds.glide),
        ("approach", speeds.approach),
        ("vfe", speeds.vfe),
        ("va", speeds.va),
    ] {
        let _ = writeln!(out, "{name}_kias = {}", kt(speed));
    }
    let last = airframe.flaps.len().saturating_sub(1);
    for (index, (flap, critical)) in airframe
        .flaps
        .iter()
        .zip(&airframe.critical_rad)
        .enumerate()
    {
        let _ = writeln!(out, "\n[[flaps]]");
        let _ = writeln!(out, "angle_deg = {:.0}", flap.angle_rad.to_degrees());
        if index > 0 {
            let _ = writeln!(out, "limit_kias = {}", kt(speeds.vfe));
        }
        if index == 0 {
            let _ = writeln!(out, "stall_kias = {}", kt(speeds.vs1));
        } else if index == last {
            let _ = writeln!(out, "stall_kias = {}", kt(speeds.vs0));
        }
        let warning = critical - airframe.warning_before_rad;
        let _ = writeln!(out, "warning_aoa_deg = {:.1}", warning.to_degrees());
    }
    let lb = |kg: f64| (kg / KG_PER_LB).round();
    let _ = writeln!(
        out,
        "\n[mass]\nreference_lb = {}",
        lb(airframe.inertia.mass_kg)
    );
    if let Some(actual) = actual_kg {
        let _ = writeln!(out, "actual_lb = {}", lb(actual));
    }
    let _ = writeln!(
        out,
        "\n[engine]\nrated_power_hp = {:.0}\nrated_rpm = {:.0}\npropeller = \"fixed_pitch\"",
        airframe.engine.rated_w / W_PER_HP,
        airframe.engine.rated_radps * 60.0 / std::f64::consts::TAU
    );
    let _ = writeln!(
        out,
        "\n[wing]\narea_m2 = {:.1}\nspan_m = {:.1}\ncritical_aoa_deg = {:.1}",
        airframe.wing.area_m2,
        airframe.wing.span_m,
        airframe
            .critical_rad
            .first()
            .map_or(15.0, |a| a.to_degrees())
    );
    out
}
