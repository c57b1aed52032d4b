//! `proofwing aircraft`: is the file usable, and what does it lack?

use crate::args::AircraftArgs;
use crate::failure::Failure;
use crate::output;
use aircraft::{Aircraft, Notice};
use std::fmt::Write as _;
use std::path::Path;

/// Reads an aircraft file; every problem at once.
pub fn load(path: &Path) -> Result<(Aircraft, Vec<Notice>), Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
    aircraft::parse(&text, &path.display().to_string()).map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        Failure::Usage(lines.join("\n"))
    })
}

/// Prints what was understood and what is missing.
pub fn run(args: &AircraftArgs) -> Result<(), Failure> {
    let (aircraft, notices) = load(&args.file)?;
    let mut text = format!(
        "{}: {}\n",
        aircraft.name,
        if notices.is_empty() {
            "complete"
        } else {
            "usable"
        }
    );
    for notice in &notices {
        let _ = writeln!(text, "  {notice}");
    }
    output::print(&text)
}
