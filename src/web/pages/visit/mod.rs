//! A visit as a whole: where it stands, what the sheet says, what may be done next.

mod closed;
pub(in crate::web) mod correction;
mod going_in;
pub(in crate::web) mod hand_in;
pub(in crate::web) mod judgement;
mod remarks;
pub(in crate::web) mod repair;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use self::closed::{Closed, closed};
pub(in crate::web) use self::remarks::{last_remarks, remark_words};
use self::repair::{RepairFound, repair_found};
use super::cause_view::{CausesView, causes};
use super::likely::{self, StageLikely};
use super::photo::view::{PhotoView, views};
use super::sheet::{HeldView, OnSheet, held_views};
use super::verdicts::{self, VerdictView};
use crate::actions::{self, Booking};
use crate::chance;
use crate::domain::closing::label as closing_label;
use crate::domain::form::Form;
use crate::domain::person::Role;
use crate::domain::requirement;
use crate::domain::sheet;
use crate::domain::visit::{Stage, VisitKind, VisitState};
use crate::engine::assessment::Assessment;
use crate::engine::points;
use crate::store::{Entered, Finding, HeldEntry, Slot, Tx, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent};
use crate::web::frame::{Frame, page};
use crate::web::told_hazard::ToldHazard;
use crate::web::viewer::{Office, Viewer};

#[derive(Template)]
#[template(path = "pages/visit.html")]
struct VisitPage {
    frame: Frame,
    visit: Visit,
    when: String,
    handed_in: String,
    verdicts: Vec<Both>,
    causes: Option<CausesView>,
    likely: Vec<StageLikely>,
    doubts: Vec<String>,
    unjudged: bool,
    findings: Vec<Finding>,
    remarks: Vec<(String, String, String)>,
    told: Vec<ToldHazard>,
    held_against: i64,
    entered: Vec<EnteredView>,
    late: Vec<LateView>,
    office: bool,
    owner: bool,
    fields: Vec<Field>,
    repair: Option<RepairFound>,
    closed: Option<Closed>,
    photos: Vec<PhotoView>,
}

impl VisitPage {
    /// Whether the page offers what ends the visit before hand-in.
    fn may_end(&self) -> bool {
        let is_early = matches!(self.visit.state, VisitState::Booked | VisitState::UnderWay);
        is_early && self.visit.entries == 0
    }

    /// Whether a hazard that was found stands there already as it was told.
    fn is_told(&self, finding: &Finding) -> bool {
        self.told.iter().any(|it| it.field == finding.raised_by)
    }
}

/// One measure, as found beside as left.
pub(in crate::web) struct Both {
    pub(in crate::web) found: Option<VerdictView>,
    pub(in crate::web) left: Option<VerdictView>,
}

impl Both {
    pub(in crate::web) fn label(&self) -> &'static str {
        self.found.as_ref().or(self.left.as_ref()).map_or("", |it| it.label)
    }
}

/// What waited for a person to decide, and whether somebody has.
struct LateView {
    field: HeldView,
    why: &'static str,
    is_decided: bool,
    correction: String,
}

fn late(visit: &Visit, held: Vec<HeldEntry>, on_sheet: &OnSheet, zone: &str) -> Vec<LateView> {
    let view = |it: HeldEntry| {
        let field = held_views(std::slice::from_ref(&it), on_sheet, zone).pop()?;
        let (id, stage, name) = (visit.id, it.entry.stage.key(), &it.entry.field);
        Some(LateView {
            correction: format!("/visits/{id}/correction?field={stage}.{name}"),
            is_decided: it.is_decided,
            why: match it.held.as_str() {
                "cancelled" => "after it was called off",
                "no_access" => "after it was noted that nobody opened",
                "handed_in" | "accepted" => "after it was handed in",
                "other_technician" => "after it was given to somebody else",
                _ => "from another device",
            },
            field,
        })
    };
    held.into_iter().filter_map(view).collect()
}

/// One thing that was entered, with its correction link.
struct EnteredView {
    label: String,
    stage: &'static str,
    typed: String,
    unit: &'static str,
    who: String,
    fault: String,
    reason: String,
    correction: String,
    earlier: Vec<String>,
}

