//! `proofwing demo`: the debrief room with the invented demo school.

use super::args::DemoRoom;
use super::demo_school::{self, PASSWORD};
use super::serve::{CAUTION, logging, serve};
use super::{block_on, refused};
use crate::failure::Failure;
use crate::output;
use school::{Config, School};
use server::{DemoLogin, DemoLogins, Server};

/// Runs the command.
pub fn run(args: &DemoRoom) -> Result<(), Failure> {
    logging();
    if args.fresh {
        sweep(args)?;
    }
    block_on(async {
        let school = School::open(Config::folder(&args.data))
            .await
            .map_err(|error| refused(&error))?;
        if school.first_run().await.map_err(|error| refused(&error))? {
            let filled = demo_school::fill(&school, |done, of| {
                if done == 0 {
                    output::progress(&format!("bringing {of} flights into the demo school …"));
                } else if done % 10 == 0 {
                    output::progress(&format!("  {done} of {of}"));
                }
            });
            filled.await?;
        }
        let logins = logins()?;
        serve(school, &args.listen, Some(logins.clone()), |server| {
            let _ = output::print(&if args.machine {
                lines(server, &logins)
            } else {
                words(server, &logins)
            });
        })
        .await
    })
}

/// Removes an earlier demo school, and nothing that is not one.
fn sweep(args: &DemoRoom) -> Result<(), Failure> {
    if args.data.exists() && !args.data.join("record.sqlite").exists() {
        return Err(Failure::Usage(format!(
            "{}: not a school's record, so it is left alone\nhint: name another folder with --data",
            args.data.display()
        )));
    }
    match std::fs::remove_dir_all(&args.data) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            Err(Failure::Output(format!("{}: {error}", args.data.display())))
        }
        _ => Ok(()),
    }
}

fn logins() -> Result<DemoLogins, Failure> {
    let logins = demo_school::manifest()?
        .people
        .into_iter()
        .map(|person| DemoLogin {
            role: person.role().id().to_owned(),
            login: person.login,
            password: PASSWORD.to_owned(),
            name: person.name,
        });
    Ok(DemoLogins {
        logins: logins.collect(),
    })
}

fn words(server: &Server, demo: &DemoLogins) -> String {
    let mut words = format!(
        "The debrief room of an invented school is open at\n  {}\n\nSign in as any of these; everybody's password is\n  {PASSWORD}\n\n",
        server.url()
    );
    for role in ["chief", "instructor", "student", "auditor"] {
        let of: Vec<&str> = demo
            .logins
            .iter()
            .filter(|login| login.role == role)
            .map(|login| login.login.as_str())
            .collect();
        for (index, line) in of.chunks(5).enumerate() {
            let lead = if index == 0 { role } else { "" };
            words.push_str(&format!("  {lead:<12}{}\n", line.join(", ")));
        }
    }
    words.push_str(&format!("\nCtrl-C ends it.\n\n{CAUTION}\n"));
    words
}

/// For a program: `login ROLE LOGIN PASSWORD` lines, then `address URL`.
fn lines(server: &Server, demo: &DemoLogins) -> String {
    let mut lines = String::new();
    for login in &demo.logins {
        lines.push_str(&format!(
            "login {} {} {}\n",
            login.role, login.login, login.password
        ));
    }
    lines.push_str(&format!("address {}\n", server.url()));
    lines
}
