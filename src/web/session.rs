//! The cookie that carries a session, and where a request comes from.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};

use axum::extract::ConnectInfo;
use axum::http::header::COOKIE;
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue};
use time::Duration;

use super::App;

/// Unused for so long, a session is over: a technician's weekend fits in.
pub(super) const IDLE: Duration = Duration::days(4);
/// However much it is used, it is over after this.
pub(super) const ABSOLUTE: Duration = Duration::days(30);
/// How often its use is noted at most, so that reading stays reading.
pub(super) const TOUCH: Duration = Duration::minutes(5);

/// The cookie's name. The prefix makes the browser itself insist on https and on our host.
fn name(app: &App) -> &'static str {
    if app.settings.is_secure() { "__Host-session" } else { "session" }
}

/// The session's token, if the request carries one.
pub(super) fn token(app: &App, headers: &HeaderMap) -> Option<String> {
    cookie(headers, name(app))
}

/// A cookie's value.
pub(super) fn cookie(headers: &HeaderMap, wanted: &str) -> Option<String> {
    let all = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(name, _)| *name == wanted)
        .map(|(_, value)| value.to_owned())
}

/// The header that gives a token to the browser; an empty one takes it away.
pub(super) fn set(app: &App, token: &str) -> HeaderValue {
    let age = if token.is_empty() { 0 } else { ABSOLUTE.whole_seconds() };
    let secure = if app.settings.is_secure() { "; Secure" } else { "" };
    let line =
        format!("{}={token}; Path=/; HttpOnly; SameSite=Lax; Max-Age={age}{secure}", name(app));
    HeaderValue::from_str(&line).unwrap_or(HeaderValue::from_static(""))
}

/// The visitor's address: the connection's, or what the trusted proxy says of it.
pub(super) fn address(app: &App, parts: &Parts) -> IpAddr {
    let peer = parts
        .extensions
        .get::<ConnectInfo<SocketAddr>>()
        .map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |info| info.0.ip());
    if app.settings.trusted_proxy != Some(peer) {
        return peer;
    }
    // Only the last name was written by our own proxy; those before it anyone can write.
    parts
        .headers
        .get_all("x-forwarded-for")
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|line| line.split(','))
        .next_back()
        .and_then(|last| last.trim().parse().ok())
        .unwrap_or(peer)
}