/// The measures of both stages, side by side, in the order of the sheet.
pub(in crate::web) fn both(assessment: &Assessment) -> Vec<Both> {
    let found = verdicts::taken(&assessment.as_found);
    let mut left = verdicts::taken(&assessment.as_left);
    let mut all: Vec<Both> = found
        .into_iter()
        .map(|found| {
            let at = left.iter().position(|it| it.measure == found.measure);
            Both { left: at.map(|at| left.remove(at)), found: Some(found) }
        })
        .collect();
    all.extend(left.into_iter().map(|left| Both { found: None, left: Some(left) }));
    all
}

/// From which finding somebody came to say what the repair of it found.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct WhichFinding {
    #[serde(default)]
    finding: String,
}

pub(in crate::web) async fn show_visit(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Query(which): Query<WhichFinding>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let mut form = Form::default();
    form.preset("finding", which.finding);
    page(&visit_page(&mut tx, &viewer, visit, &form).await?)
}

pub(in crate::web) async fn visit_page(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: Visit,
    form: &Form,
) -> Result<impl Template + use<>, Error> {
    let judgement = tx.judgement_of(visit.number).await?;
    let assessment = judgement.as_ref().and_then(|it| verdicts::assessment(&it.output.0));
    let findings = tx.findings_of_visit(visit.id).await?;
    let zone = viewer.company.time_zone.clone();
    let remarks = tx.remarks_on(visit.id).await?;
    let entries = tx.entries_of(visit.number).await?;
    let held = tx.entries_held(visit.number).await?;
    let late = late(&visit, held, &OnSheet::new(entries.clone()), &zone);
    let told = ToldHazard::all(&tx.hazards_of(visit.id).await?, viewer);
    let is_in = visit.state.is_in();
    let held_against = if is_in { tx.required_of(&visit).await?.number } else { 0 };
    let repair = repair_found(tx, viewer, &visit, (&findings, form)).await?;
    let closed = closed(tx, viewer, &visit).await?;
    let photos = tx.photos_of(visit.id).await?;
    let doubts = assessment
        .iter()
        .flat_map(|it| it.as_found.doubts.iter().chain(&it.as_left.doubts).map(verdicts::doubt));
    Ok(VisitPage {
        frame: Frame::new(viewer, format!("{} · {}", visit.kind.words(), visit.street)),
        when: when(&visit),
        handed_in: visit.handed_in_at.map_or_else(String::new, |at| display::instant(at, &zone)),
        verdicts: assessment.as_ref().map_or_else(Vec::new, both),
        causes: assessment.as_ref().map(|it| causes(it, visit.state.is_open().then_some(visit.id))),
        likely: assessment.as_ref().map_or_else(Vec::new, likely::stages),
        doubts: doubts.collect(),
        unjudged: assessment.is_none() && visit.state.is_in(),
        findings,
        remarks: remarks
            .into_iter()
            .map(|it| {
                let at = display::instant(it.at, &zone);
                (remark_words(&it), it.person_name, at)
            })
            .collect(),
        told,
        held_against,
        entered: entered(&visit, entries),
        late,
        office: viewer.role.runs_the_office(),
        owner: viewer.role == Role::Owner,
        fields: vec![Field::lines(form, "text", "What should be looked at again")],
        repair,
        closed,
        photos: views(&photos, &format!("/visits/{}/photos", visit.id), &zone),
        visit,
    })
}

/// Day, time and who.
pub(in crate::web) fn when(visit: &Visit) -> String {
    let who = visit.technician_name.as_deref().unwrap_or("nobody yet");
    format!("{}, {} · {who}", display::day(visit.day), display::minute(visit.start_minute))
}

/// The newest entry of each field, with what stood there before it.
fn entered(visit: &Visit, entries: Vec<Entered>) -> Vec<EnteredView> {
    let mut newest: Vec<(Entered, Vec<String>)> = Vec::new();
    for entry in entries {
        let same =
            newest.iter().position(|(it, _)| it.field == entry.field && it.stage == entry.stage);
        let mut earlier = Vec::new();
        if let Some(at) = same {
            let (before, mut all) = newest.remove(at);
            all.push(typed_words(&before.typed, "nothing"));
            earlier = all;
        }
        newest.push((entry, earlier));
    }
    let order = |entry: &Entered| {
        let fields = sheet::BLOCKS.iter().flat_map(|block| block.fields);
        let base = entry.field.replacen("remark.", "observe.", 1);
        fields.into_iter().position(|it| it.key() == base && it.stage() == entry.stage)
    };
    // What closes the sheet is on no list of blocks, and comes last.
    newest.sort_by_key(|(entry, _)| (order(entry).unwrap_or(usize::MAX), entry.number));
    let shown = newest.into_iter().filter(|(entry, earlier)| {
        !entry.typed.is_empty() || !entry.refusal.is_empty() || !earlier.is_empty()
    });
    shown.filter_map(|(entry, earlier)| entered_view(visit, &entry, earlier)).collect()
}

