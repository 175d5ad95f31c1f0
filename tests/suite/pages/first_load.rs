//! What the check sheet costs the first time it is opened: every byte of it, as it is sent.

use std::collections::BTreeMap;
use std::path::Path;

use axum::body::Body;
use axum::http::header::{ACCEPT_ENCODING, COOKIE};
use axum::http::{Request, StatusCode};

use crate::app::{Browser, TestApp};

/// What the first load may take.
const BYTES_MAX: usize = 100_000;
/// Items of the price list.
const ITEMS: usize = 24;

/// What a browser that takes gzip gets: the bytes on the way, and what they say.
async fn sent(browser: &Browser, path: &str) -> (usize, String) {
    let request = Request::get(path).header(COOKIE, &browser.cookie);
    let zipped = request.header(ACCEPT_ENCODING, "gzip").body(Body::empty()).expect("a request");
    let bytes = browser.send(zipped).await.bytes.len();
    let plain = browser.get(path).await;
    assert_eq!(plain.status, StatusCode::OK, "{path}");
    (bytes, plain.body)
}

fn is_font(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|it| it == "woff2")
}

/// The files of ours that a text names beside itself: `"./queue.js"`, `url("….woff2")`.
fn named_in(path: &str, text: &str) -> Vec<String> {
    let folder = path.rsplit_once('/').map_or("", |it| it.0);
    let words = text.split(['"', '\'']);
    let ours = words.filter_map(|it| match it.strip_prefix("./").unwrap_or(it) {
        name if it.starts_with("/static/") => Some(name.to_owned()),
        name if path.ends_with("js") && it.starts_with("./") => Some(format!("{folder}/{name}")),
        name if path.ends_with("css") && is_font(it) => Some(format!("{folder}/{name}")),
        _ => None,
    });
    ours.collect()
}

#[tokio::test]
async fn the_first_load_of_a_sheet_is_at_most_a_hundred_kilobytes() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    for number in 1..=ITEMS {
        let words = format!("Item {number} of the list, such as a capacitor or a drain");
        app.price(&words, 18_900, &["capacitor_compressor_deviation_pct"]).await;
    }
    app.earlier(&place, 370, &[("as_found.observe.coil_face", "attention")]).await;
    app.require(&["as_found.return_wb_f", "as_found.observe.drain_runs"]).await;
    let visit = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    let mut open = vec![format!("/visits/{visit}/sheet")];
    let mut sizes: BTreeMap<String, usize> = BTreeMap::new();
    while let Some(path) = open.pop() {
        if sizes.contains_key(&path) {
            continue;
        }
        let (bytes, text) = sent(&tess, &path).await;
        open.extend(named_in(&path, &text));
        sizes.insert(path, bytes);
    }
    for (path, bytes) in &sizes {
        println!("{bytes:7} {path}");
    }
    let all: usize = sizes.values().sum();
    println!("{all:7} in all, at most {BYTES_MAX}");
    let holds = |name: &str| sizes.keys().any(|it| it.ends_with(name));
    let parts = ["app.css", "app.js", "sheet.js", "queue.js", "idb.js", "limits.js", "photo.js"];
    assert!(parts.into_iter().all(holds), "{sizes:#?}");
    assert_eq!(sizes.keys().filter(|it| it.ends_with("woff2")).count(), 2, "both fonts");
    assert!(all <= BYTES_MAX, "{sizes:#?}");
}
