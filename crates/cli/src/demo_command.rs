//! `proofwing demo`: the main job on the built-in lesson.

use crate::args::{DemoArgs, Paper};
use crate::debrief_command;
use crate::failure::Failure;
use crate::output;
use air::units::M_PER_FT;
use flight::Surroundings;
use proofwing::pipeline::{self, Setting};
use proofwing::{demo, summary};
use recording::ReadOptions;
use standard::Briefed;
use std::path::Path;

/// Runs the command: the room, or the one debrief where a folder is named (or no room was built).
pub fn run(args: &DemoArgs) -> Result<(), Failure> {
    #[cfg(feature = "room")]
    if args.out.is_none() {
        return crate::room::demo(&args.room);
    }
    debrief(args.out.as_deref().unwrap_or(Path::new("out/demo")))
}

fn debrief(out: &Path) -> Result<(), Failure> {
    let ours = |error: String| Failure::Output(format!("the built-in demo: {error}"));
    let (aircraft, _) = aircraft::parse(demo::AIRCRAFT, "demo.toml").map_err(|problems| {
        ours(
            problems
                .first()
                .map_or_else(String::new, ToString::to_string),
        )
    })?;
    let pack = standard::pack("faa-private").map_err(|error| ours(error.to_string()))?;
    let briefed =
        Briefed::read(demo::BRIEFED, "briefed.toml").map_err(|error| ours(error.to_string()))?;
    let setting = Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &briefed,
        surroundings: Surroundings {
            terrain_m: Some(demo::TERRAIN_FT * M_PER_FT),
        },
    };
    let read = recording::read(
        demo::RECORDING_NAME,
        demo::RECORDING,
        &ReadOptions::default(),
    )
    .map_err(|error| ours(error.to_string()))?;
    let recording = read
        .recordings
        .first()
        .ok_or_else(|| ours("holds no flight".to_owned()))?;
    let debriefed = pipeline::debrief(recording, &setting);

    let page = out.join("debrief.html");
    let print = out.join("debrief.pdf");
    let document = out.join("debrief.json");
    output::write(
        &page,
        press::html(&debriefed.document, &debriefed.flight).as_bytes(),
    )?;
    output::write(&print, &debrief_command::pdf(&debriefed, Paper::Letter)?)?;
    let json = pipeline::to_json(&debriefed.document).map_err(Failure::Output)?;
    output::write(&document, json.as_bytes())?;
    output::print(&summary::text(&debriefed.document))?;
    output::print(&format!(
        "\nLook here:\n  {}   the debrief, in any browser\n  {}    the same, to print\n  {}   the document behind both\n",
        page.display(),
        print.display(),
        document.display()
    ))
}
