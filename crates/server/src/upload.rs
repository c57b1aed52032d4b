//! Receiving a recording: streamed to a temporary file beside the record, and into memory only when its turn comes,
//! so that many uploads at once, or slow ones, do not fill the memory.

use crate::app::App;
use crate::error::{ApiError, ApiResult};
use crate::extract::too_large;
use axum::body::Body;
use axum::http::header::CONTENT_LENGTH;
use axum::http::{HeaderMap, StatusCode};
use bytes::Bytes;
use futures_util::StreamExt;
use std::io::{Read, Seek, SeekFrom, Write};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::sync::OwnedSemaphorePermit;

/// Largest recording, bytes.
pub const LARGEST_BYTES: u64 = school::import::LARGEST_BYTES as u64;
/// Uploads under way at once; each may lie on disk with up to 512 MB.
pub const AT_ONCE: usize = 16;
/// Memory for recordings that are being read, MiB, over all uploads.
pub const ROOM_MIB: usize = 768;
/// How large an upload may be and how slowly it may come.
#[derive(Clone, Copy, Debug)]
struct Limits {
    /// Largest, bytes.
    largest: u64,
    /// Longest pause between two pieces.
    pause: Duration,
    /// Slowest mean rate after the first pause's time, bytes/s.
    slowest_bytes_s: u64,
    /// Longest upload.
    longest: Duration,
}

const LIMITS: Limits = Limits {
    largest: LARGEST_BYTES,
    pause: Duration::from_secs(30),
    // A modem of the nineties would do.
    slowest_bytes_s: 4 * 1024,
    longest: Duration::from_secs(3600),
};

/// A recording that came whole and lies in a temporary file, which goes when this is dropped.
pub struct Received {
    file: std::fs::File,
    bytes: u64,
    _place: OwnedSemaphorePermit,
}

/// Takes a body to a temporary file.
///
/// # Errors
/// 413 beyond 512 MB, 408 when it comes too slowly, 503 when too many come at once.
pub async fn receive(app: &App, headers: &HeaderMap, body: Body) -> ApiResult<Received> {
    receive_within(LIMITS, app, headers, body).await
}

async fn receive_within(
    limits: Limits,
    app: &App,
    headers: &HeaderMap,
    body: Body,
) -> ApiResult<Received> {
    let told: Option<u64> = headers
        .get(CONTENT_LENGTH)
        .and_then(|value| value.to_str().ok()?.parse().ok());
    if told.is_some_and(|bytes| bytes > limits.largest) {
        return Err(too_large());
    }
    let place = Arc::clone(&app.uploads)
        .try_acquire_owned()
        .map_err(|_| ApiError::busy())?;
    let mut file =
        tempfile::tempfile_in(app.school.data_dir()).map_err(|error| cannot_keep(&error))?;
    let begun = Instant::now();
    let mut stream = body.into_data_stream();
    let mut bytes = 0u64;
    loop {
        let piece = tokio::time::timeout(limits.pause, stream.next())
            .await
            .map_err(|_| too_slow())?;
        let Some(piece) = piece else { break };
        let piece = piece.map_err(|_| {
            ApiError::bad_request("The file did not come whole.").hint("Send it again.")
        })?;
        bytes += piece.len() as u64;
        if bytes > limits.largest {
            return Err(too_large());
        }
        let passed = begun.elapsed();
        let least = passed.as_millis() * u128::from(limits.slowest_bytes_s) / 1000;
        if passed > limits.longest || (passed > limits.pause && u128::from(bytes) < least) {
            return Err(too_slow());
        }
        file = write(file, piece).await?;
    }
    Ok(Received {
        file,
        bytes,
        _place: place,
    })
}

async fn write(mut file: std::fs::File, piece: Bytes) -> ApiResult<std::fs::File> {
    let written = tokio::task::spawn_blocking(move || file.write_all(&piece).map(|()| file)).await;
    written
        .map_err(ApiError::internal)?
        .map_err(|error| cannot_keep(&error))
}

