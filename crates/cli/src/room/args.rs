//! The commands of the debrief room: names, help and what they mean.

use clap::Args;
use std::net::SocketAddr;
use std::path::PathBuf;

/// Where the school's record is.
#[derive(Debug, Clone, Args)]
pub struct Place {
    /// Folder of the school's record (made when it is not there)
    #[arg(long, value_name = "DIR", env = "PROOFWING_DATA")]
    pub data: PathBuf,
    /// PostgreSQL instead of SQLite in the folder, for a school with several sites:
    /// postgres://user@host/database
    #[arg(
        long,
        value_name = "URL",
        env = "PROOFWING_DATABASE",
        hide_env_values = true
    )]
    pub database: Option<String>,
    /// Recordings in an S3-compatible store instead of the folder: s3://bucket/prefix
    /// (keys from AWS_* variables; needs a program built with `--features s3`)
    #[arg(long, value_name = "URL", env = "PROOFWING_OBJECTS")]
    pub objects: Option<String>,
}

/// `proofwing serve`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing serve --data school\n  \
    proofwing serve --data school --watch /media/card --watch-as kestrel\n  \
    proofwing serve --data school --address 0.0.0.0:8443 \\\n      \
    --tls-certificate room.pem --tls-key room.key --host-name room.example\n\n\
    An empty folder begins with a page that makes the chief instructor's account.")]
pub struct ServeArgs {
    #[command(flatten)]
    pub place: Place,
    #[command(flatten)]
    pub listen: Listen,
    /// Bring in whatever appears in this folder, as a card reader fills it; files stay where they are
    #[arg(long, value_name = "DIR", requires = "watch_as")]
    pub watch: Option<PathBuf>,
    /// Login of the instructor in whose name watched files come in
    #[arg(long, value_name = "LOGIN", requires = "watch")]
    pub watch_as: Option<String>,
}

/// Where the server listens.
#[derive(Debug, Clone, Args)]
pub struct Listen {
    /// Address and port; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS:PORT", default_value = "127.0.0.1:8440")]
    pub address: SocketAddr,
    /// Certificate chain (PEM), needed when others are to reach the server over the network
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_certificate: Option<PathBuf>,
    /// Its private key (PEM)
    #[arg(long, value_name = "FILE", requires = "tls_certificate")]
    pub tls_key: Option<PathBuf>,
    /// Name by which browsers reach the server, besides its address (may be repeated)
    #[arg(long, value_name = "NAME")]
    pub host_name: Vec<String>,
    /// Serve a network address without encryption: passwords and records can then be read by
    /// anyone on that network
    #[arg(long)]
    pub insecure_network: bool,
}

/// `proofwing import`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    proofwing import lesson.csv --data school --as kestrel\n  \
    PROOFWING_TOKEN=pw_… proofwing import day/*.csv --server http://127.0.0.1:8440\n\n\
    Exit code: 0 all in (or here already), 2 wrong usage, 3 one or more that could not be read.")]
pub struct ImportArgs {
    /// Recordings: .csv, .txt, .gpx, .gz, .zip: any table with a time in it
    #[arg(required = true, value_name = "RECORDING")]
    pub recordings: Vec<PathBuf>,
    /// Folder of the school's record on this machine; also while it is being served
    #[arg(
        long,
        value_name = "DIR",
        env = "PROOFWING_DATA",
        requires = "login",
        conflicts_with = "server",
        required_unless_present = "server"
    )]
    pub data: Option<PathBuf>,
    /// PostgreSQL instead of SQLite in the folder
    #[arg(
        long,
        value_name = "URL",
        env = "PROOFWING_DATABASE",
        hide_env_values = true
    )]
    pub database: Option<String>,
    /// S3-compatible store of the recordings
    #[arg(long, value_name = "URL", env = "PROOFWING_OBJECTS")]
    pub objects: Option<String>,
    /// Login of the instructor who brings them in
    #[arg(long = "as", value_name = "LOGIN", id = "login")]
    pub login: Option<String>,
    /// A running server; its access token is read from PROOFWING_TOKEN
    #[arg(long, value_name = "URL")]
    pub server: Option<String>,
    /// Certificate (PEM) to trust besides the public ones, for a server with one of the school's own
    #[arg(long, value_name = "FILE", requires = "server")]
    pub trust: Option<PathBuf>,
}

/// `proofwing demo` of the debrief room.
#[derive(Debug, Args)]
pub struct DemoRoom {
    /// Folder of the demo school; it is made at the first start and kept
    #[arg(long, value_name = "DIR", default_value = "out/demo-school")]
    pub data: PathBuf,
    #[command(flatten)]
    pub listen: Listen,
    /// Begin the demo school anew
    #[arg(long)]
    pub fresh: bool,
    /// Print the address and the logins as lines for a program, nothing else
    #[arg(long)]
    pub machine: bool,
}

/// `proofwing backup`.
#[derive(Debug, Args)]
pub struct BackupArgs {
    #[command(flatten)]
    pub place: Place,
    /// What to write: one file when the name ends in .zip, else a folder
    #[arg(value_name = "BACKUP")]
    pub out: PathBuf,
}

/// `proofwing restore`.
#[derive(Debug, Args)]
pub struct RestoreArgs {
    /// What `proofwing backup` wrote: the file, or the folder
    #[arg(value_name = "BACKUP")]
    pub backup: PathBuf,
    /// Restore even if the check of the record finds problems; parts that do not fit their digest
    /// are refused all the same
    #[arg(long)]
    pub accept_problems: bool,
    #[command(flatten)]
    pub place: Place,
}

/// `proofwing verify`.
#[derive(Debug, Args)]
#[command(
    after_help = "Exit code: 0 the record holds, 1 it does not (each place is named), 2 wrong usage."
)]
pub struct VerifyArgs {
    #[command(flatten)]
    pub place: Place,
    /// Hash of an earlier last row of the trail, as `verify` or the page printed it: proves that
    /// nothing up to it was cut off or changed
    #[arg(long, value_name = "HASH")]
    pub head: Option<String>,
}
