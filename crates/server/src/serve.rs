//! Listening: on loopback by default, under TLS on a network, until the order to stop.

use crate::app::App;
use crate::connection::Counted;
use crate::host::in_url;
use crate::options::Options;
use crate::router;
use axum_server::Handle;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use school::School;
use std::net::{SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A request's line and headers must be here after so long, s (slow senders of headers).
const HEADERS_S: u64 = 10;
/// Streams at once within one HTTP/2 connection.
const STREAMS: u32 = 64;

/// Why the server does not run.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// A network address without TLS.
    #[error(
        "{0} is an address of the network, and without TLS passwords and records would cross it readably; \
         give a certificate and its key, or serve 127.0.0.1, or say `--insecure-network` if you mean it"
    )]
    Unprotected(SocketAddr),
    /// The address cannot be had.
    #[error(
        "cannot listen on {address}: {source}; choose another port, or end the program that has this one"
    )]
    Listen {
        /// Which.
        address: SocketAddr,
        /// Why.
        source: std::io::Error,
    },
    /// The certificate or its key cannot be used.
    #[error(
        "cannot use the certificate {certificate} with the key {key}: {source}; both must be PEM, and belong together"
    )]
    Certificate {
        /// Certificate chain.
        certificate: PathBuf,
        /// Private key.
        key: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The record does not answer.
    #[error("{}", .0.for_log())]
    Record(#[from] school::SchoolError),
    /// Something else.
    #[error("cannot serve: {0}")]
    Other(#[from] std::io::Error),
}

/// A server that listens but does not answer yet.
pub struct Server {
    app: App,
    listener: TcpListener,
    tls: Option<(RustlsConfig, PathBuf, PathBuf)>,
    address: SocketAddr,
    finish: Duration,
    handle: Handle<SocketAddr>,
}

/// Serves until SIGTERM or Ctrl-C, then finishes the requests under way. `ready` is told the address in words, for
/// a person to open.
///
/// # Errors
/// See [`ServeError`].
pub async fn serve(
    school: School,
    options: Options,
    ready: impl FnOnce(&Server),
) -> Result<(), ServeError> {
    let server = Server::bind(school.clone(), options).await?;
    // Work that was under way when the program ended before.
    school.resume_work().await?;
    ready(&server);
    let handle = server.handle();
    let finish = server.finish;
    let orders = tokio::spawn(async move {
        ordered_to_stop().await;
        tracing::info!("stopping: requests under way are finished, no new ones are taken");
        handle.graceful_shutdown(Some(finish));
    });
    let sweeping = tokio::spawn(sweep_daily(school));
    let done = server.run().await;
    orders.abort();
    sweeping.abort();
    done
}

/// Takes away, once a day, what imports that were broken off left behind in the record's own folder.
async fn sweep_daily(school: School) {
    while school.objects().is_own() {
        match school.sweep().await {
            Ok(0) => {}
            Ok(swept) => tracing::info!(
                swept,
                "files of imports that were broken off were taken away"
            ),
            Err(error) => tracing::warn!(
                error = error.for_log(),
                "nobody could look for what broken-off imports left"
            ),
        }
        tokio::time::sleep(Duration::from_secs(86_400)).await;
    }
}

impl Server {
    /// Takes the address and reads the certificate.
    ///
    /// # Errors
    /// See [`ServeError`].
    pub async fn bind(school: School, options: Options) -> Result<Server, ServeError> {
        if !options.address.ip().is_loopback() && options.tls.is_none() && !options.insecure_network
        {
            return Err(ServeError::Unprotected(options.address));
        }
        let tls = match &options.tls {
            Some((certificate, key)) => Some((
                certificate_of(certificate, key).await?,
                certificate.clone(),
                key.clone(),
            )),
            None => None,
        };
        let cannot = |source| ServeError::Listen {
            address: options.address,
            source,
        };
        let listener = TcpListener::bind(options.address).map_err(cannot)?;
        let address = listener.local_addr().map_err(cannot)?;
        let app = App::new(school, &options)?;
        Ok(Server {
            app,
            listener,
            tls,
            address,
            finish: Duration::from_secs(options.finish_s),
            handle: Handle::new(),
        })
    }

    /// The address that was taken.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The address to open in a browser.
    #[must_use]
    pub fn url(&self) -> String {
        let scheme = if self.tls.is_some() { "https" } else { "http" };
        let ip = self.address.ip();
        let named = self.app.hosts.get(crate::host::ALWAYS.len());
        let host = match named {
            Some(name) if !ip.is_loopback() => name.clone(),
            _ => in_url(ip),
        };
        format!("{scheme}://{host}:{}/", self.address.port())
    }

    /// The code that the first account needs, when it is not made from this computer alone.
    #[must_use]
    pub fn first_run_code(&self) -> Option<&str> {
        self.app.first_run_code.as_deref()
    }

    /// To stop it from elsewhere.
    #[must_use]
    pub fn handle(&self) -> Handle<SocketAddr> {
        self.handle.clone()
    }

    /// Answers until told to stop.
    ///
    /// # Errors
    /// When the listener fails.
    pub async fn run(self) -> Result<(), ServeError> {
        let service = router(self.app).into_make_service_with_connect_info::<SocketAddr>();
        let server = axum_server::from_tcp(self.listener)?.handle(self.handle);
        let counted = Counted::default();
        match self.tls {
            Some((config, certificate, key)) => {
                let reload = tokio::spawn(reload(config.clone(), certificate, key));
                let mut server = server.acceptor(RustlsAcceptor::new(config).acceptor(counted));
                patience(server.http_builder());
                let done = server
                    .first_request_timeout(Duration::from_secs(HEADERS_S))
                    .serve(service)
                    .await;
                reload.abort();
                done?;
            }
            None => {
                let mut server = server.acceptor(counted);
                patience(server.http_builder());
                server
                    .first_request_timeout(Duration::from_secs(HEADERS_S))
                    .serve(service)
                    .await?;
            }
        }
        Ok(())
    }
}

/// How long a client may take for headers, and what one connection may ask for at once.
fn patience(builder: &mut hyper_util::server::conn::auto::Builder<hyper_util::rt::TokioExecutor>) {
    builder
        .http1()
        .header_read_timeout(Duration::from_secs(HEADERS_S))
        .max_buf_size(64 * 1024);
    builder
        .http2()
        .max_concurrent_streams(STREAMS)
        .max_header_list_size(32 * 1024)
        .keep_alive_interval(Duration::from_secs(60))
        .keep_alive_timeout(Duration::from_secs(20));
}

async fn certificate_of(certificate: &Path, key: &Path) -> Result<RustlsConfig, ServeError> {
    // Two providers may be compiled in by other crates; ours is the one that is meant. Set once, the first wins.
    let _ = rustls::crypto::ring::default_provider().install_default();
    RustlsConfig::from_pem_file(certificate, key)
        .await
        .map_err(|source| ServeError::Certificate {
            certificate: certificate.to_owned(),
            key: key.to_owned(),
            source,
        })
}

/// On SIGHUP the certificate is read anew, so that a renewed one needs no restart.
async fn reload(config: RustlsConfig, certificate: PathBuf, key: PathBuf) {
    #[cfg(unix)]
    {
        let Ok(mut hangups) =
            tokio::signal::unix::signal(tokio::signal::unix::SignalKind::hangup())
        else {
            return;
        };
        while hangups.recv().await.is_some() {
            match config.reload_from_pem_file(&certificate, &key).await {
                Ok(()) => tracing::info!("the certificate was read anew"),
                Err(error) => {
                    tracing::error!("the certificate was not read anew, the old one stays: {error}")
                }
            }
        }
    }
    #[cfg(not(unix))]
    let _ = (config, certificate, key);
}

/// Until Ctrl-C or SIGTERM.
async fn ordered_to_stop() {
    let interrupted = async {
        // Without the signal nothing but SIGTERM stops it.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    {
        let mut ended =
            match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
                Ok(ended) => ended,
                Err(_) => return interrupted.await,
            };
        tokio::select! {
            () = interrupted => {}
            _ = ended.recv() => {}
        }
    }
    #[cfg(not(unix))]
    interrupted.await;
}
