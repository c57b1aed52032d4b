//! From the file to the lesson.

use super::day;
use super::reader::{Page, Range, Section};
use super::table::{self, KINDS, KindRow, LEGS, Where};
use super::{SCHEMA, Script, Start, Task};
use crate::faults::{ALL, Fault, Faults};
use crate::maneuvers::field::Form;
use crate::recorder::Fit;
use crate::runway::Runway;
use air::atmosphere;
use air::geodesy::Place as OnEarth;
use air::units::{M_PER_FT, MPS_PER_KT};
use aircraft::Problem;
use dynamics::Weather;
use toml::de::DeTable;

const TOP: [&str; 9] = [
    "schema", "name", "airframe", "recorder", "start", "field", "weather", "pilot", "fly",
];
const FT: Range = Range(0.0, 12_000.0, "ft");
pub(super) const KIAS: Range = Range(40.0, 200.0, "KIAS");
pub(super) const HEADING: Range = Range(0.0, 360.0, "deg");

pub(super) fn read(text: &str, name: &str) -> Result<Script, Problem> {
    let page = Page { text, name };
    let table = DeTable::parse(text).map_err(|error| {
        let at = error.span().map_or(0, |span| span.start);
        let mend = "see docs/practice-flights.md for how a script is written";
        page.problem(at, error.message().to_owned(), mend)
    })?;
    let top = Section {
        page,
        table: table.get_ref(),
        called: "a script".to_owned(),
        at: 0,
    };
    top.only(&TOP)?;
    if top.text("schema")? != Some(SCHEMA) {
        let what = "the file does not say that it is a script of this form".to_owned();
        let mend = format!("write schema = \"{SCHEMA}\" at its top");
        return Err(page.problem(top.place("schema"), what, &mend));
    }
    let (start, time) = day::start(&top)?;
    let mut script = Script {
        name: top.text("name")?.unwrap_or("practice flight").to_owned(),
        airframe: top.text("airframe")?.map(str::to_owned),
        recorder: top.word("recorder", &Fit::ALL.map(|(fit, id)| (id, fit)))?,
        start,
        time,
        place: OnEarth {
            latitude_rad: 0.0,
            longitude_rad: 0.0,
        },
        elevation_m: 0.0,
        runway: Runway {
            course: 0.0,
            length: 0.0,
        },
        weather: Weather::default(),
        setting_pa: atmosphere::P0_PA,
        wind: (0.0, 0.0),
        wander: 1.0,
        tasks: Vec::new(),
        file: name.to_owned(),
    };
    day::field(&top, &mut script)?;
    day::weather(&top, &mut script)?;
    if let Some(pilot) = top.section("pilot")? {
        pilot.only(&["wander"])?;
        let wander = pilot.number("wander", Range(0.0, 3.0, ""))?;
        script.wander = wander.unwrap_or(1.0);
    }
    let list = top.list("fly", "begin each thing to fly with a line [[fly]]")?;
    if list.is_empty() {
        let what = "nothing is to be flown".to_owned();
        let mend = "add a line [[fly]] and below it kind = \"steep_turn\", for one";
        return Err(page.problem(0, what, mend));
    }
    script.tasks = list.iter().map(task).collect::<Result<_, _>>()?;
    order(&script)?;
    Ok(script)
}

