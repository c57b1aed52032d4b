//! From TOML to a checked [`Pack`].

use super::schema::{CriterionFile, ElementFile, PackFile, PolicyFile, TaskFile};
use super::{
    Criterion, Element, LimitFrom, LimitOrigin, Measure, Pack, PackError, Policy, Target, Task,
    When,
};
use maneuver::Kind;
use toml::Spanned;

/// Moments that a window may name: events of the maneuver, its ends, and three of our own.
const MOMENTS: [&str; 20] = [
    "start",
    "end",
    "setup_start",
    "established",
    "recovery_input",
    "roll_in",
    "turned_30",
    "bank_established",
    "roll_out_start",
    "wings_level",
    "descent_stable",
    "idle",
    "power_set",
    "pitch_up",
    "first_cue",
    "full_stall",
    "recovery_start",
    "positive_climb",
    "stall",
    "stall_minus_5",
];

/// Where the reading is, for messages.
struct Place<'a> {
    name: &'a str,
    text: &'a str,
}

impl Place<'_> {
    fn wrong<T>(
        &self,
        found: &Spanned<T>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> PackError {
        PackError::at(self.name, self.text, found.span().start, what, mend)
    }

    fn one_of<T: Copy>(
        &self,
        found: &Spanned<String>,
        what: &str,
        known: &[(T, &str)],
    ) -> Result<T, PackError> {
        known
            .iter()
            .find(|(_, name)| name == found.get_ref())
            .map(|(value, _)| *value)
            .ok_or_else(|| {
                let names: Vec<&str> = known.iter().map(|(_, name)| *name).collect();
                let what = format!("{what} '{}' is not known", found.get_ref());
                self.wrong(found, what, format!("write one of {}", names.join(", ")))
            })
    }

    fn finite(&self, found: Option<&Spanned<f64>>) -> Result<Option<f64>, PackError> {
        match found {
            Some(number) if !number.get_ref().is_finite() => {
                Err(self.wrong(number, "this is not a number", "write a finite number"))
            }
            Some(number) => Ok(Some(*number.get_ref())),
            None => Ok(None),
        }
    }
}

pub(super) fn read(text: &str, name: &str) -> Result<Pack, PackError> {
    let file: PackFile =
        toml::from_str(text).map_err(|error| PackError::toml(name, text, &error))?;
    let place = Place { name, text };
    let policy = policy(&place, file.policy)?;
    let mut tasks: Vec<Task> = Vec::with_capacity(file.task.len());
    for entry in &file.task {
        let task = task(&place, entry, policy)?;
        if tasks.iter().any(|known| known.kind == task.kind) {
            let what = format!("a second task for '{}'", task.kind.id());
            return Err(place.wrong(&entry.kind, what, "keep one task for each kind of maneuver"));
        }
        tasks.push(task);
    }
    Ok(Pack {
        id: file.id,
        title: file.title,
        document: file.document,
        edition: file.edition,
        date: file.date,
        source: file.source,
        policy,
        tasks,
    })
}

fn policy(place: &Place, file: PolicyFile) -> Result<Policy, PackError> {
    let right = file.held_s.is_finite() && file.held_s >= 0.0 && file.prompt_s >= file.held_s;
    if !right {
        let offset = place.text.find("[policy]").unwrap_or(0);
        return Err(PackError::at(
            place.name,
            place.text,
            offset,
            format!(
                "held_s {} and prompt_s {} do not fit",
                file.held_s, file.prompt_s
            ),
            "held_s is zero or more seconds, prompt_s at least held_s",
        ));
    }
    Ok(Policy {
        held_s: file.held_s,
        prompt_s: file.prompt_s,
        forgiven: file.forgiven,
    })
}

fn task(place: &Place, file: &TaskFile, policy: Policy) -> Result<Task, PackError> {
    let Some(kind) = Kind::from_id(file.kind.get_ref()) else {
        let what = format!("kind '{}' is not known", file.kind.get_ref());
        return Err(place.wrong(
            &file.kind,
            what,
            "write the id of a maneuver, e.g. steep_turn",
        ));
    };
    let mut elements: Vec<Element> = Vec::with_capacity(file.element.len());
    for entry in &file.element {
        if elements
            .iter()
            .any(|known| known.code == *entry.code.get_ref())
        {
            let what = format!(
                "element {} stands twice in {}",
                entry.code.get_ref(),
                file.code.get_ref()
            );
            return Err(place.wrong(&entry.code, what, "give each element once"));
        }
        elements.push(element(place, entry, policy)?);
    }
    if elements.is_empty() {
        let what = format!("task {} has no element", file.code.get_ref());
        return Err(place.wrong(&file.code, what, "add its skill elements"));
    }
    Ok(Task {
        kind,
        code: file.code.get_ref().clone(),
        title: file.title.clone(),
        elements,
    })
}

