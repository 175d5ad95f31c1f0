//! The customer's report: one page in plain words, then every reading with its limit.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::http::header::HOST;
use axum::response::Response;
use time::Duration;
use uuid::Uuid;

use super::photo::view::{PhotoView, views};
use super::points_to::{PointsTo, points_to};
use super::proposal::price_words;
use super::verdicts;
use super::visit::{Both, both, field_words};
use crate::actions;
use crate::chance;
use crate::clock;
use crate::domain::closing::{Answer, Direction, PartUsed, pounds_and_ounces};
use crate::domain::finding::Severity;
use crate::domain::photo::is_for_the_customer;
use crate::domain::sheet::{self, AFTER_SENT_BACK};
use crate::domain::visit::Stage;
use crate::engine::assessment::Outcome;
use crate::engine::points::{POINTS, Point};
use crate::secret;
use crate::store::{Company, Entered, Finding, Mark, Moved, Proposal, Reading, Tx, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::{Office, Viewer};

/// How long a customer's link holds.
const LINK_LASTS: Duration = Duration::days(400);

#[derive(Template)]
#[template(path = "pages/report.html")]
struct ReportPage {
    frame: Frame,
    company: Company,
    visit: Visit,
    day: String,
    is_draft: bool,
    done: Vec<String>,
    hazards: Vec<Finding>,
    decide: Vec<Finding>,
    watch: Vec<Finding>,
    right: Vec<Finding>,
    is_judged: bool,
    points: PointsTo,
    doubts: Vec<String>,
    corrected: Vec<String>,
    judged_again: String,
    well: usize,
    close: usize,
    void: Vec<(String, String)>,
    verdicts: Vec<Both>,
    readings: Vec<ReadingLine>,
    observed: Vec<(String, &'static str, String)>,
    told: String,
    proposals: Vec<ProposedLine>,
    parts: Vec<PartUsed>,
    moved: Vec<String>,
    photos: Vec<PhotoView>,
    may_link: bool,
    link: String,
}

/// One proposal in the customer's words.
struct ProposedLine {
    words: String,
    price: String,
    answer: String,
}

/// One measuring point, as found beside as left.
struct ReadingLine {
    label: &'static str,
    found: String,
    left: String,
    unit: &'static str,
}

pub(in crate::web) async fn show_report(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let frame = Frame::new(&viewer, "Report");
    let may_link = viewer.role.runs_the_office();
    let shown =
        Shown { photos: at(id), frame, company: viewer.company, link: String::new(), may_link };
    page(&report_page(&mut tx, visit, shown).await?)
}

/// The report behind a customer's private link; nothing but it and its photos can be reached by it.
pub(in crate::web) async fn show_linked_report(
    State(app): State<App>,
    Path(token): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let company = tx.company().await?.ok_or(Error::NotFound)?;
    let visit = tx.visit_of_link(&secret::token_hash(&token), app.clock.now()).await?;
    let frame = Frame::bare("Report");
    let photos = Photos { base: format!("/reports/{token}/photos"), shown: is_for_the_customer };
    let shown = Shown { photos, frame, company, link: String::new(), may_link: false };
    page(&report_page(&mut tx, visit, shown).await?)
}

/// Makes a private link for the customer and shows it this once: only its hash is kept.
pub(in crate::web) async fn make_link(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
) -> Result<Response, Error> {
    let token = chance::token();
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let hash = secret::token_hash(&token);
    let ends_at = viewer.now + LINK_LASTS;
    actions::make_report_link(&mut tx, &visit, &hash, ends_at, viewer.by()).await?;
    tx.commit().await?;
    let host = headers.get(HOST).and_then(|it| it.to_str().ok()).unwrap_or_default();
    let start = app.settings.public_url.clone().unwrap_or_else(|| format!("http://{host}"));
    let mut tx = app.store.read().await?;
    let frame = Frame::new(&viewer, "Report");
    let link = format!("{start}/reports/{token}");
    page(
        &report_page(
            &mut tx,
            visit,
            Shown { photos: at(id), frame, company: viewer.company, link, may_link: true },
        )
        .await?,
    )
}

/// Where the photos of a report are to be had, and those of which fields.
struct Photos {
    base: String,
    shown: fn(&str) -> bool,
}

/// Those of the company's own people: all of them.
fn at(visit: Uuid) -> Photos {
    Photos { base: format!("/visits/{visit}/photos"), shown: |_| true }
}

struct Shown {
    photos: Photos,
    frame: Frame,
    company: Company,
    link: String,
    may_link: bool,
}

async fn report_page(tx: &mut Tx, visit: Visit, shown: Shown) -> Result<ReportPage, Error> {
    if !visit.state.is_in() {
        return Err(Error::NotFound);
    }
    let judgement = tx.judgement_of(visit.number).await?;
    let judged = judgement.and_then(|it| verdicts::assessment(&it.output.0));
    let points = judged.as_ref().map(points_to).unwrap_or_default();
    let is_judged = judged.is_some();
    let assessment = judged.unwrap_or_default();
    let stages = [&assessment.as_found, &assessment.as_left];
    let doubts: Vec<String> =
        stages.into_iter().flat_map(|stage| &stage.doubts).map(verdicts::doubt).collect();
    let entries = tx.entries_of(visit.number).await?;
    let findings = tx.findings_of_visit(visit.id).await?;
    let marks = tx.marks_of(visit.number).await?;
    let readings = tx.readings_of(visit.number).await?;
    let proposals = tx.proposals_of_visit(visit.id).await?;
    let (parts, moved) = (tx.parts_of(visit.id).await?, tx.moved_on(visit.id).await?);
    let judged_again = tx.judged_again_at(visit.id).await?;
    let mut photos = tx.photos_of(visit.id).await?;
    photos.retain(|photo| (shown.photos.shown)(&photo.field));
    let zone = &shown.company.time_zone;
    let verdicts = both(&assessment);
    let last = || verdicts.iter().filter_map(|it| it.left.as_ref().or(it.found.as_ref()));
    let count = |outcome: Outcome| last().filter(|it| it.outcome == outcome).count();
    let of = |severity: Severity, fixed: bool| {
        let mine = findings.iter().filter(|it| it.severity == severity && it.fixed == fixed);
        mine.cloned().collect::<Vec<_>>()
    };
    Ok(ReportPage {
        day: display::day(visit.day),
        is_draft: visit.state != crate::domain::visit::VisitState::Accepted,
        done: done(&marks),
        hazards: of(Severity::Hazard, false),
        decide: of(Severity::Repair, false),
        watch: of(Severity::Watch, false),
        right: findings.iter().filter(|it| it.fixed).cloned().collect(),
        well: count(Outcome::Within),
        close: count(Outcome::TooClose),
        void: last()
            .filter(|it| it.outcome == Outcome::NotValid)
            .map(|it| (it.label.to_owned(), it.reason.clone()))
            .collect(),
        is_judged,
        points,
        doubts,
        corrected: corrected(&entries),
        judged_again: judged_again
            .map_or_else(String::new, |at| display::day(clock::local(at, zone).0)),
        readings: reading_lines(&readings),
        observed: observed(&marks),
        told: mark(&marks, "words.customer_told"),
        proposals: proposals.iter().map(proposed_line).collect(),
        parts,
        moved: moved.iter().map(moved_line).collect(),
        photos: views(&photos, &shown.photos.base, zone),
        may_link: shown.may_link,
        link: shown.link,
        frame: shown.frame,
        company: shown.company,
        verdicts,
        visit,
    })
}

impl ReportPage {
    /// Whether all that was taken could be judged and is clearly within, alone and together.
    fn is_all_well(&self) -> bool {
        let is_clear = self.close == 0 && self.void.is_empty() && self.doubts.is_empty();
        self.is_judged && is_clear && !self.points.is_open
    }
}

/// What was corrected after the sheet came in. The reasons are the company's own.
fn corrected(entries: &[Entered]) -> Vec<String> {
    let changed = entries.iter().filter(|it| {
        let is_correction = !it.reason.is_empty() && !it.reason.starts_with(AFTER_SENT_BACK);
        is_correction && it.refusal.is_empty()
    });
    changed.filter_map(|it| field_words(&it.field)).collect()
}

fn proposed_line(it: &Proposal) -> ProposedLine {
    let until = it.until.map_or_else(String::new, |day| format!(" until {}", display::day(day)));
    ProposedLine {
        words: it.words.clone(),
        price: price_words(it),
        answer: match it.answer {
            Answer::Open => "not decided yet".to_owned(),
            Answer::Accepted => "you agreed".to_owned(),
            Answer::Declined => "you said no".to_owned(),
            Answer::Deferred => format!("put off{until}"),
        },
    }
}

fn moved_line(it: &Moved) -> String {
    let kind = if it.refrigerant.is_empty() { "refrigerant" } else { &it.refrigerant };
    let amount = pounds_and_ounces(it.ounce_tenths);
    match it.direction {
        Direction::Added => format!("{amount} of {kind} went into the system"),
        Direction::Recovered => {
            format!("{amount} of {kind} came out of the system, into a cylinder")
        }
    }
}

fn mark(marks: &[Mark], field: &str) -> String {
    marks.iter().find(|it| it.field == field).map_or_else(String::new, |it| it.value.clone())
}

fn done(marks: &[Mark]) -> Vec<String> {
    let ticked = marks.iter().filter(|it| it.field.starts_with("work.") && !it.value.is_empty());
    ticked.filter_map(|it| sheet::words_of(&it.field).map(str::to_owned)).collect()
}

fn observed(marks: &[Mark]) -> Vec<(String, &'static str, String)> {
    let fields = sheet::BLOCKS.iter().flat_map(|block| block.fields);
    fields
        .filter_map(|field| {
            let sheet::Field::Observation(key, words) = field else { return None };
            let value = mark(marks, &field.key());
            let outcome = sheet::OUTCOMES.iter().find(|it| it.0 == value)?.1;
            Some(((*words).to_owned(), outcome, mark(marks, &sheet::remark_key(key))))
        })
        .collect()
}

fn reading_lines(readings: &[Reading]) -> Vec<ReadingLine> {
    let value = |point: &Point, stage: Stage| {
        let mine = readings.iter().rev().find(|it| it.point == point.key && it.stage == stage);
        mine.and_then(|it| it.value).map_or_else(String::new, plain)
    };
    POINTS
        .iter()
        .map(|point| ReadingLine {
            label: point.label,
            found: value(point, Stage::AsFound),
            left: value(point, Stage::AsLeft),
            unit: point.unit_for_people(),
        })
        .filter(|line| !line.found.is_empty() || !line.left.is_empty())
        .collect()
}

/// A reading as it was read: no decimals added, none taken.
fn plain(value: f64) -> String {
    value.to_string().replace('-', "−")
}
