//! `proofwing serve`: the debrief room for a school.

use super::args::{Listen, ServeArgs};
use super::block_on;
use super::place::actor;
use crate::failure::Failure;
use crate::output;
use school::{Actor, School};
use server::{DemoLogins, Options, Server};
use std::path::PathBuf;

/// Runs the command.
pub fn run(args: &ServeArgs) -> Result<(), Failure> {
    logging();
    block_on(async {
        let school = args.place.open().await?;
        let watched = watched(args, &school).await?;
        let also = school.clone();
        serve(school, &args.listen, None, |server| {
            if let Some((folder, by)) = watched {
                tokio::spawn(server::watch(also, folder, by));
            }
            let first = match server.first_run_code() {
                Some(code) => format!(
                    "\nNobody has an account yet. The first page makes the chief instructor's; it asks for this code:\n  {code}\n"
                ),
                None => String::new(),
            };
            let _ = output::print(&format!(
                "The debrief room is open at\n  {}\n{first}\n{CAUTION}\n",
                server.url()
            ));
        })
        .await
    })
}

/// The folder to watch, and in whose name files come in.
async fn watched(args: &ServeArgs, school: &School) -> Result<Option<(PathBuf, Actor)>, Failure> {
    let (Some(folder), Some(login)) = (&args.watch, &args.watch_as) else {
        return Ok(None);
    };
    let by = actor(school, login).await?;
    if !by.role.teaches() {
        return Err(Failure::Usage(format!(
            "--watch-as {login}: only an instructor brings flights in"
        )));
    }
    // A folder that is not there is a card that is not in; a file is a mistake.
    if folder.is_file() {
        return Err(Failure::Usage(format!(
            "--watch {}: this is a file\nhint: name the folder that the recordings come into, or use `proofwing import`",
            folder.display()
        )));
    }
    Ok(Some((folder.clone(), by)))
}

/// The words that stand on every first screen, set for 80 columns.
pub const CAUTION: &str = "A training aid for use on the ground. The aircraft's approved flight manual, the\n\
    regulations in force, the published standard and a licensed instructor's\n\
    judgment come first. Not for use in flight or for navigation.";

/// Serves until told to stop.
pub async fn serve(
    school: School,
    listen: &Listen,
    demo: Option<DemoLogins>,
    ready: impl FnOnce(&Server),
) -> Result<(), Failure> {
    let options = Options {
        address: listen.address,
        tls: listen.tls_certificate.clone().zip(listen.tls_key.clone()),
        insecure_network: listen.insecure_network,
        host_names: listen.host_name.clone(),
        demo,
        state_dir: Some(school.data_dir().to_owned()),
        ..Options::default()
    };
    server::serve(school, options, ready)
        .await
        .map_err(|error| Failure::Usage(error.to_string()))
}

/// Log to standard error; `RUST_LOG` chooses how much.
pub fn logging() {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn"));
    let _ = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .try_init();
}
