//! Changes are taken only from our own pages.

use axum::extract::{Request, State};
use axum::http::header::{HOST, ORIGIN};
use axum::http::{HeaderMap, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::App;
use super::error::Error;

/// Refuses a change that another site asked the browser for. Browsers say where a request comes
/// from in headers that a page can't forge (Fetch Metadata, and Origin before it); a change that
/// comes with neither is no browser's and is refused too.
pub(super) async fn refuse_cross_site(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Response {
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if reads || is_ours(&app, request.headers()) {
        return next.run(request).await;
    }
    Error::CrossSite.into_response()
}

fn is_ours(app: &App, headers: &HeaderMap) -> bool {
    let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    let Some(origin) = text(ORIGIN.as_str()) else { return false };
    if app.settings.public_url.as_deref() == Some(origin) {
        return true;
    }
    let host = origin.split_once("://").map(|parts| parts.1);
    host.is_some() && host == text(HOST.as_str())
}
