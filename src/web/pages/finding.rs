//! What was found wrong and not put right on the spot.

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use crate::domain::finding::Severity;
use crate::store::Finding;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/findings.html")]
struct FindingsPage {
    frame: Frame,
    severity: String,
    findings: Vec<(Finding, String)>,
}

#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Which {
    #[serde(default)]
    severity: String,
}

pub(in crate::web) async fn show_findings(
    State(app): State<App>,
    viewer: Viewer,
    Query(which): Query<Which>,
) -> Result<Response, Error> {
    let severity = Severity::of_key(&which.severity);
    let findings = app.store.read().await?.findings(viewer.scope(), severity).await?;
    page(&FindingsPage {
        frame: Frame::new(&viewer, "Findings"),
        severity: severity.map_or_else(String::new, |it| it.key().to_owned()),
        findings: findings
            .into_iter()
            .map(|it| {
                let day = display::day(it.day);
                (it, day)
            })
            .collect(),
    })
}
