//! From TOML to a checked [`Pack`].

use super::schema::{CriterionFile, ElementFile, PackFile, PolicyFile, TaskFile};
use super::{
    BriefedBy, Channel, Criterion, Element, LimitFrom, LimitOrigin, Measure, Missing, NamedSpeed,
    Pack, PackError, Policy, Target, Task, When,
};
use super::{extend, read_own};
use crate::{units, words};
use maneuver::kinds::{Figure, grammar};
use maneuver::{Kind, variant, variants_of};
use toml::Spanned;

/// Moments that every maneuver has; each kind adds its own ([`maneuver::kinds::Grammar::moments`]).
const MOMENTS: [&str; 2] = ["start", "end"];

/// Where the reading is, for messages.
pub(super) struct Place<'a> {
    name: &'a str,
    text: &'a str,
}

/// What a criterion may name: the moments and figures of a kind, or of a maneuver of the school's own.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    /// For messages: `steep_turn`.
    pub name: &'a str,
    pub moments: &'a [&'static str],
    pub figures: &'a [Figure],
    /// Whether it is made of steps.
    pub steps: bool,
}

impl Known<'_> {
    fn of(kind: Kind) -> Known<'static> {
        Known {
            name: kind.id(),
            moments: grammar(kind).map_or(&[][..], |grammar| grammar.moments),
            figures: grammar(kind).map_or(&[][..], |grammar| grammar.figures),
            steps: false,
        }
    }
}

