//! From TOML to a checked [`Pack`].

use super::schema::{CriterionFile, ElementFile, PackFile, PolicyFile, TaskFile};
use super::{
    BriefedBy, Channel, Criterion, Element, LimitFrom, LimitOrigin, Measure, NamedSpeed, Pack,
    PackError, Policy, Target, Task, When,
};
use crate::units;
use maneuver::Kind;
use maneuver::kinds::grammar;
use toml::Spanned;

/// Moments that every maneuver has; each kind adds its own ([`maneuver::kinds::Grammar::moments`]).
const MOMENTS: [&str; 2] = ["start", "end"];

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
        elements.push(element(place, entry, policy, kind)?);
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

fn element(
    place: &Place,
    file: &ElementFile,
    policy: Policy,
    kind: Kind,
) -> Result<Element, PackError> {
    if file.criterion.is_empty() {
        let what = format!("element {} has no criterion", file.code.get_ref());
        let mend = "add one; where only a person can judge, write measure = \"instructor\"";
        return Err(place.wrong(&file.code, what, mend));
    }
    let criteria = file
        .criterion
        .iter()
        .map(|entry| criterion(place, entry, policy, kind))
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

fn criterion(
    place: &Place,
    file: &CriterionFile,
    policy: Policy,
    kind: Kind,
) -> Result<Criterion, PackError> {
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
            &[
                (LimitFrom::Va, "va"),
                (LimitFrom::Flap, "flap"),
                (LimitFrom::Vne, "vne"),
                (LimitFrom::Vno, "vno"),
            ],
        )?,
    };
    needs_limit(
        place,
        file,
        measure,
        limit_from,
        low.is_some() || high.is_some(),
    )?;
    let known: Vec<&str> = MOMENTS
        .iter()
        .chain(grammar(kind).map_or(&[][..], |grammar| grammar.moments))
        .copied()
        .collect();
    for moment in &file.window {
        if !known.contains(&moment.get_ref().as_str()) {
            let what = format!(
                "moment '{}' is not known in {}",
                moment.get_ref(),
                kind.id()
            );
            return Err(place.wrong(moment, what, format!("write one of {}", known.join(", "))));
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
        target: target(place, file, kind)?,
        low,
        high,
        limit_from,
        figure: if measure == Measure::Figure {
            figure(
                place,
                file.figure.as_ref().unwrap_or(&file.id),
                kind,
                Some(&file.unit),
            )?
        } else {
            ""
        },
        channel: channel(place, file, measure)?,
        briefed: match &file.briefed {
            None => None,
            Some(word) => Some(place.one_of(word, "briefed", &BRIEFED)?),
        },
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

const BRIEFED: [(BriefedBy, &str); 5] = [
    (BriefedBy::Bank, "bank"),
    (BriefedBy::Heading, "heading"),
    (BriefedBy::Speed, "speed"),
    (BriefedBy::Altitude, "altitude"),
    (BriefedBy::Point, "point"),
];

/// A figure that the kind works out, by name; its unit must go into the criterion's.
fn figure(
    place: &Place,
    named: &Spanned<String>,
    kind: Kind,
    unit: Option<&str>,
) -> Result<&'static str, PackError> {
    let figures = grammar(kind).map_or(&[][..], |grammar| grammar.figures);
    let Some(found) = figures
        .iter()
        .find(|figure| figure.name == named.get_ref().as_str())
    else {
        let names: Vec<&str> = figures.iter().map(|figure| figure.name).collect();
        let what = format!("figure '{}' is not known in {}", named.get_ref(), kind.id());
        let mend = if names.is_empty() {
            "this kind works out no figures; use series or instructor".to_owned()
        } else {
            format!("write one of {}", names.join(", "))
        };
        return Err(place.wrong(named, what, mend));
    };
    if let Some(unit) = unit
        && units::per_unit(found.unit, unit).is_none()
    {
        let what = format!("{} is not measured in '{unit}'", found.name);
        let mend = format!(
            "write unit = one of {}",
            units::printed(found.unit).join(", ")
        );
        return Err(place.wrong(named, what, mend));
    }
    Ok(found.name)
}

fn channel(
    place: &Place,
    file: &CriterionFile,
    measure: Measure,
) -> Result<Option<Channel>, PackError> {
    if measure != Measure::Series {
        return Ok(None);
    }
    let Some(word) = &file.series else {
        let what = format!(
            "criterion '{}' does not say which series",
            file.id.get_ref()
        );
        return Err(place.wrong(&file.id, what, "add series = \"airspeed\", \"altitude\", …"));
    };
    let known: Vec<(Channel, &str)> = Channel::ALL
        .iter()
        .map(|(channel, name, _)| (*channel, *name))
        .collect();
    let channel = place.one_of(word, "series", &known)?;
    if units::per_unit(channel.unit(), &file.unit).is_none() {
        let what = format!("{} is not measured in '{}'", word.get_ref(), file.unit);
        let mend = format!(
            "write unit = one of {}",
            units::printed(channel.unit()).join(", ")
        );
        return Err(place.wrong(word, what, mend));
    }
    if file.window.is_empty() {
        let what = format!("criterion '{}' has no window", file.id.get_ref());
        return Err(place.wrong(
            &file.id,
            what,
            "add window = [\"start\", \"end\"] or events",
        ));
    }
    Ok(Some(channel))
}

fn target(place: &Place, file: &CriterionFile, kind: Kind) -> Result<Target, PackError> {
    let Some(word) = &file.target else {
        return Ok(Target::Absolute);
    };
    match word.get_ref().as_str() {
        "entry" => Ok(Target::Entry),
        "slow_flight" => Ok(Target::SlowFlight),
        "briefed" if file.briefed.is_some() => Ok(Target::Briefed),
        "briefed" => Err(place.wrong(
            word,
            "which word of the briefing is missing",
            "add briefed = \"speed\", \"altitude\", \"heading\", \"bank\" or \"point\"",
        )),
        "speed" => {
            let Some(speed) = &file.speed else {
                return Err(place.wrong(word, "which speed is missing", "add speed = \"vy\""));
            };
            let known: Vec<(NamedSpeed, &str)> = NamedSpeed::ALL
                .iter()
                .map(|(speed, name, _)| (*speed, *name))
                .collect();
            Ok(Target::Speed(place.one_of(speed, "speed", &known)?))
        }
        "figure" => {
            let Some(named) = &file.target_figure else {
                return Err(place.wrong(
                    word,
                    "which figure is missing",
                    "add target_figure = NAME",
                ));
            };
            Ok(Target::Figure(figure(place, named, kind, None)?))
        }
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
                "write entry, stated, speed, figure, briefed or slow_flight, or leave it out",
            ))
        }
    }
}