impl Received {
    /// The bytes in memory, when there is room for them; hold the permit for as long as they are needed.
    ///
    /// # Errors
    /// 503 when no room comes free in a minute.
    pub async fn into_memory(self, app: &App) -> ApiResult<(Bytes, OwnedSemaphorePermit)> {
        let mib = u32::try_from(self.bytes.div_ceil(1 << 20)).unwrap_or(u32::MAX);
        let room = Arc::clone(&app.room).acquire_many_owned(mib);
        let room = tokio::time::timeout(Duration::from_secs(60), room)
            .await
            .ok()
            .and_then(Result::ok);
        let room = room.ok_or_else(ApiError::busy)?;
        let Received {
            mut file, bytes, ..
        } = self;
        let read = tokio::task::spawn_blocking(move || {
            let mut all = Vec::with_capacity(usize::try_from(bytes).unwrap_or_default());
            file.seek(SeekFrom::Start(0))
                .and_then(|_| file.read_to_end(&mut all))
                .map(|_| all)
        });
        let all = read
            .await
            .map_err(ApiError::internal)?
            .map_err(|error| cannot_keep(&error))?;
        Ok((Bytes::from(all), room))
    }
}

fn cannot_keep(error: &std::io::Error) -> ApiError {
    ApiError::internal(format!(
        "a recording could not be kept while it came: {error}"
    ))
}

fn too_slow() -> ApiError {
    ApiError::new(
        StatusCode::REQUEST_TIMEOUT,
        "too_slow",
        "The file came too slowly and was given up.",
    )
    .hint("Send it again; packed with gzip it is a fifth of its size.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::options::Options;
    use axum::http::HeaderValue;
    use futures_util::stream;
    use school::{Config, School};

    const SMALL: Limits = Limits {
        largest: 1000,
        pause: Duration::from_millis(200),
        slowest_bytes_s: 100,
        longest: Duration::from_millis(900),
    };

    async fn app(folder: &std::path::Path) -> App {
        let school = School::open(Config::folder(folder)).await.unwrap();
        App::new(school, &Options::default()).unwrap()
    }

    /// A piece of so many bytes every so many ms, so many times.
    fn pieces(bytes: usize, every_ms: u64, times: usize) -> Body {
        Body::from_stream(stream::unfold(0, move |sent| async move {
            if sent == times {
                return None;
            }
            tokio::time::sleep(Duration::from_millis(every_ms)).await;
            Some((Ok::<_, std::io::Error>(vec![b'x'; bytes]), sent + 1))
        }))
    }

    async fn status(app: &App, headers: &HeaderMap, body: Body) -> u16 {
        match receive_within(SMALL, app, headers, body).await {
            Ok(_) => 200,
            Err(error) => error.status().as_u16(),
        }
    }

    #[tokio::test]
    async fn prop_too_large_and_too_slow_are_given_up() {
        let folder = tempfile::tempdir().unwrap();
        let app = app(folder.path()).await;
        let none = HeaderMap::new();
        assert_eq!(status(&app, &none, pieces(100, 1, 10)).await, 200);
        // Without a length told, what comes is counted.
        assert_eq!(status(&app, &none, pieces(100, 1, 11)).await, 413);
        // What is told is believed before a byte is read.
        let mut told = HeaderMap::new();
        told.insert(CONTENT_LENGTH, HeaderValue::from_static("1001"));
        let never = Body::from_stream(stream::pending::<std::io::Result<Bytes>>());
        assert_eq!(status(&app, &told, never).await, 413);
        // Nothing comes; a byte now and then comes; fast enough, but for ever.
        let never = Body::from_stream(stream::pending::<std::io::Result<Bytes>>());
        assert_eq!(status(&app, &none, never).await, 408);
        assert_eq!(status(&app, &none, pieces(1, 50, 100)).await, 408);
        assert_eq!(status(&app, &none, pieces(20, 50, 49)).await, 408);
        // Whatever was given up has given its place back.
        assert_eq!(app.uploads.available_permits(), AT_ONCE);
    }

    #[tokio::test]
    async fn prop_uploads_beyond_the_places_are_told_to_wait() {
        let folder = tempfile::tempdir().unwrap();
        let app = app(folder.path()).await;
        let mut held = Vec::new();
        for _ in 0..AT_ONCE {
            held.push(
                receive(&app, &HeaderMap::new(), Body::from("x"))
                    .await
                    .unwrap(),
            );
        }
        let more = receive(&app, &HeaderMap::new(), Body::from("x"))
            .await
            .err()
            .unwrap();
        assert_eq!(more.status().as_u16(), 503);
        drop(held);
        assert!(
            receive(&app, &HeaderMap::new(), Body::from("x"))
                .await
                .is_ok()
        );
    }
}
