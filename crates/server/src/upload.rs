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
/// Longest pause between two pieces, s.
const PAUSE_S: u64 = 30;
/// Slowest mean rate after the first [`PAUSE_S`], bytes/s: a modem of the nineties would do.
const SLOWEST_BYTES_S: u64 = 4 * 1024;
/// Longest upload, s.
const LONGEST_S: u64 = 3600;

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
    let told: Option<u64> = headers
        .get(CONTENT_LENGTH)
        .and_then(|value| value.to_str().ok()?.parse().ok());
    if told.is_some_and(|bytes| bytes > LARGEST_BYTES) {
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
        let piece = tokio::time::timeout(Duration::from_secs(PAUSE_S), stream.next())
            .await
            .map_err(|_| too_slow())?;
        let Some(piece) = piece else { break };
        let piece = piece.map_err(|_| {
            ApiError::bad_request("The file did not come whole.").hint("Send it again.")
        })?;
        bytes += piece.len() as u64;
        if bytes > LARGEST_BYTES {
            return Err(too_large());
        }
        let passed_s = begun.elapsed().as_secs();
        if passed_s > LONGEST_S || (passed_s > PAUSE_S && bytes / passed_s < SLOWEST_BYTES_S) {
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
