//! What is shown where there is no network and nothing was taken along.

use askama::Template;
use axum::response::Response;

use crate::web::error::Error;
use crate::web::frame::{Frame, page};

#[derive(Template)]
#[template(path = "pages/offline.html")]
struct OfflinePage {
    frame: Frame,
}

pub(in crate::web) async fn show_offline() -> Result<Response, Error> {
    page(&OfflinePage { frame: Frame::bare("No network") })
}
