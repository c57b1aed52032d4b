//! The debrief room as a person runs it: serve, bring in, watch a folder, back up while it is in use, restore into the
//! other database and back, verify.

#![cfg(feature = "room")]

use serde_json::{Value, json};
use sqlx::{AssertSqlSafe, Connection};
use std::fmt::Write as _;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

const PASSWORD: &str = "seven gray geese over water";

fn proofwing(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_proofwing"));
    command.args(args).stdin(Stdio::null());
    for name in [
        "PROOFWING_DATA",
        "PROOFWING_DATABASE",
        "PROOFWING_OBJECTS",
        "PROOFWING_TOKEN",
        "RUST_LOG",
    ] {
        command.env_remove(name);
    }
    command
}

fn run(args: &[&str]) -> Output {
    proofwing(args).output().unwrap()
}

/// What a command that must work prints.
fn done(args: &[&str]) -> String {
    let output = run(args);
    assert!(
        output.status.success(),
        "{args:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

/// A served room; ended when dropped.
struct Room {
    child: Child,
    address: String,
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Room {
    fn serve(more: &[&str]) -> Room {
        let mut args = vec!["serve", "--address", "127.0.0.1:0"];
        args.extend(more);
        let mut child = proofwing(&args).stdout(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let address = loop {
            let line = lines.next().expect("it ended without an address").unwrap();
            if let Some(address) = line.trim().strip_prefix("http://") {
                break format!("http://{}", address.trim_end_matches('/'));
            }
        };
        // Read on, so that the room never waits for somebody to read what it prints.
        std::thread::spawn(move || lines.for_each(drop));
        Room { child, address }
    }

    fn post(&self, path: &str, session: &str, body: &Value) -> (u16, String, Value) {
        let agent: ureq::Agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .build()
            .into();
        let mut response = agent
            .post(format!("{}/api/v1{path}", self.address))
            .header("X-Proofwing-Request", "1")
            .header("Cookie", session)
            .header("Content-Type", "application/json")
            .send(body.to_string())
            .unwrap();
        let cookies: Vec<String> = response
            .headers()
            .get_all("set-cookie")
            .iter()
            .filter_map(|line| line.to_str().ok()?.split(';').next().map(str::to_owned))
            .collect();
        let text = response.body_mut().read_to_string().unwrap();
        (
            response.status().as_u16(),
            cookies.join("; "),
            serde_json::from_str(&text).unwrap_or_default(),
        )
    }

    /// The school with its chief instructor; gives the session's cookie and a token.
    fn found(&self) -> (String, String) {
        let form = json!({"school": "Pellwick School", "name": "Ada Thorne", "login": "ada", "password": PASSWORD});
        let (status, cookies, body) = self.post("/first-run", "", &form);
        assert_eq!(status, 200, "{body}");
        let (status, _, body) = self.post(
            "/tokens",
            &cookies,
            &json!({"label": "a script", "days": 2}),
        );
        assert_eq!(status, 200, "{body}");
        (cookies, body["secret"].as_str().unwrap().to_owned())
    }

    fn get(&self, path: &str, token: &str) -> Value {
        let mut response = ureq::get(format!("{}/api/v1{path}", self.address))
            .header("Authorization", format!("Bearer {token}"))
            .call()
            .unwrap();
        serde_json::from_str(&response.body_mut().read_to_string().unwrap()).unwrap()
    }
}

/// Four minutes of level flight at 1 Hz; each number gives other bytes.
fn flight(number: u32) -> String {
    let mut text =
        String::from("Time (s),Latitude (deg),Longitude (deg),Altitude (ft),IAS (kt),Roll (deg)\n");
    for second in 0..240 {
        let north = 46.0 + f64::from(second) * 50.0 / 111_200.0;
        writeln!(
            text,
            "{second},{north:.6},7.00000,{},95.0,0.0",
            3000 + number
        )
        .unwrap();
    }
    text
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// The head of the trail that `verify` prints.
fn head(words: &str) -> String {
    assert!(words.contains("The record holds."), "{words}");
    let line = words.lines().find(|line| line.trim().len() == 64);
    line.unwrap_or_else(|| panic!("{words}")).trim().to_owned()
}

/// An empty place on PostgreSQL, if `PROOFWING_TEST_POSTGRES` names a database.
fn postgres() -> Option<String> {
    let url = std::env::var("PROOFWING_TEST_POSTGRES").ok()?;
    let schema = format!("r{}", school::new_id().replace('-', ""));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    runtime.block_on(async {
        let mut connection = sqlx::PgConnection::connect(&url).await.unwrap();
        let sql = AssertSqlSafe(format!("CREATE SCHEMA {schema}"));
        sqlx::raw_sql(sql).execute(&mut connection).await.unwrap();
    });
    Some(format!("{url}&options[search_path]={schema}"))
}

#[test]
fn prop_a_backup_made_while_serving_restores_into_either_database_and_back() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let data = at("data");
    let room = Room::serve(&["--data", text(&data)]);
    let (session, token) = room.found();
    for number in 0..3 {
        std::fs::write(at(&format!("flight{number}.csv")), flight(number)).unwrap();
    }
    // One through the server with a token, one beside it, straight into the folder that is being served.
    let output = proofwing(&[
        "import",
        text(&at("flight0.csv")),
        "--server",
        &room.address,
    ])
    .env("PROOFWING_TOKEN", &token)
    .output()
    .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    done(&[
        "import",
        text(&at("flight1.csv")),
        "--data",
        text(&data),
        "--as",
        "ada",
    ]);
    let again = done(&[
        "import",
        text(&at("flight1.csv")),
        "--data",
        text(&data),
        "--as",
        "ada",
    ]);
    assert!(again.contains("was here already"), "{again}");
    // A token that does not work is told before anything is sent; so is a server that is not there.
    for (server, token) in [
        (room.address.as_str(), "pw_wrong"),
        ("http://127.0.0.1:9", token.as_str()),
    ] {
        let output = proofwing(&["import", text(&at("flight2.csv")), "--server", server])
            .env("PROOFWING_TOKEN", token)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains("hint:"), "{told}");
    }
    // People write all the while.
    let (stop, stopped) = std::sync::mpsc::channel::<()>();
    let (there, cookie) = (&room, session.as_str());
    let written = std::thread::scope(|scope| {
        // Should a backup fail, this goes, and the writer ends.
        let stop = stop;
        let writer = scope.spawn(move || {
            let mut written = 0;
            while matches!(
                stopped.try_recv(),
                Err(std::sync::mpsc::TryRecvError::Empty)
            ) {
                let form = json!({"role": "student", "name": format!("Ivo Lark {written}")});
                let (status, _, body) = there.post("/invites", cookie, &form);
                assert_eq!(status, 200, "{body}");
                written += 1;
            }
            written
        });
        std::thread::sleep(Duration::from_millis(200));
        let words = done(&["backup", "--data", text(&data), text(&at("one.zip"))]);
        assert!(words.contains("trail of"), "{words}");
        done(&["backup", "--data", text(&data), text(&at("two"))]);
        stop.send(()).unwrap();
        writer.join().unwrap()
    });
    assert!(written > 3, "only {written} acts during the backups");
    // A backup is not written over.
    assert!(
        !run(&["backup", "--data", text(&data), text(&at("one.zip"))])
            .status
            .success()
    );
    let lessons = room.get("/lessons", &token);
    assert_eq!(lessons.as_array().unwrap().len(), 2);
    // Everything that the backup tells is in the record it was made of.
    let restored = done(&[
        "restore",
        text(&at("one.zip")),
        "--data",
        text(&at("again")),
    ]);
    assert!(restored.contains("The record holds."), "{restored}");
    let first = head(&done(&["verify", "--data", text(&at("again"))]));
    head(&done(&["verify", "--data", text(&data)]));
    done(&[
        "restore",
        text(&at("two")),
        "--data",
        text(&at("of-folder")),
    ]);
    // A record that is there is not written over; a hash of another record is not met.
    let over = run(&[
        "restore",
        text(&at("one.zip")),
        "--data",
        text(&at("again")),
    ]);
    assert_eq!(
        over.status.code(),
        Some(2),
        "{}",
        String::from_utf8_lossy(&over.stderr)
    );
    let other = run(&["verify", "--data", text(&data), "--head", &first]);
    assert_eq!(
        other.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&other.stdout)
    );

    let Some(url) = postgres() else { return };
    let on = |name: &str| {
        vec![
            "--data".to_owned(),
            text(&at(name)).to_owned(),
            "--database".to_owned(),
            url.clone(),
        ]
    };
    let with = |words: &[&str], place: Vec<String>| {
        let words: Vec<String> = words
            .iter()
            .map(|&word| word.to_owned())
            .chain(place)
            .collect();
        done(&words.iter().map(String::as_str).collect::<Vec<_>>())
    };
    with(&["restore", text(&at("one.zip"))], on("site"));
    let met = head(&with(&["verify"], on("site")));
    // Serve it from there, bring one more flight in, and go back.
    let mut args = vec!["--data", "", "--database", &url];
    let site = at("site");
    args[1] = text(&site);
    let second = Room::serve(&args);
    assert_eq!(second.get("/lessons", &token).as_array().unwrap().len(), 2);
    let output = proofwing(&[
        "import",
        text(&at("flight2.csv")),
        "--server",
        &second.address,
    ])
    .env("PROOFWING_TOKEN", &token)
    .output()
    .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    with(&["backup", text(&at("back.zip"))], on("site"));
    done(&[
        "restore",
        text(&at("back.zip")),
        "--data",
        text(&at("home")),
    ]);
    head(&done(&["verify", "--data", text(&at("home"))]));
    // The trail of the journey: what was the head there is met at home.
    head(&done(&[
        "verify",
        "--data",
        text(&at("home")),
        "--head",
        &met,
    ]));
    let third = Room::serve(&["--data", text(&at("home"))]);
    let home = third.get("/lessons", &token);
    assert_eq!(home, second.get("/lessons", &token));
    assert_eq!(home.as_array().unwrap().len(), 3);
}

#[test]
fn prop_a_watched_folder_comes_in_by_itself() {
    let folder = tempfile::tempdir().unwrap();
    let (data, card) = (folder.path().join("data"), folder.path().join("card"));
    let token = Room::serve(&["--data", text(&data)]).found().1;
    // The folder is not there yet: no card is in.
    let room = Room::serve(&[
        "--data",
        text(&data),
        "--watch",
        text(&card),
        "--watch-as",
        "ada",
    ]);
    std::fs::create_dir_all(card.join("DATA")).unwrap();
    std::fs::write(card.join("DATA/flight.csv"), flight(1)).unwrap();
    let begun = Instant::now();
    let arrivals = loop {
        let arrivals = room.get("/recordings", &token);
        if arrivals.as_array().is_some_and(|list| !list.is_empty()) {
            break arrivals;
        }
        assert!(begun.elapsed() < Duration::from_secs(60), "nothing came in");
        std::thread::sleep(Duration::from_millis(200));
    };
    assert_eq!(
        (&arrivals[0]["name"], &arrivals[0]["via"]),
        (&json!("flight.csv"), &json!("folder"))
    );
    assert!(card.join("DATA/flight.csv").exists());
    assert_eq!(room.get("/recordings/refused", &token), json!([]));
}

#[test]
fn prop_what_serve_refuses_is_told_with_a_way_out() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let token = Room::serve(&["--data", text(&data)]).found().1;
    assert!(token.starts_with("pw_"));
    let file = folder.path().join("file.csv");
    std::fs::write(&file, flight(1)).unwrap();
    for (args, words) in [
        (vec!["--address", "0.0.0.0:0"], "--insecure-network"),
        (
            vec!["--watch", text(&file), "--watch-as", "ada"],
            "this is a file",
        ),
        (
            vec!["--watch", text(folder.path()), "--watch-as", "nobody"],
            "nobody with the login",
        ),
        (vec!["--watch", text(folder.path())], "--watch-as"),
        (vec!["--tls-certificate", text(&file)], "--tls-key"),
        (
            vec!["--tls-certificate", text(&file), "--tls-key", text(&file)],
            "must be PEM",
        ),
    ] {
        let mut all = vec!["serve", "--data", text(&data)];
        all.extend(args);
        let output = run(&all);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{all:?}: {told}");
        assert!(told.contains(words), "{all:?}: {told}");
    }
}

#[cfg(unix)]
#[test]
fn prop_the_order_to_stop_ends_it_well() {
    let folder = tempfile::tempdir().unwrap();
    let mut room = Room::serve(&["--data", text(&folder.path().join("data"))]);
    room.found();
    let pid = room.child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-TERM", &pid])
            .status()
            .unwrap()
            .success()
    );
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = room.child.try_wait().unwrap() {
            break status;
        }
        assert!(begun.elapsed() < Duration::from_secs(30), "it did not end");
        std::thread::sleep(Duration::from_millis(50));
    };
    assert!(status.success(), "{status}");
}
