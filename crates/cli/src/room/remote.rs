//! A running server, spoken to with a personal access token.

use super::import::Told;
use crate::failure::Failure;
use school::model::Imported;
use serde::de::DeserializeOwned;
use std::path::Path;
use std::time::Duration;
use ureq::http::Response;
use ureq::tls::{Certificate, RootCerts, TlsConfig};
use ureq::{Agent, Body};

/// The server.
pub struct Remote {
    address: String,
    token: String,
    agent: Agent,
}

impl Remote {
    /// Reads the token from the environment, so that it stands in no list of processes.
    pub fn new(address: &str, trust: Option<&Path>) -> Result<Self, Failure> {
        let token = std::env::var("PROOFWING_TOKEN").map_err(|_| {
            Failure::Usage(
                "no access token\nhint: make one on your account page and put it into PROOFWING_TOKEN".to_owned(),
            )
        })?;
        let mut tls = TlsConfig::builder();
        if let Some(path) = trust {
            let pem = std::fs::read(path)
                .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
            let certificate = Certificate::from_pem(&pem)
                .map_err(|error| Failure::Usage(format!("{}: {error}", path.display())))?;
            tls = tls.root_certs(RootCerts::new_with_certs(&[certificate]));
        }
        let agent = Agent::config_builder()
            .timeout_global(Some(Duration::from_secs(300)))
            .http_status_as_error(false)
            .tls_config(tls.build())
            .build()
            .into();
        let remote = Self {
            address: address.trim_end_matches('/').to_owned(),
            token,
            agent,
        };
        remote.ask_who_we_are()?;
        Ok(remote)
    }

    /// Before any file is sent: is the server there, does the token work, may its owner bring flights in?
    fn ask_who_we_are(&self) -> Result<(), Failure> {
        let response = self
            .agent
            .get(format!("{}/api/v1/me", self.address))
            .header("Authorization", format!("Bearer {}", self.token))
            .call()
            .map_err(|error| self.failed(&error))?;
        let me: serde_json::Value = self.read(response)?;
        if me.pointer("/permissions/bring_in") == Some(&false.into()) {
            return Err(Failure::Usage(format!(
                "{}: who made this token brings no flights in\nhint: use a token of an instructor",
                self.address
            )));
        }
        Ok(())
    }

    /// The answer, or what the server says is wrong.
    fn read<T: DeserializeOwned>(&self, mut response: Response<Body>) -> Result<T, Failure> {
        let status = response.status();
        let body = response
            .body_mut()
            .read_to_vec()
            .map_err(|error| self.failed(&error))?;
        if !status.is_success() {
            let told: serde_json::Value = serde_json::from_slice(&body).unwrap_or_default();
            let word = |name: &str| told.get(name).and_then(|word| word.as_str());
            let message = word("message").map_or_else(|| status.to_string(), str::to_owned);
            let hint = word("hint").map_or_else(String::new, |hint| format!("\nhint: {hint}"));
            return Err(Failure::Usage(format!("{}: {message}{hint}", self.address)));
        }
        serde_json::from_slice(&body).map_err(|error| {
            Failure::Usage(format!(
                "{}: not the answer of this program: {error}",
                self.address
            ))
        })
    }

    fn failed(&self, error: &ureq::Error) -> Failure {
        let words = error.to_string();
        let hint = if words.contains("certificate") {
            "\nhint: name a certificate of the school's own with --trust; it must be for this name, and no authority's \
             (docs/serving.md)"
        } else {
            "\nhint: is the server running, and is this its address?"
        };
        Failure::Usage(format!("{}: {words}{hint}", self.address))
    }

    /// Brings a recording in.
    pub fn import(&self, name: &str, bytes: &[u8]) -> Result<Told, Failure> {
        let response = self
            .agent
            .post(format!("{}/api/v1/recordings", self.address))
            .query("name", name)
            .header("Authorization", format!("Bearer {}", self.token))
            .header("Content-Type", "application/octet-stream")
            .send(bytes)
            .map_err(|error| self.failed(&error))?;
        let imported: Imported = self.read(response)?;
        Ok(Told::from(&imported))
    }
}