fn task(section: &Section) -> Result<Task, Problem> {
    let page = section.page;
    let (kind, leg) = (section.text("kind")?, section.text("leg")?);
    let mut task = Task {
        at: page.place(section.at),
        flaps_at: page.place(section.place("flaps_deg")),
        ..Task::default()
    };
    match (kind, leg) {
        (Some(id), None) => {
            let Some(row) = table::kind(id) else {
                let ids: Vec<&str> = KINDS.iter().map(|row| row.id).collect();
                let mend = format!("write one of {}", ids.join(", "));
                let what = format!("kind = \"{id}\" is not known");
                return Err(page.problem(section.place("kind"), what, &mend));
            };
            task.kind = Some(row.id);
            let mut keys = vec!["kind", "faults"];
            if row.at == Where::Area && row.height_ft > 0.0 {
                keys.push("height_ft");
            }
            keys.extend(row.keys);
            named(section, row.id).only(&keys)?;
            task.faults = faults(section, row)?;
        }
        (None, Some(id)) => {
            let Some((id, own)) = LEGS.iter().find(|(known, _)| *known == id) else {
                let ids: Vec<&str> = LEGS.iter().map(|(id, _)| *id).collect();
                let mend = format!("write one of {}", ids.join(", "));
                let what = format!("leg = \"{id}\" is not known");
                return Err(page.problem(section.place("leg"), what, &mend));
            };
            task.leg = Some(id);
            let mut keys = vec!["leg"];
            keys.extend(*own);
            named(section, id).only(&keys)?;
        }
        _ => {
            let what = "[[fly]] says neither or both of kind and leg".to_owned();
            let mend = "write kind = \"…\" for a maneuver or leg = \"…\" for ordinary flying";
            return Err(page.problem(section.at, what, mend));
        }
    }
    entries(section, &mut task)?;
    fits(section, &task)?;
    Ok(task)
}

fn named<'p, 'a>(section: &Section<'p, 'a>, id: &str) -> Section<'p, 'a> {
    Section {
        page: section.page,
        table: section.table,
        called: id.to_owned(),
        at: section.at,
    }
}

fn entries(section: &Section, task: &mut Task) -> Result<(), Problem> {
    let number = |key: &str, range: Range, si: f64| {
        let found = section.number(key, range)?;
        Ok::<_, Problem>(found.map(|value| value * si))
    };
    let degree = 1_f64.to_radians();
    let sides = [("left", -1.0), ("right", 1.0), ("straight", 0.0)];
    let stall = matches!(task.kind, Some("power_off_stall" | "power_on_stall"));
    task.side = section.word("direction", if stall { &sides } else { &sides[..2] })?;
    task.bank = number("bank_deg", Range(5.0, 60.0, "deg"), degree)?;
    task.flaps = number("flaps_deg", Range(0.0, 60.0, "deg"), degree)?;
    task.seconds = number("seconds", Range(0.0, 600.0, "s"), 1.0)?;
    task.speed = number("speed_kias", KIAS, MPS_PER_KT)?;
    task.height = number("height_ft", FT, M_PER_FT)?;
    task.to_height = number("to_height_ft", FT, M_PER_FT)?;
    task.at_height = number("at_height_ft", Range(50.0, 500.0, "ft"), M_PER_FT)?;
    task.heading = number("heading_deg", HEADING, degree)?;
    task.turns = number("turns", Range(1.0, 8.0, ""), 1.0)?;
    task.turn = number("turn_deg", Range(10.0, 360.0, "deg"), degree)?;
    task.radius = match number("radius_ft", Range(800.0, 4000.0, "ft"), M_PER_FT)? {
        Some(radius) => Some(radius),
        None => number("distance_ft", Range(700.0, 3000.0, "ft"), M_PER_FT)?,
    };
    task.point = number("point_ft", Range(200.0, 1500.0, "ft"), M_PER_FT)?;
    let recovery = [("full_stall", false), ("first_indication", true)];
    task.at_cue = section.word("recovery", &recovery)?.unwrap_or(false);
    let forms = [("short_field", Form::Short), ("soft_field", Form::Soft)];
    task.form = section.word("form", &forms)?.unwrap_or_default();
    let attitude = [("nose_high", false), ("nose_low", true)];
    task.nose_low = section.word("attitude", &attitude)?.unwrap_or(false);
    task.clearing = section.flag("clearing")?;
    Ok(())
}

