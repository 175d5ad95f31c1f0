//! One line a request, with the number that an error page shows; nothing secret, nothing personal.

use std::time::Instant;

use askama::Template;
use axum::extract::{MatchedPath, Request};
use axum::http::header::{ACCEPT, CACHE_CONTROL, CONTENT_TYPE};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use serde_json::json;

use super::error::{Error, Failure};
use super::frame::Frame;

#[derive(Template)]
#[template(path = "pages/error.html")]
struct ErrorPage<'a> {
    frame: Frame,
    failure: &'a Failure,
    number: &'a str,
}

/// Photos are sent by scripts only, whatever they say that they accept.
const SENT_PHOTO: &str = "/visits/{id}/photos/{photo}";

/// Runs a request, turns what went wrong into a page, and writes the line. The line has the
/// address's pattern, never its values: ids and tokens stay out of the log.
pub(super) async fn log_request(request: Request, next: Next) -> Response {
    let began = Instant::now();
    let number = crate::chance::token()[..8].to_owned();
    let method = request.method().clone();
    let pattern = request
        .extensions()
        .get::<MatchedPath>()
        .map_or_else(|| "(no such address)".to_owned(), |path| path.as_str().to_owned());
    let is_sent_photo = method == Method::POST && pattern == SENT_PHOTO;
    let wants_json = is_sent_photo || is_script(request.headers());
    let response = next.run(request).await;
    let failure = response.extensions().get::<Failure>().cloned().or_else(|| unshown(&response));
    let status = response.status();
    let milliseconds = began.elapsed().as_secs_f64() * 1_000.0;
    match &failure {
        Some(failure) if status.is_server_error() => tracing::error!(
            number, %method, pattern, status = status.as_u16(), milliseconds,
            fault = failure.inner, "request"
        ),
        _ => tracing::info!(
            number, %method, pattern, status = status.as_u16(), milliseconds, "request"
        ),
    }
    match failure {
        Some(failure) => failed(&failure, &number, wants_json, response.headers()),
        None => response,
    }
}

/// A refusal of the framework's own, such as an id that is none: its text shows internals, so our
/// page stands in its place.
fn unshown(response: &Response) -> Option<Failure> {
    let kind = response.headers().get(CONTENT_TYPE).and_then(|value| value.to_str().ok());
    let is_plain = kind.is_some_and(|kind| kind.starts_with("text/plain"));
    (response.status().is_client_error() && is_plain).then(|| {
        let error = if response.status() == StatusCode::BAD_REQUEST {
            Error::NotFound
        } else {
            Error::Unreadable
        };
        error.failure()
    })
}

/// Whether a script asks, which can do nothing with a page.
pub(super) fn is_script(headers: &HeaderMap) -> bool {
    let accepts = headers.get(ACCEPT).and_then(|value| value.to_str().ok()).unwrap_or("");
    accepts.starts_with("application/json")
}

fn failed(failure: &Failure, number: &str, wants_json: bool, headers: &HeaderMap) -> Response {
    let mut answer = if wants_json {
        let body = json!({"error": failure.sentence, "number": number});
        (failure.status, axum::Json(body)).into_response()
    } else {
        let frame = Frame::bare(failure.heading);
        match (ErrorPage { frame, failure, number }).render() {
            Ok(page) => (failure.status, Html(page)).into_response(),
            Err(_) => (StatusCode::INTERNAL_SERVER_ERROR, failure.sentence.clone()).into_response(),
        }
    };
    answer.headers_mut().insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    if let Some(wait) = headers.get(axum::http::header::RETRY_AFTER) {
        answer.headers_mut().insert(axum::http::header::RETRY_AFTER, wait.clone());
    }
    answer
}
