//! The demonstration's airplane twice: its aircraft file, and the airframe that flies practice lessons. What the one prints
//! the other does, within what docs/flight-model.md states.

use air::units::MPS_PER_KT;
use practice::craft;
use practice::script::default_airframe;
use practice::speeds::Speeds;

/// Of two speeds, KCAS: the file rounds the stall speeds to half a knot, the others to a whole one.
const STALL_KT: f64 = 0.3;
/// Of the other speeds, KCAS.
const SPEED_KT: f64 = 0.8;
/// Of the angles: the file has tenths.
const ANGLE_DEG: f64 = 0.1;

fn file() -> aircraft::Aircraft {
    let text = include_str!("../../../data/aircraft/demo.toml");
    aircraft::parse(text, "demo.toml").expect("reads").0
}

#[test]
fn file_and_model_of_the_demonstrations_airplane_agree() {
    let (file, airframe) = (file(), default_airframe().expect("reads"));
    let model = craft::aircraft(&airframe, &Speeds::by_model(&airframe));
    assert_eq!(file.name, model.name);
    // The file is indicated, the model has no position error.
    let full = file.flaps.last().expect("detents").angle_rad;
    let near = |what: &str, seen: Option<f64>, printed: Option<f64>, flap: f64, most_kt: f64| {
        let (seen, printed) = (
            seen.expect("a speed"),
            file.calibrated_mps(printed.expect("a speed"), flap),
        );
        let off = (seen - printed) / MPS_PER_KT;
        println!("{what}: {:.1}, {off:+.1} KCAS", seen / MPS_PER_KT);
        assert!(off.abs() < most_kt, "{what} {off:+.1} kt");
    };
    let (m, f) = (&model.speeds, &file.speeds);
    near("VS1", m.vs1_mps, f.vs1_mps, 0.0, STALL_KT);
    near("VS0", m.vs0_mps, f.vs0_mps, full, STALL_KT);
    near("VX", m.vx_mps, f.vx_mps, 0.0, SPEED_KT);
    near("VY", m.vy_mps, f.vy_mps, 0.0, SPEED_KT);
    near("glide", m.best_glide_mps, f.best_glide_mps, 0.0, SPEED_KT);
    near("VFE", m.vfe_mps, f.vfe_mps, 0.0, SPEED_KT);

    let mass = model.mass.reference_kg.expect("a mass") / file.mass.reference_kg.expect("a mass");
    assert!((mass - 1.0).abs() < 0.01, "{mass}");
    let power = model.engine.rated_power_w.expect("kW") / file.engine.rated_power_w.expect("hp");
    assert!((power - 1.0).abs() < 0.01, "{power}");
    let critical = [model.critical_aoa_rad, file.critical_aoa_rad].map(|a| a.expect("an angle"));
    assert!((critical[0] - critical[1]).abs().to_degrees() < ANGLE_DEG);
    assert_eq!(model.flaps.len(), file.flaps.len());
    for (ours, printed) in model.flaps.iter().zip(&file.flaps) {
        assert!((ours.angle_rad - printed.angle_rad).abs() < 1e-6);
        let warning = [ours.warning_aoa_rad, printed.warning_aoa_rad].map(|a| a.expect("an angle"));
        let off = (warning[0] - warning[1]).to_degrees();
        println!("warning at {:.0}°: {off:+.1}°", ours.angle_rad.to_degrees());
        assert!(off.abs() < ANGLE_DEG, "{off}");
    }
}

#[test]
fn the_aircraft_file_of_a_practice_flight_is_complete() {
    let airframe = default_airframe().expect("reads");
    let speeds = Speeds::by_model(&airframe);
    let text = aircraft::write(&craft::aircraft(&airframe, &speeds));
    let (back, notices) = aircraft::parse(&text, "lesson.aircraft.toml").expect("reads");
    assert_eq!(back.name, airframe.name);
    let lacking: Vec<String> = notices.iter().map(ToString::to_string).collect();
    println!("{lacking:#?}");
    assert!(
        notices.iter().all(|notice| notice.criteria.is_empty()),
        "{lacking:?}"
    );
}
