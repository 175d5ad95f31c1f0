//! What stands around every page: the strip on top, the theme, the place in the navigation.

use askama::Template;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};

use super::assets;
use super::error::Error;
use super::told_hazard::ToldHazard;
use super::viewer::Viewer;
use crate::domain::person::Role;

/// The frame of a page.
#[derive(Clone, Debug, Default)]
pub(super) struct Frame {
    pub(super) title: String,
    pub(super) theme: String,
    pub(super) who: String,
    pub(super) links: Vec<Link>,
    /// Hazards that nobody of the office has seen, above everything.
    pub(super) hazards: Vec<ToldHazard>,
    /// Where the button beside one comes back to.
    pub(super) back: String,
    pub(super) css: String,
    pub(super) script: String,
    pub(super) mark: String,
    /// The script of every page of somebody who is signed in, and whose pages these are.
    pub(super) app: String,
    pub(super) person: String,
}

/// A word in the strip.
#[derive(Clone, Debug)]
pub(super) struct Link {
    pub(super) address: &'static str,
    pub(super) word: &'static str,
    pub(super) here: bool,
}

const TECHNICIAN: &[(&str, &str)] =
    &[("/today", "Today"), ("/customers", "Customers"), ("/findings", "Findings")];
const DISPATCHER: &[(&str, &str)] = &[
    ("/due", "Due"),
    ("/week", "Week"),
    ("/customers", "Customers"),
    ("/agreements", "Agreements"),
    ("/findings", "Findings"),
];
const OWNER: &[(&str, &str)] = &[
    ("/sheets-to-review", "Sheets to review"),
    ("/review", "Review"),
    ("/due", "Due"),
    ("/week", "Week"),
    ("/customers", "Customers"),
    ("/agreements", "Agreements"),
    ("/findings", "Findings"),
    ("/limit-book", "Limit book"),
    ("/people", "People"),
];

/// Where a role's day begins.
pub(super) fn home(role: Role) -> &'static str {
    match role {
        Role::Technician => TECHNICIAN[0].0,
        Role::Dispatcher => DISPATCHER[0].0,
        Role::Owner => OWNER[0].0,
    }
}

impl Frame {
    /// For a page of somebody who is signed in.
    pub(super) fn new(viewer: &Viewer, title: impl Into<String>) -> Self {
        let links = match viewer.role {
            Role::Technician => TECHNICIAN,
            Role::Dispatcher => DISPATCHER,
            Role::Owner => OWNER,
        };
        let is_here = |address: &str| {
            viewer.path == address || viewer.path.starts_with(&format!("{address}/"))
        };
        Self {
            theme: viewer.theme.clone(),
            who: viewer.name.clone(),
            links: links
                .iter()
                .map(|(address, word)| Link { address, word, here: is_here(address) })
                .collect(),
            app: assets::address("app.js"),
            person: viewer.id.to_string(),
            hazards: viewer.hazards.iter().map(|it| ToldHazard::new(it, viewer)).collect(),
            back: viewer.back.clone(),
            ..Self::bare(title)
        }
    }

    /// For the page on which somebody signs in: what the last one left on the phone goes.
    pub(super) fn of_nobody(title: impl Into<String>) -> Self {
        Self { app: assets::address("app.js"), ..Self::bare(title) }
    }

    /// For a page that needs nobody.
    pub(super) fn bare(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            css: assets::address("app.css"),
            script: assets::address("sheet.js"),
            mark: assets::address("mark.svg"),
            ..Self::default()
        }
    }
}

/// A filled page.
pub(super) fn page(template: &impl Template) -> Result<Response, Error> {
    Ok(Html(template.render()?).into_response())
}

/// A form that comes back with what is wrong: the same page, 422.
pub(super) fn refused_page(template: &impl Template) -> Result<Response, Error> {
    page_with(StatusCode::UNPROCESSABLE_ENTITY, template)
}

/// A filled page under another status than 200.
pub(super) fn page_with(status: StatusCode, template: &impl Template) -> Result<Response, Error> {
    Ok((status, Html(template.render()?)).into_response())
}
