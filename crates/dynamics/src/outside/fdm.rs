//! An airframe as the other library's aircraft file.
//!
//! Its axes, units, equations of motion, integration, mass balance, atmosphere and earth are its own. Ours are the
//! coefficients, written as its functions: forces in body axes at the center of gravity. Fixed-pitch propeller and
//! engine are functions too: its own ones (tables by advance ratio, an engine by manifold pressure) could only be brought
//! near to ours, and the comparison would be one of engines. Attached shares, propeller speed, surfaces and flaps are
//! states in its flight control section, stepped once a frame: the attached share by its exact decay, the propeller
//! by Euler's rule. The rate of the angle of attack is the library's own, one frame old.

use super::expression::{Formula, property};
use crate::aero::FIFTEEN;
use crate::airframe::{Airframe, Flap};
use crate::stall::OUTER_LATER_RAD;
use air::atmosphere::RHO0_KGPM3;
use air::units::{G0_MPS2, M_PER_FT};
use std::f64::consts::{PI, TAU};
use std::fmt::Write as _;
use std::io;
use std::path::Path;

/// kg/m³ in a slug/ft³.
const KGPM3_PER_SLUGPFT3: f64 =
    0.453_592_37 * G0_MPS2 / M_PER_FT / (M_PER_FT * M_PER_FT * M_PER_FT);
/// N in a pound-force.
const N_PER_LBF: f64 = 0.453_592_37 * G0_MPS2;

/// Which earth it flies over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Earth {
    /// Round, turning, heavier at the poles: the library's own.
    Round,
    /// As ours: so large that it is flat, still, the same weight everywhere.
    Flat,
}

/// Writes `aircraft/airframe/airframe.xml` and `flat.xml` into a folder.
///
/// # Errors
/// What the file system says.
pub fn write(airframe: &Airframe, folder: &Path) -> io::Result<()> {
    let inner = folder.join("aircraft").join("airframe");
    std::fs::create_dir_all(&inner)?;
    std::fs::write(inner.join("airframe.xml"), aircraft(airframe))?;
    std::fs::write(folder.join("flat.xml"), planet())
}

/// An earth a hundred times as large, without turning, with standard gravity.
#[must_use]
pub fn planet() -> String {
    let radius = 6.371e8;
    format!(
        "<?xml version=\"1.0\"?>\n<planet name=\"flat\">\n <semimajor_axis unit=\"M\">{radius:?}</semimajor_axis>\n \
         <semiminor_axis unit=\"M\">{radius:?}</semiminor_axis>\n <rotation_rate unit=\"RAD/SEC\">0.0</rotation_rate>\n \
         <GM unit=\"M3/SEC2\">{:?}</GM>\n <J2>0.0</J2>\n</planet>\n",
        G0_MPS2 * radius * radius
    )
}

/// The aircraft file.
#[must_use]
pub fn aircraft(airframe: &Airframe) -> String {
    let (wing, mass) = (&airframe.wing, &airframe.inertia);
    let mut out = String::from(
        "<?xml version=\"1.0\"?>\n<fdm_config name=\"airframe\" version=\"2.0\" release=\"ALPHA\">\n",
    );
    let at = |name: &str, [x, y, z]: [f64; 3]| {
        format!(
            "<location name=\"{name}\" unit=\"M\"><x>{x:?}</x><y>{y:?}</y><z>{z:?}</z></location>"
        )
    };
    let _ = writeln!(
        out,
        "<metrics><wingarea unit=\"M2\">{:?}</wingarea><wingspan unit=\"M\">{:?}</wingspan><chord unit=\"M\">{:?}</chord>{}{}{}</metrics>",
        wing.area_m2,
        wing.span_m,
        wing.chord_m,
        at("AERORP", [0.0; 3]),
        at("EYEPOINT", [0.0; 3]),
        at("VRP", [0.0; 3])
    );
    // Its product of inertia, `ixz`, is the entry of the tensor, −∫xz dm; ours is ∫xz dm. In its own units, because its
    // factor for kg·m² is rounded to 1 in 10,000.
    let inertia = |kgm2: f64| kgm2 / (N_PER_LBF * M_PER_FT);
    let _ = writeln!(
        out,
        "<mass_balance><ixx unit=\"SLUG*FT2\">{:?}</ixx><iyy unit=\"SLUG*FT2\">{:?}</iyy><izz unit=\"SLUG*FT2\">{:?}</izz><ixz unit=\"SLUG*FT2\">{:?}</ixz><emptywt unit=\"KG\">{:?}</emptywt>{}</mass_balance>",
        inertia(mass.xx_kgm2),
        inertia(mass.yy_kgm2),
        inertia(mass.zz_kgm2),
        inertia(-mass.xz_kgm2),
        mass.mass_kg,
        at("CG", [0.0; 3])
    );
    wheels(airframe, &mut out);
    out.push_str("<propulsion/>\n");
    controls(airframe, &mut out);
    out.push_str("<aerodynamics>\n");
    air(airframe, &mut out);
    out.push_str("</aerodynamics>\n</fdm_config>\n");
    out
}

