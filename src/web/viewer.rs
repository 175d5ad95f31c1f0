//! Who is asking, and what they may see: every page's first argument.

use axum::extract::FromRequestParts;
use axum::http::Method;
use axum::http::request::Parts;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::error::Error;
use super::{App, session};
use crate::clock;
use crate::domain::person::Role;
use crate::store::{By, Company, HazardReport, Scope};

/// How long after a visit what stands behind it stays open to its technician.
const OPEN_DAYS: i64 = 30;

/// Somebody who is signed in.
#[derive(Clone, Debug)]
pub(super) struct Viewer {
    pub(super) id: Uuid,
    pub(super) name: String,
    pub(super) role: Role,
    pub(super) company: Company,
    pub(super) now: OffsetDateTime,
    pub(super) today: Date,
    /// Minutes of the local day.
    pub(super) minute: u16,
    pub(super) theme: String,
    pub(super) path: String,
    /// Where a button of the frame comes back to: this page, or the first one after a change.
    pub(super) back: String,
    /// Hazards that nobody of the office has seen, for those who run it: the frame shows them.
    pub(super) hazards: Vec<HazardReport>,
    pub(super) token_hash: String,
}

impl Viewer {
    /// What they may see.
    pub(super) fn scope(&self) -> Scope {
        Scope {
            everything: self.role.runs_the_office(),
            person: self.id,
            since: self.today - time::Duration::days(OPEN_DAYS),
        }
    }

    /// As the one who does something.
    pub(super) fn by(&self) -> By {
        By { person: Some(self.id), at: self.now }
    }
}

impl FromRequestParts<App> for Viewer {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let now = app.clock.now();
        let next = if parts.method == Method::GET { next_of(parts) } else { String::new() };
        let mut tx = app.store.read().await?;
        let Some(company) = tx.company().await? else { return Err(Error::SetUp) };
        let token_hash = session::token(app, &parts.headers)
            .map(|token| crate::secret::token_hash(&token))
            .ok_or_else(|| Error::SignIn(next.clone()))?;
        let found = tx.session(&token_hash).await?;
        let live = found
            .filter(|it| now - it.used_at < session::IDLE && now - it.made_at < session::ABSOLUTE);
        let Some(live) = live else { return Err(Error::SignIn(next)) };
        let person = tx.person(live.person_id).await?;
        let is_office = person.role.runs_the_office() && person.left_at.is_none();
        let hazards = if is_office { tx.unseen_hazards().await? } else { Vec::new() };
        drop(tx);
        if person.left_at.is_some() {
            return Err(Error::SignIn(next));
        }
        if now - live.used_at >= session::TOUCH {
            let mut tx = app.store.write().await?;
            tx.touch_session(&token_hash, now).await?;
            tx.commit().await?;
        }
        let (today, minute) = clock::local(now, &company.time_zone);
        Ok(Self {
            id: person.id,
            name: person.name,
            role: person.role,
            company,
            now,
            today,
            minute,
            theme: theme(parts),
            path: parts.uri.path().to_owned(),
            back: if parts.method == Method::GET { here(parts) } else { "/".to_owned() },
            hazards,
            token_hash,
        })
    }
}

/// Where to go on after signing in: a path of ours, percent-encoded.
fn next_of(parts: &Parts) -> String {
    let path = here(parts);
    if path == "/" { String::new() } else { path.replace('&', "%26").replace('#', "%23") }
}

/// The page that was asked for, with its query.
fn here(parts: &Parts) -> String {
    parts.uri.path_and_query().map_or_else(|| "/".to_owned(), ToString::to_string)
}

/// Only a path of ours: never another host's address, which `//host` would be.
pub(super) fn way_on(next: &str) -> &str {
    let ours = next.starts_with('/')
        && !next.starts_with("//")
        && !next.contains(|letter: char| letter == '\\' || letter.is_control());
    if ours { next } else { "/" }
}

/// The look that this browser was set to.
pub(super) fn theme(parts: &Parts) -> String {
    session::cookie(&parts.headers, "theme")
        .filter(|theme| matches!(theme.as_str(), "light" | "dark" | "sun"))
        .unwrap_or_default()
}

macro_rules! only {
    ($(#[$doc:meta])* $name:ident, $may:expr) => {
        $(#[$doc])*
        #[derive(Clone, Debug)]
        pub(super) struct $name(pub(super) Viewer);

        impl FromRequestParts<App> for $name {
            type Rejection = Error;

            async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
                let viewer = Viewer::from_request_parts(parts, app).await?;
                let may: fn(Role) -> bool = $may;
                if may(viewer.role) { Ok(Self(viewer)) } else { Err(Error::Forbidden) }
            }
        }
    };
}

only!(
    /// Somebody who runs the office.
    Office,
    Role::runs_the_office
);
only!(
    /// The owner.
    Owner,
    |role| role == Role::Owner
);
