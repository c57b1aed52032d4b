//! One person at the server.

use crate::tally::Tally;
use serde_json::{Value, json};
use std::time::{Duration, Instant};
use ureq::Agent;

/// A signed-in person with a connection of their own.
#[derive(Clone)]
pub struct Client {
    address: String,
    cookie: String,
    agent: Agent,
}

fn agent() -> Agent {
    Agent::config_builder()
        .timeout_global(Some(Duration::from_secs(30)))
        .http_status_as_error(false)
        .build()
        .into()
}

impl Client {
    /// Signs in and keeps the session cookie.
    pub fn sign_in(address: &str, login: &str, password: &str) -> Result<Self, String> {
        let agent = agent();
        let response = agent
            .post(format!("{address}/api/v1/session"))
            .header("X-Proofwing-Request", "1")
            .header("Content-Type", "application/json")
            .send(json!({ "login": login, "password": password }).to_string())
            .map_err(|error| format!("sign in as {login}: {error}"))?;
        if !response.status().is_success() {
            return Err(format!("sign in as {login}: {}", response.status()));
        }
        let cookies = response.headers().get_all("set-cookie");
        let pairs: Vec<&str> = cookies
            .iter()
            .filter_map(|cookie| cookie.to_str().ok()?.split(';').next())
            .collect();
        Ok(Self {
            address: address.to_owned(),
            cookie: pairs.join("; "),
            agent,
        })
    }

    /// The same person at another connection.
    pub fn again(&self) -> Self {
        Self {
            agent: agent(),
            ..self.clone()
        }
    }

    /// Reads the list; gives the id of one lesson of it.
    pub fn lessons(&self, tally: &Tally, turn: usize) -> Option<String> {
        let body = self.get(tally, "list of lessons", "/api/v1/lessons")?;
        let list: Value = serde_json::from_slice(&body).ok()?;
        let lessons = list.as_array()?;
        let lesson = lessons.get(turn % lessons.len().max(1))?;
        Some(lesson.get("id")?.as_str()?.to_owned())
    }

    /// Reads a lesson with everything that the debrief room loads.
    pub fn lesson(&self, tally: &Tally, id: &str) {
        self.get(tally, "lesson", &format!("/api/v1/lessons/{id}"));
        self.get(tally, "its series", &format!("/api/v1/lessons/{id}/series"));
    }

    /// Brings a recording in.
    pub fn import(&self, tally: &Tally, name: &str, bytes: &[u8]) {
        let what = "bring a flight in";
        let start = Instant::now();
        let sent = self
            .agent
            .post(format!(
                "{}/api/v1/recordings?name={}",
                self.address,
                name.replace(' ', "%20")
            ))
            .header("Cookie", &self.cookie)
            .header("X-Proofwing-Request", "1")
            .header("Content-Type", "application/octet-stream")
            .send(bytes);
        match sent {
            Ok(mut response) => {
                let whole = response.body_mut().read_to_vec();
                if response.status().is_success() && whole.is_ok() {
                    tally.took(what, start.elapsed());
                } else {
                    tally.failed(what, response.status().as_str());
                }
            }
            Err(error) => tally.failed(what, &error.to_string()),
        }
    }

    /// Lessons with a recovery that can be flown otherwise: id and number of the maneuver.
    pub fn recoveries(&self, tally: &Tally) -> Vec<(String, u64)> {
        let list = self.get(tally, "list of lessons", "/api/v1/lessons");
        let list: Value = list
            .and_then(|body| serde_json::from_slice(&body).ok())
            .unwrap_or_default();
        let ids = list.as_array().into_iter().flatten();
        ids.filter_map(|lesson| {
            let id = lesson.get("id")?.as_str()?;
            let body = self.get(tally, "lesson", &format!("/api/v1/lessons/{id}"))?;
            let lesson: Value = serde_json::from_slice(&body).ok()?;
            let maneuvers = lesson.pointer("/debrief/maneuvers")?.as_array()?;
            let with = maneuvers
                .iter()
                .find(|one| one.get("what_if").is_some_and(|what_if| !what_if.is_null()))?;
            Some((id.to_owned(), with.get("number")?.as_u64()?))
        })
        .collect()
    }

    /// A recovery flown otherwise.
    pub fn what_if(
        &self,
        tally: &Tally,
        what: &'static str,
        recovery: &(String, u64),
        change: &Value,
    ) {
        let (lesson, number) = recovery;
        let start = Instant::now();
        let sent = self
            .agent
            .post(format!(
                "{}/api/v1/lessons/{lesson}/maneuvers/{number}/what-if",
                self.address
            ))
            .header("Cookie", &self.cookie)
            .header("X-Proofwing-Request", "1")
            .header("Content-Type", "application/json")
            .send(change.to_string());
        match sent {
            Ok(mut response) => {
                let whole = response.body_mut().read_to_vec();
                if response.status().is_success() && whole.is_ok() {
                    tally.took(what, start.elapsed());
                } else {
                    tally.failed(what, response.status().as_str());
                }
            }
            Err(error) => tally.failed(what, &error.to_string()),
        }
    }

    fn get(&self, tally: &Tally, what: &'static str, path: &str) -> Option<Vec<u8>> {
        let start = Instant::now();
        let asked = self
            .agent
            .get(format!("{}{path}", self.address))
            .header("Cookie", &self.cookie)
            .call();
        match asked {
            Ok(mut response) => {
                let status = response.status();
                let body = response
                    .body_mut()
                    .with_config()
                    .limit(256 << 20)
                    .read_to_vec();
                match body {
                    Ok(body) if status.is_success() => {
                        tally.took(what, start.elapsed());
                        Some(body)
                    }
                    Ok(_) => {
                        tally.failed(what, status.as_str());
                        None
                    }
                    Err(error) => {
                        tally.failed(what, &error.to_string());
                        None
                    }
                }
            }
            Err(error) => {
                tally.failed(what, &error.to_string());
                None
            }
        }
    }
}