fn element(place: &Place, file: &ElementFile, policy: Policy) -> Result<Element, PackError> {
    if file.criterion.is_empty() {
        let what = format!("element {} has no criterion", file.code.get_ref());
        let mend = "add one; where only a person can judge, write measure = \"instructor\"";
        return Err(place.wrong(&file.code, what, mend));
    }
    let criteria = file
        .criterion
        .iter()
        .map(|entry| criterion(place, entry, policy))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Element {
        code: file.code.get_ref().clone(),
        skill: file.skill.clone(),
        criteria,
    })
}

const ORIGINS: [(LimitOrigin, &str); 2] = [
    (LimitOrigin::Published, "published"),
    (LimitOrigin::Assumed, "assumed"),
];

fn criterion(place: &Place, file: &CriterionFile, policy: Policy) -> Result<Criterion, PackError> {
    let named = file.measure.as_ref().unwrap_or(&file.id);
    let measure = place.one_of(named, "measure", &Measure::ALL)?;
    let (low, high) = (
        place.finite(file.low.as_ref())?,
        place.finite(file.high.as_ref())?,
    );
    if let (Some(low_limit), Some(high_limit), Some(spanned)) = (low, high, &file.low)
        && low_limit >= high_limit
    {
        let what = format!("low {low_limit} is not below high {high_limit}");
        return Err(place.wrong(spanned, what, "exchange the two"));
    }
    let limit_from = match &file.limit_from {
        None => LimitFrom::Pack,
        Some(word) => place.one_of(
            word,
            "limit_from",
            &[(LimitFrom::Va, "va"), (LimitFrom::Flap, "flap")],
        )?,
    };
    needs_limit(
        place,
        file,
        measure,
        limit_from,
        low.is_some() || high.is_some(),
    )?;
    for moment in &file.window {
        if !MOMENTS.contains(&moment.get_ref().as_str()) {
            let what = format!("moment '{}' is not known", moment.get_ref());
            return Err(place.wrong(moment, what, format!("write one of {}", MOMENTS.join(", "))));
        }
    }
    let when = match &file.when {
        None => When::Always,
        Some(word) => place.one_of(
            word,
            "when",
            &[(When::Straight, "straight"), (When::Turning, "turning")],
        )?,
    };
    let held_s = place
        .finite(file.held_s.as_ref())?
        .unwrap_or(policy.held_s)
        .max(0.0);
    let prompt_s = place
        .finite(file.prompt_s.as_ref())?
        .unwrap_or(policy.prompt_s)
        .max(held_s);
    Ok(Criterion {
        id: file.id.get_ref().clone(),
        measure,
        quantity: file.quantity.clone(),
        unit: file.unit.clone(),
        target: target(place, file)?,
        low,
        high,
        limit_from,
        when,
        window: file
            .window
            .iter()
            .map(|moment| moment.get_ref().clone())
            .collect(),
        origin: place.one_of(&file.origin, "origin", &ORIGINS)?,
        policy: Policy {
            held_s,
            prompt_s,
            forgiven: file.forgiven.unwrap_or(policy.forgiven),
        },
        note: file.note.clone(),
    })
}

/// Criteria that answer yes or no, or take their limit from the aircraft, need none in the pack.
fn needs_limit(
    place: &Place,
    file: &CriterionFile,
    measure: Measure,
    from: LimitFrom,
    has: bool,
) -> Result<(), PackError> {
    let yes_or_no = matches!(
        measure,
        Measure::Instructor
            | Measure::RecoveryAfterFullStall
            | Measure::RecoveryAsSpecified
            | Measure::NoSecondaryStall
    );
    if has || yes_or_no || from != LimitFrom::Pack {
        return Ok(());
    }
    let what = format!("criterion '{}' has no limit", file.id.get_ref());
    Err(place.wrong(&file.id, what, "add low, high, or both"))
}

fn target(place: &Place, file: &CriterionFile) -> Result<Target, PackError> {
    let Some(word) = &file.target else {
        return Ok(Target::Absolute);
    };
    match word.get_ref().as_str() {
        "entry" => Ok(Target::Entry),
        "slow_flight" => Ok(Target::SlowFlight),
        "stated" => {
            let Some(value) = place.finite(file.stated.as_ref())? else {
                return Err(place.wrong(
                    word,
                    "the stated target is missing",
                    "add stated = NUMBER",
                ));
            };
            let origin = match &file.stated_origin {
                Some(origin) => place.one_of(origin, "stated_origin", &ORIGINS)?,
                None => LimitOrigin::Published,
            };
            Ok(Target::Stated { value, origin })
        }
        other => {
            let what = format!("target '{other}' is not known");
            Err(place.wrong(
                word,
                what,
                "write entry, stated or slow_flight, or leave it out",
            ))
        }
    }
}
