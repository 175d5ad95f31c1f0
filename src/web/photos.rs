//! A picture's way from a request to where it is kept, and the way out of there. The picture comes
//! first and its row second, so that no row is ever without a picture.

use sha2::{Digest, Sha256};
use time::OffsetDateTime;
use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;
use uuid::Uuid;

use super::App;
use super::error::Error;
use super::viewer::Viewer;
use crate::actions::{self, ActionError};
use crate::domain::photo::{SIGNATURE, may_have};
use crate::domain::refusal::Refusal;
use crate::imaging::{self, Kept, NotTaken, PictureKind, Purpose};
use crate::outside::PhotosError;
use crate::secret::hexadecimal;
use crate::store::{NewPhoto, Photo, StoreError};

/// Pictures that are decoded at one time: each may need some 300 MB (judgement, no source).
const DECODED_AT_ONCE_MAX: usize = 2;

static DECODING: Semaphore = Semaphore::const_new(DECODED_AT_ONCE_MAX);

/// A picture as it was sent.
pub(super) struct SentPicture {
    pub(super) visit: Uuid,
    pub(super) photo: Uuid,
    pub(super) field: String,
    pub(super) taken_at: Option<OffsetDateTime>,
    pub(super) bytes: Vec<u8>,
}

/// Why a picture was not kept.
pub(super) enum NotKept {
    /// It can't be taken as a picture.
    Picture(NotTaken),
    /// It is not lawful.
    Refused(Refusal),
    /// Something is away, or not to be seen.
    Failed(Error),
}

impl From<StoreError> for NotKept {
    fn from(fault: StoreError) -> Self {
        Self::Failed(fault.into())
    }
}

impl From<PhotosError> for NotKept {
    fn from(fault: PhotosError) -> Self {
        Self::Failed(fault.into())
    }
}

impl From<ActionError> for NotKept {
    fn from(fault: ActionError) -> Self {
        match fault {
            ActionError::Refused(refusal) => Self::Refused(refusal),
            ActionError::Store(fault) => fault.into(),
        }
    }
}

/// Keeps a picture that the viewer took, unless it is kept already.
pub(super) async fn keep(app: &App, viewer: &Viewer, sent: SentPicture) -> Result<Photo, NotKept> {
    if !may_have(&sent.field) {
        return Err(NotKept::Refused(Refusal::NoSuchField(sent.field)));
    }
    if sent.bytes.len() > imaging::SENT_BYTES_MAX {
        return Err(NotKept::Picture(NotTaken::TooLarge));
    }
    let SentPicture { visit, photo, field, taken_at, bytes } = sent;
    let (sent_sha256, bytes) = off_the_threads(move || (sha256(&bytes), bytes)).await?;
    let mut tx = app.store.read().await?;
    tx.visit_to_photograph(viewer.scope(), visit).await?;
    let named = (photo, field.as_str(), sent_sha256.as_str());
    let before = actions::photo_sent_before(&mut tx, visit, named, viewer.id).await?;
    drop(tx);
    if let Some(before) = before {
        return Ok(before);
    }
    let purpose = if field == SIGNATURE { Purpose::Signature } else { Purpose::Photo };
    let (kept, kept_sha256) = decoded(bytes, purpose).await?;
    let new = NewPhoto {
        id: photo,
        field,
        person_id: viewer.id,
        taken_at,
        sides: (i64::from(kept.width), i64::from(kept.height)),
        bytes: i64::try_from(kept.bytes.len()).unwrap_or(i64::MAX),
        sent_sha256,
        kept_sha256,
        kind: kept.kind.media_type().to_owned(),
    };
    let key = key(visit, photo, &new.sent_sha256, kept.kind);
    app.photos.put(&key, kept.bytes).await?;
    added(app, viewer, (visit, &new, &key)).await
}

/// Adds the row of a picture that lies there now, or takes the picture away again.
async fn added(
    app: &App,
    viewer: &Viewer,
    (visit, new, key): (Uuid, &NewPhoto, &str),
) -> Result<Photo, NotKept> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit_to_photograph(viewer.scope(), visit).await?;
    let answer = actions::add_photo(&mut tx, &visit, new, viewer.by()).await;
    let standing = tx.photo_of_any_visit(new.id).await?;
    let is_needed = standing.is_some_and(|it| it.removed_at.is_none() && key_of(&it) == key);
    if answer.is_ok() {
        tx.commit().await?;
    } else {
        drop(tx);
    }
    if !is_needed && let Err(fault) = app.photos.delete(key).await {
        tracing::warn!(%fault, "a picture that belongs to no visit was left behind");
    }
    Ok(answer?)
}

/// Reads the picture and writes it anew, some at a time and off the threads that answer.
async fn decoded(bytes: Vec<u8>, purpose: Purpose) -> Result<(Kept, String), NotKept> {
    // It is never closed.
    let _place = DECODING.acquire().await;
    let kept = off_the_threads(move || {
        imaging::keep(&bytes, purpose).map(|kept| {
            let sum = sha256(&kept.bytes);
            (kept, sum)
        })
    })
    .await?;
    kept.map_err(NotKept::Picture)
}

/// A panic of a decoder is a damaged picture's and nobody else's.
async fn off_the_threads<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, NotKept> {
    spawn_blocking(work).await.map_err(|_| NotKept::Picture(NotTaken::Damaged))
}

fn sha256(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// Where a photo's picture is kept. With the sum of what was sent, so that another picture under
/// the same id can't take its place before it is refused.
fn key(visit: Uuid, photo: Uuid, sent_sha256: &str, kind: PictureKind) -> String {
    let sum = sent_sha256.get(..16).unwrap_or(sent_sha256);
    format!("{visit}/{photo}-{sum}.{}", kind.ending())
}

fn key_of(photo: &Photo) -> String {
    let kind = PictureKind::of_media_type(&photo.kind).unwrap_or(PictureKind::Jpeg);
    key(photo.visit_id, photo.id, &photo.sent_sha256, kind)
}

/// The picture of a photo.
pub(super) async fn picture(app: &App, photo: &Photo) -> Result<Vec<u8>, Error> {
    let found = app.photos.bytes(&key_of(photo)).await;
    if matches!(found, Err(PhotosError::NotFound)) {
        tracing::warn!(photo = %photo.id, "its picture is gone from where pictures are kept");
    }
    Ok(found?)
}

/// Takes away the pictures of photos that were taken away. What can't be reached now is tried for
/// at the next removal and at the next start.
pub async fn clear_removed_photos(app: &App) {
    if let Err(fault) = clear(app).await {
        tracing::warn!(%fault, "pictures that were taken away are still there");
    }
}

async fn clear(app: &App) -> Result<(), Box<dyn std::error::Error + Send + Sync>> {
    let waiting = app.store.read().await?.photos_to_clear().await?;
    for photo in waiting {
        app.photos.delete(&key_of(&photo)).await?;
        let mut tx = app.store.write().await?;
        tx.set_photo_cleared(photo.id, app.clock.now()).await?;
        tx.commit().await?;
    }
    Ok(())
}