/// Springs and dampers as ours; friction and steering by the library's own law.
fn wheels(airframe: &Airframe, out: &mut String) {
    out.push_str("<ground_reactions>\n");
    for (index, wheel) in airframe.wheels.iter().enumerate() {
        // Structural axes: aft, right, up.
        let [x, y, z] = wheel.at_m;
        let brakes = match wheel.brakes {
            true if y < 0.0 => "LEFT",
            true => "RIGHT",
            false => "NONE",
        };
        let steer = if wheel.steers { 14.3 } else { 0.0 };
        let _ = writeln!(
            out,
            "<contact type=\"BOGEY\" name=\"wheel{index}\"><location unit=\"M\"><x>{:?}</x><y>{y:?}</y><z>{:?}</z></location>\
             <static_friction>0.6</static_friction><dynamic_friction>0.4</dynamic_friction><rolling_friction>0.025</rolling_friction>\
             <spring_coeff unit=\"N/M\">{:?}</spring_coeff><damping_coeff unit=\"N/M/SEC\">{:?}</damping_coeff>\
             <max_steer unit=\"DEG\">{steer:?}</max_steer><brake_group>{brakes}</brake_group><retractable>0</retractable></contact>",
            -x, -z, wheel.spring_npm, wheel.damper_nspm
        );
    }
    out.push_str("</ground_reactions>\n");
}

/// States: each a property that is stepped once a frame.
fn controls(airframe: &Airframe, out: &mut String) {
    out.push_str("<flight_control name=\"states\">\n");
    for name in [
        "cmd-elevator",
        "cmd-aileron",
        "cmd-rudder",
        "cmd-throttle",
        "cmd-flap",
        "elevator",
        "aileron",
        "rudder",
        "throttle",
        "flap",
        "spin",
        "attached-left",
        "attached-right",
        "gust-roll",
    ] {
        let _ = writeln!(out, "<property value=\"0.0\">own/{name}</property>");
    }
    out.push_str("<channel name=\"states\">\n");
    let step = property("simulation/dt");
    let mut state = |name: &str, formula: &Formula| {
        let _ = writeln!(
            out,
            "<fcs_function name=\"fcs/step-{name}\"><function>{}</function><output>own/{name}</output></fcs_function>",
            formula.xml()
        );
    };
    let rates = &airframe.rates;
    for (name, rate) in [
        ("elevator", rates.surface_per_s),
        ("aileron", rates.surface_per_s),
        ("rudder", rates.surface_per_s),
        ("throttle", rates.throttle_per_s),
        ("flap", rates.flap_radps),
    ] {
        let now = own(name);
        let left = own(&format!("cmd-{name}")) - &now;
        state(name, &(now + left.within(&(rate * &step))));
    }
    state("spin", &(own("spin") + &step * own("spin-rate")));
    let gone = 1.0 - (&step * (-1.0 / airframe.separation.lag_s)).exp();
    for side in ["left", "right"] {
        let now = own(&format!("attached-{side}"));
        let goal = own(&format!("tends-to-{side}"));
        state(
            &format!("attached-{side}"),
            &(&now + &gone * (goal - &now)).clamp(0.0, 1.0),
        );
    }
    out.push_str("</channel>\n</flight_control>\n");
}

fn own(name: &str) -> Formula {
    property(&format!("own/{name}"))
}

