//! Prints what a manual would say of an airframe, as it follows from the model: stall speeds, climb, glide and
//! level speed, at sea level in the standard atmosphere.
//!
//! `cargo run --package dynamics --example figures [FILE]`; without a file the demonstration's airplane.

use air::atmosphere::RHO0_KGPM3;
use air::units::{MPS_PER_FPM, MPS_PER_KT};
use dynamics::figures::figures;

const DEMO: &str = include_str!("../../../data/airframes/demo.toml");

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let airframe = match std::env::args().nth(1) {
        Some(path) => dynamics::parse(&std::fs::read_to_string(&path)?, &path)?,
        None => dynamics::parse(DEMO, "demo.toml")?,
    };
    let found = figures(&airframe, RHO0_KGPM3);
    println!(
        "{}, {:.0} kg, sea level, standard atmosphere, KCAS",
        airframe.name, airframe.inertia.mass_kg
    );
    for (angle, speed) in &found.stall {
        let (alpha, lift) = airframe.critical(*angle);
        println!(
            "  stall, power off, flaps {:2.0}°: {:5.1} kt (angle of attack {:.1}°, lift coefficient {lift:.2})",
            angle.to_degrees(),
            speed / MPS_PER_KT,
            alpha.to_degrees()
        );
    }
    let line = |what: &str, found: Option<(f64, String)>| match found {
        Some((speed, figure)) => println!("  {what}: {:.1} kt{figure}", speed / MPS_PER_KT),
        None => println!("  {what}: none"),
    };
    let rate = |(v, climb): (f64, f64)| (v, format!(", {:.0} ft/min", climb / MPS_PER_FPM));
    let angle = |(v, path): (f64, f64)| (v, format!(", {:.1}°", path.to_degrees()));
    let ratio = |(v, ratio): (f64, f64)| (v, format!(", {ratio:.1} to 1"));
    line("best rate of climb, VY", found.best_rate.map(rate));
    line("best angle of climb, VX", found.best_angle.map(angle));
    line("best glide, throttle closed", found.best_glide.map(ratio));
    let level = found.level.map(|v| (v, String::new()));
    line("level, full throttle", level);
    Ok(())
}
