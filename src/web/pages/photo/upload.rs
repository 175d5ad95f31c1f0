//! A photo as a phone sends it: the picture is the body, the answer is JSON.

use axum::Json;
use axum::body::Bytes;
use axum::extract::{FromRequest, Path, Query, Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use uuid::Uuid;

use crate::domain::refusal::Refusal;
use crate::domain::visit::typed_at;
use crate::imaging::NotTaken;
use crate::web::App;
use crate::web::error::Error;
use crate::web::photos::{self, NotKept, SentPicture};
use crate::web::viewer::Viewer;

/// What stands behind the question mark.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct Named {
    /// The field of the sheet; empty for the visit as a whole.
    #[serde(default)]
    field: String,
    /// When it was taken, by the device's clock.
    #[serde(default)]
    taken: String,
    /// When it is sent, by the same clock: what that is ahead of ours is taken off.
    #[serde(default)]
    sent: String,
    /// Who took it, if it waited on a phone that several share.
    #[serde(default)]
    author: String,
}

/// Keeps a photo. A phone may send it as often as it likes.
pub(in crate::web) async fn put_photo(
    State(app): State<App>,
    viewer: Result<Viewer, Error>,
    Path((visit, photo)): Path<(Uuid, Uuid)>,
    Query(named): Query<Named>,
    request: Request,
) -> Result<Response, Error> {
    let viewer = match viewer {
        Ok(viewer) => viewer,
        // A page would be led to the sign-in page; a script must know that it wasn't taken.
        Err(Error::SignIn(_) | Error::SetUp) => {
            let sentence = "Sign in again; the photo waits on this device until then.";
            return Ok(told(StatusCode::UNAUTHORIZED, "sign_in", sentence));
        }
        Err(other) => return Err(other),
    };
    if !named.author.is_empty() && named.author != viewer.id.to_string() {
        let sentence = "Somebody else took this photo. It is sent when they sign in again.";
        return Ok(told(StatusCode::UNAUTHORIZED, "other_author", sentence));
    }
    let Ok(taken) = instant(&named.taken) else {
        let sentence = format!(
            "taken: “{}” is no time, such as 2026-06-15T15:00:00Z; without one it is fine too.",
            named.taken
        );
        return Ok(told(StatusCode::UNPROCESSABLE_ENTITY, "no_time", &sentence));
    };
    let bytes = match Bytes::from_request(request, &app).await {
        Ok(bytes) => bytes,
        Err(fault) if fault.status() == StatusCode::PAYLOAD_TOO_LARGE => {
            return Ok(refused_picture(NotTaken::TooLarge));
        }
        Err(_) => return Err(Error::Unreadable),
    };
    let taken_at = taken.map(|it| taken_at(it, &named.sent, viewer.now));
    let sent = SentPicture { visit, photo, field: named.field, taken_at, bytes: bytes.into() };
    match photos::keep(&app, &viewer, sent).await {
        Ok(photo) => {
            let answer = json!({"id": photo.id, "width": photo.width, "height": photo.height});
            Ok(Json(answer).into_response())
        }
        Err(NotKept::Picture(refused)) => Ok(refused_picture(refused)),
        Err(NotKept::Refused(refusal)) => Ok(refused(&refusal)),
        Err(NotKept::Failed(fault)) => Err(fault),
    }
}

/// When it was taken by our clock, if that was said.
fn taken_at(taken: OffsetDateTime, sent: &str, now: OffsetDateTime) -> OffsetDateTime {
    let sent = instant(sent).ok().flatten();
    let ahead_s = sent.map(|it| (it - now).whole_seconds());
    typed_at((Some(taken), ahead_s), now)
}

/// An instant in whole seconds, as the store holds them; none if nothing was said.
fn instant(text: &str) -> Result<Option<OffsetDateTime>, ()> {
    if text.is_empty() {
        return Ok(None);
    }
    let at = OffsetDateTime::parse(text, &Rfc3339).map_err(|_| ())?;
    if !(1970..=2200).contains(&at.year()) {
        return Err(());
    }
    let at = at.to_offset(time::UtcOffset::UTC);
    Ok(Some(at.replace_nanosecond(0).unwrap_or(at)))
}

fn refused_picture(refused: NotTaken) -> Response {
    let status = match refused {
        NotTaken::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    };
    told(status, "picture", &refused.to_string())
}

fn refused(refusal: &Refusal) -> Response {
    let sentence = refusal.to_string();
    match refusal {
        Refusal::Changed => {
            let sentence = "Another photo was sent under this name before. Take it once more.";
            told(StatusCode::CONFLICT, "changed", sentence)
        }
        Refusal::PhotosFull => told(StatusCode::UNPROCESSABLE_ENTITY, "full", &sentence),
        Refusal::NoSuchField(_) => told(StatusCode::UNPROCESSABLE_ENTITY, "no_field", &sentence),
        _ => told(StatusCode::UNPROCESSABLE_ENTITY, "refused", &sentence),
    }
}

fn told(status: StatusCode, kind: &str, sentence: &str) -> Response {
    (status, Json(json!({"error": sentence, "kind": kind}))).into_response()
}
