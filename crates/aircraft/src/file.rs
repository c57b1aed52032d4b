//! Reading the aircraft file (TOML; every entry is explained in `docs/aircraft-file.md`).
//!
//! The file is read in three steps, and all that is wrong is told at once, each with line, column
//! and how to mend it: the text (TOML syntax), each entry for itself (name, type, unit, range), and
//! the entries against each other (`check`). What is missing becomes a [`Notice`] that
//! says which marks will be `not_recorded` for it.
//!
//! Units stand in the names: `vs1_kias` or `vs1_mph` or `vs1_kmh`, `reference_lb` or `reference_kg`.
//! Speeds are indicated.

mod check;
mod check_flaps;
mod missing;
mod section;
mod suggest;
mod syntax;

use std::f64::consts::TAU;

use air::units::{KG_PER_LB, M_PER_FT, MPS_PER_KMH, MPS_PER_KT, MPS_PER_MPH, W_PER_HP};
use section::{Quantity, Report, Section, Unit};
use toml::de::DeTable;

use crate::place::{Notice, Place, Problem};
use crate::{
    Aircraft, CalibrationPoint, Detent, Engine, Limits, Mass, Propeller, RecorderQuirks, Speeds,
};

const SPEED: &[Unit] = &[
    ("kias", MPS_PER_KT),
    ("mph", MPS_PER_MPH),
    ("kmh", MPS_PER_KMH),
];
const CALIBRATED: &[Unit] = &[
    ("kcas", MPS_PER_KT),
    ("mph", MPS_PER_MPH),
    ("kmh", MPS_PER_KMH),
];
const MASS: &[Unit] = &[("lb", KG_PER_LB), ("kg", 1.0)];
const ANGLE: &[Unit] = &[("deg", std::f64::consts::PI / 180.0)];
const POWER: &[Unit] = &[("hp", W_PER_HP), ("kw", 1000.0)];
const ROTATION: &[Unit] = &[("rpm", TAU / 60.0)];
const AREA: &[Unit] = &[("ft2", M_PER_FT * M_PER_FT), ("m2", 1.0)];
const LENGTH: &[Unit] = &[("ft", M_PER_FT), ("m", 1.0)];
const SECONDS: &[Unit] = &[("s", 1.0)];
const LOAD: &[Unit] = &[("g", 1.0)];

/// From an ultralight's stall (15 kt) to well past any trainer's never-exceed speed (400 kt).
const SPEED_RANGE_MPS: (f64, f64) = (15.0 * MPS_PER_KT, 400.0 * MPS_PER_KT);
/// From a single-seater to the 12,500 lb at which a small airplane ends (14 CFR 1.1).
const MASS_RANGE_KG: (f64, f64) = (100.0, 12_500.0 * KG_PER_LB);

const fn speed(stem: &'static str) -> Quantity {
    Quantity {
        stem,
        units: SPEED,
        range: SPEED_RANGE_MPS,
    }
}

const fn mass(stem: &'static str) -> Quantity {
    Quantity {
        stem,
        units: MASS,
        range: MASS_RANGE_KG,
    }
}

const fn angle(stem: &'static str, low_deg: f64, high_deg: f64) -> Quantity {
    Quantity {
        stem,
        units: ANGLE,
        range: (low_deg.to_radians(), high_deg.to_radians()),
    }
}

/// Reads an aircraft file. `name` is what messages call it, usually its path.
///
/// # Errors
/// Every problem of the file, in the order of its lines; the list is never empty.
///
/// ```
/// let text = "name = \"Trainer\"\n[speeds]\nvs0_kias = 55\nvs1_kias = 48\n";
/// let problems = aircraft::parse(text, "ours.toml").unwrap_err();
/// assert!(problems[0].to_string().starts_with("ours.toml line 3, column 1: VS0"));
/// ```
pub fn parse(text: &str, name: &str) -> Result<(Aircraft, Vec<Notice>), Vec<Problem>> {
    // A byte order mark is no part of TOML, though editors write it. It shifts no line or column.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut report = Report::new(name, text);
    let (document, refused) = DeTable::parse_recoverable(text);
    for error in &refused {
        let place = report.place(error.span().map_or(0, |span| span.start));
        // One slip can upset the parser several times on its line; the first tells most.
        if !report.broken_lines.contains(&place.line) {
            report.broken_lines.push(place.line);
            let line = text.lines().nth(place.line - 1).unwrap_or_default();
            let (what, mend) = syntax::explain(error.message(), line);
            report.problem(place, what, mend);
        }
    }
    let aircraft = document_entries(&mut report, document.get_ref());
    if refused.is_empty() {
        check::check(&mut report, &aircraft);
    }
    if report.problems.is_empty() {
        let aircraft = aircraft.completed();
        missing::missing(&mut report, &aircraft);
        return Ok((aircraft, report.notices));
    }
    report.problems.sort_by_key(|problem| problem.place);
    Err(report.problems)
}

