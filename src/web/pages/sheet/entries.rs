//! What a phone sends: entries from its queue, answered by what became of each; or, with none, what is
//! being typed, answered by what others entered and by every piece of the page that answers.

use std::collections::BTreeMap;

use axum::Json;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use uuid::Uuid;

use super::answers::pieces;
use super::on_sheet::Standing;
use crate::actions::{self, CameIn, Typed};
use crate::domain::form::plain;
use crate::domain::visit::Stage;
use crate::store::{Entered, StoreError};
use crate::web::App;
use crate::web::error::Error;
use crate::web::viewer::Viewer;

/// The most that is taken at a time; a phone sends the rest after.
const ENTRIES_A_REQUEST_MAX: usize = 200;
/// More than a sheet has fields.
const DRAFTS_A_REQUEST_MAX: usize = 1_000;

/// The longest name of a field that is kept; ours are far shorter.
const NAME_LETTERS_MAX: usize = 120;

/// What comes from a phone.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct FromPhone {
    /// The phone.
    device: String,
    /// Who typed it: waiting entries are bound to their author.
    author: Uuid,
    /// What the phone's clock says as it sends, in milliseconds since 1970.
    sent_ms: i64,
    /// The last entry of the visit that the phone knows of.
    base: i64,
    entries: Vec<Entry>,
    /// Fields as they are being typed or still wait on the phone, by name; judged and kept nowhere.
    #[serde(default)]
    drafts: BTreeMap<String, String>,
}

/// One entry of the phone's queue; what else the phone keeps with it is no matter here.
#[derive(Debug, Deserialize)]
struct Entry {
    id: Uuid,
    /// The phone's own count.
    number: i64,
    /// The last entry of the visit that the phone knew of as it was typed.
    base: i64,
    /// When it was typed by the phone's clock, in milliseconds since 1970.
    at_ms: i64,
    /// Stage and field: `as_found.return_wb_f`.
    name: String,
    text: String,
}

/// The answer to entries.
#[derive(Debug, Serialize)]
struct Taken {
    /// What became of each entry that came.
    came_in: Vec<CameInJson>,
}

/// The answer to what is being typed.
#[derive(Debug, Serialize)]
struct Answer {
    /// The last entry of the visit.
    entries: i64,
    /// What others entered since the phone's base: name, text, and when in milliseconds since 1970.
    newer: Vec<(String, String, i64)>,
    /// Pieces of the page by the id of their place, as markup.
    pieces: BTreeMap<String, String>,
}

#[derive(Debug, Serialize)]
struct CameInJson {
    id: Uuid,
    number: i64,
    refusal: String,
    held: bool,
}

impl From<CameIn> for CameInJson {
    fn from(it: CameIn) -> Self {
        Self { id: it.id, number: it.number, refusal: it.refusal, held: it.is_held }
    }
}

pub(in crate::web) async fn take_entries(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Json(from): Json<FromPhone>,
) -> Result<Response, Error> {
    if from.author != viewer.id {
        // They wait on the phone until whoever typed them signs in again.
        return Err(Error::SignIn(String::new()));
    }
    let is_too_much = ENTRIES_A_REQUEST_MAX < from.entries.len();
    if is_too_much || DRAFTS_A_REQUEST_MAX < from.drafts.len() {
        let sentence = format!("At most {ENTRIES_A_REQUEST_MAX} entries at a time.");
        return Err(Error::Refused(sentence));
    }
    if from.entries.is_empty() {
        let mut tx = app.store.read().await?;
        let visit = tx.visit(viewer.scope(), id).await?;
        let standing = Standing::of(&mut tx, visit, &from.drafts(), &viewer).await?;
        return Ok(answer(&from, &standing)?.into_response());
    }
    let typed = from.typed(viewer.now);
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let came_in = match tx.visit(viewer.scope(), id).await {
        Err(StoreError::NotFound) => {
            let visit = tx.visit_once_of(viewer.id, id).await?;
            actions::keep_late(&mut tx, &visit, &typed, viewer.by()).await?
        }
        visit => actions::enter(&mut tx, &visit?, &typed, viewer.by()).await?,
    };
    tx.commit().await?;
    let came_in = came_in.into_iter().map(CameInJson::from).collect();
    Ok(Json(Taken { came_in }).into_response())
}

fn answer(from: &FromPhone, standing: &Standing) -> Result<Json<Answer>, Error> {
    let is_own = |it: &&Entered| it.device == from.device && it.person_id == Some(from.author);
    let others = standing.on_sheet.since(from.base).filter(|it| !is_own(it));
    let newer = others.map(|it| {
        let name = format!("{}.{}", it.stage.key(), it.field);
        (name, it.typed.clone(), it.taken_at().unix_timestamp() * 1000)
    });
    Ok(Json(Answer {
        entries: standing.visit.entries,
        newer: newer.collect(),
        pieces: pieces(standing)?,
    }))
}

impl FromPhone {
    fn typed(&self, now: OffsetDateTime) -> Vec<Typed> {
        let ahead_s = self.sent_ms / 1000 - now.unix_timestamp();
        let typed = |it: &Entry| {
            let (stage, field) = split(&it.name);
            Typed {
                id: it.id,
                device: (plain(&self.device).chars().take(40).collect(), it.number),
                base_number: it.base,
                device_at: instant(it.at_ms),
                device_ahead_s: Some(ahead_s),
                stage,
                take: 1,
                field,
                text: plain(&it.text),
            }
        };
        self.entries.iter().map(typed).collect()
    }

    fn drafts(&self) -> Vec<Typed> {
        let draft = |(name, text): (&String, &String)| {
            let (stage, field) = split(name);
            Typed {
                id: Uuid::nil(),
                device: (String::new(), 0),
                base_number: 0,
                device_at: None,
                device_ahead_s: None,
                stage,
                take: 1,
                field,
                text: plain(text),
            }
        };
        self.drafts.iter().map(draft).collect()
    }
}

/// What a phone's clock said, if that is a time.
fn instant(ms: i64) -> Option<OffsetDateTime> {
    let at = OffsetDateTime::from_unix_timestamp(ms / 1000).ok()?;
    (1970..=2200).contains(&at.year()).then_some(at)
}

/// Stage and field of a name; a stage that there isn't leaves a field that isn't on the sheet.
fn split(name: &str) -> (Stage, String) {
    let name: String = plain(name).chars().take(NAME_LETTERS_MAX).collect();
    let name = name.as_str();
    let parts = name.split_once('.').and_then(|it| Some((Stage::of_key(it.0)?, it.1.to_owned())));
    parts.unwrap_or_else(|| (Stage::AsFound, name.to_owned()))
}
