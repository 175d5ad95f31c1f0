//! The demo company, filled into an empty store.

use std::io::{IsTerminal as _, Write as _};

use super::say;
use crate::clock::{self, Clock};
use crate::demo::{self, Size};
use crate::store::Store;

/// Fills an empty store; one with a company is left as it is.
pub(super) async fn fill_if_empty(store: &Store, clock: &Clock) -> anyhow::Result<()> {
    if store.read().await?.company().await?.is_some() {
        return Ok(());
    }
    let now = clock.now();
    let today = clock::local(now, demo::TIME_ZONE).0;
    let on_terminal = std::io::stdout().is_terminal();
    if !on_terminal {
        say("Filling the store with the demo company; this takes some seconds.");
    }
    let mut said = None;
    let progress = |done: usize, total: usize| {
        let percent = 100 * done / total.max(1);
        if on_terminal && said != Some(percent) {
            said = Some(percent);
            let mut console = std::io::stdout();
            // A console that went away is no reason to stop.
            let _ = write!(console, "\rFilling the store with the demo company: {percent} %");
            let _ = console.flush();
        }
    };
    demo::fill(store, (today, now), Size::Whole, progress).await?;
    if on_terminal {
        say("");
    }
    say("The demo company is ready.");
    Ok(())
}

/// Says how to sign in, as far as the people of the demo are in this store.
pub(super) async fn say_logins(store: &Store) -> anyhow::Result<()> {
    let people = store.read().await?.people().await?;
    let here = |email: &str| people.iter().any(|it| it.email == email && it.left_at.is_none());
    let logins: Vec<_> = demo::LOGINS.iter().filter(|it| here(it.email)).collect();
    if logins.is_empty() {
        say("This store had a company before the demo was asked for; it was left as it is.");
        return Ok(());
    }
    say(&format!("Sign in to the demo; the password of everybody is: {}", demo::PASSWORD));
    for login in logins {
        say(&format!("  {:<10}  {:<22}  {}", login.role.key(), login.email, login.name));
    }
    Ok(())
}