/// Faults that need something else to be asked for.
fn fits(section: &Section, task: &Task) -> Result<(), Problem> {
    let stall = matches!(task.kind, Some("power_off_stall" | "power_on_stall"));
    let asked = task.bank.is_some() && task.side.is_some_and(|side| side != 0.0);
    let at = section.place("faults");
    if stall && !asked && task.faults.has(Fault::BankOutOfLimits) {
        let what = "bank_out_of_limits needs a bank that was asked for".to_owned();
        let mend = "add direction = \"left\" or \"right\" and bank_deg";
        return Err(section.page.problem(at, what, mend));
    }
    if stall && asked && task.faults.has(Fault::HeadingWander) {
        let what = "heading_wander needs a heading that is held".to_owned();
        let mend = "take out direction and bank_deg: a straight one";
        return Err(section.page.problem(at, what, mend));
    }
    let other = if task.nose_low {
        (Fault::LateFullPower, "nose_high")
    } else {
        (Fault::PulledBeforeRolling, "nose_low")
    };
    if task.kind == Some("unusual_attitude_recovery") && task.faults.has(other.0) {
        let what = format!("{} needs the other attitude", other.0.row().id);
        let mend = format!("write attitude = \"{}\"", other.1);
        return Err(section.page.problem(at, what, &mend));
    }
    for (fault, form) in [
        (Fault::ObstacleSpeedNotHeld, Form::Short),
        (Fault::LeftGroundEffectEarly, Form::Soft),
        (Fault::NoseNotHeldOff, Form::Soft),
    ] {
        if task.faults.has(fault) && task.form != form {
            let what = format!("{} needs the form that it spoils", fault.row().id);
            let mend = format!("add form = \"{}\"", form.id().unwrap_or_default());
            return Err(section.page.problem(at, what, &mend));
        }
    }
    if task.at_cue && task.faults.has(Fault::RecoveredBeforeFullStall) {
        let what = "recovery at the first indication was asked for: no fault".to_owned();
        return Err(section
            .page
            .problem(at, what, "take out recovery, or the fault"));
    }
    Ok(())
}

fn faults(section: &Section, row: &KindRow) -> Result<Faults, Problem> {
    let page = section.page;
    let mend = "write faults = [{ id = \"…\", size = … }]";
    let mut found = Faults::default();
    for one in section.list("faults", mend)? {
        one.only(&["id", "size"])?;
        let Some(id) = one.text("id")? else {
            return Err(page.problem(one.at, "a fault without id".to_owned(), mend));
        };
        let can: Vec<&str> = row.faults.iter().map(|fault| fault.row().id).collect();
        let Some(fault) = Fault::from_id(id).filter(|fault| row.faults.contains(fault)) else {
            let known = ALL.iter().any(|row| row.id == id);
            let what = if known {
                format!("{} cannot have the fault {id}", row.id)
            } else {
                format!("the fault {id} is not known")
            };
            let mend = format!("{} can have {}", row.id, can.join(", "));
            return Err(page.problem(one.place("id"), what, &mend));
        };
        if found.has(fault) {
            let what = format!("the fault {id} stands there twice");
            return Err(page.problem(one.place("id"), what, "take one of them out"));
        }
        let line = fault.row();
        if line.unit.is_empty() && one.has("size") {
            let what = format!("{id} is done or not: it has no size");
            return Err(page.problem(one.place("size"), what, "take the size out"));
        }
        let range = Range(line.range.0, line.range.1, line.unit);
        let size = one.number("size", range)?.unwrap_or(line.usual);
        found.0.push((fault, size * line.si));
    }
    Ok(found)
}

/// Takeoffs begin on the runway, everything else in the air.
fn order(script: &Script) -> Result<(), Problem> {
    let mut standing = script.start == Start::Runway;
    for task in &script.tasks {
        let row = task.kind.and_then(table::kind);
        let takes_off = row.is_some_and(|row| row.at == Where::Runway);
        let called = task.kind.or(task.leg).unwrap_or_default();
        if takes_off != standing {
            let (what, mend) = if standing {
                (
                    format!("{called} while standing on the runway"),
                    "add [[fly]] with kind = \"takeoff\" before it",
                )
            } else {
                (
                    "a takeoff while in the air".to_owned(),
                    "let the flight start with where = \"runway\", or land first",
                )
            };
            return Err(script.problem(task.at, what, mend));
        }
        standing = row.is_some_and(|row| row.at == Where::ToRunway);
    }
    Ok(())
}
