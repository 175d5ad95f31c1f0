//! `person add|reset-password`: the way in when nobody can sign in.

use std::process::ExitCode;

use clap::{Args, Subcommand};

use super::{failed, runtime, say};
use crate::actions::{self, ActionError};
use crate::chance;
use crate::clock::Clock;
use crate::config::StoreOptions;
use crate::domain::person::{Role, folded};
use crate::secret::{self, Cost};
use crate::store::{By, NewPerson, Store};

/// What to do with a person.
#[derive(Args, Debug)]
pub struct Options {
    #[command(subcommand)]
    task: Task,
    #[command(flatten)]
    store: StoreOptions,
}

#[derive(Subcommand, Debug)]
enum Task {
    /// Add somebody; a first password is made and printed.
    Add {
        /// Their name.
        #[arg(long)]
        name: String,
        /// Their mail address, with which they sign in.
        #[arg(long)]
        email: String,
        /// owner, dispatcher or technician.
        #[arg(long, value_parser = role)]
        role: Role,
    },
    /// Give somebody a new password, print it, and sign them out everywhere.
    ResetPassword {
        /// Their mail address.
        #[arg(long)]
        email: String,
    },
}

fn role(word: &str) -> Result<Role, String> {
    Role::of_key(word).ok_or_else(|| "owner, dispatcher or technician is accepted".to_owned())
}

/// Does it and prints the new password.
#[must_use]
pub fn run(options: &Options) -> ExitCode {
    let runtime = match runtime() {
        Ok(runtime) => runtime,
        Err(fault) => return failed(&fault.to_string()),
    };
    match runtime.block_on(change(options)) {
        Ok(sentence) => {
            say(&sentence);
            ExitCode::SUCCESS
        }
        Err(fault) => failed(&fault.to_string()),
    }
}

async fn change(options: &Options) -> anyhow::Result<String> {
    let store = Store::open(&options.store.settings()).await?;
    let by = By { person: None, at: Clock::Machine.now() };
    let password = chance::password();
    let hash = secret::password_hash(&password, Cost::Full).map_err(anyhow::Error::msg)?;
    let mut tx = store.write().await?;
    if tx.company().await?.is_none() {
        anyhow::bail!("This store has no company yet. Start `serve` and open its first page.");
    }
    let sentence = match &options.task {
        Task::Add { name, email, role } => {
            if !email.contains('@') || name.trim().is_empty() {
                anyhow::bail!("A name and a mail address (name@example.com) are needed.");
            }
            let person = NewPerson {
                id: chance::id(by.at),
                name: name.trim().to_owned(),
                email: email.trim().to_owned(),
                role: *role,
                password_hash: hash,
            };
            match actions::add_person(&mut tx, &person, by).await {
                Err(ActionError::Refused(refusal)) => anyhow::bail!("{refusal}"),
                other => other?,
            }
            format!("Added {email} as {}. First password: {password}", role.key())
        }
        Task::ResetPassword { email } => {
            let known = tx.credentials(&folded(email)).await?;
            let Some(person) = known else {
                anyhow::bail!("Nobody here signs in with {email}.");
            };
            actions::reset_password(&mut tx, person.id, &hash, by).await?;
            format!("New password of {email}: {password}")
        }
    };
    tx.commit().await?;
    store.close().await;
    Ok(sentence)
}
