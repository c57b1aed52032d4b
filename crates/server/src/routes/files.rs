//! Files to keep, print or send. All come as attachments: a page that carries its own style (the debrief) is then
//! opened from disk, not within this site.

use crate::app::App;
use crate::caller::Caller;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Asked, Part};
use axum::body::Body;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_LENGTH, CONTENT_TYPE, HeaderValue};
use axum::response::{IntoResponse, Response};
use press::Paper;
use school::files::FileKind;
use serde::Deserialize;
use tokio::io::AsyncReadExt;
use utoipa::IntoParams;

/// On which paper.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct OnPaper {
    /// `letter` (unless told) or `a4`.
    pub paper: Option<String>,
}

/// The lesson on which paper, and with what.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct LessonOnPaper {
    /// `letter` (unless told) or `a4`.
    pub paper: Option<String>,
    /// Every maneuver's sheet behind it.
    #[serde(default)]
    pub sheets: bool,
}

/// Every maneuver's sheet, one page each.
#[utoipa::path(get, path = "/lessons/{id}/sheets.pdf", tag = "files",
    params(("id" = String, Path, description = "Lesson id"), OnPaper),
    responses((status = 200, description = "The file", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn sheets_pdf(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Asked(asked): Asked<OnPaper>,
) -> ApiResult<Response> {
    let kind = FileKind::Sheets(paper(asked.paper.as_deref())?);
    lesson_file(&app, &caller, &id, kind).await
}

/// The lesson on one page; with `sheets=true` every maneuver's sheet behind it.
#[utoipa::path(get, path = "/lessons/{id}/lesson.pdf", tag = "files",
    params(("id" = String, Path, description = "Lesson id"), LessonOnPaper),
    responses((status = 200, description = "The file", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn lesson_pdf(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Asked(asked): Asked<LessonOnPaper>,
) -> ApiResult<Response> {
    let paper = paper(asked.paper.as_deref())?;
    let kind = if asked.sheets {
        FileKind::Whole(paper)
    } else {
        FileKind::Lesson(paper)
    };
    lesson_file(&app, &caller, &id, kind).await
}

/// What to brief the next stalls from: for each kind of stall the clean recovery of the day, one page each.
#[utoipa::path(get, path = "/lessons/{id}/brief-card.pdf", tag = "files",
    params(("id" = String, Path, description = "Lesson id"), OnPaper),
    responses((status = 200, description = "The file; 404 where no stall has a clean recovery to show", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn brief_card_pdf(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Asked(asked): Asked<OnPaper>,
) -> ApiResult<Response> {
    let kind = FileKind::Card(paper(asked.paper.as_deref())?);
    lesson_file(&app, &caller, &id, kind).await
}

/// The brief card as one page that needs nothing else.
#[utoipa::path(get, path = "/lessons/{id}/brief-card.html", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file; 404 where no stall has a clean recovery to show", content_type = "text/html", body = Vec<u8>)))]
pub async fn brief_card_html(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::CardPage).await
}

/// The debrief as one page that needs nothing else.
#[utoipa::path(get, path = "/lessons/{id}/debrief.html", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "text/html", body = Vec<u8>)))]
pub async fn debrief_html(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Html).await
}

/// The document `proofwing/debrief/1`.
#[utoipa::path(get, path = "/lessons/{id}/debrief.json", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "application/json", body = Object)))]
pub async fn debrief_json(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Json).await
}

/// The path as KML.
#[utoipa::path(get, path = "/lessons/{id}/path.kml", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "application/vnd.google-earth.kml+xml", body = Vec<u8>)))]
pub async fn path_kml(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Kml).await
}

/// The path as GPX 1.1.
#[utoipa::path(get, path = "/lessons/{id}/path.gpx", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "application/gpx+xml", body = Vec<u8>)))]
pub async fn path_gpx(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Gpx).await
}

/// The reconstructed flight as CSV, with units and σ.
#[utoipa::path(get, path = "/lessons/{id}/flight.csv", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "text/csv", body = Vec<u8>)))]
pub async fn flight_csv(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Csv).await
}

