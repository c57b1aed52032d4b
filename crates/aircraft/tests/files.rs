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
    assert!(near(demo.speeds.vs0_mps.unwrap(), 46.5 * kt, 1e-9));
    assert!(near(demo.speeds.vne_mps.unwrap(), 148.0 * kt, 1e-9));
    assert_eq!(demo.flaps.len(), 4);
    assert!(near(demo.flaps[2].angle_rad.to_degrees(), 25.0, 1e-9));
    assert!(near(
        demo.flaps[2].warning_aoa_rad.unwrap().to_degrees(),
        8.8,
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
        15.4,
        1e-9
    ));
    let middle = demo.stall_speed(1).unwrap();
    assert_eq!(middle.basis, Basis::Interpolated);
    assert!(middle.value_mps < 51.0 * kt && middle.value_mps > 46.5 * kt);
    // A pair of the calibration table comes back as it stands there.
    assert!(near(demo.calibrated_mps(51.0 * kt, 0.0), 52.7 * kt, 1e-9));
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

/// Every entry that the program writes is explained in the documentation, by its name without unit.
#[test]
fn documentation_names_every_entry() {
    let page = include_str!("../../../docs/aircraft-file.md");
    let some = Some(50.0);
    let full = aircraft::Aircraft {
        name: "x".into(),
        description: "y".into(),
        speeds: aircraft::Speeds {
            vs0_mps: some,
            vs1_mps: some,
            vx_mps: some,
            vy_mps: some,
            va_mps: some,
            vfe_mps: some,
            vno_mps: some,
            vne_mps: some,
            best_glide_mps: some,
            approach_mps: some,
            rotate_mps: some,
        },
        flaps: vec![aircraft::Detent {
            angle_rad: 0.0,
            limit_mps: some,
            stall_mps: some,
            warning_aoa_rad: some,
            aoa_offset_rad: some,
            drag_offset: some,
        }],
        mass: aircraft::Mass {
            reference_kg: some,
            actual_kg: some,
            maximum_kg: some,
            empty_kg: some,
        },
        limits: aircraft::Limits {
            load_max_g: some,
            load_min_g: some,
        },
        engine: aircraft::Engine {
            rated_power_w: some,
            rated_speed_radps: some,
            idle_speed_radps: some,
            propeller: Propeller::FixedPitch,
        },
        wing_area_m2: some,
        wing_span_m: some,
        critical_aoa_rad: some,
        calibration: vec![aircraft::CalibrationPoint {
            indicated_mps: 50.0,
            calibrated_mps: 50.0,
            flap_angle_rad: some,
        }],
        recorder: aircraft::RecorderQuirks {
            pitot_lag_s: some,
            vertical_speed_lag_s: some,
            pitch_offset_rad: some,
            bank_offset_rad: some,
        },
    };
    let mut entries = 0;
    for line in aircraft::write(&full).lines() {
        let name = line.split(" =").next().unwrap_or_default();
        let stem = name.rsplit_once('_').map_or(name, |(stem, _)| stem);
        let known = page.contains(&format!("`{name}`")) || page.contains(&format!("`{stem}`"));
        assert!(
            name.is_empty() || known,
            "{name} is not in docs/aircraft-file.md"
        );
        entries += usize::from(line.contains(" = "));
    }
    assert_eq!(entries, 39);
}

/// Limit load factors are read, kept in writing, and told where they cannot be ones.
#[test]
fn prop_limit_load_factors_go_there_and_back() {
    let text = "name = \"utility\"\n[limits]\nload_max_g = 4.4\nload_min_g = -1.76\n";
    let (read, _) = aircraft::parse(text, "a.toml").unwrap();
    assert_eq!(read.limits.load_max_g, Some(4.4));
    assert_eq!(read.limits.load_min_g, Some(-1.76));
    let again = aircraft::parse(&aircraft::write(&read), "b.toml")
        .unwrap()
        .0;
    assert_eq!(again.limits, read.limits);
    let wrong = aircraft::parse(&text.replace("-1.76", "1.76"), "c.toml").unwrap_err();
    assert!(
        wrong[0].to_string().starts_with("c.toml line 4"),
        "{wrong:?}"
    );
}
