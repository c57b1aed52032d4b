//! Over a real socket: TLS by certificate files, what is refused without it, clients that are slow on purpose.

mod support;

use rustls::pki_types::ServerName;
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use server::{Options, ServeError, Server};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};
use support::{empty, people};

const NAME: &str = "room.example";

/// A certificate of the school's own, as two PEM files; and what a client has to trust.
fn certificate(folder: &Path) -> (PathBuf, PathBuf, RootCertStore) {
    let made = rcgen::generate_simple_self_signed(vec![NAME.to_owned()]).unwrap();
    let (certificate, key) = (folder.join("room.pem"), folder.join("room.key"));
    std::fs::write(&certificate, made.cert.pem()).unwrap();
    std::fs::write(&key, made.signing_key.serialize_pem()).unwrap();
    let mut roots = RootCertStore::empty();
    roots.add(made.cert.der().clone()).unwrap();
    (certificate, key, roots)
}

fn options() -> Options {
    Options {
        address: SocketAddr::from(([127, 0, 0, 1], 0)),
        ..Options::default()
    }
}

fn get(host: &str, path: &str) -> String {
    format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n")
}

fn answer(mut stream: impl Read + Write, request: &str) -> std::io::Result<String> {
    stream.write_all(request.as_bytes())?;
    let mut text = Vec::new();
    match stream.read_to_end(&mut text) {
        // A server that closes without TLS' own goodbye; what came is whole by its length.
        Err(error) if error.kind() != std::io::ErrorKind::UnexpectedEof => return Err(error),
        _ => {}
    }
    Ok(String::from_utf8_lossy(&text).into_owned())
}

fn connect(address: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(address).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    stream
}

fn tls(
    address: SocketAddr,
    roots: RootCertStore,
    name: &str,
) -> StreamOwned<ClientConnection, TcpStream> {
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from(name.to_owned()).unwrap();
    StreamOwned::new(
        ClientConnection::new(Arc::new(config), name).unwrap(),
        connect(address),
    )
}

