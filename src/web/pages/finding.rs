//! What was found wrong and not put right on the spot.

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use crate::domain::confirmed_cause::words;
use crate::domain::finding::Severity;
use crate::store::Finding;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::pages::proposal::{ProposalView, view};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/findings.html")]
struct FindingsPage {
    frame: Frame,
    office: bool,
    severity: String,
    findings: Vec<Line>,
}

/// One finding, ready to be shown.
struct Line {
    finding: Finding,
    day: String,
    /// What the repair of it found to be the matter; empty if nobody said so.
    answer: String,
    /// Whether the viewer may say what the repair found.
    may_answer: bool,
    /// What was proposed to put it right, with the customer's answer.
    proposals: Vec<ProposalView>,
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
    let mut tx = app.store.read().await?;
    let findings = tx.findings(viewer.scope(), severity).await?;
    let proposals = tx.proposals_for_findings(viewer.scope()).await?;
    let proposals = |finding| {
        let mine = proposals.iter().filter(move |it| it.finding_id == finding);
        mine.map(|it| view(&it.proposal, String::new())).collect()
    };
    let open = tx.visits_open_to(viewer.scope()).await?;
    let is_open = |visit| viewer.role.runs_the_office() || open.contains(&visit);
    page(&FindingsPage {
        frame: Frame::new(&viewer, "Findings"),
        office: viewer.role.runs_the_office(),
        severity: severity.map_or_else(String::new, |it| it.key().to_owned()),
        findings: findings
            .into_iter()
            .map(|it| Line {
                day: display::day(it.day),
                answer: it.answer.as_deref().map_or_else(String::new, words),
                may_answer: is_open(it.visit_id),
                proposals: proposals(it.id),
                finding: it,
            })
            .collect(),
    })
}
