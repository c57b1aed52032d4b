//! A running server, spoken to with a personal access token.

use super::import::Told;
use crate::failure::Failure;
use school::model::Imported;
use std::path::Path;
use std::time::Duration;
use ureq::Agent;
use ureq::tls::{Certificate, RootCerts, TlsConfig};

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
        Ok(Self {
            address: address.trim_end_matches('/').to_owned(),
            token,
            agent,
        })
    }

    /// Brings a recording in.
    pub fn import(&self, name: &str, bytes: &[u8]) -> Result<Told, Failure> {
        let failed = |error: ureq::Error| Failure::Usage(format!("{}: {error}", self.address));
        let mut response = self
            .agent
            .post(format!("{}/api/v1/recordings", self.address))
            .query("name", name)
            .header("Authorization", format!("Bearer {}", self.token))
            .header("Content-Type", "application/octet-stream")
            .send(bytes)
            .map_err(failed)?;
        let status = response.status();
        let body = response.body_mut().read_to_vec().map_err(failed)?;
        if !status.is_success() {
            let words = serde_json::from_slice::<serde_json::Value>(&body)
                .ok()
                .and_then(|error| Some(error.get("message")?.as_str()?.to_owned()));
            return Err(Failure::Usage(words.unwrap_or_else(|| status.to_string())));
        }
        let imported: Imported = serde_json::from_slice(&body).map_err(|error| {
            Failure::Usage(format!(
                "{}: not the answer of this program: {error}",
                self.address
            ))
        })?;
        Ok(Told::from(&imported))
    }
}