/// Engine, propeller, wing, tail: the same formulas as in `aero.rs`, `propulsion.rs` and `stall.rs`, named one by one.
#[allow(clippy::too_many_lines)] // one list of formulas; cut in pieces it reads worse
fn air(airframe: &Airframe, out: &mut String) {
    let (wing, lateral, separation) = (&airframe.wing, &airframe.lateral, &airframe.separation);
    let (propeller, engine) = (&airframe.propeller, &airframe.engine);
    let mut name = |name: &str, formula: Formula| {
        let _ = writeln!(
            out,
            "<function name=\"own/{name}\">{}</function>",
            formula.xml()
        );
        own(name)
    };
    let v = name("tas", (property("velocities/vt-fps") * M_PER_FT).least(0.1));
    let u = property("velocities/u-aero-fps") * M_PER_FT;
    let rho = name(
        "density",
        property("atmosphere/rho-slugs_ft3") * KGPM3_PER_SLUGPFT3,
    );
    let (alpha, beta) = (property("aero/alpha-rad"), property("aero/beta-rad"));
    let alpha_rate = property("aero/alphadot-rad_sec");
    let p = name(
        "roll-rate",
        property("velocities/p-aero-rad_sec") - own("gust-roll"),
    );
    let (q, r) = (
        property("velocities/q-aero-rad_sec"),
        property("velocities/r-aero-rad_sec"),
    );
    let (elevator, aileron, rudder) = (own("elevator"), own("aileron"), own("rudder"));

    let flap = |value: fn(&Flap) -> f64| {
        let rows: Vec<(f64, f64)> = airframe
            .flaps
            .iter()
            .map(|f| (f.angle_rad, value(f)))
            .collect();
        Formula::by("own/flap", &rows)
    };
    let flap_zero = name("flap-zero-lift", flap(|f| f.zero_lift_rad));
    let shift = name("flap-separation", flap(|f| f.separation_rad));
    let flap_drag = name("flap-drag", flap(|f| f.drag));
    let flap_pitch = name("flap-pitch", flap(|f| f.pitch));

    let reach = name("reach", 0.5 * &rho * v.squared() * wing.area_m2);
    let pb = name("pb", &p * (0.5 * wing.span_m) / &v);
    let qc = name("qc", q * (0.5 * wing.chord_m) / &v);
    let rb = name("rb", r * (0.5 * wing.span_m) / &v);

    let d = propeller.diameter_m;
    let spin = own("spin");
    let n = name("turns", (&spin * (1.0 / TAU)).least(0.5));
    let j = name("advance", (u.least(0.0) / (&n * d)).most(3.0));
    let square = |c: &[f64; 3]| c[0] + &j * (c[1] + &j * c[2]);
    let base = name("disk", &rho * n.squared() * d.powi(4));
    let thrust = name("thrust", &base * square(&propeller.thrust));
    let torque = name("torque", &base * square(&propeller.power) * (d / TAU));
    let rated = engine.rated_w / engine.rated_radps;
    let lapse = (1.132 / RHO0_KGPM3 * &rho - 0.132).least(0.0);
    let turning = name("turning", (&spin * (1.0 / 30.0)).clamp(0.0, 1.0));
    let fired = (1.0 + engine.friction)
        * rated
        * lapse
        * (engine.idle + (1.0 - engine.idle) * own("throttle"))
        * (0.3 + 0.7 * &turning);
    let rubbed = engine.friction * rated * &turning * (0.6 + 0.4 / engine.rated_radps * &spin);
    let driven = name("driven", fired - rubbed);
    name(
        "spin-rate",
        (&driven - &torque) * (1.0 / propeller.inertia_kgm2),
    );

    let area = 0.25 * PI * d * d;
    let ratio = (1.0 + 2.0 / area * &thrust / (&rho * v.squared())).clamp(0.3, 4.0);
    let stream = name("stream", 1.0 + propeller.stream_on_tail * (ratio - 1.0));
    let tc = name(
        "thrust-coefficient",
        (&thrust / reach.least(1.0)).clamp(-0.5, 2.0),
    );

    let high = name(
        "wing-height",
        property("position/h-agl-ft") * M_PER_FT + wing.height_m,
    );
    let x = name("ground-x", high.least(0.0) * (16.0 / wing.span_m));
    let near = (x.squared() / (1.0 + x.squared())).least(0.05);
    let ground_drag = name(
        "ground-drag",
        high.below(2.0 * wing.span_m, &near, &1.0.into()),
    );
    let ground_lift = name("ground-lift", 1.0 + 0.1 * (1.0 - &ground_drag));

    let zero = name("zero-lift", wing.zero_lift_rad + &flap_zero);
    let by_roll = name(
        "by-roll",
        (p * (separation.lever * wing.span_m) / &v).clamp(-0.35, 0.35),
    );
    let share = |x: &Formula| (0.5 * (1.0 + x.clamp(0.0, 1.0).sqrt())).squared();
    let mut half = |side: &str, sign: f64| {
        let angle = name(&format!("alpha-{side}"), &alpha + sign * &by_roll);
        let attached = own(&format!("attached-{side}"));
        let over = &angle - (separation.half_rad + OUTER_LATER_RAD) - &shift;
        let outer = 0.5 * (1.0 - (0.6 * separation.sharpness_per_rad * over).tanh());
        let kept = name(
            &format!("kept-{side}"),
            separation.part * share(&attached) + (1.0 - separation.part) * share(&outer),
        );
        let whole = name(
            &format!("attached-lift-{side}"),
            wing.lift_slope * (&angle - &zero).clamp(-1.2, 1.2),
        );
        let lift = name(&format!("lift-{side}"), kept * &whole);
        let lets_go = separation.half_rad + 0.5 * sign * separation.uneven_rad;
        let over = &angle - separation.lead_s * &alpha_rate - lets_go - &shift
            + separation.hysteresis_rad * (1.0 - &attached);
        let goal = 0.5 * (1.0 - (separation.sharpness_per_rad * over).tanh());
        name(&format!("tends-to-{side}"), goal);
        (lift.clone(), lift - whole)
    };
    let (left, lost_left) = half("left", -1.0);
    let (right, lost_right) = half("right", 1.0);
    let (on_left, on_right) = (own("attached-left"), own("attached-right"));
    let apart = name("apart", 1.0 - 0.5 * (&on_left + &on_right));
    let grip = name("grip", 1.0 - lateral.aileron_lost * &apart);
    let fin = name("fin", 0.5 * (1.0 + &stream));

    let washed = 1.0 + wing.stream_lift * tc.least(0.0);
    let wings = name("wings", 0.5 * (left + right) * washed * ground_lift);
    let lift = name(
        "lift",
        &wings + wing.lift_pitch_rate * &qc + wing.lift_elevator * &elevator * &stream,
    );
    let (sa, ca) = (
        name("sin-alpha", alpha.sin()),
        name("cos-alpha", alpha.cos()),
    );
    let drag = name(
        "drag",
        wing.drag_zero
            + flap_drag
            + wing.drag_lift * wings.squared() * ground_drag
            + wing.drag_separated * &apart * (&sa * (1.0 / FIFTEEN)).squared()
            + wing.drag_sideslip * beta.squared(),
    );
    let side = name(
        "side",
        lateral.side_beta * &beta
            + lateral.side_yaw_rate * &rb
            + lateral.side_rudder * &rudder * &stream,
    );
    let roll = name(
        "roll",
        lateral.roll_beta * &beta
            + lateral.roll_roll_rate * &pb
            + lateral.roll_yaw_rate * &rb
            + lateral.roll_aileron * &aileron * &grip
            + lateral.roll_rudder * &rudder * &stream
            - 0.5 * separation.lever * (lost_right - lost_left),
    );
    let yaw = name(
        "yaw",
        lateral.yaw_beta * &beta * &fin
            + lateral.yaw_roll_rate * &pb
            + lateral.yaw_yaw_rate * &rb * &fin
            + lateral.yaw_aileron * &aileron * &grip
            + lateral.yaw_rudder * &rudder * &stream
            + lateral.yaw_thrust * &tc
            + 0.5 * separation.lever * wing.drag_separated * (on_left - on_right),
    );
    let moment = &airframe.pitch;
    let pitch = name(
        "pitch",
        moment.zero
            + flap_pitch
            + moment.alpha * &alpha
            + moment.pitch_rate * &qc
            + moment.alpha_rate * (0.5 * wing.chord_m) * &alpha_rate / &v
            + moment.elevator * &elevator * &stream
            + moment.separated * &apart
            + moment.thrust * &tc,
    );

    let newton = 1.0 / N_PER_LBF;
    let newton_meter = 1.0 / (N_PER_LBF * M_PER_FT);
    let forward = (&reach * (&lift * &sa - &drag * &ca) + thrust) * newton;
    let across = &reach * side * newton;
    let down = &reach * (-(lift * ca) - drag * sa) * newton;
    let rolling = (&reach * wing.span_m * roll - torque) * newton_meter;
    let pitching = &reach * wing.chord_m * pitch * newton_meter;
    let yawing = reach * wing.span_m * yaw * newton_meter;
    for (axis, formula) in [
        ("X", forward),
        ("Y", across),
        ("Z", down),
        ("ROLL", rolling),
        ("PITCH", pitching),
        ("YAW", yawing),
    ] {
        let _ = writeln!(
            out,
            "<axis name=\"{axis}\"><function name=\"own/axis-{axis}\">{}</function></axis>",
            formula.xml()
        );
    }
}
