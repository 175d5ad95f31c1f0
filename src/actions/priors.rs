//! The company's own priors: what a confirmation makes of them, and beginning again.

use serde_json::{Map, Value, json};
use time::OffsetDateTime;
use uuid::Uuid;

use super::ActionError;
use crate::chance;
use crate::domain::priors::{Evidence, PriorWhy, named};
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::engine::causes::{CAUSES, DEFAULT_PRIORS, Priors};
use crate::store::{By, Event, NewPriorVersion, PriorVersion, StoreError, Tx};

/// The company's priors in force; none while the published ones hold.
///
/// # Errors
/// As the store has them.
pub async fn priors(tx: &mut Tx) -> Result<Option<Priors>, StoreError> {
    Ok(tx.newest_priors().await?.map(|version| priors_of(&version)))
}

/// A version as the engine takes it. A cause that this program doesn't have is left out; one that
/// the version doesn't have stays as published.
#[must_use]
pub fn priors_of(version: &PriorVersion) -> Priors {
    let mut priors = named(version.number, &[0.0; CAUSES.len()]);
    for cause in &CAUSES {
        let share = version.priors.0.get(cause.key).and_then(Value::as_f64);
        priors.set(cause.name, share.unwrap_or(cause.prior));
    }
    priors
}

/// Makes a version of what was confirmed by now, if that comes to other counts or stands on other
/// published figures than the version in force. The caller has taken the turn.
pub(super) async fn learn(tx: &mut Tx, confirmed: Uuid, by: By) -> Result<(), StoreError> {
    let newest = tx.newest_priors().await?;
    let since = newest.as_ref().map_or((0, None), |it| (it.since_number, it.since_at));
    let evidence = evidence(tx, since).await?;
    let counts = by_word(&evidence.counts);
    let is_so_already =
        newest.as_ref().is_some_and(|it| it.counts.0 == counts && it.published == DEFAULT_PRIORS);
    if is_so_already {
        return Ok(());
    }
    let number = newest.map_or(0, |it| it.number) + 1;
    let version = NewPriorVersion {
        confirmed_cause_id: Some(confirmed),
        ..version(number, PriorWhy::Confirmation, &evidence, since)
    };
    tx.insert_prior_version(chance::id(by.at), &version, by).await
}

/// What was found since a reset, and among how many visits.
async fn evidence(
    tx: &mut Tx,
    since: (i64, Option<OffsetDateTime>),
) -> Result<Evidence, StoreError> {
    let found = tx.causes_confirmed_after(since.0).await?;
    let visits = tx.visits_to_confirm(since).await?;
    let times = |it: i64| u32::try_from(it).unwrap_or(u32::MAX);
    let found = found.iter().map(|(word, count)| (word.as_str(), times(*count)));
    Ok(Evidence::of(found, times(visits)))
}

fn version(
    number: i64,
    why: PriorWhy,
    evidence: &Evidence,
    since: (i64, Option<OffsetDateTime>),
) -> NewPriorVersion {
    #[expect(clippy::cast_possible_truncation, reason = "it was a whole number below 2³²")]
    let visits = evidence.visits as i64;
    NewPriorVersion {
        number,
        why,
        confirmed_cause_id: None,
        since_number: since.0,
        since_at: since.1,
        published: DEFAULT_PRIORS,
        visits,
        counts: by_word(&evidence.counts),
        priors: by_word(&evidence.shares()),
        reason: String::new(),
    }
}

fn by_word(numbers: &[f64; CAUSES.len()]) -> Value {
    let words = CAUSES.iter().zip(numbers).map(|(cause, number)| (cause.key, number));
    Value::Object(words.map(|(key, it)| (key.to_owned(), json!(it))).collect::<Map<_, _>>())
}

/// Begins again from the published figures: what was confirmed up to now no longer counts, and
/// stays where it is. Where nothing counts anyway, nothing is written. `seen` is the version that
/// was looked at.
///
/// # Errors
/// `ResetReasonMissing`, `TextTooLong`, `PriorsChanged`.
pub async fn reset_priors(
    tx: &mut Tx,
    (seen, reason): (i64, &str),
    by: By,
) -> Result<(), ActionError> {
    // Numbers are given out one after the other, and no confirmation comes between.
    tx.take_turn().await?;
    let Some(newest) = tx.newest_priors().await? else { return Ok(()) };
    let confirmed = tx.newest_confirmation().await?;
    if newest.why == PriorWhy::Reset && newest.since_number == confirmed {
        return Ok(());
    }
    let reason = reason.trim();
    if reason.is_empty() {
        return Err(Refusal::ResetReasonMissing.into());
    }
    if reason.chars().count() > REASON_LETTERS_MAX {
        return Err(Refusal::TextTooLong.into());
    }
    if newest.number != seen {
        return Err(Refusal::PriorsChanged.into());
    }
    let (number, since) = (newest.number + 1, (confirmed, Some(by.at)));
    let new = NewPriorVersion {
        reason: reason.to_owned(),
        ..version(number, PriorWhy::Reset, &Evidence::default(), since)
    };
    let id = chance::id(by.at);
    tx.insert_prior_version(id, &new, by).await?;
    let body = json!({"number": number, "before": newest.number});
    let event = Event { verb: "reset_priors", noun: "prior_version", noun_id: id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}
