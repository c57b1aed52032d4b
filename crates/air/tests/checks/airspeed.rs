use air::airspeed::*;
use air::atmosphere::{density_kgpm3, pressure_pa, speed_of_sound_mps, standard_temperature_k};
use air::units::{K_AT_0_C, M_PER_FT, MPS_PER_KT};
use proptest::prelude::*;

use crate::{assert_near, table::rows};

const TABLE: &str = include_str!("../data/airspeed.csv");

/// 110 rows, 40 to 200 KCAS, sea level to 14,000 ft, standard air and 20 K off it either way.
/// Against the Python library aerocalc3 0.10; tables print 0.001 kt, the library itself holds 5e-5.
#[test]
fn val_true_and_equivalent_airspeed_against_a_library() {
    for row in rows(TABLE, 110) {
        let cas = row.number("cas_kt") * MPS_PER_KT;
        let altitude = row.number("pressure_alt_ft") * M_PER_FT;
        let temperature = row.number("oat_C") + K_AT_0_C;
        let pressure = pressure_pa(altitude);
        let name = format!(
            "{} kt at {} ft",
            row.text("cas_kt"),
            row.text("pressure_alt_ft")
        );

        let tas = tas_from_cas_mps(cas, pressure, temperature);
        assert_near(tas / MPS_PER_KT, row.number("other_tas_kt"), 0.0015, &name);
        assert_near(tas / MPS_PER_KT, row.number("tas_kt"), 0.0015, &name);
        let eas = eas_from_cas_mps(cas, pressure);
        assert_near(eas / MPS_PER_KT, row.number("other_eas_kt"), 6e-4, &name);
        assert_near(
            impact_pressure_pa(cas),
            row.number("impact_pressure_Pa"),
            6e-4,
            &name,
        );
        assert_near(pressure, row.number("p_Pa"), 0.006, &name);
        let density = density_kgpm3(pressure, temperature);
        // The temperature of the row is rounded to 0.001 °C, which is 2e-6 of the density.
        assert_near(density, row.number("rho_kg_m3"), 3e-6, &name);
        assert_near(
            tas / speed_of_sound_mps(temperature),
            row.number("mach"),
            6e-6,
            &name,
        );
        assert_near(eas_from_tas_mps(tas, density), eas, 1e-9, &name);
    }
}

#[test]
fn outside_its_range_it_says_nothing() {
    assert!(tas_from_cas_mps(-1.0, 90_000.0, 280.0).is_nan());
    assert!(tas_from_cas_mps(f64::NAN, 90_000.0, 280.0).is_nan());
    assert!(tas_from_cas_mps(50.0, 0.0, 280.0).is_nan());
    assert!(tas_from_cas_mps(50.0, -90_000.0, 280.0).is_nan());
    assert!(tas_from_cas_mps(50.0, 90_000.0, -1.0).is_nan());
    assert!(cas_from_tas_mps(-1.0, 90_000.0, 280.0).is_nan());
    assert_eq!(tas_from_cas_mps(0.0, 90_000.0, 280.0), 0.0);
}

proptest! {
    #[test]
    fn prop_true_and_calibrated_are_inverse(
        cas in 1.0..180.0_f64, altitude in -500.0..11_000.0_f64, off in -40.0..40.0_f64,
    ) {
        let (pressure, temperature) = (pressure_pa(altitude), standard_temperature_k(altitude) + off);
        let tas = tas_from_cas_mps(cas, pressure, temperature);
        let back = cas_from_tas_mps(tas, pressure, temperature);
        prop_assert!((back / cas - 1.0).abs() < 1e-9, "{back}");
        prop_assert!((cas_from_impact_pressure_mps(impact_pressure_pa(cas)) / cas - 1.0).abs() < 1e-9);
    }

    /// Slow enough, the air is incompressible: impact pressure is ½·ρ·V², and TAS = CAS/√σ. The first
    /// neglected term is M²/4 of the impact pressure.
    #[test]
    fn prop_slow_flight_is_incompressible(cas in 1.0..30.0_f64, altitude in 0.0..6_000.0_f64) {
        let (pressure, temperature) = (pressure_pa(altitude), standard_temperature_k(altitude));
        let density = density_kgpm3(pressure, temperature);
        let tas = tas_from_cas_mps(cas, pressure, temperature);
        let mach = tas / speed_of_sound_mps(temperature);
        prop_assert!((impact_pressure_pa(cas) / dynamic_pressure_pa(cas, 1.225) - 1.0).abs() < mach * mach);
        prop_assert!((tas / (cas / (density / 1.225).sqrt()) - 1.0).abs() < mach * mach);
    }

    /// Equivalent airspeed never exceeds calibrated above sea level, and q from either is the same.
    #[test]
    fn prop_equivalent_airspeed(cas in 20.0..180.0_f64, altitude in 0.0..11_000.0_f64, off in -30.0..30.0_f64) {
        let (pressure, temperature) = (pressure_pa(altitude), standard_temperature_k(altitude) + off);
        let (eas, tas) = (eas_from_cas_mps(cas, pressure), tas_from_cas_mps(cas, pressure, temperature));
        prop_assert!(eas <= cas * (1.0 + 1e-9));
        let density = density_kgpm3(pressure, temperature);
        let ratio = dynamic_pressure_pa(eas, air::atmosphere::RHO0_KGPM3) / dynamic_pressure_pa(tas, density);
        prop_assert!((ratio - 1.0).abs() < 1e-9);
    }
}
