//! A school's pack that builds on one that comes with the program: it may ask for more, never for less without
//! saying why.

use super::read::Place;
use super::schema::{LimitFile, PolicyFile, TaskFile};
use super::{Criterion, EMBEDDED, LimitFrom, LimitOrigin, Pack, PackError, Policy, Task};
use crate::words;
use maneuver::Kind;
use toml::Spanned;

const MEND: &str = "ask for at least as much, or say why not with loosened = \"the reason\"";

/// The pack that is extended.
pub(super) fn base(
    place: &Place,
    extends: Option<&Spanned<String>>,
) -> Result<Option<Pack>, PackError> {
    let Some(id) = extends else { return Ok(None) };
    let known: Vec<&str> = EMBEDDED.iter().map(|(known, _)| *known).collect();
    if !known.contains(&id.get_ref().as_str()) {
        let what = format!("there is no standard '{}' to extend", id.get_ref());
        return Err(place.wrong(id, what, words::one_of(id.get_ref(), &known)));
    }
    super::pack(id.get_ref()).map(Some)
}

/// A policy of its own forgives no more than that of the extended pack.
pub(super) fn policy(
    place: &Place,
    found: &Spanned<PolicyFile>,
    policy: Policy,
    base: &Pack,
) -> Result<(), PackError> {
    match forgives_more(base.policy, policy) {
        Some(what) if reason(found.get_ref().loosened.as_deref()).is_none() => {
            Err(place.wrong(found, format!("the policy {what} than {}", base.id), MEND))
        }
        _ => Ok(()),
    }
}

fn reason(loosened: Option<&str>) -> Option<&str> {
    loosened.filter(|reason| !reason.trim().is_empty())
}

fn forgives_more(base: Policy, own: Policy) -> Option<&'static str> {
    if own.held_s > base.held_s {
        Some("waits longer before a deviation counts")
    } else if own.forgiven > base.forgiven {
        Some("forgives more excursions")
    } else if own.forgiven > 0 && own.prompt_s > base.prompt_s {
        Some("forgives longer excursions")
    } else {
        None
    }
}

/// The extended pack's tasks with the school's: one for the same form of a kind takes the place, others are added.
pub(super) fn tasks(
    place: &Place,
    base: &Pack,
    policy: Policy,
    files: &[TaskFile],
    own: Vec<Task>,
) -> Result<Vec<Task>, PackError> {
    let mut all = base.tasks.clone();
    let criteria = all
        .iter_mut()
        .flat_map(|task| &mut task.elements)
        .flat_map(|element| &mut element.criteria);
    // What the extended pack sets for one criterion alone stands.
    for criterion in criteria.filter(|criterion| criterion.policy == base.policy) {
        criterion.policy = policy;
    }
    for (file, task) in files.iter().zip(own) {
        let same = all
            .iter_mut()
            .find(|known| (known.kind, known.variant) == (task.kind, task.variant));
        let Some(known) = same else {
            all.push(task);
            continue;
        };
        if reason(file.loosened.as_deref()).is_none()
            && let Some(what) = less(known, &task)
        {
            let what = format!("{what}: {} of {} asks for more", known.code, base.id);
            return Err(place.wrong(&file.code, what, MEND));
        }
        *known = task;
    }
    Ok(all)
}

/// What a task that takes another's place asks for less.
fn less(base: &Task, own: &Task) -> Option<String> {
    for element in &base.elements {
        for criterion in &element.criteria {
            let same = own
                .elements
                .iter()
                .filter(|known| known.code == element.code)
                .flat_map(|known| &known.criteria)
                .find(|known| known.id == criterion.id);
            let name = format!("{} of {}", criterion.id, element.code);
            let how = match same {
                None => Some("is left out".to_owned()),
                Some(own) => looser(criterion, own),
            };
            if let Some(how) = how {
                return Some(format!("{name} {how}"));
            }
        }
    }
    None
}

/// How a criterion asks for less than another; none when it does not.
fn looser(base: &Criterion, own: &Criterion) -> Option<String> {
    let same = base.measure == own.measure
        && base.figure == own.figure
        && base.channel == own.channel
        && base.target == own.target
        && base.limit_from == own.limit_from
        && base.unit == own.unit
        && base.when == own.when
        && base.window == own.window;
    if !same {
        return Some("is measured in another way".to_owned());
    }
    limit_looser(base, own.low, own.high)
        .or_else(|| forgives_more(base.policy, own.policy).map(str::to_owned))
}

