//! The photos of a visit: a page that works without script, and the pictures themselves.

pub(in crate::web) mod upload;
pub(in crate::web) mod view;

use askama::Template;
use axum::extract::multipart::{Multipart, MultipartError, MultipartRejection};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, COOKIE, VARY};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use self::view::{PhotoView, views};
use crate::actions::{self, Remover};
use crate::domain::form::Form;
use crate::domain::photo::{self, is_for_the_customer};
use crate::domain::refusal::Refusal;
use crate::imaging::{NotTaken, SENT_BYTES_MAX};
use crate::secret;
use crate::store::{Photo, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::{Field, faults, new_id};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::photos::{self, NotKept, SentPicture};
use crate::web::viewer::Viewer;

/// The largest form that is read: more than the largest picture, so that one that is too large
/// gets its sentence and not a broken line.
pub(in crate::web) const FORM_BYTES_MAX: usize = 2 * SENT_BYTES_MAX;

/// A browser may keep a picture for an hour: it never changes, but it may be taken away. It varies
/// by cookie, so that whoever signs in next on the same phone is asked for anew.
const PICTURE_KEPT: &str = "private, max-age=3600";

#[derive(Template)]
#[template(path = "pages/photos.html")]
struct PhotosPage {
    frame: Frame,
    visit: Visit,
    photos: Vec<PhotoView>,
    may_remove: bool,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
    id: Uuid,
}

pub(in crate::web) async fn show_photos(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    page(&photos_page(&app, &viewer, id, &Form::default()).await?)
}

async fn photos_page(
    app: &App,
    viewer: &Viewer,
    id: Uuid,
    form: &Form,
) -> Result<PhotosPage, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let photos = tx.photos_of(id).await?;
    drop(tx);
    let choices = photo::fields().into_iter().map(|(key, words)| (key, words.to_owned()));
    let is_office = viewer.role.runs_the_office();
    Ok(PhotosPage {
        frame: Frame::new(viewer, "Photos"),
        photos: views(&photos, &format!("/visits/{id}/photos"), &viewer.company.time_zone),
        may_remove: photo::may_remove(visit.state, is_office).is_ok(),
        fields: vec![Field::choice(form, "field", "What it shows", choices.collect())],
        faults: faults(form),
        id: new_id(form, viewer.now),
        visit,
    })
}

/// Adds a photo by a plain form.
pub(in crate::web) async fn send_photo(
    State(app): State<App>,
    viewer: Viewer,
    Path(visit): Path<Uuid>,
    parts: Result<Multipart, MultipartRejection>,
) -> Result<Response, Error> {
    // Whoever may not see the visit is told nothing about the form.
    app.store.read().await?.visit(viewer.scope(), visit).await?;
    let parts = parts.map_err(|_| Error::Unreadable)?;
    let (mut form, bytes) = match read(parts).await? {
        Ok(read) => read,
        Err(refused) => {
            let mut form = Form::default();
            form.refuse("photo", refused.to_string());
            return refused_page(&photos_page(&app, &viewer, visit, &form).await?);
        }
    };
    let sent = SentPicture {
        visit,
        photo: new_id(&form, viewer.now),
        field: form.typed("field").to_owned(),
        taken_at: None,
        bytes,
    };
    let refused = match photos::keep(&app, &viewer, sent).await {
        Ok(_) => {
            return Ok(Redirect::to(&format!("/visits/{visit}/photos")).into_response());
        }
        Err(NotKept::Failed(fault)) => return Err(fault),
        Err(NotKept::Picture(refused)) => ("photo", refused.to_string()),
        Err(NotKept::Refused(refusal)) => {
            if refusal == Refusal::Changed {
                // This form has added a photo already; the next one gets an id of its own.
                form.forget("id");
            }
            ("photo", refusal.to_string())
        }
    };
    form.refuse(refused.0, refused.1);
    refused_page(&photos_page(&app, &viewer, visit, &form).await?)
}

/// The form's texts and its picture.
async fn read(mut parts: Multipart) -> Result<Result<(Form, Vec<u8>), NotTaken>, Error> {
    let (mut texts, mut picture) = (Vec::new(), Vec::new());
    let mut next = async || -> Result<Option<(String, Vec<u8>)>, MultipartError> {
        let Some(part) = parts.next_field().await? else { return Ok(None) };
        let name = part.name().unwrap_or_default().to_owned();
        Ok(Some((name, part.bytes().await?.into())))
    };
    loop {
        match next().await {
            Ok(Some((name, bytes))) if name == "photo" => picture = bytes,
            Ok(Some((name, bytes))) => {
                texts.push((name, String::from_utf8_lossy(&bytes).into_owned()));
            }
            Ok(None) => return Ok(Ok((Form::new(texts), picture))),
            Err(fault) if fault.status() == StatusCode::PAYLOAD_TOO_LARGE => {
                return Ok(Err(NotTaken::TooLarge));
            }
            Err(_) => return Err(Error::Unreadable),
        }
    }
}

/// Takes a photo away: its row stays and says so, its picture goes.
pub(in crate::web) async fn remove_photo(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, photo)): Path<(Uuid, Uuid)>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let is_office = viewer.role.runs_the_office();
    let remover = if is_office { Remover::Office } else { Remover::Technician };
    actions::remove_photo(&mut tx, &visit, (photo, remover), viewer.by()).await?;
    tx.commit().await?;
    photos::clear_removed_photos(&app).await;
    Ok(Redirect::to(&format!("/visits/{id}/photos")).into_response())
}

pub(in crate::web) async fn show_photo(
    State(app): State<App>,
    viewer: Viewer,
    Path((visit, photo)): Path<(Uuid, Uuid)>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let photo = tx.photo_seen(viewer.scope(), visit, photo).await?;
    drop(tx);
    picture(&app, &photo).await
}

/// A picture of the report behind a customer's private link.
pub(in crate::web) async fn show_linked_photo(
    State(app): State<App>,
    Path((token, photo)): Path<(String, Uuid)>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let hash = secret::token_hash(&token);
    let photo = tx.photo_of_link(&hash, app.clock.now(), photo).await?;
    drop(tx);
    if !is_for_the_customer(&photo.field) {
        return Err(Error::NotFound);
    }
    picture(&app, &photo).await
}

async fn picture(app: &App, photo: &Photo) -> Result<Response, Error> {
    let bytes = photos::picture(app, photo).await?;
    let headers = [
        (CONTENT_TYPE, photo.kind.clone()),
        (CACHE_CONTROL, PICTURE_KEPT.to_owned()),
        (VARY, COOKIE.to_string()),
        (CONTENT_DISPOSITION, "inline".to_owned()),
    ];
    Ok((headers, bytes).into_response())
}
