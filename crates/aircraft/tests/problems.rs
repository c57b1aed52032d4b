//! What a wrong file is told: each rule once, with place and remedy, and all of them at once.

use aircraft::{Notice, Problem};
use proptest::prelude::*;

/// A sound file that the tests spoil line by line.
const SOUND: &str = r#"name = "Tern"
[speeds]
vs0_kias = 44
vs1_kias = 50
vx_kias = 62
vy_kias = 74
va_kias = 104
vfe_kias = 90
vno_kias = 126
vne_kias = 160
[[flaps]]
angle_deg = 0
stall_kias = 50
[[flaps]]
angle_deg = 20
limit_kias = 100
warning_aoa_deg = 10
[[flaps]]
angle_deg = 40
limit_kias = 90
stall_kias = 44
[mass]
reference_lb = 2300
maximum_lb = 2400
empty_lb = 1500
[engine]
rated_power_hp = 160
rated_rpm = 2700
idle_rpm = 700
propeller = "fixed_pitch"
[wing]
area_ft2 = 170
span_ft = 35
critical_aoa_deg = 16
[[calibration]]
indicated_kias = 50
calibrated_kcas = 55
[[calibration]]
indicated_kias = 100
calibrated_kcas = 101
[recorder]
pitot_lag_s = 0.5
pitch_offset_deg = -1.5
"#;

fn notices(text: &str) -> Vec<Notice> {
    match aircraft::parse(text, "tern.toml") {
        Ok((_, notices)) => notices,
        Err(problems) => panic!("{problems:#?}"),
    }
}

#[track_caller]
fn problems(text: &str) -> Vec<Problem> {
    aircraft::parse(text, "tern.toml").expect_err("the file should not pass")
}

/// Replaces a line of the sound file; the one problem that follows stands on `line` and says `words`.
#[track_caller]
fn spoiled(from: &str, to: &str, line: usize, words: &str) {
    assert!(SOUND.contains(from), "{from} is not in the file");
    let found = problems(&SOUND.replacen(from, to, 1));
    let told: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(found.len(), 1, "{to}: {told:#?}");
    assert!(told[0].contains(words), "{to}: {told:#?}");
    assert_eq!(found[0].place.line, line, "{to}: {told:#?}");
    assert!(!found[0].mend.is_empty());
}

#[test]
fn sound_file_has_one_thing_to_say() {
    let said = notices(SOUND);
    assert_eq!(said.len(), 1, "{said:#?}");
    assert!(
        said[0]
            .to_string()
            .contains("no stall speed at 20° of flap: taken from the neighbors")
    );
}

#[test]
fn each_rule_between_speeds_is_told_where_it_is_broken() {
    // VS0 above VS1 also contradicts the detents, so those go along.
    let text = SOUND.replace("= 44", "= 52");
    let told: Vec<String> = problems(&text).iter().map(ToString::to_string).collect();
    assert!(
        told[0].starts_with("tern.toml line 3, column 1: VS0 of 52 kt is above VS1 of 50 kt"),
        "{told:#?}"
    );
    spoiled(
        "vx_kias = 62",
        "vx_kias = 76",
        5,
        "VX of 76 kt is above VY of 74 kt",
    );
    spoiled(
        "vx_kias = 62",
        "vx_kias = 48",
        4,
        "VS1 of 50 kt is above VX of 48 kt",
    );
    spoiled(
        "va_kias = 104",
        "va_kias = 60",
        7,
        "VA of 60 kt is only 1.20 times VS1",
    );
    spoiled(
        "vno_kias = 126",
        "vno_kias = 170",
        9,
        "VNO of 170 kt is above VNE of 160 kt",
    );
    spoiled(
        "vfe_kias = 90",
        "vfe_kias = 95",
        8,
        "the same speed by meaning",
    );
    spoiled(
        "vs1_kias = 50",
        "vs1_kias = 52",
        4,
        "(line 13) are the same speed by meaning",
    );
    spoiled(
        "vfe_kias = 90",
        "best_glide_kias = 45",
        4,
        "glides best below its stall speed",
    );
    spoiled("vfe_kias = 90", "approach_kias = 40", 3, "approach");
    spoiled(
        "vfe_kias = 90",
        "rotate_kias = 40",
        3,
        "fly off below its stall speed",
    );
}

