//! `proofwing debrief`: recordings in, summary, page, print and document out.

use crate::aircraft_command;
use crate::args::{DebriefArgs, MapArgs, Paper, Recovery};
use crate::card::CardForm;
use crate::earlier::EarlierFlights;
use crate::failure::Failure;
use crate::{maps, output};
use air::units::M_PER_FT;
use aircraft::Aircraft;
use flight::Surroundings;
use proofwing::pipeline::{self, Debriefed, Setting};
use proofwing::summary;
use rayon::prelude::*;
use recording::{Read, ReadOptions};
use standard::{Briefed, Pack};
use std::path::Path;

/// A file that takes a second or more to debrief, so that a person who waits should be told.
const LONG_WORK_BYTES: usize = 20_000_000;

/// Runs the command.
pub fn run(args: &DebriefArgs) -> Result<(), Failure> {
    let aircraft = match &args.aircraft {
        Some(path) => aircraft_command::load(path)?.0,
        None => Aircraft::unknown(),
    };
    let pack = pack(&args.standard)?;
    let briefed = briefed(args)?;
    let card = args.brief_card.as_deref();
    let card = card
        .map(|target| CardForm::of(target, args.recordings.len() > 1))
        .transpose()?;
    let setting = Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &briefed,
        surroundings: Surroundings {
            terrain_m: args.terrain_ft.map(|feet| feet * M_PER_FT),
        },
    };
    let earlier = EarlierFlights::read(&args.earlier, &aircraft)?;
    let many = args.recordings.len() > 1;
    // One flight a core: each debrief is a single thread of work from bytes to document.
    let outcomes: Vec<Result<Vec<Debriefed>, Failure>> = args
        .recordings
        .par_iter()
        .map(|path| {
            let flights = debrief_file(path, &args.mapping, &setting, &earlier)?;
            if many {
                output::progress(&format!("{}: {} flight(s)", path.display(), flights.len()));
            }
            Ok(flights)
        })
        .collect();
    let mut flights = Vec::new();
    let mut failures = Vec::new();
    for outcome in outcomes {
        match outcome {
            Ok(found) => flights.extend(found),
            Err(failure) => failures.push(failure),
        }
    }
    write_all(args, card, &flights)?;
    finish(failures)
}

/// What could be debriefed has been written; the rest is told of, and the exit code says so.
fn finish(mut failures: Vec<Failure>) -> Result<(), Failure> {
    let Some(last) = failures.pop() else {
        return Ok(());
    };
    for failure in failures {
        eprintln!("proofwing: {failure}");
    }
    Err(last)
}

/// Reads a file, with a remembered map if there is one for its header.
pub fn read_file(path: &Path, mapping: &MapArgs) -> Result<(Read, Option<String>), Failure> {
    let bytes =
        std::fs::read(path).map_err(|error| Failure::Recording(Failure::opening(path, &error)))?;
    if bytes.len() > LONG_WORK_BYTES {
        output::progress(&format!(
            "reading {} ({} MB) …",
            path.display(),
            bytes.len() / 1_000_000
        ));
    }
    let name = path.file_name().map_or_else(
        || path.display().to_string(),
        |name| name.to_string_lossy().into_owned(),
    );
    let unreadable = |error: recording::ReadError| Failure::Recording(error.to_string());
    let given = maps::given(mapping)?;
    let first = recording::read(
        &name,
        &bytes,
        &ReadOptions {
            map: given,
            ..ReadOptions::default()
        },
    );
    let signature = match &first {
        Ok(read) => read.report.header_signature.clone(),
        Err(_) => String::new(),
    };
    let (options, used) = maps::options(mapping, &signature)?;
    if used.is_none() {
        return first.map(|read| (read, None)).map_err(unreadable);
    }
    recording::read(&name, &bytes, &options)
        .map(|read| (read, used))
        .map_err(unreadable)
}

fn debrief_file(
    path: &Path,
    mapping: &MapArgs,
    setting: &Setting<'_>,
    earlier: &EarlierFlights,
) -> Result<Vec<Debriefed>, Failure> {
    let (read, _) = read_file(path, mapping)?;
    let several = read.recordings.len() > 1;
    if read.recordings.is_empty() {
        return Err(no_flight(path));
    }
    Ok(read
        .recordings
        .into_iter()
        .enumerate()
        .map(|(index, mut recording)| {
            if several {
                recording.name = format!("{} flight {}", recording.name, index + 1);
            }
            let before = earlier.before(&recording);
            if before.len() < earlier.count() {
                // Told whoever watches: it is not what was asked for.
                eprintln!(
                    "proofwing: {}: {} of {} flights named with --earlier were not over before it and are left out",
                    recording.name,
                    earlier.count() - before.len(),
                    earlier.count()
                );
            }
            pipeline::debrief_after(&recording, setting, before)
        })
        .collect())
}

