//! The only HTTP: what each address shows and which action each form calls.

mod assets;
mod cross_site;
mod display;
mod drawing;
mod error;
mod fields;
mod frame;
mod log;
mod marks;
mod pages;
mod photos;
mod routes;
mod session;
mod told_hazard;
mod viewer;

use std::future::Future;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::serve::ListenerExt;
use tokio::net::TcpListener;

use crate::clock::Clock;
use crate::outside::Photos;
use crate::secret::Cost;
use crate::store::Store;

pub use photos::clear_removed_photos;
pub use routes::router;

/// What every handler may use.
#[derive(Clone, Debug)]
pub struct App {
    /// The store.
    pub store: Store,
    /// The clock.
    pub clock: Clock,
    /// The pictures of visits.
    pub photos: Photos,
    /// How this server stands in the world.
    pub settings: Arc<WebSettings>,
}

/// How the server stands in the world.
#[derive(Clone, Debug)]
pub struct WebSettings {
    /// The address that people type, if it is another than the one that was listened on.
    pub public_url: Option<String>,
    /// The proxy whose word on the visitor's address is believed.
    pub trusted_proxy: Option<IpAddr>,
    /// The one-time code that guards the very first page.
    pub set_up_code: String,
    /// What a password hash costs.
    pub password_cost: Cost,
}

impl WebSettings {
    /// Whether people come by https, so that cookies need not go any other way.
    #[must_use]
    pub fn is_secure(&self) -> bool {
        self.public_url.as_ref().is_some_and(|url| url.starts_with("https://"))
    }
}

/// Serves until `shutdown` is done, then finishes what is under way.
///
/// # Errors
/// If the listener fails.
pub async fn serve(
    app: App,
    listener: TcpListener,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> std::io::Result<()> {
    // Without it, small answers wait 40 ms for an acknowledgement.
    let listener = listener.tap_io(|stream| {
        if let Err(fault) = stream.set_nodelay(true) {
            tracing::debug!(%fault, "no TCP_NODELAY on a connection");
        }
    });
    let service = router(app).into_make_service_with_connect_info::<SocketAddr>();
    axum::serve(listener, service).with_graceful_shutdown(shutdown).await
}