#[test]
fn each_rule_between_detents_is_told_where_it_is_broken() {
    spoiled(
        "angle_deg = 20",
        "angle_deg = 45",
        19,
        "flap detent 40° comes after 45°",
    );
    spoiled("angle_deg = 20", "angle_deg = 0", 15, "each once");
    spoiled(
        "angle_deg = 0",
        "angle_deg = 5",
        12,
        "the first flap detent is 5°, not flaps up",
    );
    spoiled("angle_deg = 20", "", 14, "does not say its angle");
    spoiled(
        "limit_kias = 100",
        "stall_kias = 51",
        16,
        "rises from 50 kt at 0° of flap to 51 kt at 20°",
    );
    spoiled(
        "limit_kias = 100",
        "limit_kias = 85",
        20,
        "the flap limit rises from 85 kt at 20° to 90 kt at 40°",
    );
    spoiled(
        "warning_aoa_deg = 10",
        "warning_aoa_deg = 17",
        17,
        "past the stall at 16°",
    );
    spoiled(
        "stall_kias = 50\n",
        "aoa_offset_deg = -2\n",
        13,
        "counted from flaps up",
    );
    let low = SOUND
        .replace("vfe_kias = 90\n", "")
        .replace("limit_kias = 90", "limit_kias = 44");
    assert!(
        problems(&low)[0]
            .what
            .contains("the limit of 44 kt is not above the stall speed of 44 kt")
    );
    let plain = SOUND
        .split("[[flaps]]")
        .next()
        .unwrap_or_default()
        .to_owned()
        + "[[flaps]]\nangle_deg = 0\n";
    assert!(problems(&plain)[0].what.contains("only flaps up is listed"));
}

#[test]
fn each_rule_of_the_rest_is_told_where_it_is_broken() {
    spoiled(
        "reference_lb = 2300",
        "reference_lb = 2500",
        23,
        "above the maximum mass",
    );
    spoiled(
        "reference_lb = 2300",
        "actual_kg = 1200",
        23,
        "actual mass of 2646 lb (1200 kg)",
    );
    spoiled(
        "empty_lb = 1500",
        "empty_lb = 2350",
        25,
        "above the reference mass",
    );
    spoiled(
        "idle_rpm = 700",
        "idle_rpm = 2300",
        29,
        "within a fifth of the rated speed",
    );
    spoiled(
        "\"fixed_pitch\"",
        "\"wooden\"",
        30,
        "is not a kind of propeller",
    );
    spoiled("span_ft = 35", "span_ft = 14", 32, "span²/area is 1.2");
    spoiled(
        "area_ft2 = 170\nspan_ft = 35",
        "area_m2 = 60",
        32,
        "lift coefficient of",
    );
    spoiled(
        "indicated_kias = 100
calibrated_kcas = 101",
        "indicated_kias = 60
calibrated_kcas = 54",
        38,
        "contradicts",
    );
    spoiled(
        "calibrated_kcas = 101",
        "calibrated_kcas = 150",
        38,
        "more than three tenths",
    );
    spoiled("calibrated_kcas = 101", "", 38, "lacks one of its speeds");
}

#[test]
fn each_slip_in_an_entry_is_told_with_its_remedy() {
    spoiled("vx_kias", "vx_kais", 5, "did you mean vx_kias?");
    spoiled("vx_kias", "vx_knots", 5, "did you mean vx_kias?");
    spoiled(
        "vx_kias = 62",
        "vx_kias = \"62 kt\"",
        5,
        "text in quotes, not a number; write the bare number",
    );
    spoiled("vx_kias = 62", "vx_kias = nan", 5, "not a finite number");
    spoiled(
        "vx_kias = 62",
        "vx_kias = 620",
        5,
        "vx_kias = 620 is not 15 to 400",
    );
    spoiled(
        "vx_kias = 62",
        "vx_kias = 62\nvx_mph = 71",
        6,
        "vx_mph says again what vx_kias says on line 5",
    );
    spoiled(
        "pitot_lag_s = 0.5",
        "vx_mph = 71",
        42,
        "move it below [speeds]",
    );
    spoiled("[recorder]", "[recoder]", 41, "did you mean recorder?");
    spoiled("[mass]", "[weight]", 22, "did you mean mass?");
    spoiled(
        "[recorder]",
        "[[recorder]]",
        41,
        "write its entries below a line that says [recorder]",
    );
    spoiled("name = \"Tern\"", "name = 5", 1, "put it in quotes");
    spoiled(
        "name = \"Tern\"",
        "# no name",
        1,
        "the aircraft has no name",
    );
    spoiled(
        "name = \"Tern\"",
        "name = \"  \"",
        1,
        "the aircraft has no name",
    );
    spoiled(
        "name = \"Tern\"",
        "name = Tern",
        1,
        "has text without quotes",
    );
    spoiled("vx_kias = 62", "vx_kias = 62,5", 5, "write a decimal point");
    spoiled(
        "vx_kias = 62",
        "vx_kias = 62 kt",
        5,
        "write the bare number",
    );
    spoiled("vx_kias = 62", "vx_kias =", 5, "has no value");
    spoiled("vx_kias = 62", "vx_kias", 5, "each line is");
    let flaps = SOUND.replace(
        "[[flaps]]\nangle_deg = 0\nstall_kias = 50\n",
        "[flaps]\nangle_deg = 0\n",
    );
    assert!(
        problems(&flaps)
            .iter()
            .any(|p| p.mend.contains("[[flaps]], in double brackets")),
        "{:#?}",
        problems(&flaps)
    );
}

