//! What a sheet needs: the company's list in its versions, for the owner; and its boxes, which the
//! form of a plan has too.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::actions::{self, ActionError};
use crate::domain::requirement::{self, REASON_LETTERS};
use crate::store::{RequirementVersion, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::{Owner, Viewer};

#[derive(Template)]
#[template(path = "pages/requirement.html")]
struct RequirementPage {
    frame: Frame,
    fault: String,
    seen: i64,
    needs: Vec<NeedsBlock>,
    versions: Vec<VersionView>,
    reason_letters: (usize, usize),
}

/// The boxes of one block.
pub(in crate::web) struct NeedsBlock {
    pub(in crate::web) number: usize,
    pub(in crate::web) title: &'static str,
    pub(in crate::web) boxes: Vec<NeedsBox>,
}

/// One field that may be asked for.
pub(in crate::web) struct NeedsBox {
    pub(in crate::web) name: String,
    pub(in crate::web) words: String,
    pub(in crate::web) is_ticked: bool,
}

impl NeedsBlock {
    /// How many of its boxes are ticked.
    pub(in crate::web) fn ticked(&self) -> usize {
        self.boxes.iter().filter(|it| it.is_ticked).count()
    }
}

/// One version of the list, with what it changed.
struct VersionView {
    number: i64,
    who: String,
    at: String,
    count: usize,
    added: Vec<String>,
    dropped: Vec<String>,
}

/// Every field that may be asked for, by block; those of the list are ticked.
pub(in crate::web) fn needs(ticked: &[String]) -> Vec<NeedsBlock> {
    let of_block = |(block, fields): (&'static crate::domain::sheet::Block, Vec<_>)| NeedsBlock {
        number: block.number,
        title: block.title,
        boxes: fields
            .into_iter()
            .map(|field: crate::domain::sheet::Field| {
                let name = field.name();
                let is_ticked = ticked.contains(&name);
                NeedsBox { words: requirement::words(field), is_ticked, name }
            })
            .collect(),
    };
    requirement::choices().into_iter().map(of_block).collect()
}

fn versions(all: &[RequirementVersion], zone: &str) -> Vec<VersionView> {
    let words = |names: Vec<&String>| {
        let fields = names.into_iter().filter_map(|it| requirement::field_of(it));
        fields.map(|it| requirement::words(it.1)).collect()
    };
    let view = |(at, version): (usize, &RequirementVersion)| {
        let before = all.get(at + 1).map_or(&[][..], |it| it.fields.0.as_slice());
        let here = &version.fields.0;
        VersionView {
            number: version.number,
            who: version.person_name.clone().unwrap_or_else(|| "the program".to_owned()),
            at: display::instant(version.at, zone),
            count: here.len(),
            added: words(here.iter().filter(|it| !before.contains(it)).collect()),
            dropped: words(before.iter().filter(|it| !here.contains(it)).collect()),
        }
    };
    all.iter().enumerate().map(view).collect()
}

/// The page; `typed` are the boxes of a form that comes back.
async fn requirement_page(
    tx: &mut Tx,
    viewer: &Viewer,
    typed: Option<Vec<String>>,
    fault: String,
) -> Result<RequirementPage, Error> {
    let all = tx.requirement_versions().await?;
    let stands = all.first().map_or_else(Vec::new, |it| it.fields.0.clone());
    Ok(RequirementPage {
        frame: Frame::new(viewer, "What a sheet needs"),
        fault,
        seen: all.first().map_or(0, |it| it.number),
        needs: needs(&typed.unwrap_or(stands)),
        versions: versions(&all, &viewer.company.time_zone),
        reason_letters: REASON_LETTERS,
    })
}

pub(in crate::web) async fn show_requirements(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page(&requirement_page(&mut tx, &viewer, None, String::new()).await?)
}

/// Makes a new version of the list; the same list again changes nothing.
pub(in crate::web) async fn require_fields(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let wanted: Vec<String> = form.all("needs").into_iter().map(ToOwned::to_owned).collect();
    // The number of the version that the form was laid out from.
    let seen = form.typed("seen").parse().map_err(|_| Error::Unreadable)?;
    let mut tx = app.store.write().await?;
    match actions::require_fields(&mut tx, &wanted, seen, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            let mut tx = app.store.read().await?;
            let fault = refusal.to_string();
            let back = requirement_page(&mut tx, &viewer, Some(wanted), fault).await?;
            return page_with(StatusCode::CONFLICT, &back);
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/sheet-requirements").into_response())
}
