//! `proofwing standards`: which standards there are, what they ask for, and whether a school's own is right.

use crate::args::StandardsArgs;
use crate::debrief_command;
use crate::failure::Failure;
use crate::output;
use maneuver::Kind;
use standard::{Criterion, Element, LimitOrigin, OwnManeuver, Pack, Task};
use std::fmt::Write as _;

/// Lists, or shows one.
pub fn run(args: &StandardsArgs) -> Result<(), Failure> {
    let Some(id) = &args.standard else {
        return output::print(&list());
    };
    let pack = debrief_command::pack(id)?;
    let kind = args.kind.as_deref().map(kind).transpose()?;
    if let Some(kind) = kind
        && pack.tasks.iter().all(|task| task.kind != kind)
    {
        let mut kinds: Vec<&str> = pack.tasks.iter().map(|task| task.kind.id()).collect();
        kinds.dedup();
        return Err(Failure::Usage(format!(
            "{} has no task for {}; it has {}",
            pack.id,
            kind.id(),
            kinds.join(", ")
        )));
    }
    output::print(&shown(&pack, kind))
}

fn kind(id: &str) -> Result<Kind, Failure> {
    Kind::from_id(id).ok_or_else(|| {
        let ids: Vec<&str> = Kind::ALL.iter().map(|(_, id, _)| *id).collect();
        Failure::Usage(format!(
            "kind '{id}' is not known; write one of {}",
            ids.join(", ")
        ))
    })
}

fn list() -> String {
    let mut text = String::new();
    for pack in Pack::embedded() {
        let _ = writeln!(text, "{}", pack.id);
        let _ = writeln!(text, "  {}, {}, {}", pack.title, pack.edition, pack.date);
        for task in &pack.tasks {
            let _ = writeln!(text, "  {:<10} {}", task.code, task.title);
        }
    }
    text
}

fn shown(pack: &Pack, only: Option<Kind>) -> String {
    let mut text = format!(
        "{}\n{}\n{}, {}\nSource: {}\n\
         A deviation counts once it was kept up for {} s. The document counts above this pack.\n",
        pack.title, pack.document, pack.edition, pack.date, pack.source, pack.policy.held_s
    );
    if let Some(base) = &pack.extends {
        let _ = writeln!(text, "The school's own, on top of {base}.");
    }
    let tasks = pack
        .tasks
        .iter()
        .filter(|task| only.is_none_or(|kind| task.kind == kind));
    for task in tasks {
        show(task, &mut text);
    }
    if only.is_none() {
        for own in &pack.own {
            show_own(own, &mut text);
        }
    }
    if only.is_none() && !pack.missing.is_empty() {
        text.push_str("\nNot in this pack\n");
        for missing in &pack.missing {
            let _ = writeln!(text, "  {}: {}", missing.task, missing.why);
        }
    }
    text
}

fn show(task: &Task, text: &mut String) {
    let form = task
        .variant
        .map_or(String::new(), |form| format!(", {form}"));
    let _ = writeln!(
        text,
        "\n{} {} ({}{form})",
        task.code,
        task.title,
        task.kind.id()
    );
    elements(&task.elements, text);
}

/// `school_box School box, by its steps: step_1, first_turn, climb_out`.
fn show_own(own: &OwnManeuver, text: &mut String) {
    let steps: Vec<&str> = own.steps.iter().map(|step| step.name.as_str()).collect();
    let _ = writeln!(
        text,
        "\n{} {}, by its steps: {}",
        own.id,
        own.title,
        steps.join(", ")
    );
    elements(&own.elements, text);
}

fn elements(elements: &[Element], text: &mut String) {
    for element in elements {
        let _ = writeln!(text, "  {:<4} {}", element.code, element.skill);
        for criterion in &element.criteria {
            let _ = writeln!(text, "       {}", words(criterion));
        }
    }
}

/// `heading at roll-out: ±10°` and, where the number is ours, `(assumed)`.
fn words(criterion: &Criterion) -> String {
    if criterion.for_instructor() {
        return format!("{}: a person judges", criterion.quantity);
    }
    let limit = criterion.limit_words();
    let limit = if limit.is_empty() {
        String::new()
    } else {
        format!(": {limit}")
    };
    let assumed = match criterion.origin {
        LimitOrigin::Assumed => " (assumed)",
        _ => "",
    };
    format!("{}{limit}{assumed}", criterion.quantity)
}
