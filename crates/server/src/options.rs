//! What the one who starts the server decides.

use serde::{Deserialize, Serialize};
use std::net::SocketAddr;
use std::path::PathBuf;
use utoipa::ToSchema;

/// What the one who starts the server decides.
#[derive(Clone, Debug)]
pub struct Options {
    /// Address to listen on; port 0 = any free one.
    pub address: SocketAddr,
    /// Certificate chain and private key, PEM files; none = plain HTTP, which only loopback may have.
    pub tls: Option<(PathBuf, PathBuf)>,
    /// Serve a network address without TLS all the same: passwords and records then cross the network readably.
    pub insecure_network: bool,
    /// Names by which browsers reach this server, beside its address and `localhost`; no port.
    pub host_names: Vec<String>,
    /// Logins of an invented demo school, shown to anybody.
    pub demo: Option<DemoLogins>,
    /// Folder for the key that marks devices which signed in before; none = a new key at each start.
    pub state_dir: Option<PathBuf>,
    /// How many works that fill a core (reconstructing, drawing sheets) may run at once; 0 = one a core.
    pub heavy_at_once: usize,
    /// How long requests under way may go on after the order to stop, s.
    pub finish_s: u64,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            address: SocketAddr::from(([127, 0, 0, 1], 8440)),
            tls: None,
            insecure_network: false,
            host_names: Vec::new(),
            demo: None,
            state_dir: None,
            heavy_at_once: 0,
            finish_s: 30,
        }
    }
}

/// The logins of an invented demo school.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct DemoLogins {
    /// Each of them.
    pub logins: Vec<DemoLogin>,
}

/// A login of a demo school.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct DemoLogin {
    /// Login.
    pub login: String,
    /// Password.
    pub password: String,
    /// The invented person's name.
    pub name: String,
    /// Role in words.
    pub role: String,
}
