//! The sample files of the repository are sound, and writing and reading are inverse.

use air::units::{KG_PER_LB, MPS_PER_KT, W_PER_HP};
use aircraft::{Basis, Propeller};

const FILES: &[(&str, &str)] = &[
    (
        "demo.toml",
        include_str!("../../../data/aircraft/demo.toml"),
    ),
    (
        "trainer_a.toml",
        include_str!("../../../data/aircraft/trainer_a.toml"),
    ),
    (
        "trainer_b.toml",
        include_str!("../../../data/aircraft/trainer_b.toml"),
    ),
    (
        "trainer_d.toml",
        include_str!("../../../data/aircraft/trainer_d.toml"),
    ),
    (
        "trainer_e.toml",
        include_str!("../../../data/aircraft/trainer_e.toml"),
    ),
    (
        "trainer_f.toml",
        include_str!("../../../data/aircraft/trainer_f.toml"),
    ),
    (
        "trainer_g.toml",
        include_str!("../../../data/aircraft/trainer_g.toml"),
    ),
];

fn near(actual: f64, expected: f64, tolerance: f64) -> bool {
    (actual - expected).abs() <= tolerance
}

#[test]
fn sample_files_are_read_without_a_problem() {
    for (name, text) in FILES {
        let (aircraft, notices) = aircraft::parse(text, name).unwrap_or_else(|problems| {
            panic!(
                "{}",
                problems
                    .iter()
                    .map(|p| format!("{p}\n"))
                    .collect::<String>()
            )
        });
        assert!(!aircraft.name.is_empty());
        assert!(aircraft.speeds.vs1_mps.is_some());
        // Nothing in them is unused: every notice speaks of what is missing.
        assert!(
            notices.iter().all(|notice| notice.place.is_none()),
            "{name}: {notices:?}"
        );
    }
}

#[test]
fn demo_says_what_its_file_says() {
    let (demo, _) = aircraft::parse(FILES[0].1, "demo.toml").unwrap();
    let kt = MPS_PER_KT;
    assert!(near(demo.speeds.vs0_mps.unwrap(), 46.4 * kt, 1e-9));
    assert!(near(demo.speeds.vne_mps.unwrap(), 148.0 * kt, 1e-9));
    assert_eq!(demo.flaps.len(), 4);
    assert!(near(demo.flaps[2].angle_rad.to_degrees(), 25.0, 1e-9));
    assert!(near(
        demo.flaps[2].warning_aoa_rad.unwrap().to_degrees(),
        8.6,
        1e-9
    ));
    assert!(near(
        demo.mass.reference_kg.unwrap(),
        2320.0 * KG_PER_LB,
        1e-9
    ));
    assert!(near(
        demo.engine.rated_power_w.unwrap(),
        180.0 * W_PER_HP,
        1e-6
    ));
    assert!(near(
        demo.critical_aoa_rad.unwrap().to_degrees(),
        16.0,
        1e-9
    ));
    let middle = demo.stall_speed(1).unwrap();
    assert_eq!(middle.basis, Basis::Interpolated);
    assert!(middle.value_mps < 50.6 * kt && middle.value_mps > 46.4 * kt);
    // A pair of the calibration table comes back as it stands there.
    assert!(near(demo.calibrated_mps(50.6 * kt, 0.0), 52.3 * kt, 1e-9));
    let (g, _) = aircraft::parse(FILES[6].1, "trainer_g.toml").unwrap();
    assert_eq!(g.engine.propeller, Propeller::FixedPitch);
    let (d, _) = aircraft::parse(FILES[3].1, "trainer_d.toml").unwrap();
    assert_eq!(d.has_flaps(), Some(false));
    assert_eq!(d.full_detent(), None);
}

#[test]
fn prop_written_files_read_back_the_same() {
    for (name, text) in FILES {
        let (first, _) = aircraft::parse(text, name).unwrap();
        let written = aircraft::write(&first);
        let (second, _) = aircraft::parse(&written, name).unwrap();
        assert_eq!(aircraft::write(&second), written, "{name}");
        assert_eq!(first.flaps.len(), second.flaps.len());
        assert!(near(
            first.speeds.vs1_mps.unwrap(),
            second.speeds.vs1_mps.unwrap(),
            1e-6
        ));
    }
}
