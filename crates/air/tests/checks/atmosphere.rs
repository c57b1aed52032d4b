use air::atmosphere::*;
use air::units::{M_PER_FT, PA_PER_INHG};
use proptest::prelude::*;

use crate::{assert_near, table::rows, worst};

const TABLE: &str = include_str!("../data/atmosphere.csv");

/// Python library ambiance 1.3.1, −2,000 to 50,000 ft. It prints 1e-3 K, 1e-2 Pa, 1e-6 kg/m³, 1e-4 m/s;
/// the closed form and the library differ by 2.6e-7 in pressure and density (its own rounding of R),
/// and by 1.8e-6 above the tropopause, whose pressure it takes as 22,632.0 for 22,632.04 Pa.
#[test]
fn val_standard_atmosphere_against_a_library() {
    for row in rows(TABLE, 51) {
        let (point, altitude) = (row.text("point"), row.number("H_m"));
        let (temperature, pressure) = (standard_temperature_k(altitude), pressure_pa(altitude));
        assert_near(temperature, row.number("T_K"), 6e-4, point);
        let relative = if altitude > TROPOPAUSE_M {
            2.2e-6
        } else {
            6e-7
        };
        assert_near(pressure / row.number("p_Pa"), 1.0, relative, point);
        let density = density_kgpm3(pressure, temperature);
        let digits = 6e-7 / density;
        assert_near(
            density / row.number("rho_kg_m3"),
            1.0,
            relative + digits,
            point,
        );
        assert_near(
            speed_of_sound_mps(temperature),
            row.number("a_m_s"),
            6e-5,
            point,
        );
    }
}

/// 1976 U.S. Standard Atmosphere, six-digit table by geopotential thousand feet, and the metric table
/// of E. Torenbeek, *Advanced Aircraft Design*, 2013, appendix B. Tolerance: one unit of the last
/// digit that each prints (some entries are cut, not rounded), and 0.005 ft/s in the speed of sound.
#[test]
fn val_standard_atmosphere_against_printed_tables() {
    let mut printed = 0;
    for row in rows(TABLE, 51) {
        if !row.has("table_T_K") {
            continue;
        }
        printed += 1;
        let (point, altitude) = (row.text("point"), row.number("H_m"));
        let (temperature, pressure) = (standard_temperature_k(altitude), pressure_pa(altitude));
        let feet = row.text("table_a_unit") == "ft/s";
        let (p, rho, a) = if feet {
            (0.1, 5e-6, 0.01)
        } else {
            (0.7, 6e-5, 0.01)
        };
        assert_near(temperature, row.number("table_T_K"), 6e-4, point);
        assert_near(pressure, row.number("table_p_Pa"), p, point);
        assert_near(
            density_kgpm3(pressure, temperature),
            row.number("table_rho"),
            rho,
            point,
        );
        let unit = if feet { M_PER_FT } else { 1.0 };
        assert_near(
            speed_of_sound_mps(temperature) / unit,
            row.number("table_a"),
            a,
            point,
        );
    }
    assert_eq!(printed, 32);
}

/// ICAO Doc 7488/3 by *geometric* height, as in the tests of ambiance: taking the height for
/// geopotential would be off by 1.7 Pa at 1,000 m and 6.2 Pa at 2,000 m, so the difference counts.
#[test]
fn val_icao_rows_are_at_geometric_height() {
    for (height, temperature, pressure, density, sound) in [
        (1_000.0, 281.651, 89_876.3, 1.11166, 336.435),
        (2_000.0, 275.154, 79_501.4, 1.00655, 332.532),
        (-2_500.0, 304.406, 135_205.0, 1.547_305, 349.761),
    ] {
        let altitude = geopotential_m(height);
        let name = format!("{height} m");
        assert_near(standard_temperature_k(altitude), temperature, 6e-4, &name);
        assert_near(pressure_pa(altitude), pressure, 0.6, &name);
        assert_near(
            density_kgpm3(pressure_pa(altitude), standard_temperature_k(altitude)),
            density,
            8e-6,
            &name,
        );
        assert_near(
            speed_of_sound_mps(standard_temperature_k(altitude)),
            sound,
            6e-4,
            &name,
        );
        assert_near(geometric_m(altitude), height, 1e-9, &name);
        assert!(
            (pressure_pa(height) - pressure).abs() > 1.0,
            "{name}: geopotential is not geometric"
        );
    }
}

/// FAA-H-8083-25C, ch. 11, sample problem 1: field 5,883 ft, 30.10 inHg, 70 °F. Its table takes off
/// 165 ft and its chart reads "about 7,700 ft" of density altitude (15 ft is a line's width there).
#[test]
fn val_handbook_pressure_and_density_altitude() {
    let setting = 30.10 * PA_PER_INHG;
    let pressure_altitude = pressure_altitude_from_indicated_m(5_883.0 * M_PER_FT, setting);
    assert_near(
        pressure_altitude / M_PER_FT,
        5_718.0,
        1.0,
        "pressure altitude",
    );
    let temperature = (70.0 - 32.0) / 1.8 + 273.15;
    let density_altitude = density_altitude_m(pressure_pa(pressure_altitude), temperature);
    assert_near(
        density_altitude / M_PER_FT,
        7_700.0,
        15.0,
        "density altitude",
    );
}

