//! From TOML to a checked [`OwnManeuver`].

use super::own::{FIGURES, MEASURES, NAMES, StepNames};
use super::read::{self, Known, Place};
use super::schema::{CriterionFile, ElementFile, OwnFile, StepFile};
use super::{Element, OwnManeuver, PackError, Policy, Power, Primitive, Step};
use crate::words;
use air::units::M_PER_FT;
use maneuver::Kind;
use maneuver::kinds::Figure;
use toml::Spanned;

/// Shortest step where the pack says nothing, s: what is shorter is a transition.
const LEAST_S: f64 = 3.0;

pub(super) fn maneuvers(
    place: &Place,
    files: &[OwnFile],
    policy: Policy,
) -> Result<Vec<OwnManeuver>, PackError> {
    let mut all: Vec<OwnManeuver> = Vec::with_capacity(files.len());
    for file in files {
        let id = file.id.get_ref();
        let letter =
            |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_';
        let wrong = |what: String, mend: &str| Err(place.wrong(&file.id, what, mend));
        if id.is_empty() || !id.chars().all(letter) {
            return wrong(
                format!("'{id}' is no id"),
                "write small letters, digits and _",
            );
        }
        if Kind::from_id(id).is_some() {
            let what = format!("'{id}' is a maneuver that the program knows");
            return wrong(what, "choose another id");
        }
        if all.iter().any(|known| known.id == *id) {
            return wrong(format!("a second maneuver '{id}'"), "choose another id");
        }
        all.push(maneuver(place, file, policy)?);
    }
    Ok(all)
}

fn maneuver(place: &Place, file: &OwnFile, policy: Policy) -> Result<OwnManeuver, PackError> {
    if !(2..=NAMES.len()).contains(&file.steps.len()) {
        let what = format!("{} steps", file.steps.len());
        let most = NAMES.len();
        let mend = format!("write 2 to {most}: a single one is found all over a flight");
        return Err(place.wrong(&file.id, what, mend));
    }
    let mut steps: Vec<Step> = Vec::with_capacity(file.steps.len());
    for (entry, names) in file.steps.iter().zip(&NAMES) {
        let step = step(place, entry, names)?;
        if steps.iter().any(|known| known.name == step.name) {
            let what = format!("a second step '{}'", step.name);
            return Err(place.wrong(entry, what, "give each step its own name"));
        }
        steps.push(step);
    }
    let used = NAMES.get(..steps.len()).unwrap_or(&NAMES);
    let moments: Vec<&'static str> = used
        .iter()
        .flat_map(|step| [step.start, step.end])
        .collect();
    let figures: Vec<Figure> = used.iter().flat_map(|step| step.figures).collect();
    let known = Known {
        name: file.id.get_ref(),
        moments: &moments,
        figures: &figures,
        steps: true,
    };
    let mut elements: Vec<Element> = Vec::with_capacity(file.element.len());
    for entry in &file.element {
        let element = read::element(place, &by_number(place, entry, &steps)?, policy, known)?;
        let stranger = element
            .criteria
            .iter()
            .find(|criterion| !MEASURES.contains(&criterion.measure));
        if let Some(criterion) = stranger {
            let what = format!("'{}' is for maneuvers that the program knows", criterion.id);
            let mend =
                "write measure = series, figure, min_altitude_agl, coordination or instructor";
            return Err(place.wrong(&entry.code, what, mend));
        }
        if elements.iter().any(|known| known.code == element.code) {
            let what = format!("element {} stands twice", element.code);
            return Err(place.wrong(&entry.code, what, "give each element once"));
        }
        elements.push(element);
    }
    Ok(OwnManeuver {
        id: file.id.get_ref().clone(),
        title: file.title.clone(),
        steps,
        elements,
    })
}

fn step(place: &Place, entry: &Spanned<StepFile>, names: &StepNames) -> Result<Step, PackError> {
    let file = entry.get_ref();
    let primitive = place.one_of(&file.primitive, "primitive", &Primitive::ALL)?;
    for (found, key) in [(&file.degrees, "degrees"), (&file.bank_deg, "bank_deg")] {
        if let Some(band) = found
            && !primitive.turn()
        {
            let what = format!("{key} of a step that is no turn");
            return Err(place.wrong(band, what, "take it out, or make the step a turn"));
        }
    }
    let min_s = seconds(place, file.min_s.as_ref())?.unwrap_or(LEAST_S);
    let max_s = seconds(place, file.max_s.as_ref())?;
    if max_s.is_some_and(|max_s| max_s < min_s) {
        let what = format!("the step lasts at least {min_s} s and at most less");
        return Err(place.wrong(entry, what, "let max_s be at least min_s"));
    }
    let power = match &file.power {
        None => None,
        Some(word) => Some(place.one_of(
            word,
            "power",
            &[
                (Power::Idle, "idle"),
                (Power::Partial, "partial"),
                (Power::Full, "full"),
            ],
        )?),
    };
    let scaled = |band: Option<(f64, f64)>, size: f64| band.map(|(a, b)| (a * size, b * size));
    let radians = std::f64::consts::PI / 180.0;
    Ok(Step {
        name: match &file.name {
            None => names.start.to_owned(),
            Some(word) => name(place, word)?,
        },
        primitive,
        min_s,
        max_s,
        turned_rad: scaled(band(place, file.degrees.as_ref(), 1440.0)?, radians),
        bank_rad: scaled(band(place, file.bank_deg.as_ref(), 75.0)?, radians),
        height_m: scaled(band(place, file.feet.as_ref(), 20_000.0)?, M_PER_FT),
        power,
    })
}

