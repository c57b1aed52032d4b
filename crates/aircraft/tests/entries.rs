//! Every entry of the file in SI, the limits of each, and what is said when it is missing.

use aircraft::{Aircraft, Propeller};

/// Every entry once, none with the value of another.
const FULL: &str = r#"name = "Tern"
description = "a bird"
[speeds]
vs0_kias = 44
vs1_kias = 50
vx_kias = 62
vy_kias = 74
va_kias = 104
vfe_kias = 90
vno_kias = 126
vne_kias = 160
best_glide_kias = 68
approach_kias = 65
rotate_kias = 55
[[flaps]]
angle_deg = 0
stall_kias = 50
warning_aoa_deg = 11
[[flaps]]
angle_deg = 30
limit_kias = 90
stall_kias = 44
warning_aoa_deg = 10
aoa_offset_deg = -4
drag_offset = 0.05
[mass]
reference_lb = 2300
actual_kg = 1000
maximum_lb = 2400
empty_kg = 700
[engine]
rated_power_hp = 160
rated_rpm = 2700
idle_rpm = 700
propeller = "constant_speed"
[wing]
area_ft2 = 170
span_ft = 35
critical_aoa_deg = 16
[[calibration]]
indicated_kias = 50
calibrated_kcas = 55
flap_deg = 30
[recorder]
pitot_lag_s = 0.5
vertical_speed_lag_s = 1.5
pitch_offset_deg = -1.5
bank_offset_deg = 0.75
"#;

fn read(text: &str) -> Aircraft {
    aircraft::parse(text, "tern.toml")
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
        .0
}

/// All numbers of an aircraft, in the order of the file above.
fn numbers(a: &Aircraft) -> Vec<f64> {
    let (s, m, e, r) = (&a.speeds, &a.mass, &a.engine, &a.recorder);
    let mut all = vec![
        s.vs0_mps,
        s.vs1_mps,
        s.vx_mps,
        s.vy_mps,
        s.va_mps,
        s.vfe_mps,
        s.vno_mps,
        s.vne_mps,
        s.best_glide_mps,
        s.approach_mps,
        s.rotate_mps,
    ];
    for d in &a.flaps {
        all.push(Some(d.angle_rad));
        all.extend([
            d.limit_mps,
            d.stall_mps,
            d.warning_aoa_rad,
            d.aoa_offset_rad,
            d.drag_offset,
        ]);
    }
    all.extend([m.reference_kg, m.actual_kg, m.maximum_kg, m.empty_kg]);
    all.extend([e.rated_power_w, e.rated_speed_radps, e.idle_speed_radps]);
    all.extend([a.wing_area_m2, a.wing_span_m, a.critical_aoa_rad]);
    for c in &a.calibration {
        all.extend([
            Some(c.indicated_mps),
            Some(c.calibrated_mps),
            c.flap_angle_rad,
        ]);
    }
    all.extend([
        r.pitot_lag_s,
        r.vertical_speed_lag_s,
        r.pitch_offset_rad,
        r.bank_offset_rad,
    ]);
    all.into_iter()
        .map(|value| value.unwrap_or(-999.0))
        .collect()
}

/// By hand with the factors of NIST Special Publication 811, 2008, appendix B.8: knot 0.514 444 m/s,
/// pound 0.453 592 4 kg, horsepower 745.699 9 W, rpm 0.104 719 8 rad/s, square foot 0.092 903 04 m²,
/// foot 0.3048 m, degree 0.017 453 29 rad.
#[test]
fn val_every_entry_in_si() {
    let (kt, deg, absent) = (0.514_444, 0.017_453_29, -999.0);
    let mut expected: Vec<f64> = [
        44.0, 50.0, 62.0, 74.0, 104.0, 90.0, 126.0, 160.0, 68.0, 65.0, 55.0,
    ]
    .iter()
    .map(|knots| knots * kt)
    .collect();
    expected.extend([0.0, absent, 50.0 * kt, 11.0 * deg, absent, absent]);
    expected.extend([
        30.0 * deg,
        90.0 * kt,
        44.0 * kt,
        10.0 * deg,
        -4.0 * deg,
        0.05,
    ]);
    expected.extend([2_300.0 * 0.453_592_4, 1_000.0, 2_400.0 * 0.453_592_4, 700.0]);
    expected.extend([
        160.0 * 745.699_9,
        2_700.0 * 0.104_719_8,
        700.0 * 0.104_719_8,
    ]);
    expected.extend([170.0 * 0.092_903_04, 35.0 * 0.3048, 16.0 * deg]);
    expected.extend([
        50.0 * kt,
        55.0 * kt,
        30.0 * deg,
        0.5,
        1.5,
        -1.5 * deg,
        0.75 * deg,
    ]);
    let tern = read(FULL);
    assert_eq!(
        (tern.name.as_str(), tern.description.as_str()),
        ("Tern", "a bird")
    );
    assert_eq!(tern.engine.propeller, Propeller::ConstantSpeed);
    let found = numbers(&tern);
    assert_eq!(found.len(), expected.len());
    for (number, (found, expected)) in found.iter().zip(&expected).enumerate() {
        assert!(
            (found - expected).abs() <= 2e-6 * expected.abs(),
            "{number}: {found} {expected}"
        );
    }
}

