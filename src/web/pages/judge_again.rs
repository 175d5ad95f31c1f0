//! Judging the whole history again: first what would change, then storing it. For the owner.

use askama::Template;
use axum::extract::{Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use super::visit::judgement::stage_words;
use crate::actions::{self, CHANGED_SHOWN_MAX, ChangedVisit, History};
use crate::domain::refusal::Refusal;
use crate::engine::assessment::Outcome;
use crate::engine::measures::measure;
use crate::review::rejudgement::{CauseChange, TallyRow, VerdictChange};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Owner;
use crate::web::{display, drawing};

/// Verdicts of one visit that the list names; more are counted.
const NAMED_MAX: usize = 3;

#[derive(Template)]
#[template(path = "pages/judge_again.html")]
struct JudgeAgainPage {
    frame: Frame,
    history: History,
    tally: Vec<TallyLine>,
    visits: Vec<VisitLine>,
    stored: Option<usize>,
}

/// Verdicts of one measure that would go from one outcome to another.
struct TallyLine {
    label: String,
    before: (&'static str, String),
    /// None where the outcome stays and something else would be other.
    after: Option<(&'static str, String)>,
    verdicts: usize,
}

/// One visit of which the judgement would be another.
struct VisitLine {
    id: Uuid,
    day: String,
    name: String,
    changes: Vec<String>,
}

/// What was stored a moment ago.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct Done {
    stored: Option<usize>,
}

/// What judging the whole history again would change; nothing is stored.
pub(in crate::web) async fn show_history_again(
    State(app): State<App>,
    Owner(viewer): Owner,
    Query(done): Query<Done>,
) -> Result<Response, Error> {
    let history = actions::history_again(&mut app.store.read().await?).await?;
    page(&JudgeAgainPage {
        frame: Frame::new(&viewer, "Judge the history again"),
        tally: history.tally.rows().iter().map(tally_line).collect(),
        visits: history.shown.iter().map(visit_line).collect(),
        stored: done.stored,
        history,
    })
}

impl JudgeAgainPage {
    fn has_more(&self) -> bool {
        self.history.changed > CHANGED_SHOWN_MAX
    }
}

fn label(key: &str) -> String {
    measure(key).map_or_else(|| key.to_owned(), |info| info.label.to_owned())
}

fn tally_line(row: &TallyRow) -> TallyLine {
    let inked = |outcome: Outcome| (drawing::class(outcome), drawing::mark(outcome));
    TallyLine {
        label: label(&row.measure),
        before: inked(row.before),
        after: (row.before != row.after).then(|| inked(row.after)),
        verdicts: row.verdicts,
    }
}

fn visit_line(changed: &ChangedVisit) -> VisitLine {
    let visit = &changed.visit;
    let differences = &changed.differences;
    let (otherwise, same): (Vec<&VerdictChange>, Vec<&VerdictChange>) =
        differences.verdicts.iter().partition(|it| it.outcome_before() != it.outcome_after());
    let mut changes: Vec<String> =
        otherwise.iter().take(NAMED_MAX).map(|it| in_words(it)).collect();
    changes.extend(differences.causes.iter().map(cause_in_words));
    let more = [
        (otherwise.len().saturating_sub(NAMED_MAX), "more verdicts that come out otherwise"),
        (same.len(), "verdicts that stay, by another limit, value or reason"),
        (differences.values.len(), "other values without a verdict"),
        (differences.doubts.len(), "doubts that come or go"),
        (changed.raised, "findings raised"),
        (changed.withdrawn, "findings withdrawn"),
    ];
    let counted = more.into_iter().filter(|it| it.0 > 0);
    changes.extend(counted.map(|(count, what)| format!("{}: {count}", display::capitalised(what))));
    VisitLine {
        id: visit.id,
        day: display::day(visit.day),
        name: format!("{}, {}, {}", visit.customer_name, visit.street, visit.system_name),
        changes,
    }
}

/// `Filter drop, as found: Outside → Within`.
fn in_words(change: &VerdictChange) -> String {
    let (before, after) =
        (drawing::word(change.outcome_before()), drawing::word(change.outcome_after()));
    format!("{}, {}: {before} → {after}", label(&change.measure), stage_words(change.stage))
}

/// `Causes, as found: low charge, 50 % → no fault, 60 %`.
fn cause_in_words(change: &CauseChange) -> String {
    let first = |all: &[String]| all.first().map_or("none", String::as_str).to_owned();
    let (before, after) = (first(&change.before), first(&change.after));
    let stage = stage_words(change.stage);
    if before == after {
        return format!("Conditions, {stage}: others");
    }
    format!("Causes, {stage}: {before} → {after}")
}

/// Stores every judgement that differs, chunk by chunk; `standards` names the limits and priors that
/// the look went by.
pub(in crate::web) async fn judge_history_again(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let seen = form.typed("standards");
    if seen.is_empty() {
        return Err(Error::Refused(Refusal::StandardsChanged.to_string()));
    }
    let (mut stored, mut after) = (0, 0);
    loop {
        let mut tx = app.store.write().await?;
        let chunk = actions::judge_history_again(&mut tx, after, seen, viewer.by()).await?;
        tx.commit().await?;
        stored += chunk.stored;
        let Some(next) = chunk.next else { break };
        after = next;
    }
    Ok(Redirect::to(&format!("/judge-again?stored={stored}")).into_response())
}
