//! The debrief room over HTTP: accounts, the API with its OpenAPI description, and the embedded pages.
//!
//! What passes stands in `docs/contract.md`, how it is guarded in `docs/serving.md`.

pub mod access;
pub mod app;
mod caller;
mod client;
mod connection;
mod cookies;
mod devices;
mod document;
mod error;
mod extract;
mod gate;
mod headers;
mod host;
mod log;
pub mod openapi;
mod options;
mod pages;
mod router;
mod routes;
mod same_site;
mod serve;
mod throttle;
mod upload;
mod watch;
pub mod wire;

pub use options::{DemoLogin, DemoLogins, Options};
pub use router::router;
pub use serve::{ServeError, Server, serve};
pub use watch::{EVERY_S, Looked, STILL, Watcher, watch};
