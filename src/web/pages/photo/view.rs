//! Photos as pages show them: with words in their stead, and room left before they come.

use std::collections::BTreeMap;

use time::OffsetDateTime;

use crate::domain::photo::{SIGNATURE, words};
use crate::store::Photo;
use crate::web::display;

/// A photo, ready to be shown.
pub(in crate::web) struct PhotoView {
    pub(in crate::web) address: String,
    pub(in crate::web) words: String,
    pub(in crate::web) who: String,
    pub(in crate::web) when: String,
    pub(in crate::web) width: i64,
    pub(in crate::web) height: i64,
    pub(in crate::web) is_signature: bool,
}

/// Photos under an address, each with the words of its field; several of one field are counted, so
/// that no two have the same words.
pub(in crate::web) fn views(photos: &[Photo], base: &str, zone: &str) -> Vec<PhotoView> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut shown = Vec::with_capacity(photos.len());
    for photo in photos {
        let number = seen.entry(&photo.field).or_default();
        *number += 1;
        let count = photos.iter().filter(|it| it.field == photo.field).count();
        let words = words(&photo.field);
        shown.push(PhotoView {
            address: format!("{base}/{}", photo.id),
            words: match count {
                1 => words.to_owned(),
                count => format!("{words} ({number} of {count})"),
            },
            who: photo.person_name.clone(),
            when: when(photo, zone),
            width: photo.width,
            height: photo.height,
            is_signature: photo.field == SIGNATURE,
        });
    }
    shown
}

/// When it was taken by the device's clock, else when it came.
fn when(photo: &Photo, zone: &str) -> String {
    let at: OffsetDateTime = photo.taken_at.unwrap_or(photo.received_at);
    display::instant(at, zone)
}
