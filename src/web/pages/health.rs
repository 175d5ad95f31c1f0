//! Whether the service can do its work.

use axum::extract::State;

use crate::web::App;
use crate::web::error::Error;

/// `ok` if the store answers; 503 if not.
pub(in crate::web) async fn show_health(State(app): State<App>) -> Result<&'static str, Error> {
    app.store.answers().await.map_err(|fault| Error::Unavailable(fault.to_string()))?;
    Ok("ok\n")
}