#[test]
fn val_the_other_units() {
    let tern = read(
        &FULL
            .replace("vs1_kias = 50", "vs1_kmh = 92.6")
            .replace("vy_kias = 74", "vy_mph = 85.157")
            .replace("rated_power_hp = 160", "rated_power_kw = 119.312")
            .replace("area_ft2 = 170", "area_m2 = 15.7935")
            .replace("span_ft = 35", "span_m = 10.668")
            .replace("calibrated_kcas = 55", "calibrated_kmh = 101.86"),
    );
    for (found, expected) in numbers(&tern).iter().zip(numbers(&read(FULL))) {
        assert!(
            (found - expected).abs() <= 1e-5 * expected.abs(),
            "{found} {expected}"
        );
    }
}

#[test]
fn prop_every_entry_survives_writing() {
    let first = read(FULL);
    let second = read(&aircraft::write(&first));
    for (before, after) in numbers(&first).iter().zip(numbers(&second)) {
        assert!((before - after).abs() < 1e-6, "{before} {after}");
    }
    assert_eq!(first.engine, aircraft::Engine { ..second.engine });
    assert_eq!(first.description, second.description);
}

/// Each entry alone, just inside and just outside of what is sensible.
#[test]
fn each_entry_has_its_limits() {
    let limits = [
        ("speeds", "vy_kias", 15.0, 400.0, 0.1),
        ("speeds", "vy_kmh", 27.8, 740.0, 0.9),
        ("mass", "maximum_lb", 221.0, 12_500.0, 1.0),
        ("mass", "maximum_kg", 100.0, 5_669.0, 1.0),
        ("engine", "rated_power_kw", 5.0, 2_000.0, 0.1),
        ("engine", "rated_rpm", 1_000.0, 8_000.0, 1.0),
        ("engine", "idle_rpm", 200.0, 3_000.0, 1.0),
        ("wing", "area_m2", 4.0, 80.0, 0.1),
        ("wing", "span_m", 4.0, 30.0, 0.1),
        ("wing", "critical_aoa_deg", 5.0, 30.0, 0.1),
        ("recorder", "pitot_lag_s", 0.0, 15.0, 0.1),
        ("recorder", "vertical_speed_lag_s", 0.0, 15.0, 0.1),
        ("recorder", "pitch_offset_deg", -20.0, 20.0, 0.1),
        ("recorder", "bank_offset_deg", -20.0, 20.0, 0.1),
    ];
    for (section, key, low, high, step) in limits {
        // A thousandth inside, because a limit that was converted twice is not exact.
        let near = step / 100.0;
        for (value, good) in [
            (low - step, false),
            (low + near, true),
            (high - near, true),
            (high + step, false),
        ] {
            let text = format!("name = \"x\"\n[{section}]\n{key} = {value}\n");
            let read = aircraft::parse(&text, "x");
            assert_eq!(read.is_ok(), good, "{key} = {value}: {read:?}");
        }
    }
    for (key, low, high, step) in [
        ("limit_kias", 15.0, 400.0, 0.1),
        ("warning_aoa_deg", 0.0, 30.0, 0.1),
        ("aoa_offset_deg", -15.0, 0.0, 0.1),
        ("drag_offset", 0.0, 1.0, 0.01),
    ] {
        for (value, good) in [
            (low - step, false),
            (low + step / 100.0, true),
            (high - step / 100.0, true),
            (high + step, false),
        ] {
            let text = format!(
                "name = \"x\"\n[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 9\n{key} = {value}\n"
            );
            assert_eq!(aircraft::parse(&text, "x").is_ok(), good, "{key} = {value}");
        }
    }
    for (angle, good) in [(-20.1, false), (-19.9, true), (0.0, true), (0.1, false)] {
        let text = format!("name = \"x\"\n[[flaps]]\nangle_deg = {angle}\n");
        assert_eq!(
            aircraft::parse(&text, "x").is_ok(),
            good,
            "first detent {angle}"
        );
    }
    for (angle, good) in [(89.9, true), (90.1, false)] {
        let text =
            format!("name = \"x\"\n[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = {angle}\n");
        assert_eq!(aircraft::parse(&text, "x").is_ok(), good, "detent {angle}");
    }
}