impl Place<'_> {
    /// A line that the file must have.
    fn lacks(&self, key: &str) -> PackError {
        let what = format!("missing field '{key}'");
        PackError::at(self.name, self.text, 0, what, "add the line")
    }

    pub(super) fn wrong<T>(
        &self,
        found: &Spanned<T>,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> PackError {
        PackError::at(self.name, self.text, found.span().start, what, mend)
    }

    pub(super) fn one_of<T: Copy>(
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

    pub(super) fn finite(&self, found: Option<&Spanned<f64>>) -> Result<Option<f64>, PackError> {
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
    let base = extend::base(&place, file.extends.as_ref())?;
    let policy = match (&file.policy, &base) {
        (Some(found), base) => {
            let policy = policy(&place, found)?;
            if let Some(base) = base {
                extend::policy(&place, found, policy, base)?;
            }
            policy
        }
        (None, Some(base)) => base.policy,
        (None, None) => return Err(place.lacks("policy")),
    };
    let mut tasks: Vec<Task> = Vec::with_capacity(file.task.len());
    for entry in &file.task {
        let task = task(&place, entry, policy)?;
        let form = |task: &Task| (task.kind, task.variant);
        if tasks.iter().any(|known| form(known) == form(&task)) {
            return Err(second(&place, entry, &task));
        }
        tasks.push(task);
    }
    if let Some(base) = &base {
        tasks = extend::tasks(&place, base, policy, &file.task, tasks)?;
    }
    extend::limits(&place, base.as_ref(), &mut tasks, &file.limit)?;
    let own = read_own::maneuvers(&place, &file.maneuver, policy)?;
    if tasks.is_empty() && own.is_empty() {
        return Err(place.lacks("task"));
    }
    let head = |own: Option<String>, key: &str, of: fn(&Pack) -> &String| {
        own.or_else(|| base.as_ref().map(|base| of(base).clone()))
            .ok_or_else(|| place.lacks(key))
    };
    let missing = file.missing.into_iter().map(|entry| Missing {
        task: entry.task,
        why: entry.why,
    });
    let of_base = base.iter().flat_map(|base| base.missing.clone());
    Ok(Pack {
        document: head(file.document, "document", |base| &base.document)?,
        edition: head(file.edition, "edition", |base| &base.edition)?,
        date: head(file.date, "date", |base| &base.date)?,
        source: head(file.source, "source", |base| &base.source)?,
        id: file.id,
        title: file.title,
        policy,
        missing: of_base.chain(missing).collect(),
        tasks,
        extends: base.as_ref().map(|base| base.id.clone()),
        own,
    })
}

/// Told of a task for what another task is for already.
fn second(place: &Place, entry: &TaskFile, task: &Task) -> PackError {
    match (&entry.variant, task.variant) {
        (Some(word), Some(variant)) => {
            let what = format!(
                "a second task for '{}' in the form '{variant}'",
                task.kind.id()
            );
            place.wrong(word, what, "keep one task for each form of a kind")
        }
        _ => {
            let what = format!("a second task for '{}'", task.kind.id());
            let mend = if variants_of(Some(task.kind)).is_empty() {
                "keep one task for each kind of maneuver".to_owned()
            } else {
                let forms = variants_of(Some(task.kind)).join(", ");
                format!("keep one, or say with variant = which form the other is for: {forms}")
            };
            place.wrong(&entry.kind, what, mend)
        }
    }
}

/// The form that a task is for.
fn form(place: &Place, kind: Kind, word: &Spanned<String>) -> Result<&'static str, PackError> {
    variant(Some(kind), word.get_ref()).ok_or_else(|| {
        let (what, mend) = words::unknown_variant(Some(kind), word.get_ref(), &[]);
        place.wrong(word, what, mend)
    })
}

fn policy(place: &Place, found: &Spanned<PolicyFile>) -> Result<Policy, PackError> {
    let file = found.get_ref();
    let right = file.held_s.is_finite() && file.held_s >= 0.0 && file.prompt_s >= file.held_s;
    if !right {
        return Err(place.wrong(
            found,
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
        elements.push(element(place, entry, policy, Known::of(kind))?);
    }
    if elements.is_empty() {
        let what = format!("task {} has no element", file.code.get_ref());
        return Err(place.wrong(&file.code, what, "add its skill elements"));
    }
    Ok(Task {
        kind,
        variant: match &file.variant {
            None => None,
            Some(word) => Some(form(place, kind, word)?),
        },
        code: file.code.get_ref().clone(),
        title: file.title.clone(),
        elements,
    })
}

pub(super) fn element(
    place: &Place,
    file: &ElementFile,
    policy: Policy,
    known: Known,
) -> Result<Element, PackError> {
    if file.criterion.is_empty() {
        let what = format!("element {} has no criterion", file.code.get_ref());
        let mend = "add one; where only a person can judge, write measure = \"instructor\"";
        return Err(place.wrong(&file.code, what, mend));
    }
    let criteria = file
        .criterion
        .iter()
        .map(|entry| criterion(place, entry, policy, known))
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
    names: Known,
) -> Result<Criterion, PackError> {
    if let Some(word) = &file.step
        && !names.steps
    {
        let what = format!("{} is not made of steps", names.name);
        return Err(place.wrong(word, what, "take the line out"));
    }
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
    let known: Vec<&str> = MOMENTS.iter().chain(names.moments).copied().collect();
    for moment in &file.window {
        if !known.contains(&moment.get_ref().as_str()) {
            let what = format!(
                "moment '{}' is not known in {}",
                moment.get_ref(),
                names.name
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
        target: target(place, file, names)?,
        low,
        high,
        limit_from,
        figure: if measure == Measure::Figure {
            figure(
                place,
                file.figure.as_ref().unwrap_or(&file.id),
                names,
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
    known: Known,
    unit: Option<&str>,
) -> Result<&'static str, PackError> {
    let figures = known.figures;
    let Some(found) = figures
        .iter()
        .find(|figure| figure.name == named.get_ref().as_str())
    else {
        let names: Vec<&str> = figures.iter().map(|figure| figure.name).collect();
        let what = format!(
            "figure '{}' is not known in {}",
            named.get_ref(),
            known.name
        );
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

fn target(place: &Place, file: &CriterionFile, known: Known) -> Result<Target, PackError> {
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
            Ok(Target::Figure(figure(place, named, known, None)?))
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
