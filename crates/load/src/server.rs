//! The server under load: the demo school in a folder of its own.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A running server, stopped and swept away at the end.
pub struct Server {
    child: Child,
    folder: PathBuf,
    /// `http://127.0.0.1:PORT`.
    pub address: String,
    /// Everybody's login and password.
    pub logins: Vec<(String, String)>,
    /// Those who may bring flights in.
    pub instructors: Vec<(String, String)>,
}

impl Server {
    /// Starts the demo school on a free port and waits until it answers.
    pub fn start(program: &Path) -> Result<Self, String> {
        let folder = std::env::temp_dir().join(format!("proofwing-load-{}", std::process::id()));
        let mut server = Self {
            child: spawned(program, &folder)?,
            folder,
            address: String::new(),
            logins: Vec::new(),
            instructors: Vec::new(),
        };
        server.hear()?;
        Ok(server)
    }

    /// Ends it and starts it on the same record: nothing is in memory then.
    pub fn restart(&mut self, program: &Path) -> Result<(), String> {
        let ended = self.child.kill().and_then(|()| self.child.wait());
        ended.map_err(|error| error.to_string())?;
        self.child = spawned(program, &self.folder)?;
        self.logins.clear();
        self.instructors.clear();
        self.hear()
    }

    /// Reads the lines `address URL` and `login ROLE LOGIN PASSWORD` that `demo --machine` prints.
    fn hear(&mut self) -> Result<(), String> {
        let output = self.child.stdout.take().ok_or("no output of the server")?;
        for line in BufReader::new(output).lines() {
            let line = line.map_err(|error| error.to_string())?;
            let words: Vec<&str> = line.split(' ').collect();
            match words.as_slice() {
                // A password is words with spaces between.
                ["login", role, login, password @ ..] if !password.is_empty() => {
                    let pair = ((*login).to_owned(), password.join(" "));
                    if matches!(*role, "chief" | "instructor") {
                        self.instructors.push(pair.clone());
                    }
                    self.logins.push(pair);
                }
                ["address", address] => {
                    self.address = (*address).trim_end_matches('/').to_owned();
                    return Ok(());
                }
                _ => {}
            }
        }
        Err("the server ended before it printed its address".to_owned())
    }
}

fn spawned(program: &Path, folder: &Path) -> Result<Child, String> {
    Command::new(program)
        .args(["demo", "--address", "127.0.0.1:0", "--machine", "--data"])
        .arg(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|error| format!("{}: {error}", program.display()))
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}