/// A limit in a message reads as a person would write it.
#[test]
fn limits_in_messages_are_plain_numbers() {
    let told = |text: &str| aircraft::parse(text, "x").unwrap_err()[0].what.clone();
    assert_eq!(
        told("name = \"x\"\n[speeds]\nvy_kmh = 900\n"),
        "vy_kmh = 900 is not 27.8 to 741"
    );
    assert_eq!(
        told("name = \"x\"\n[recorder]\npitot_lag_s = 20\n"),
        "pitot_lag_s = 20 is not 0 to 15"
    );
    assert_eq!(
        told("name = \"x\"\n[wing]\narea_m2 = 100\n"),
        "area_m2 = 100 is not 4 to 80"
    );
}

/// The rules between entries begin exactly where the documentation says.
#[test]
fn rules_begin_where_they_say() {
    let two = |extra: &str| format!("name = \"x\"\n{extra}");
    let cases = [
        // VA against 1.3 VS1 of 50 kt.
        ("[speeds]\nvs1_kias = 50\nva_kias = 65.1", true),
        ("[speeds]\nvs1_kias = 50\nva_kias = 64.9", false),
        // One figure twice may differ by half a knot, the rounding of a manual.
        (
            "[speeds]\nvs1_kias = 50\n[[flaps]]\nangle_deg = 0\nstall_kias = 50.49",
            true,
        ),
        (
            "[speeds]\nvs1_kias = 50\n[[flaps]]\nangle_deg = 0\nstall_kias = 50.51",
            false,
        ),
        // Equal stall speeds and equal limits of two detents are sound.
        (
            "[[flaps]]\nangle_deg = 0\nstall_kias = 50\n[[flaps]]\nangle_deg = 9\nstall_kias = 50",
            true,
        ),
        (
            "[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 9\nlimit_kias = 90\n[[flaps]]\nangle_deg = 19\nlimit_kias = 90",
            true,
        ),
        ("[speeds]\nvx_kias = 70\nvy_kias = 70", true),
        // A limit just above the stall speed is sound, one at it is not.
        (
            "[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 9\nlimit_kias = 50.1\nstall_kias = 50",
            true,
        ),
        (
            "[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 9\nlimit_kias = 50\nstall_kias = 50",
            false,
        ),
        // Masses within half a kilogram are the same mass in another unit.
        ("[mass]\nreference_kg = 1000.4\nmaximum_kg = 1000", true),
        ("[mass]\nreference_kg = 1000.6\nmaximum_kg = 1000", false),
        // Idle against four fifths of 2,700.
        ("[engine]\nrated_rpm = 2700\nidle_rpm = 2159", true),
        ("[engine]\nrated_rpm = 2700\nidle_rpm = 2161", false),
        // Three tenths of 60 kt calibrated.
        (
            "[[calibration]]\nindicated_kias = 42.1\ncalibrated_kcas = 60",
            true,
        ),
        (
            "[[calibration]]\nindicated_kias = 41.9\ncalibrated_kcas = 60",
            false,
        ),
        // Pairs of different flap angles may cross; one for any angle may cross with none.
        (
            "[[calibration]]\nindicated_kias = 50\ncalibrated_kcas = 55\nflap_deg = 0\n[[calibration]]\nindicated_kias = 52\ncalibrated_kcas = 54\nflap_deg = 30",
            true,
        ),
        (
            "[[calibration]]\nindicated_kias = 50\ncalibrated_kcas = 55\n[[calibration]]\nindicated_kias = 52\ncalibrated_kcas = 54\nflap_deg = 30",
            false,
        ),
        (
            "[[calibration]]\nindicated_kias = 50\ncalibrated_kcas = 55\nflap_deg = 30\n[[calibration]]\nindicated_kias = 52\ncalibrated_kcas = 54",
            false,
        ),
        (
            "[[calibration]]\nindicated_kias = 50\ncalibrated_kcas = 55\nflap_deg = 30\n[[calibration]]\nindicated_kias = 52\ncalibrated_kcas = 54\nflap_deg = 30",
            false,
        ),
        // Aspect ratio 3 and 35: 10 m of span on 33.3 and on 2.86 m² (the latter no wing area).
        ("[wing]\narea_m2 = 33.2\nspan_m = 10", true),
        ("[wing]\narea_m2 = 33.5\nspan_m = 10", false),
        ("[wing]\narea_m2 = 17.5\nspan_m = 24.7", true),
        ("[wing]\narea_m2 = 17.5\nspan_m = 24.8", false),
        // 1,000 kg at 50 kt (25.72 m/s): lift coefficient 24.2/S, so 3.5 at 6.91 m² and 0.7 at 34.6 m².
        (
            "[speeds]\nvs1_kias = 50\n[mass]\nmaximum_kg = 1000\n[wing]\narea_m2 = 7.0",
            true,
        ),
        (
            "[speeds]\nvs1_kias = 50\n[mass]\nmaximum_kg = 1000\n[wing]\narea_m2 = 6.85",
            false,
        ),
        (
            "[speeds]\nvs1_kias = 50\n[mass]\nmaximum_kg = 1000\n[wing]\narea_m2 = 34.4",
            true,
        ),
        (
            "[speeds]\nvs1_kias = 50\n[mass]\nmaximum_kg = 1000\n[wing]\narea_m2 = 34.8",
            false,
        ),
    ];
    for (text, good) in cases {
        let read = aircraft::parse(&two(text), "x");
        assert_eq!(read.is_ok(), good, "{text}: {read:?}");
    }
}