fn document_entries(report: &mut Report<'_>, table: &DeTable<'_>) -> Aircraft {
    let mut top = Section::new("", "the entries at the top", table);
    let name = top.text(report, "name");
    let mut aircraft = Aircraft {
        description: top
            .text(report, "description")
            .map(|(text, _)| text)
            .unwrap_or_default(),
        critical_aoa_rad: top.number(report, &CRITICAL_AOA),
        ..Aircraft::default()
    };
    // A name that is there but of the wrong kind has its own problem already.
    let place = match name {
        Some((name, place)) if name.trim().is_empty() => Some(place),
        Some((name, _)) => {
            name.trim().clone_into(&mut aircraft.name);
            None
        }
        None => (!top.has("name")).then_some(Place { line: 1, column: 1 }),
    };
    if let Some(place) = place {
        let mend = "begin the file with name = \"…\", as the school calls the type";
        report.problem(place, "the aircraft has no name", mend);
    }
    if let Some(section) = top.child(report, "speeds") {
        aircraft.speeds = speeds(report, section);
    }
    for section in top.children(report, "flaps").unwrap_or_default() {
        aircraft.flaps.extend(detent(report, section));
    }
    if let Some(section) = top.child(report, "mass") {
        aircraft.mass = masses(report, section);
    }
    if let Some(section) = top.child(report, "limits") {
        aircraft.limits = limits(report, section);
    }
    if let Some(section) = top.child(report, "engine") {
        aircraft.engine = engine(report, section);
    }
    if let Some(section) = top.child(report, "wing") {
        wing(report, section, &mut aircraft);
    }
    for section in top.children(report, "calibration").unwrap_or_default() {
        aircraft
            .calibration
            .extend(calibration_point(report, section));
    }
    if let Some(section) = top.child(report, "recorder") {
        aircraft.recorder = recorder(report, section);
    }
    top.finish(report, belongs_in);
    aircraft
}

const CRITICAL_AOA: Quantity = angle("critical_aoa", 5.0, 30.0);

fn speeds(report: &mut Report<'_>, mut section: Section<'_, '_>) -> Speeds {
    let mut read = |stem| section.number(report, &speed(stem));
    let speeds = Speeds {
        vs0_mps: read("vs0"),
        vs1_mps: read("vs1"),
        vx_mps: read("vx"),
        vy_mps: read("vy"),
        va_mps: read("va"),
        vfe_mps: read("vfe"),
        vno_mps: read("vno"),
        vne_mps: read("vne"),
        best_glide_mps: read("best_glide"),
        approach_mps: read("approach"),
        rotate_mps: read("rotate"),
    };
    section.finish(report, belongs_in);
    speeds
}

fn detent(report: &mut Report<'_>, mut section: Section<'_, '_>) -> Option<Detent> {
    // Below zero are reflex settings; past 90° nothing is a flap any more.
    let angle_rad = section.number(report, &angle("angle", -20.0, 90.0));
    let detent = Detent {
        angle_rad: angle_rad.unwrap_or(f64::NAN),
        limit_mps: section.number(report, &speed("limit")),
        stall_mps: section.number(report, &speed("stall")),
        warning_aoa_rad: section.number(report, &angle("warning_aoa", 0.0, 30.0)),
        aoa_offset_rad: section.number(report, &angle("aoa_offset", -15.0, 0.0)),
        drag_offset: {
            let unit = &[("offset", 1.0)];
            section.number(
                report,
                &Quantity {
                    stem: "drag",
                    units: unit,
                    range: (0.0, 1.0),
                },
            )
        },
    };
    let given = section.has("angle_deg");
    let place = section.place(report);
    section.finish(report, belongs_in);
    if angle_rad.is_none() && !given {
        report.problem(
            place,
            "this flap detent does not say its angle",
            "add angle_deg = …, with 0 for flaps up",
        );
    }
    angle_rad.map(|_| detent)
}

fn masses(report: &mut Report<'_>, mut section: Section<'_, '_>) -> Mass {
    let mut read = |stem| section.number(report, &mass(stem));
    let masses = Mass {
        reference_kg: read("reference"),
        actual_kg: read("actual"),
        maximum_kg: read("maximum"),
        empty_kg: read("empty"),
    };
    section.finish(report, belongs_in);
    masses
}

/// From the 2 g of a microlight to the 12 g of an aerobatic single-seater.
fn limits(report: &mut Report<'_>, mut section: Section<'_, '_>) -> Limits {
    let load = |stem, range| Quantity {
        stem,
        units: LOAD,
        range,
    };
    let limits = Limits {
        load_max_g: section.number(report, &load("load_max", (2.0, 12.0))),
        load_min_g: section.number(report, &load("load_min", (-12.0, 0.0))),
    };
    section.finish(report, belongs_in);
    limits
}