fn entered_view(visit: &Visit, entry: &Entered, earlier: Vec<String>) -> Option<EnteredView> {
    let point = points::point(&entry.field);
    let correction =
        format!("/visits/{}/correction?field={}.{}", visit.id, entry.stage.key(), entry.field);
    Some(EnteredView {
        label: field_words(&entry.field)?,
        stage: if entry.stage == Stage::AsLeft { "as left" } else { "as found" },
        typed: typed_words(&entry.typed, "taken back"),
        unit: point.map_or("", points::Point::unit_for_people),
        who: entry.person_name.clone().unwrap_or_default(),
        fault: entry.refusal.clone(),
        reason: entry.reason.clone(),
        correction: if visit.state.is_in() { correction } else { String::new() },
        earlier: if entry.reason.is_empty() && !entry.typed.is_empty() {
            Vec::new()
        } else {
            earlier
        },
    })
}

/// A field in words.
pub(in crate::web) fn field_words(field: &str) -> Option<String> {
    if let Some(point) = points::point(field) {
        return Some(point.label.to_owned());
    }
    if let Some(words) = sheet::words_of(field) {
        return Some(words.to_owned());
    }
    if let Some(words) = closing_label(field) {
        return Some(words);
    }
    let (kind, key) = field.split_once('.')?;
    match kind {
        "missing" => Some(format!(
            "Why it is missing: {}",
            requirement::words(requirement::field_of(key)?.1)
        )),
        "remark" => {
            Some(format!("{}: where and what", sheet::words_of(&format!("observe.{key}"))?))
        }
        "behind" => {
            Some(format!("{}: repaired first", sheet::words_of(&format!("observe.{key}"))?))
        }
        "consent" => Some(format!(
            "{}: what the customer said to the repair",
            sheet::words_of(&format!("observe.{key}"))?
        )),
        "unchanged" => Some(format!("Not touched since: {}", points::point(key)?.label)),
        "circumstance" => sheet::BLOCKS.iter().flat_map(|it| it.fields).find_map(|it| match it {
            sheet::Field::Circumstance(name, words, _) if *name == key => Some((*words).to_owned()),
            _ => None,
        }),
        _ => None,
    }
}

/// What was typed or ticked, in words.
pub(in crate::web) fn typed_words(typed: &str, nothing: &str) -> String {
    match typed {
        "" => nothing.to_owned(),
        "yes" => "ticked".to_owned(),
        typed => outcome_words(typed),
    }
}

fn outcome_words(typed: &str) -> String {
    sheet::OUTCOMES
        .iter()
        .find(|it| it.0 == typed)
        .map_or_else(|| typed.to_owned(), |it| it.1.to_owned())
}

/// Starts an unplanned visit on a system that the viewer may see.
pub(in crate::web) async fn start_visit(
    State(app): State<App>,
    viewer: Viewer,
    Path(system_id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let kind = VisitKind::of_key(form.typed("kind"))
        .filter(|kind| kind.has_cooling_sheet())
        .ok_or_else(|| Error::Refused("Choose what the visit is for.".to_owned()))?;
    let booking = Booking {
        id: form.typed("id").parse().unwrap_or_else(|_| chance::id(viewer.now)),
        system_id,
        kind,
        technician_id: viewer.id,
        slot: Slot { day: viewer.today, start_minute: i64::from(viewer.minute), minutes: 0 },
        promise: None,
    };
    let mut tx = app.store.write().await?;
    actions::start_visit(&mut tx, viewer.scope(), &booking, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{}/sheet", booking.id)).into_response())
}

pub(in crate::web) async fn note_no_access(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::note_no_access(&mut tx, &visit, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}")).into_response())
}

pub(in crate::web) async fn open_again(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::open_again(&mut tx, &visit, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}/sheet")).into_response())
}

pub(in crate::web) async fn call_off(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::call_off_visit(&mut tx, &visit, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to("/due").into_response())
}