/// The load in the message about VA is (VA/VS1)², and a name far from all known is not guessed at.
#[test]
fn messages_say_the_right_numbers() {
    let what = |text: &str| aircraft::parse(text, "x").unwrap_err()[0].what.clone();
    let va = what("name = \"x\"\n[speeds]\nvs1_kias = 50\nva_kias = 60\n");
    assert!(
        va.contains("only 1.20 times VS1 (50 kt): the wing would stall at 1.4 g"),
        "{va}"
    );
    let (_, notices) = aircraft::parse("name = \"x\"\n[speeds]\nqq = 50\n", "x").unwrap();
    assert!(
        notices[0]
            .what
            .starts_with("qq is not one of the entries of [speeds]"),
        "{notices:?}"
    );
    let text = what("name = \"x\"\n[speeds]\nvy_kias = 5O\n");
    assert!(!text.contains("no value"), "{text}");
}

fn said(text: &str, words: &str) -> bool {
    let (_, notices) = aircraft::parse(text, "x").unwrap_or_else(|p| panic!("{p:#?}"));
    notices.iter().any(|notice| notice.what.contains(words))
}

/// Each missing entry is named when it is missing, and not when it is there or has no meaning.
#[test]
fn what_is_missing_is_named_and_nothing_else() {
    for words in [
        "no clean stall",
        "full flap",
        "(VY)",
        "(VA)",
        "no flap detents",
        "no flap limit",
        "no mass",
        "no rated",
        "no kind of propeller",
    ] {
        assert!(said("name = \"x\"\n", words), "{words}");
        assert!(!said(FULL, words), "{words}");
    }
    let flapless = "name = \"x\"\n[[flaps]]\nangle_deg = 0\n";
    for words in ["full flap", "no flap limit", "no flap detents"] {
        assert!(!said(flapless, words), "{words}");
    }
    let detents = "name = \"x\"\n[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 9\n";
    assert!(said(detents, "no flap limit") && said(detents, "full flap"));
    let limited = format!("{detents}limit_kias = 90\n");
    assert!(!said(&limited, "no flap limit") && said(&limited, "full flap"));
    let power = "name = \"x\"\n[engine]\nrated_power_hp = 100\n";
    assert!(said(power, "no rated rpm: full power") && !said(power, "no rated power"));
    let rpm = "name = \"x\"\n[engine]\nrated_rpm = 2700\n";
    assert!(!said(rpm, "no rated"));
}

/// A detent keeps its own limit though VFE is there too.
#[test]
fn own_limit_before_vfe() {
    let text = "name = \"x\"\n[speeds]\nvfe_kias = 85\n[[flaps]]\nangle_deg = 0\n[[flaps]]\nangle_deg = 10\n\
                limit_kias = 110\n[[flaps]]\nangle_deg = 20\n[[flaps]]\nangle_deg = 30\n";
    let tern = read(text);
    let limits: Vec<_> = (0..4)
        .map(|detent| tern.flap_limit_mps(detent).map(|v| (v / 0.514_444).round()))
        .collect();
    assert_eq!(limits, [None, Some(110.0), Some(85.0), Some(85.0)]);
}
