//! The files that pages need, inside the program and served under a checksum.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

use super::error::Error;

struct Asset {
    name: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

macro_rules! assets {
    ($($name:literal: $kind:literal),+ $(,)?) => {
        &[$(Asset {
            name: $name,
            kind: $kind,
            bytes: include_bytes!(concat!("../../static/", $name)),
        }),+]
    };
}

static ASSETS: &[Asset] = assets! {
    "app.css": "text/css; charset=utf-8",
    "sheet.js": "text/javascript; charset=utf-8",
    "photo.js": "text/javascript; charset=utf-8",
    "mark.svg": "image/svg+xml",
    "atkinson-hyperlegible-next-latin-400-normal.woff2": "font/woff2",
    "atkinson-hyperlegible-next-latin-700-normal.woff2": "font/woff2",
};

/// Changes whenever one of the files does, so that a browser may keep them for a year.
static CHECKSUM: LazyLock<String> = LazyLock::new(|| {
    let mut hash = Sha256::new();
    for asset in ASSETS {
        hash.update(asset.bytes);
    }
    crate::secret::hexadecimal(&hash.finalize()[..6])
});

/// Where a file is to be had.
pub(super) fn address(name: &str) -> String {
    format!("/static/{}/{name}", *CHECKSUM)
}

/// A file, under today's checksum only.
pub(super) async fn show_asset(
    Path((checksum, name)): Path<(String, String)>,
) -> Result<Response, Error> {
    let asset = ASSETS.iter().find(|asset| asset.name == name).ok_or(Error::NotFound)?;
    if checksum != *CHECKSUM {
        return Err(Error::NotFound);
    }
    let headers =
        [(CONTENT_TYPE, asset.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")];
    Ok((headers, asset.bytes).into_response())
}
