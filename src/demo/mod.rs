//! The demo company: an invented contractor in an invented valley, made through the same actions
//! as real use, from a fixed seed; shared with the tests.
//!
//! What it hides is known (`Truths`), so that a review of the whole base can be asked whether it
//! finds it.

mod air;
mod answers;
mod calendar;
mod catalogue_table;
mod closing;
mod conditions;
mod equipment;
mod gauges;
mod lots;
mod meters;
mod names_table;
mod office;
mod plan;
mod prices_table;
mod rounds;
mod sheets;
mod valley;
mod written;

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use crate::actions::ActionError;
use crate::domain::person::Role;
use crate::domain::refusal::Refusal;
use crate::secret::{self, Cost};
use crate::store::{Store, StoreError};

use calendar::Calendar;
use valley::Valley;

/// The password of everybody in the demo: it protects nothing.
pub const PASSWORD: &str = "warm days ahead";

/// The zone of the demo company, by which a caller knows what day it is there.
pub const TIME_ZONE: &str = calendar::ZONE;

/// Everything of the demo follows from it.
const SEED: u64 = 0xFA1E_0EA7_4E12;

/// Who can sign in to the demo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DemoLogin {
    /// What they do.
    pub role: Role,
    /// Their name.
    pub name: &'static str,
    /// With what they sign in.
    pub email: &'static str,
}

/// The people of the demo company.
pub const LOGINS: [DemoLogin; 6] = [
    DemoLogin { role: Role::Owner, name: "Marit Ollenshade", email: "owner@example.com" },
    DemoLogin { role: Role::Dispatcher, name: "Teodor Wrenfold", email: "dispatch@example.com" },
    DemoLogin { role: Role::Technician, name: "Ansel Birkmoor", email: "ansel@example.com" },
    DemoLogin { role: Role::Technician, name: "Dunya Corrowell", email: "dunya@example.com" },
    DemoLogin { role: Role::Technician, name: "Piet Hallowick", email: "piet@example.com" },
    DemoLogin { role: Role::Technician, name: "Rosalba Dray", email: "rosalba@example.com" },
];

/// How much of the company is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Some 120 customers with 160 systems over five seasons.
    Whole,
    /// A dozen customers over three seasons, for tests.
    Small,
}

/// What is hidden in the demo, for a review to find.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Truths {
    /// Make and model of the coils of which a batch leaks.
    pub leaking_coil: (String, String),
    /// Make and model of the outdoor units whose capacitors fade.
    pub fading_unit: (String, String),
    /// The technician whose meter reads high.
    pub technician_reading_high: Uuid,
    /// The system whose ducts were never repaired.
    pub unrepaired_ducts: Uuid,
    /// Every system with one of these stories.
    pub storied_systems: Vec<Uuid>,
}

/// Why the demo could not be made; nothing of it was kept.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// An action was refused, or the store could not do it.
    #[error("the demo could not be made: {0}")]
    Action(#[from] ActionError),
    /// The well-known password could not be hashed.
    #[error("the demo's password could not be hashed: {0}")]
    Password(String),
}

impl From<StoreError> for DemoError {
    fn from(fault: StoreError) -> Self {
        Self::Action(fault.into())
    }
}

impl From<Refusal> for DemoError {
    fn from(refusal: Refusal) -> Self {
        Self::Action(refusal.into())
    }
}

/// Fills a store that has no company yet. All in one transaction: cut short, nothing was made.
/// `progress` hears how many of how many visits are made.
///
/// # Errors
/// `SetUpAlready` if there is a company; whatever else kept it from being made.
pub async fn fill(
    store: &Store,
    (today, now): (Date, OffsetDateTime),
    size: Size,
    mut progress: impl FnMut(usize, usize),
) -> Result<Truths, DemoError> {
    let calendar = Calendar { today, now };
    // One hash for all six: each costs as long as a person waits to sign in.
    let cost = if size == Size::Whole { Cost::Full } else { Cost::Cheap };
    let hash = secret::password_hash(PASSWORD, cost).map_err(DemoError::Password)?;
    let valley = Valley::new(calendar, size);
    let planned = plan::rounds(&valley);
    let mut tx = store.write().await?;
    let mut office = office::open(&mut tx, &valley, &hash).await?;
    let mut work = rounds::Work::new(&valley, &office);
    let total = planned.len();
    for (done, round) in planned.iter().enumerate() {
        progress(done, total);
        work.make(&mut tx, round).await?;
    }
    work.give_last_answers(&mut tx).await?;
    office.look_ahead(&mut tx, &valley).await?;
    tx.commit().await?;
    progress(total, total);
    Ok(valley.truths(&office))
}
