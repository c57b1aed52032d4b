//! The routes, by what they are about. Who may use them stands in `access.rs`.

mod account;
mod aircraft;
mod audit;
mod files;
mod invites;
mod lessons;
mod people;
mod recordings;
mod session;
mod standards;
mod status;
mod word;

use crate::app::App;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

/// Every route below `/api/v1`, with its description.
#[must_use]
pub fn all() -> OpenApiRouter<App> {
    OpenApiRouter::new()
        .routes(routes!(status::status))
        .routes(routes!(status::openapi))
        .routes(routes!(status::first_run))
        .routes(routes!(session::sign_in, session::sign_out))
        .routes(routes!(session::sessions, session::sign_out_everywhere))
        .routes(routes!(account::me))
        .routes(routes!(account::change_password))
        .routes(routes!(account::tokens, account::make_token))
        .routes(routes!(account::revoke_token))
        .routes(routes!(invites::list, invites::make))
        // One pattern for both: the secret of a link, or for DELETE the invitation's id.
        .routes(routes!(invites::view, invites::accept, invites::withdraw))
        .routes(routes!(people::people))
        .routes(routes!(people::change))
        .routes(routes!(people::reset))
        .routes(routes!(people::sign_out_everywhere))
        .routes(routes!(people::change_school))
        .merge(record())
}

/// Aircraft, standards, recordings, lessons, the trail.
fn record() -> OpenApiRouter<App> {
    OpenApiRouter::new()
        .routes(routes!(aircraft::list, aircraft::add))
        .routes(routes!(aircraft::check))
        .routes(routes!(aircraft::view, aircraft::change))
        .routes(routes!(standards::list))
        .routes(routes!(standards::view, standards::put, standards::retire))
        .routes(routes!(recordings::list, recordings::bring_in))
        .routes(routes!(recordings::refused))
        .routes(routes!(recordings::view))
        .routes(routes!(recordings::original))
        .routes(routes!(recordings::map))
        .routes(routes!(lessons::list))
        .routes(routes!(lessons::view))
        .routes(routes!(lessons::series))
        .routes(routes!(lessons::picture))
        .routes(routes!(lessons::what_if))
        .routes(routes!(lessons::set_aside))
        .routes(routes!(lessons::take_back))
        .routes(routes!(lessons::maneuvers))
        .routes(routes!(word::entries, word::add))
        .routes(routes!(word::sign))
        .routes(routes!(word::signed))
        .routes(routes!(word::signed_bytes))
        .routes(routes!(word::difference))
        .routes(routes!(files::sheets_pdf))
        .routes(routes!(files::lesson_pdf))
        .routes(routes!(files::brief_card_pdf))
        .routes(routes!(files::brief_card_html))
        .routes(routes!(files::debrief_html))
        .routes(routes!(files::debrief_json))
        .routes(routes!(files::path_kml))
        .routes(routes!(files::path_gpx))
        .routes(routes!(files::flight_csv))
        .routes(routes!(files::flight_parquet))
        .routes(routes!(files::record_zip))
        .routes(routes!(audit::rows))
        .routes(routes!(audit::verify))
        .routes(routes!(audit::jobs))
        .routes(routes!(audit::remark))
}