fn engine(report: &mut Report<'_>, mut section: Section<'_, '_>) -> Engine {
    let power = Quantity {
        stem: "rated_power",
        units: POWER,
        range: (5e3, 2e6),
    };
    // Crankshaft speeds: electric and small two-stroke engines turn fastest.
    let rotation = |stem, low_rpm: f64, high_rpm: f64| Quantity {
        stem,
        units: ROTATION,
        range: (low_rpm * TAU / 60.0, high_rpm * TAU / 60.0),
    };
    let mut engine = Engine {
        rated_power_w: section.number(report, &power),
        rated_speed_radps: section.number(report, &rotation("rated", 1000.0, 8000.0)),
        idle_speed_radps: section.number(report, &rotation("idle", 200.0, 3000.0)),
        propeller: Propeller::Unknown,
    };
    if let Some((text, place)) = section.text(report, "propeller") {
        engine.propeller = match text.trim().to_lowercase().replace(['-', ' '], "_").as_str() {
            "fixed_pitch" => Propeller::FixedPitch,
            "constant_speed" => Propeller::ConstantSpeed,
            _ => {
                report.problem(
                    place,
                    format!("propeller = \"{text}\" is not a kind of propeller"),
                    "write \"fixed_pitch\" or \"constant_speed\", or remove the line",
                );
                Propeller::Unknown
            }
        };
    }
    section.finish(report, belongs_in);
    engine
}

fn wing(report: &mut Report<'_>, mut section: Section<'_, '_>, aircraft: &mut Aircraft) {
    let area = Quantity {
        stem: "area",
        units: AREA,
        range: (4.0, 80.0),
    };
    let span = Quantity {
        stem: "span",
        units: LENGTH,
        range: (4.0, 30.0),
    };
    aircraft.wing_area_m2 = section.number(report, &area);
    aircraft.wing_span_m = section.number(report, &span);
    // It may stand here or at the top, where TOML wants it before the first section.
    let here = section.number(report, &CRITICAL_AOA);
    if here.is_some() && aircraft.critical_aoa_rad.is_some() {
        let place = report.spot("wing.critical_aoa").place;
        let other = report.spot("critical_aoa").place.line;
        report.problem(
            place,
            format!("critical_aoa_deg stands here and on line {other}"),
            "keep one of the two",
        );
    }
    aircraft.critical_aoa_rad = aircraft.critical_aoa_rad.or(here);
    section.finish(report, belongs_in);
}

fn calibration_point(
    report: &mut Report<'_>,
    mut section: Section<'_, '_>,
) -> Option<CalibrationPoint> {
    let indicated = section.number(report, &speed("indicated"));
    let calibrated = section.number(
        report,
        &Quantity {
            units: CALIBRATED,
            ..speed("calibrated")
        },
    );
    let flap = section.number(report, &angle("flap", -20.0, 90.0));
    let has = |stem: &str, units: &[Unit]| {
        units
            .iter()
            .any(|(unit, _)| section.has(&format!("{stem}_{unit}")))
    };
    let complete = has("indicated", SPEED) && has("calibrated", CALIBRATED);
    let place = section.place(report);
    section.finish(report, belongs_in);
    if !complete {
        report.problem(
            place,
            "this calibration pair lacks one of its speeds",
            "give indicated_kias and calibrated_kcas",
        );
    }
    Some(CalibrationPoint {
        indicated_mps: indicated?,
        calibrated_mps: calibrated?,
        flap_angle_rad: flap,
    })
}

fn recorder(report: &mut Report<'_>, mut section: Section<'_, '_>) -> RecorderQuirks {
    let lag = |stem| Quantity {
        stem,
        units: SECONDS,
        range: (0.0, 15.0),
    };
    let quirks = RecorderQuirks {
        pitot_lag_s: section.number(report, &lag("pitot_lag")),
        vertical_speed_lag_s: section.number(report, &lag("vertical_speed_lag")),
        pitch_offset_rad: section.number(report, &angle("pitch_offset", -20.0, 20.0)),
        bank_offset_rad: section.number(report, &angle("bank_offset", -20.0, 20.0)),
    };
    section.finish(report, belongs_in);
    quirks
}

/// Entries by the section they belong in, for one that stands in the wrong place.
fn belongs_in(key: &str) -> Option<&'static str> {
    if key == "propeller" {
        return Some("[engine]");
    }
    let (stem, unit) = key.rsplit_once('_')?;
    let of = |units: &[Unit]| units.iter().any(|(name, _)| *name == unit);
    match stem {
        "vs0" | "vs1" | "vx" | "vy" | "va" | "vfe" | "vno" | "vne" | "best_glide" | "approach"
        | "rotate"
            if of(SPEED) =>
        {
            Some("[speeds]")
        }
        "reference" | "actual" | "maximum" | "empty" if of(MASS) => Some("[mass]"),
        "load_max" | "load_min" if of(LOAD) => Some("[limits]"),
        "rated_power" if of(POWER) => Some("[engine]"),
        "rated" | "idle" if of(ROTATION) => Some("[engine]"),
        "area" if of(AREA) => Some("[wing]"),
        "span" if of(LENGTH) => Some("[wing]"),
        "critical_aoa" if of(ANGLE) => Some("[wing]"),
        "limit" | "stall" if of(SPEED) => Some("the [[flaps]] it is for"),
        "angle" | "warning_aoa" | "aoa_offset" if of(ANGLE) => Some("the [[flaps]] it is for"),
        "pitot_lag" | "vertical_speed_lag" if of(SECONDS) => Some("[recorder]"),
        "pitch_offset" | "bank_offset" if of(ANGLE) => Some("[recorder]"),
        _ => None,
    }
}