/// The reconstructed flight as Parquet, with units and σ.
#[utoipa::path(get, path = "/lessons/{id}/flight.parquet", tag = "files",
    params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, description = "The file", content_type = "application/vnd.apache.parquet", body = Vec<u8>)))]
pub async fn flight_parquet(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    lesson_file(&app, &caller, &id, FileKind::Parquet).await
}

/// A student's whole record: PDF, JSON, signed versions and the original recordings.
#[utoipa::path(get, path = "/people/{id}/record.zip", tag = "files",
    params(("id" = String, Path, description = "Person id")),
    responses((status = 200, description = "The file", content_type = "application/zip", body = Vec<u8>)))]
pub async fn record_zip(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    let zip = app.school.record_zip(&caller.actor(), &id).await?;
    let pieces =
        futures_util::stream::unfold(tokio::fs::File::from_std(zip.file), |mut file| async move {
            let mut piece = bytes::BytesMut::with_capacity(64 * 1024);
            match file.read_buf(&mut piece).await {
                Ok(0) => None,
                Ok(_) => Some((Ok(piece.freeze()), file)),
                Err(error) => Some((Err(error), file)),
            }
        });
    let mut response = attachment(&zip.name, "application/zip", Body::from_stream(pieces));
    response
        .headers_mut()
        .insert(CONTENT_LENGTH, HeaderValue::from(zip.bytes));
    Ok(response)
}

async fn lesson_file(app: &App, caller: &Caller, id: &str, kind: FileKind) -> ApiResult<Response> {
    let file = app.school.lesson_file(&caller.actor(), id, kind).await?;
    Ok(attachment(&file.name, file.media_type, file.bytes))
}

fn paper(asked: Option<&str>) -> ApiResult<Paper> {
    match asked.map(str::to_lowercase).as_deref() {
        None | Some("letter") => Ok(Paper::Letter),
        Some("a4") => Ok(Paper::A4),
        Some(other) => {
            let message = format!("`{other}` is no paper that there is.");
            let error = ApiError::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", message);
            Err(error.hint("Take `letter` or `a4`.").field("paper"))
        }
    }
}

/// A file to be kept under a name. The name goes twice: plain, and with every letter it has (RFC 6266 section 4.3,
/// RFC 8187).
pub fn attachment(name: &str, media_type: &'static str, bytes: impl Into<Body>) -> Response {
    let ascii: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_graphic() && !"\"\\%;".contains(c) || c == ' ' {
                c
            } else {
                '_'
            }
        })
        .collect();
    let mut exact = String::new();
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"!#$&+-.^_`|~".contains(&byte) {
            exact.push(char::from(byte));
        } else {
            exact.push_str(&format!("%{byte:02X}"));
        }
    }
    let line = HeaderValue::try_from(format!(
        "attachment; filename=\"{ascii}\"; filename*=UTF-8''{exact}"
    ));
    let line = line.unwrap_or(HeaderValue::from_static("attachment"));
    (
        [
            (CONTENT_TYPE, HeaderValue::from_static(media_type)),
            (CONTENT_DISPOSITION, line),
        ],
        bytes.into(),
    )
        .into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_names_are_written_as_in_rfc_8187() {
        // RFC 8187 section 3.2.3, second example: "£ rates" is %c2%a3%20rates in UTF-8.
        let response = attachment("\u{a3} rates", "text/csv", "x");
        let line = response
            .headers()
            .get(CONTENT_DISPOSITION)
            .unwrap()
            .to_str()
            .unwrap();
        assert_eq!(
            line,
            "attachment; filename=\"_ rates\"; filename*=UTF-8''%C2%A3%20rates"
        );
    }

    #[test]
    fn prop_a_name_cannot_leave_its_quotes() {
        let response = attachment("a\"; filename=evil\r\nX: y", "text/csv", "x");
        let line = response
            .headers()
            .get(CONTENT_DISPOSITION)
            .unwrap()
            .to_str()
            .unwrap();
        assert_eq!(line.matches('"').count(), 2, "{line}");
        assert!(!line.contains('\n'));
    }
}
