//! `proofwing fly --figures`: what a manual would print of an airframe, as it follows from the model.

use crate::fly_command::SAFETY;
use air::atmosphere::RHO0_KGPM3;
use air::units::{G0_MPS2, KG_PER_LB, MPS_PER_FPM, MPS_PER_KT, W_PER_HP};
use dynamics::Airframe;
use dynamics::figures::{best, level_speed_mps, stall_speed_mps};
use practice::speeds::Speeds;
use proofwing::layout::wrapped;

fn kt(speed: f64) -> String {
    format!("{:.1} KCAS", speed / MPS_PER_KT)
}

/// One figure, its number, and where it comes from.
fn line(text: &mut String, what: &str, number: &str, from: &str) {
    let first = format!("  {what:<26} {number:<22} ");
    wrapped(text, &first, "      ", from);
}

/// The whole page.
pub fn text(airframe: &Airframe) -> String {
    let mut out = format!("{}\n", airframe.name);
    let mass = airframe.inertia.mass_kg;
    let words = "As it follows from the model, derived, nothing of it measured: sea level, standard \
        atmosphere, no wind. Calibrated airspeeds (KCAS); no position error is modeled, so that the \
        recorders of practice flights show the same as indicated.";
    wrapped(&mut out, "", "", words);

    out.push_str("\nMass and engine\n");
    let pounds = format!("{:.0} lb ({mass:.0} kg)", mass / KG_PER_LB);
    line(&mut out, "mass", &pounds, "[inertia] of the file");
    let area = airframe.wing.area_m2;
    let loading = format!("{:.0} N/m²", mass * G0_MPS2 / area);
    line(&mut out, "wing loading", &loading, "weight over wing area");
    let power = airframe.engine.rated_w;
    let horses = format!("{:.0} hp", power / W_PER_HP);
    line(&mut out, "rated power", &horses, "[engine] of the file");
    let per = format!("{:.1} lb/hp", mass / KG_PER_LB / (power / W_PER_HP));
    line(&mut out, "power loading", &per, "mass over rated power");

    stalls(&mut out, airframe);

    out.push_str("\nClimb, full throttle\n");
    let middle = airframe.flaps.get(1).map(|flap| flap.angle_rad);
    for flap in [Some(0.0), middle].into_iter().flatten() {
        climb(&mut out, airframe, flap);
    }
    out.push_str("\nGlide, throttle closed, flaps up\n");
    match best(airframe, RHO0_KGPM3, 0.0).glide {
        Some((speed, ratio)) => {
            line(&mut out, "best glide", &kt(speed), "flattest trimmed path");
            let ratio = format!("{ratio:.1} to 1");
            line(
                &mut out,
                "glide ratio",
                &ratio,
                "1/tan of that path, propeller windmilling",
            );
        }
        None => line(&mut out, "best glide", "none", "no trimmed path at all"),
    }
    out.push_str("\nLevel flight, flaps up\n");
    for share in [1.0, 0.75, 0.6] {
        let what = format!("throttle {:.0} %", 100.0 * share);
        let speed = level_speed_mps(airframe, RHO0_KGPM3, share);
        let number = speed.map_or("none".to_owned(), kt);
        line(
            &mut out,
            &what,
            &number,
            "fastest trimmed path that does not sink",
        );
    }

    limits(&mut out, airframe);
    out.push('\n');
    wrapped(&mut out, "", "", SAFETY);
    out
}

fn stalls(out: &mut String, airframe: &Airframe) {
    out.push_str("\nStall, power off\n");
    for (index, flap) in airframe.flaps.iter().enumerate() {
        let (alpha, lift) = airframe.critical(flap.angle_rad);
        let what = format!("flaps {:.0}°", flap.angle_rad.to_degrees());
        let speed = stall_speed_mps(airframe, flap.angle_rad);
        let warned = (alpha - airframe.warning_before_rad).to_degrees();
        let from = format!(
            "{}lift coefficient {lift:.2} at {:.1}° of angle of attack; warning from {warned:.1}°",
            if index == 0 {
                "greatest static lift (as 14 CFR 23.49 of 1996, power idle): "
            } else {
                ""
            },
            alpha.to_degrees()
        );
        line(out, &what, &kt(speed), &from);
    }
}

fn climb(out: &mut String, airframe: &Airframe, flap: f64) {
    let found = best(airframe, RHO0_KGPM3, flap);
    let with = if flap == 0.0 {
        String::new()
    } else {
        format!(", flaps {:.0}°", flap.to_degrees())
    };
    match (found.rate, found.angle) {
        (Some((vy, rate)), Some((vx, angle))) if rate > 0.0 => {
            let what = format!("VY{with}");
            line(out, &what, &kt(vy), "greatest rate of trimmed climbs");
            let number = format!("{:.0} ft/min", rate / MPS_PER_FPM);
            line(
                out,
                &format!("rate at VY{with}"),
                &number,
                "speed times sine of the path",
            );
            line(
                out,
                &format!("VX{with}"),
                &kt(vx),
                "steepest of trimmed climbs",
            );
            let number = format!("{:.1}°", angle.to_degrees());
            line(out, &format!("angle at VX{with}"), &number, "that path");
        }
        _ => line(out, &format!("VY{with}"), "none", "it does not climb"),
    }
}

fn limits(out: &mut String, airframe: &Airframe) {
    let speeds = Speeds::by_model(airframe);
    out.push_str("\nWhat the pilot of practice flights flies by\n");
    let rows = [
        ("rotation", speeds.rotate, "1.08 VS1, assumed"),
        (
            "approach",
            speeds.approach,
            "1.35 VS0, common practice, no source",
        ),
        (
            "VFE",
            speeds.vfe,
            "1.75 VS1, assumed: the model has no strength",
        ),
        (
            "VA",
            speeds.va,
            "VS1 √3.8, 14 CFR 23.335(c) of 1996, normal category",
        ),
        ("cruise", speeds.cruise, "1.85 VS1, assumed"),
    ];
    for (what, speed, from) in rows {
        line(out, what, &format!("{:.0} KCAS", speed / MPS_PER_KT), from);
    }
}