#[tokio::test(flavor = "multi_thread")]
async fn val_tls_by_certificate_files_answers_and_keeps_its_cookies() {
    let served = empty().await;
    people(&served).await;
    let folder = tempfile::tempdir().unwrap();
    let (certificate, key, roots) = certificate(folder.path());
    let options = Options {
        tls: Some((certificate, key)),
        host_names: vec![NAME.to_owned()],
        ..options()
    };
    let server = Server::bind(served.school.clone(), options).await.unwrap();
    let (address, handle) = (server.address(), server.handle());
    assert!(server.url().starts_with("https://"));
    let running = tokio::spawn(server.run());
    let (trust, none) = (roots.clone(), RootCertStore::empty());
    tokio::task::spawn_blocking(move || {
        let text = answer(tls(address, trust.clone(), NAME), &get(NAME, "/api/v1/status")).unwrap();
        assert!(text.starts_with("HTTP/1.1 200"), "{text}");
        // RFC 6797: told over TLS only.
        assert!(text.to_lowercase().contains("strict-transport-security: max-age=31536000"), "{text}");
        let body = r#"{"login":"ada","password":"seven gray geese over water"}"#;
        let request = format!(
            "POST /api/v1/session HTTP/1.1\r\nHost: {NAME}\r\nOrigin: https://{NAME}\r\nX-Proofwing-Request: 1\r\n\
             Content-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        let text = answer(tls(address, trust.clone(), NAME), &request).unwrap();
        assert!(text.starts_with("HTTP/1.1 200"), "{text}");
        // RFC 6265bis section 4.1.3.2.
        let line = text.lines().find(|line| line.contains("__Host-proofwing_session=")).unwrap_or_else(|| panic!("{text}"));
        assert!(line.contains("; Secure") && !line.contains("Domain"), "{line}");
        // Another name than the certificate's, a client that does not trust it, and plain HTTP get nothing.
        assert!(answer(tls(address, trust, "other.example"), &get(NAME, "/api/v1/status")).is_err());
        assert!(answer(tls(address, none, NAME), &get(NAME, "/api/v1/status")).is_err());
        let plain = answer(connect(address), &get(NAME, "/api/v1/status"));
        assert!(!plain.unwrap_or_default().contains("200"));
    })
    .await
    .unwrap();
    handle.graceful_shutdown(Some(Duration::from_secs(1)));
    running.await.unwrap().unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_network_address_is_refused_without_tls() {
    let served = empty().await;
    for address in ["0.0.0.0:0", "[::]:0", "192.0.2.7:8440"] {
        let options = Options {
            address: address.parse().unwrap(),
            ..Options::default()
        };
        let refused = Server::bind(served.school.clone(), options)
            .await
            .err()
            .unwrap();
        assert!(
            matches!(refused, ServeError::Unprotected(_)),
            "{address}: {refused}"
        );
        assert!(
            refused.to_string().contains("--insecure-network"),
            "{refused}"
        );
    }
    // Said plainly, it is served; the first account then needs the code from the server's own screen.
    let open = Options {
        address: "0.0.0.0:0".parse().unwrap(),
        insecure_network: true,
        ..Options::default()
    };
    let server = Server::bind(served.school.clone(), open).await.unwrap();
    assert!(server.first_run_code().is_some_and(|code| code.len() == 11));
    let server = Server::bind(served.school.clone(), options())
        .await
        .unwrap();
    assert_eq!(server.first_run_code(), None);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_certificate_that_cannot_be_used_is_told_by_name() {
    let served = empty().await;
    let folder = tempfile::tempdir().unwrap();
    let (one, _, _) = certificate(folder.path());
    let other = tempfile::tempdir().unwrap();
    let (_, key, _) = certificate(other.path());
    let none = folder.path().join("nothing.pem");
    for (certificate, key) in [
        (one.clone(), key),
        (none, one.with_extension("key")),
        (one.clone(), one),
    ] {
        let options = Options {
            tls: Some((certificate.clone(), key)),
            ..options()
        };
        let refused = Server::bind(served.school.clone(), options)
            .await
            .err()
            .unwrap();
        assert!(
            matches!(refused, ServeError::Certificate { .. }),
            "{refused}"
        );
        assert!(
            refused
                .to_string()
                .contains(&*certificate.to_string_lossy()),
            "{refused}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_slow_headers_are_given_up_while_others_are_served() {
    let served = empty().await;
    let server = Server::bind(served.school.clone(), options())
        .await
        .unwrap();
    let (address, handle) = (server.address(), server.handle());
    let running = tokio::spawn(server.run());
    tokio::task::spawn_blocking(move || {
        let host = address.to_string();
        // Fifty clients that never finish a request line.
        let begun = Instant::now();
        let mut slow: Vec<TcpStream> = (0..50).map(|_| connect(address)).collect();
        for stream in &mut slow {
            stream
                .write_all(b"GET /api/v1/status HTTP/1.1\r\nHost: ")
                .unwrap();
        }
        let text = answer(connect(address), &get(&host, "/api/v1/status")).unwrap();
        assert!(text.starts_with("HTTP/1.1 200"), "{text}");
        assert!(
            begun.elapsed() < Duration::from_secs(5),
            "{:?}",
            begun.elapsed()
        );
        for mut stream in slow {
            let mut rest = Vec::new();
            let _ = stream.read_to_end(&mut rest);
            assert!(
                !String::from_utf8_lossy(&rest).contains("200"),
                "answered half a request"
            );
        }
        let taken = begun.elapsed();
        assert!(
            (Duration::from_secs(8)..Duration::from_secs(25)).contains(&taken),
            "{taken:?}"
        );
    })
    .await
    .unwrap();
    handle.graceful_shutdown(Some(Duration::from_secs(1)));
    running.await.unwrap().unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_recording_too_large_is_refused_before_it_comes() {
    let served = empty().await;
    let (_, instructor, ..) = people(&served).await;
    let session = served
        .school
        .start_session(&instructor.id, "a test")
        .await
        .unwrap();
    let server = Server::bind(served.school.clone(), options())
        .await
        .unwrap();
    let (address, handle) = (server.address(), server.handle());
    let running = tokio::spawn(server.run());
    tokio::task::spawn_blocking(move || {
        let request = format!(
            "POST /api/v1/recordings?name=day.csv HTTP/1.1\r\nHost: {address}\r\nX-Proofwing-Request: 1\r\n\
             Cookie: proofwing_session={session}\r\nContent-Length: {}\r\nConnection: close\r\n\r\nTime (s),",
            600u64 << 20
        );
        let text = answer(connect(address), &request).unwrap();
        assert!(text.starts_with("HTTP/1.1 413"), "{text}");
        assert!(text.contains("512 MB"), "{text}");
        // Without the session nothing of the body is waited for either.
        let request = request.replace("Cookie: proofwing_session=", "X-Nothing: ");
        let text = answer(connect(address), &request).unwrap();
        assert!(text.starts_with("HTTP/1.1 401"), "{text}");
        // A whole recording of the usual size is taken, so that its sender can read why it is turned away.
        let body = "x".repeat(8 << 20);
        let request = request.replace(&(600u64 << 20).to_string(), &body.len().to_string());
        let request = request.replace("Time (s),", &body);
        let text = answer(connect(address), &request).unwrap();
        assert!(text.starts_with("HTTP/1.1 401"), "{text}");
    })
    .await
    .unwrap();
    handle.graceful_shutdown(Some(Duration::from_secs(1)));
    running.await.unwrap().unwrap();
}
