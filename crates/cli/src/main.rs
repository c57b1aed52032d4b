//! The `proofwing` command. Results go to standard output, everything else to standard error.

mod aircraft_command;
mod args;
mod card;
mod debrief_command;
mod demo_command;
mod earlier;
mod failure;
mod fly_command;
mod fly_figures;
mod inspect_command;
mod maps;
mod output;
#[cfg(feature = "room")]
mod room;
mod standards_command;

use args::{Cli, Command};
use clap::{CommandFactory, Parser};
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = Cli::parse();
    let result = match &cli.command {
        Command::Debrief(args) => debrief_command::run(args),
        Command::Inspect(args) => inspect_command::run(args),
        Command::Aircraft(args) => aircraft_command::run(args),
        Command::Standards(args) => standards_command::run(args),
        Command::Fly(args) => fly_command::run(args),
        Command::Demo(args) => demo_command::run(args),
        #[cfg(feature = "room")]
        Command::Serve(args) => room::serve(args),
        #[cfg(feature = "room")]
        Command::Import(args) => room::import(args),
        #[cfg(feature = "room")]
        Command::Backup(args) => room::backup(args),
        #[cfg(feature = "room")]
        Command::Restore(args) => room::restore(args),
        #[cfg(feature = "room")]
        Command::Verify(args) => room::verify(args),
        Command::Completions { shell } => {
            clap_complete::generate(
                *shell,
                &mut Cli::command(),
                "proofwing",
                &mut std::io::stdout(),
            );
            Ok(())
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            anstream::eprintln!("{}proofwing:{} {failure}", output::BEYOND, output::RESET);
            failure.code()
        }
    }
}