fn seconds(place: &Place, found: Option<&Spanned<f64>>) -> Result<Option<f64>, PackError> {
    match (place.finite(found)?, found) {
        (Some(seconds), Some(number)) if seconds <= 0.0 || seconds > 3600.0 => {
            let what = format!("{seconds} is no length of a step");
            Err(place.wrong(number, what, "write seconds above 0 up to 3600"))
        }
        (seconds, _) => Ok(seconds),
    }
}

fn band(
    place: &Place,
    found: Option<&Spanned<[f64; 2]>>,
    most: f64,
) -> Result<Option<(f64, f64)>, PackError> {
    let Some(band) = found else { return Ok(None) };
    let [low, high] = *band.get_ref();
    if 0.0 <= low && low < high && high <= most {
        return Ok(Some((low, high)));
    }
    let what = format!("{low} to {high} is no band");
    Err(place.wrong(band, what, format!("write [least, most] from 0 to {most}")))
}

fn name(place: &Place, word: &Spanned<String>) -> Result<String, PackError> {
    let name = word.get_ref();
    if name.is_empty() || ["start", "end"].contains(&name.as_str()) || name.starts_with("step_") {
        let what = format!("'{name}' is no name for a step");
        return Err(place.wrong(word, what, "choose another, e.g. climb_out"));
    }
    Ok(name.clone())
}

/// The names that marking knows a step by.
fn numbered<'a>(
    place: &Place,
    steps: &[Step],
    word: &Spanned<String>,
) -> Result<&'a StepNames, PackError> {
    steps
        .iter()
        .zip(&NAMES)
        .find(|(step, _)| step.name == *word.get_ref())
        .map(|(_, names)| names)
        .ok_or_else(|| {
            let mut known: Vec<&str> = steps.iter().map(|step| step.name.as_str()).collect();
            known.extend(["start", "end"]);
            let what = format!("step '{}' is not known", word.get_ref());
            place.wrong(word, what, words::one_of(word.get_ref(), &known))
        })
}

/// The element with its steps by number: `window = ["climb_out"]` is from that step's start to its end.
fn by_number(place: &Place, entry: &ElementFile, steps: &[Step]) -> Result<ElementFile, PackError> {
    let mut entry = entry.clone();
    for criterion in &mut entry.criterion {
        criterion.window = window(place, &criterion.window, steps)?;
        if let Some(word) = &criterion.step {
            let names = numbered(place, steps, word)?;
            criterion.figure = Some(figure(place, criterion, names)?);
            if criterion.window.is_empty() {
                // A figure is known when its step is over.
                let end = Spanned::new(word.span(), names.end.to_owned());
                criterion.window.push(end);
            }
        }
    }
    Ok(entry)
}

fn window(
    place: &Place,
    words: &[Spanned<String>],
    steps: &[Step],
) -> Result<Vec<Spanned<String>>, PackError> {
    let last = words.len().saturating_sub(1);
    let mut bounds = Vec::with_capacity(2);
    for (index, word) in words.iter().enumerate() {
        if ["start", "end"].contains(&word.get_ref().as_str()) {
            bounds.push(word.clone());
            continue;
        }
        let names = numbered(place, steps, word)?;
        if index == 0 {
            bounds.push(Spanned::new(word.span(), names.start.to_owned()));
        }
        if index == last {
            bounds.push(Spanned::new(word.span(), names.end.to_owned()));
        }
    }
    Ok(bounds)
}

fn figure(
    place: &Place,
    criterion: &CriterionFile,
    names: &StepNames,
) -> Result<Spanned<String>, PackError> {
    let word = criterion.figure.as_ref().unwrap_or(&criterion.id);
    let found = FIGURES
        .iter()
        .zip(&names.figures)
        .find(|(name, _)| **name == word.get_ref().as_str());
    let Some((_, figure)) = found else {
        let what = format!("figure '{}' is not known in a step", word.get_ref());
        return Err(place.wrong(word, what, words::one_of(word.get_ref(), &FIGURES)));
    };
    Ok(Spanned::new(word.span(), figure.name.to_owned()))
}