/// Altimeter-setting correction, exact, from the closed form (computed apart from this code); the
/// handbook's table prints the row of 30.10 (−165 ft) alike. Whole feet.
#[test]
fn val_altimeter_setting_corrections() {
    for (setting, correction) in [
        (28.00, 1_825.0),
        (28.50, 1_340.0),
        (29.00, 863.0),
        (29.40, 486.0),
        (29.50, 392.0),
        (29.70, 205.0),
        (29.92, 1.0),
        (30.00, -73.0),
        (30.10, -165.0),
        (30.20, -257.0),
        (30.30, -348.0),
        (30.50, -531.0),
        (31.00, -983.0),
    ] {
        let got = pressure_altitude_from_indicated_m(0.0, setting * PA_PER_INHG) / M_PER_FT;
        assert_near(got, correction, 0.8, &format!("{setting} inHg"));
    }
}

/// Density altitude, dry air, closed form computed apart from this code; whole feet.
#[test]
fn val_density_altitude_grid() {
    let grid = [
        (0.0, 15.0, 0.0),
        (0.0, 30.0, 1_724.0),
        (0.0, 35.0, 2_275.0),
        (2_500.0, 30.0, 4_769.0),
        (5_000.0, 30.0, 7_801.0),
        (6_000.0, 35.0, 9_533.0),
        (7_000.0, 25.0, 9_688.0),
        (8_000.0, 10.0, 9_256.0),
        (3_000.0, -10.0, 641.0),
    ];
    let error = worst(grid.into_iter().map(|(altitude, celsius, expected)| {
        let pressure = pressure_pa(altitude * M_PER_FT);
        density_altitude_m(pressure, celsius + 273.15) / M_PER_FT - expected
    }));
    assert!(error <= 0.6, "{error} ft");
}

#[test]
fn outside_its_range_it_says_nothing() {
    for altitude in [-5_001.0, 20_001.0, f64::NAN, f64::INFINITY] {
        assert!(standard_temperature_k(altitude).is_nan());
        assert!(pressure_pa(altitude).is_nan());
    }
    for pressure in [0.0, -1.0, f64::NAN, 1e9] {
        assert!(pressure_altitude_m(pressure).is_nan(), "{pressure}");
    }
    assert!(density_altitude_m(f64::NAN, 288.0).is_nan());
}

proptest! {
    #[test]
    fn prop_pressure_and_altitude_are_inverse(altitude in -5_000.0..20_000.0_f64) {
        let back = pressure_altitude_m(pressure_pa(altitude));
        prop_assert!((back - altitude).abs() < 1e-6, "{back}");
    }

    /// dp/dH = −ρ·g0: the atmosphere carries its own weight. A central difference over 2 m.
    #[test]
    fn prop_atmosphere_is_in_balance(altitude in -4_900.0..19_900.0_f64) {
        prop_assume!((altitude - TROPOPAUSE_M).abs() > 2.0);
        let slope = (pressure_pa(altitude + 1.0) - pressure_pa(altitude - 1.0)) / 2.0;
        let density = density_kgpm3(pressure_pa(altitude), standard_temperature_k(altitude));
        prop_assert!((slope / (-density * 9.806_65) - 1.0).abs() < 1e-6);
    }

    /// In standard air density altitude is pressure altitude; warmer air has a higher one.
    #[test]
    fn prop_density_altitude(altitude in -4_900.0..19_900.0_f64, warmer in 0.1..40.0_f64) {
        let (pressure, standard) = (pressure_pa(altitude), standard_temperature_k(altitude));
        prop_assert!((density_altitude_m(pressure, standard) - altitude).abs() < 1e-5);
        prop_assert!(density_altitude_m(pressure, standard + warmer) > altitude);
        prop_assert!((isa_deviation_k(altitude, standard + warmer) - warmer).abs() < 1e-9);
        prop_assert!(true_height_ratio(altitude, standard + warmer) > 1.0);
    }

    #[test]
    fn prop_setting_ties_indicated_to_pressure_altitude(
        indicated in -300.0..6_000.0_f64, setting_inhg in 28.0..31.0_f64,
    ) {
        let setting = setting_inhg * PA_PER_INHG;
        let pressure_altitude = pressure_altitude_from_indicated_m(indicated, setting);
        prop_assert!((indicated_altitude_m(pressure_altitude, setting) - indicated).abs() < 1e-9);
        let back = altimeter_setting_pa(pressure_altitude, indicated);
        prop_assert!((back / setting - 1.0).abs() < 1e-9);
    }
}

/// The layer's thickness by the hypsometric equation, h = (R·T/g)·ln(p1/p2), with the mean
/// temperature: another road to the same height. Air 15 K warmer than standard, 0 to 3,000 ft.
#[test]
fn prop_true_height_agrees_with_the_hypsometric_equation() {
    let (low, high) = (0.0, 3_000.0 * M_PER_FT);
    let mean = 0.5 * (low + high);
    let temperature = standard_temperature_k(mean) + 15.0;
    let thickness =
        287.052_87 * temperature / 9.806_65 * (pressure_pa(low) / pressure_pa(high)).ln();
    let ours = (high - low) * true_height_ratio(mean, temperature);
    // The mean temperature stands for the whole layer: good to some centimeters.
    assert_near(ours, thickness, 0.1, "thickness");
    assert_near(ours / M_PER_FT, 3_157.0, 2.0, "1,052 ft a thousand");
}
