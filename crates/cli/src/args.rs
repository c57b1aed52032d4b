//! The command line: names, help and what they mean.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Proves how a training flight was flown, from the aircraft's own recording.
#[derive(Debug, Parser)]
#[command(
    name = "proofwing",
    version,
    propagate_version = true,
    after_help = "Start with `proofwing demo`, then `proofwing inspect YOUR-RECORDING`.\n\n\
        A training aid for use on the ground. The aircraft's approved flight manual,\n\
        the regulations in force, the published standard and a licensed instructor's\n\
        judgment come first. Not for use in flight or for navigation."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find, mark and explain the maneuvers of one or more recordings
    Debrief(DebriefArgs),
    /// Show how a recording was understood: channels, units, gaps, odd lines
    Inspect(InspectArgs),
    /// Check an aircraft file and say what it lacks, line by line
    Aircraft(AircraftArgs),
    /// List the standards, show one of them, or check a school's own
    Standards(StandardsArgs),
    /// Fly a practice lesson from a script, well or with faults, and write the recording and the truth of it
    Fly(FlyArgs),
    /// Open the debrief room with an invented school, or write the demo debrief with --out
    Demo(DemoArgs),
    /// Open the debrief room of a school
    #[cfg(feature = "room")]
    Serve(crate::room::args::ServeArgs),
    /// Bring recordings into a school's record
    #[cfg(feature = "room")]
    Import(crate::room::args::ImportArgs),
    /// Write a backup of a school's record, also while it is served
    #[cfg(feature = "room")]
    Backup(crate::room::args::BackupArgs),
    /// Restore a backup into an empty place and check it
    #[cfg(feature = "room")]
    Restore(crate::room::args::RestoreArgs),
    /// Prove that a school's record is whole and unchanged
    #[cfg(feature = "room")]
    Verify(crate::room::args::VerifyArgs),
    /// Print shell completions
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
}

/// Which recovery was asked for in the stalls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Recovery {
    /// After a full stall
    FullStall,
    /// At the first indication of the stall
    FirstIndication,
}

/// How a recording is to be read when the reader needs a word from a person.
#[derive(Debug, Args)]
pub struct MapArgs {
    /// Read a channel from a column, with its unit if the file does not say:
    /// `--map airspeed_indicated=IAS:kt` (column by name, or `#3` for the third)
    #[arg(long = "map", value_name = "CHANNEL=COLUMN[:UNIT]")]
    pub map: Vec<String>,
    /// Use a saved map even if this recorder's header differs from the one it was saved for
    #[arg(long, value_name = "NAME")]
    pub use_map: Option<String>,
}

