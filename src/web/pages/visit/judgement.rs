//! Judging one visit again: first what would change, then storing it.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::when;
use crate::actions::{self, Again};
use crate::domain::limit_book::with_unit;
use crate::domain::visit::{Stage, VisitState};
use crate::engine::measures::measure;
use crate::review::rejudgement::{CauseChange, Differences, DoubtChange, OtherLimit, ValueChange};
use crate::store::Visit;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page};
use crate::web::pages::verdicts::{self, VerdictView};
use crate::web::viewer::Office;

#[derive(Template)]
#[template(path = "pages/judgement.html")]
struct JudgementPage {
    frame: Frame,
    again: Again,
    when: String,
    judged: String,
    standards: String,
    limits: Vec<ValueLine>,
    verdicts: Vec<VerdictLine>,
    values: Vec<ValueLine>,
    doubts: Vec<(bool, &'static str, String)>,
    causes: Vec<(&'static str, CauseChange)>,
    unjudged: String,
    is_accepted: bool,
    is_linked: bool,
}

/// One verdict that would be another.
struct VerdictLine {
    label: &'static str,
    stage: &'static str,
    before: Option<VerdictView>,
    after: Option<VerdictView>,
}

/// One limit, or one value without a verdict, that would be another.
struct ValueLine {
    label: String,
    stage: &'static str,
    before: String,
    after: String,
}

/// The stage in words.
pub(in crate::web) fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::AsFound => "as found",
        Stage::AsLeft => "as left",
    }
}

/// What judging this visit again would change; nothing is stored.
pub(in crate::web) async fn show_judged_again(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_in() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    let judgement = tx.judgement_of(visit.number).await?;
    let again = actions::judged_again(&mut tx, &visit).await?;
    let standards = actions::standards(&mut tx).await?.version();
    let is_linked = !tx.linked_between((visit.number, visit.number)).await?.is_empty();
    let zone = &viewer.company.time_zone;
    let differences = &again.differences;
    let doubt_line =
        |it: &DoubtChange| (it.comes, stage_words(it.stage), verdicts::doubt(&it.doubt));
    page(&JudgementPage {
        frame: Frame::new(&viewer, "Judge again"),
        when: when(&visit),
        judged: judgement.map_or_else(String::new, |it| display::instant(it.at, zone)),
        standards,
        limits: again.other_limits.iter().map(limit_line).collect(),
        verdicts: verdict_lines(differences),
        values: differences.values.iter().filter_map(value_line).collect(),
        doubts: differences.doubts.iter().map(doubt_line).collect(),
        causes: differences.causes.iter().map(|it| (stage_words(it.stage), it.clone())).collect(),
        unjudged: verdicts::sentence(&again.unjudged),
        is_accepted: visit.state == VisitState::Accepted,
        is_linked,
        again,
    })
}

impl JudgementPage {
    fn visit(&self) -> &Visit {
        &self.again.visit
    }
}

fn verdict_lines(differences: &Differences) -> Vec<VerdictLine> {
    let lines = differences.verdicts.iter().filter_map(|change| {
        Some(VerdictLine {
            label: measure(&change.measure)?.label,
            stage: stage_words(change.stage),
            before: change.before.as_ref().and_then(verdicts::view),
            after: change.after.as_ref().and_then(verdicts::view),
        })
    });
    lines.collect()
}

fn limit_line(other: &OtherLimit) -> ValueLine {
    let definition = other.name.definition();
    ValueLine {
        label: display::capitalised(definition.label),
        stage: "",
        before: with_unit(other.before, definition.unit),
        after: with_unit(other.after, definition.unit),
    }
}

fn value_line(change: &ValueChange) -> Option<ValueLine> {
    let info = measure(&change.measure)?;
    let words = |value: Option<f64>| {
        value.map_or_else(
            || "not worked out".to_owned(),
            |it| display::with_unit(it, info.decimals, info.unit),
        )
    };
    Some(ValueLine {
        label: info.label.to_owned(),
        stage: stage_words(change.stage),
        before: words(change.before),
        after: words(change.after),
    })
}

/// Judges the visit again and stores what differs. `standards` names the limits and priors
/// that the look went by.
pub(in crate::web) async fn judge_again(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let seen = Some(form.typed("standards")).filter(|it| !it.is_empty());
    actions::judge_again(&mut tx, &visit, seen, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}")).into_response())
}