fn no_flight(path: &Path) -> Failure {
    Failure::Recording(format!(
        "{}: the file holds no flight\nhint: `proofwing inspect` shows what was understood",
        path.display()
    ))
}

/// A standard by its id, or a file of the school's own.
pub fn pack(id: &str) -> Result<Pack, Failure> {
    // A school's own pack is a file; the published ones have ids.
    let path = Path::new(id);
    if path
        .extension()
        .is_some_and(|extension| extension == "toml")
        || path.exists()
    {
        let text = std::fs::read_to_string(path)
            .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
        return Pack::read(&text, id).map_err(|error| Failure::Usage(error.to_string()));
    }
    standard::pack(id).map_err(|error| Failure::Usage(error.to_string()))
}

fn briefed(args: &DebriefArgs) -> Result<Briefed, Failure> {
    let mut briefed = match &args.briefed {
        Some(path) => {
            let text = std::fs::read_to_string(path)
                .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
            Briefed::read(&text, &path.display().to_string())
                .map_err(|error| Failure::Usage(error.to_string()))?
        }
        None => Briefed::default(),
    };
    // The file speaks first: the flag fills in what it leaves open.
    briefed.recovery = briefed
        .recovery
        .or(args.recovery.map(|recovery| match recovery {
            Recovery::FullStall => standard::Recovery::FullStall,
            Recovery::FirstIndication => standard::Recovery::FirstIndication,
        }));
    for text in &args.runway {
        let runway = standard::GivenRunway::from_numbers(text)
            .map_err(|error| Failure::Usage(format!("--runway: {error}")))?;
        briefed.runways.push(runway);
    }
    Ok(briefed)
}

fn write_all(
    args: &DebriefArgs,
    card: Option<CardForm>,
    flights: &[Debriefed],
) -> Result<(), Failure> {
    let several = flights.len() > 1;
    for flight in flights {
        let stem = output::stem(&flight.document.recording.name);
        if let Some(target) = &args.html {
            let path = output::place(target, several, &stem, "html");
            output::write(
                &path,
                press::html(&flight.document, &flight.flight).as_bytes(),
            )?;
            output::progress(&format!("wrote {}", path.display()));
        }
        if let Some(target) = &args.pdf {
            let path = output::place(target, several, &stem, "pdf");
            output::write(&path, &pdf(flight, args.paper)?)?;
            output::progress(&format!("wrote {}", path.display()));
        }
        if let Some((target, form)) = args.brief_card.as_deref().zip(card) {
            let stem = format!("{stem} brief card");
            let path = output::place(target, several, &stem, form.ending());
            match form.written(flight, args.paper)? {
                Some(card) => {
                    output::write(&path, &card)?;
                    output::progress(&format!("wrote {}", path.display()));
                }
                // Told whoever watches: it is not what was asked for.
                None => eprintln!(
                    "proofwing: {}: no brief card: no stall here has a clean recovery to show",
                    flight.document.recording.name
                ),
            }
        }
    }
    if let Some(target) = &args.json {
        let text = json(flights)?;
        if target.as_os_str() == "-" {
            output::print(&text)?;
        } else {
            output::write(target, text.as_bytes())?;
        }
    }
    let files = [&args.html, &args.pdf, &args.json, &args.brief_card];
    if files.iter().all(|file| file.is_none()) {
        for flight in flights {
            output::print(&format!("{}\n", summary::text(&flight.document)))?;
        }
    }
    Ok(())
}

/// The print of one flight.
pub fn pdf(flight: &Debriefed, paper: Paper) -> Result<Vec<u8>, Failure> {
    press::pdf_on(&flight.document, &flight.flight, on(paper))
        .map_err(|error| Failure::Output(error.to_string()))
}

/// The paper as the press knows it.
pub const fn on(paper: Paper) -> press::Paper {
    match paper {
        Paper::Letter => press::Paper::Letter,
        Paper::A4 => press::Paper::A4,
    }
}

fn json(flights: &[Debriefed]) -> Result<String, Failure> {
    let documents: Result<Vec<String>, String> = flights
        .iter()
        .map(|flight| pipeline::to_json(&flight.document))
        .collect();
    let documents = documents.map_err(Failure::Output)?;
    Ok(match documents.as_slice() {
        [one] => format!("{one}\n"),
        several => format!("[{}]\n", several.join(",\n")),
    })
}