/// `proofwing debrief`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing debrief lesson.csv --aircraft trainer.toml --standard faa-private\n  \
    proofwing debrief lesson.csv.gz --aircraft trainer.toml --standard faa-commercial \\\n      \
    --recovery first-indication --terrain-ft 820 --html debrief.html --pdf debrief.pdf\n  \
    proofwing debrief day/*.csv --aircraft trainer.toml --standard faa-private --html out/\n  \
    proofwing debrief today.csv --aircraft trainer.toml --standard faa-private --earlier may/*.json\n\n\
    Exit code: 0 debriefed, 2 wrong usage (or an aircraft, standard or briefing file\n\
    that cannot be used), 3 a recording that cannot be read.")]
pub struct DebriefArgs {
    /// Recordings: .csv, .txt, .gpx, .gz, .zip: any table with a time in it
    #[arg(required = true, value_name = "RECORDING")]
    pub recordings: Vec<PathBuf>,
    /// Aircraft file (see docs/aircraft-file.md); without it, speeds come from the flight and
    /// marks that need a limit speed are `not_recorded`
    #[arg(long, value_name = "FILE")]
    pub aircraft: Option<PathBuf>,
    /// Standard: faa-private, faa-commercial, faa-instructor, easa-ppl, or a pack file of the school's own
    #[arg(long, value_name = "ID")]
    pub standard: String,
    /// What was asked for: recovery, bank, heading, speed, altitude by maneuver
    /// (see docs/briefed-file.md); without it targets are inferred and say `assumed`
    #[arg(long, value_name = "FILE")]
    pub briefed: Option<PathBuf>,
    /// Recovery asked for in every stall that the briefing file does not name
    #[arg(long, value_enum)]
    pub recovery: Option<Recovery>,
    /// Runway that was used, as latitude,longitude of one end, latitude,longitude of the other and, where it
    /// is known, its elevation in feet; may be given several times
    #[arg(
        long,
        value_name = "LAT,LON,LAT,LON[,FEET]",
        allow_hyphen_values = true
    )]
    pub runway: Vec<String>,
    /// Elevation of the terrain below the practice area, feet above sea level
    #[arg(long, value_name = "FEET", allow_negative_numbers = true)]
    pub terrain_ft: Option<f64>,
    /// Debriefs of earlier flights of this aircraft, as --json wrote them with the same aircraft file: the fit of the
    /// day is drawn to them, and says so; a flight takes those that were over before it
    #[arg(long, value_name = "DEBRIEF", num_args = 1.., requires = "aircraft")]
    pub earlier: Vec<PathBuf>,
    /// Write a self-contained page (a folder when there are several flights)
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Write the printed sheets (a folder when there are several flights)
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    /// Write a card to brief the next stalls from, with a page for each kind that was flown: .pdf for paper,
    /// .html for the screen (a folder of PDFs when there are several flights)
    #[arg(long, value_name = "FILE")]
    pub brief_card: Option<PathBuf>,
    /// Write the document `proofwing/debrief/1`; `-` is standard output; several flights
    /// become an array
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,
    /// Paper of the PDF
    #[arg(long, value_enum, default_value_t = Paper::Letter)]
    pub paper: Paper,
    #[command(flatten)]
    pub mapping: MapArgs,
}

/// Paper sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// 8.5 × 11 in
    Letter,
    /// 210 × 297 mm
    A4,
}

/// `proofwing inspect`.
#[derive(Debug, Args)]
pub struct InspectArgs {
    /// The recording
    pub recording: PathBuf,
    #[command(flatten)]
    pub mapping: MapArgs,
    /// Remember the corrections for this recorder's header under a name
    #[arg(long, value_name = "NAME")]
    pub save_map: Option<String>,
    /// Every column and note, also the unused ones
    #[arg(long)]
    pub all: bool,
}

/// `proofwing aircraft`.
#[derive(Debug, Args)]
pub struct AircraftArgs {
    /// Aircraft file
    pub file: PathBuf,
}

/// `proofwing standards`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing standards                    what comes with the program\n  \
    proofwing standards faa-commercial     its tasks, elements and limits\n  \
    proofwing standards our-school.toml    the same for a file, once it is found to be right")]
pub struct StandardsArgs {
    /// faa-private, faa-commercial, faa-instructor, easa-ppl, or a pack file of the school's own; left out: what there is
    pub standard: Option<String>,
    /// Only the task of this maneuver, e.g. chandelle
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
}

/// `proofwing fly`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing fly lesson.toml --out lesson.csv            recording, truth, aircraft file\n  \
    proofwing fly lesson.toml --seed 7 --recorder panel --out lesson.csv --force\n  \
    proofwing fly --figures                               the figures of the airplane\n\n\
    Flown by a flight model of no real aircraft (docs/flight-model.md); scripts are\n\
    explained in docs/practice-flights.md.\n\n\
    Exit code: 0 flown, 1 a file that cannot be written, 2 wrong usage (or a script or\n\
    an airframe file that cannot be used).")]
pub struct FlyArgs {
    /// The lesson: a script (see docs/practice-flights.md)
    #[arg(required_unless_present = "figures", conflicts_with = "figures")]
    pub script: Option<PathBuf>,
    /// What wanders, gusts and errs differently in each: the same number flies the same flight
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// What is carried aboard; left out: what the script says, else rich
    #[arg(long, value_enum)]
    pub recorder: Option<Recorder>,
    /// Where the recording goes; the truth and the aircraft file go beside it
    #[arg(long, value_name = "FILE", conflicts_with = "figures")]
    pub out: Option<PathBuf>,
    /// Write over files that are there
    #[arg(long)]
    pub force: bool,
    /// Print what a manual would say of the airframe: stall, climb, glide, level speed
    #[arg(long)]
    pub figures: bool,
    /// Airframe file (see docs/flight-model.md); left out: the script's, else the demo's
    #[arg(long, value_name = "FILE")]
    pub airframe: Option<PathBuf>,
}

/// Recorders.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "snake_case")]
pub enum Recorder {
    /// Everything, ten rows a second
    Rich,
    /// A glass panel's, one row a second
    Panel,
    /// Position and attitude, five rows a second
    GpsAtt,
    /// Position alone, one row a second
    Gps,
}

/// `proofwing demo`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing demo                      the debrief room, with an invented school\n  \
    proofwing demo --out out/demo       one debrief as page, print and document, no server")]
pub struct DemoArgs {
    /// Write the page and the print of the built-in lesson here instead of opening the room
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// The room.
    #[cfg(feature = "room")]
    #[command(flatten)]
    pub room: crate::room::args::DemoRoom,
}
