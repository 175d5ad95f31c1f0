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
    "app.js": "text/javascript; charset=utf-8",
    "idb.js": "text/javascript; charset=utf-8",
    "limits.js": "text/javascript; charset=utf-8",
    "photo.js": "text/javascript; charset=utf-8",
    "queue.js": "text/javascript; charset=utf-8",
    "sheet.js": "text/javascript; charset=utf-8",
    "icon-192.png": "image/png",
    "icon-512.png": "image/png",
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

/// The script between pages and network: its own address, for it minds all pages, and before it what
/// it is to keep. It is asked for anew each time, so that a new version is seen at once.
pub(super) async fn show_worker() -> Response {
    let mut files: Vec<String> = ASSETS.iter().map(|it| address(it.name)).collect();
    files.push("/offline".to_owned());
    let ours = serde_json::json!({"files": files, "version": *CHECKSUM});
    let script = format!("self.ours = {ours};\n{}", include_str!("../../static/sw.js"));
    ([(CONTENT_TYPE, "text/javascript; charset=utf-8")], script).into_response()
}

/// What a phone must know to put the program among its others.
pub(super) async fn show_manifest() -> Response {
    let icon = |name: &str, sizes: &str, purpose: &str| {
        serde_json::json!({
            "src": address(name), "sizes": sizes, "type": "image/png", "purpose": purpose
        })
    };
    let manifest = serde_json::json!({
        "name": "Fairweather", "short_name": "Fairweather", "id": "/", "start_url": "/today",
        "scope": "/", "display": "standalone",
        "background_color": "#f6f4ee", "theme_color": "#1a4560",
        "icons": [
            icon("icon-192.png", "192x192", "any"), icon("icon-512.png", "512x512", "any"),
            icon("icon-512.png", "512x512", "maskable"),
        ],
    });
    ([(CONTENT_TYPE, "application/manifest+json")], manifest.to_string()).into_response()
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