/// How these limits are wider than the criterion's.
fn limit_looser(base: &Criterion, low: Option<f64>, high: Option<f64>) -> Option<String> {
    if let Some(least) = base.low
        && low.is_none_or(|low| low < least)
    {
        return Some(format!("goes below {least}"));
    }
    if let Some(most) = base.high
        && high.is_none_or(|high| high > most)
    {
        return Some(format!("goes above {most}"));
    }
    None
}

/// Changes single limits of the extended pack.
pub(super) fn limits(
    place: &Place,
    base: Option<&Pack>,
    tasks: &mut [Task],
    files: &[LimitFile],
) -> Result<(), PackError> {
    for file in files {
        let Some(base) = base else {
            let what = "a limit without a pack to change";
            return Err(place.wrong(&file.element, what, "add extends = \"faa-private\" on top"));
        };
        limit(place, base, tasks, file)?;
    }
    Ok(())
}

fn limit(
    place: &Place,
    base: &Pack,
    tasks: &mut [Task],
    file: &LimitFile,
) -> Result<(), PackError> {
    let kind = match &file.kind {
        None => None,
        Some(word) => Some(Kind::from_id(word.get_ref()).ok_or_else(|| {
            let what = format!("kind '{}' is not known", word.get_ref());
            place.wrong(word, what, "write the id of a maneuver, e.g. steep_turn")
        })?),
    };
    let bounds = (
        place.finite(file.low.as_ref())?,
        place.finite(file.high.as_ref())?,
    );
    if bounds == (None, None) {
        let mend = "add low, high, or both";
        return Err(place.wrong(&file.criterion, "no limit is given", mend));
    }
    let (mut codes, mut ids): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let mut changed = false;
    let tasks = tasks
        .iter_mut()
        .filter(|task| kind.is_none_or(|kind| kind == task.kind));
    for task in tasks {
        for element in &mut task.elements {
            let code = format!("{}.{}", task.code, element.code);
            let here = code == *file.element.get_ref();
            codes.push(code);
            if !here {
                continue;
            }
            for criterion in &mut element.criteria {
                ids.push(criterion.id.clone());
                if criterion.id == *file.criterion.get_ref() {
                    narrow(place, base, file, criterion, bounds)?;
                    changed = true;
                }
            }
        }
    }
    if changed {
        return Ok(());
    }
    let (element, criterion) = (file.element.get_ref(), file.criterion.get_ref());
    let (word, what, known) = if codes.contains(element) {
        let what = format!("criterion '{criterion}' is not in {element}");
        (&file.criterion, what, ids)
    } else {
        let what = format!("element '{element}' is not in {}", base.id);
        (&file.element, what, codes)
    };
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    Err(place.wrong(word, what, words::one_of(word.get_ref(), &known)))
}

/// Puts the limits in place, which then are the school's and no longer the document's.
fn narrow(
    place: &Place,
    base: &Pack,
    file: &LimitFile,
    criterion: &mut Criterion,
    (low, high): (Option<f64>, Option<f64>),
) -> Result<(), PackError> {
    if criterion.for_instructor() || criterion.limit_from != LimitFrom::Pack {
        let what = format!("'{}' has no limit in the pack", criterion.id);
        let mend = "only a person judges it, or the aircraft's file sets it; take this out";
        return Err(place.wrong(&file.criterion, what, mend));
    }
    let (low, high) = (low.or(criterion.low), high.or(criterion.high));
    let wrong = |what: String, mend: &str| match file.low.as_ref().or(file.high.as_ref()) {
        Some(number) => place.wrong(number, what, mend),
        None => place.wrong(&file.criterion, what, mend),
    };
    if let (Some(low), Some(high)) = (low, high)
        && low >= high
    {
        let what = format!("low {low} is not below high {high}");
        return Err(wrong(what, "exchange the two"));
    }
    let why = reason(file.loosened.as_deref());
    let was = criterion.limit_words();
    let looser = limit_looser(criterion, low, high);
    if let (Some(how), None) = (&looser, why) {
        let what = format!("'{}' {how}, the limit of {}", criterion.id, base.id);
        return Err(wrong(what, MEND));
    }
    (criterion.low, criterion.high) = (low, high);
    criterion.origin = LimitOrigin::Assumed;
    let edition = &base.edition;
    criterion.note = match (looser, why) {
        (Some(_), Some(why)) => {
            format!("the school's own limit, looser than {was} of {edition}: {why}")
        }
        _ if was.is_empty() => "the school's own limit".to_owned(),
        _ => format!("the school's own limit; {edition} gives {was}"),
    };
    Ok(())
}
