//! `serve`: opens the store and answers until it is told to stop.

use std::process::ExitCode;
use std::sync::Arc;

use tokio::net::TcpListener;

use super::{failed, runtime};
use crate::chance;
use crate::clock::Clock;
use crate::config::ServeOptions;
use crate::outside::Photos;
use crate::secret::Cost;
use crate::store::Store;
use crate::web::{self, App, WebSettings};

/// Serves until SIGTERM or Ctrl-C, then finishes what is under way.
#[must_use]
pub fn run(options: &ServeOptions) -> ExitCode {
    let runtime = match runtime() {
        Ok(runtime) => runtime,
        Err(fault) => return failed(&fault.to_string()),
    };
    match runtime.block_on(serve(options)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => failed(&fault.to_string()),
    }
}

async fn serve(options: &ServeOptions) -> anyhow::Result<()> {
    let pictures = options.photos.settings(&options.store.data).map_err(anyhow::Error::msg)?;
    let store = Store::open(&options.store.settings()).await?;
    let photos = Photos::open(&pictures)?;
    if options.demo {
        super::demo::fill_if_empty(&store, &Clock::Machine).await?;
    }
    let has_company = store.read().await?.company().await?.is_some();
    let set_up_code = chance::password();
    let listener = TcpListener::bind(options.listen).await.map_err(|fault| {
        anyhow::anyhow!("FAIRWEATHER_LISTEN: can't listen on {}: {fault}", options.listen)
    })?;
    let address = options
        .public_url
        .clone()
        .unwrap_or_else(|| format!("http://{}", listener.local_addr().unwrap_or(options.listen)));
    super::say(&format!("Fairweather is at {address}"));
    if !has_company {
        super::say(&format!(
            "The store is empty. Open {address}/set-up; the one-time code is {set_up_code}"
        ));
    }
    if options.demo {
        super::demo::say_logins(&store).await?;
    }
    let app = App {
        store: store.clone(),
        clock: Clock::Machine,
        photos,
        settings: Arc::new(WebSettings {
            public_url: options.public_url.clone(),
            trusted_proxy: options.trusted_proxy,
            set_up_code,
            password_cost: Cost::Full,
        }),
    };
    tokio::spawn(look_after_pictures(app.clone()));
    web::serve(app, listener, told_to_stop()).await?;
    store.close().await;
    tracing::info!("stopped");
    Ok(())
}

/// Says in the log if the pictures can't be reached, for on site it would be seen too late, and
/// takes away what could not be taken away before.
async fn look_after_pictures(app: App) {
    match app.photos.check().await {
        Ok(()) => web::clear_removed_photos(&app).await,
        Err(fault) => tracing::warn!(%fault, "photos can't be kept now; phones keep theirs"),
    }
}

/// Done when the process is asked to end: SIGTERM from a supervisor, Ctrl-C from a hand.
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let interrupted = tokio::signal::ctrl_c();
    match signal(SignalKind::terminate()) {
        Ok(mut terminated) => {
            tokio::select! {
                _ = interrupted => {}
                _ = terminated.recv() => {}
            }
        }
        Err(fault) => {
            tracing::warn!(%fault, "SIGTERM can't be heard; Ctrl-C still ends the service");
            let _ended = interrupted.await;
        }
    }
}