#[test]
fn everything_is_told_at_once_and_in_order() {
    let text = SOUND
        .replace("name = \"Tern\"", "name = 5")
        .replace("vx_kias = 62", "vx_kais = 62")
        .replace("angle_deg = 20", "angle_deg = 50")
        .replace("empty_lb = 1500", "empty_lb = 2350")
        .replace("\"fixed_pitch\"", "true");
    let lines: Vec<usize> = problems(&text)
        .iter()
        .map(|problem| problem.place.line)
        .collect();
    assert_eq!(lines, [1, 5, 19, 25, 30]);
}

#[test]
fn an_entry_that_nobody_knows_is_named_and_the_file_still_read() {
    let said = notices(&format!("{SOUND}tire_pressure = 30\n"));
    assert_eq!(said[0].place.map(|place| place.line), Some(44));
    assert!(
        said[0]
            .to_string()
            .contains("line 44, column 1: tire_pressure is not one of the entries of [recorder]")
    );
}

#[test]
fn a_bare_name_is_enough_and_says_what_it_costs() {
    let said = notices("name = \"Tern\"\n");
    let criteria: Vec<_> = said
        .iter()
        .flat_map(|notice| notice.criteria.clone())
        .collect();
    for criterion in [
        "flap_extension_speed",
        "flaps_retracted",
        "power_percent",
        "no_stall_warning",
        "entry_airspeed",
    ] {
        assert!(criteria.contains(&criterion), "{criterion}");
    }
    // Without flaps there is no flap to miss.
    let said = notices("name = \"Tern\"\n[speeds]\nvs1_kias = 40\n[[flaps]]\nangle_deg = 0\n");
    assert!(
        said.iter().all(|notice| !notice.what.contains("flap ")),
        "{said:#?}"
    );
}

#[test]
fn other_units_and_line_ends_read_the_same() {
    let (first, _) = aircraft::parse(SOUND, "a").unwrap();
    let windows = format!("\u{feff}{}", SOUND.replace('\n', "\r\n"));
    let (second, _) = aircraft::parse(&windows, "a").unwrap();
    assert_eq!(first, second);
    // 50 kt are 92.6 km/h and 57.539 mph; 170 ft² are 15.7935 m² (NIST SP 811 factors).
    for other in ["vs1_kmh = 92.6", "vs1_mph = 57.539"] {
        let (third, _) = aircraft::parse(&SOUND.replace("vs1_kias = 50", other), "a").unwrap();
        let (a, b) = (first.speeds.vs1_mps.unwrap(), third.speeds.vs1_mps.unwrap());
        assert!((a - b).abs() < 1e-4, "{a} {b}");
    }
    let (fourth, _) =
        aircraft::parse(&SOUND.replace("area_ft2 = 170", "area_m2 = 15.7935"), "a").unwrap();
    assert!((first.wing_area_m2.unwrap() - fourth.wing_area_m2.unwrap()).abs() < 1e-4);
}

proptest! {
    /// Whatever is done to a file, it is read or refused with places inside it; nothing panics.
    #[test]
    fn prop_mangled_files_are_read_or_refused(
        cut in 0..SOUND.len(), drop in 0..40_usize, junk in "[\\PC\\n\"\\[\\]=,.#0-9a-z_]{0,12}",
    ) {
        let mut text = String::from(&SOUND[..cut]);
        text.push_str(&junk);
        text.push_str(SOUND.get(cut + drop..).unwrap_or_default());
        if let Err(found) = aircraft::parse(&text, "x") {
            prop_assert!(!found.is_empty());
            let lines = text.matches('\n').count() + 1;
            prop_assert!(found.iter().all(|p| p.place.line >= 1 && p.place.line <= lines));
        }
    }

    #[test]
    fn prop_any_text_is_read_or_refused(text in "\\PC{0,200}") {
        prop_assert!(aircraft::parse(&text, "x").is_err());
    }
}
