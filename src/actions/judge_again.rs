//! Judging again what was judged before, by today's limits, priors and plates: one visit or the
//! whole history, looked at first or stored. Both go by the same functions.

use std::cmp::Reverse;
use std::collections::HashMap;

use serde_json::{Value, json};
use uuid::Uuid;

use super::ActionError;
use super::document::{Sheet, by_key, sheets};
use super::judge::{consider, keep};
use super::standards::{Standards, standards};
use crate::domain::refusal::Refusal;
use crate::domain::visit::VisitState;
use crate::engine::assessment::Assessment;
use crate::review::rejudgement::{Differences, OtherLimit, Tally};
use crate::store::{By, Event, Finding, NewFinding, Scope, StoreError, Tx, Visit};

/// Visits that are read and judged at once: few enough for the memory, enough for the store.
const CHUNK_VISITS_MAX: i64 = 25;
/// Visits that a look at the whole history lists at most.
pub const CHANGED_SHOWN_MAX: usize = 100;

/// Everything that one visit is judged from, and what was said of it before.
pub(super) struct OnRecord {
    pub(super) sheet: Sheet,
    pub(super) standing: Vec<Finding>,
    pub(super) before: Option<Assessment>,
}

/// One visit judged by today's rules, beside the judgement that stands.
#[derive(Clone, Debug)]
pub struct Again {
    /// The visit.
    pub visit: Visit,
    /// What the engine was given.
    pub input: Value,
    /// What it said, unless it can't take the plates.
    pub after: Option<Assessment>,
    /// Why it can't.
    pub unjudged: String,
    /// What would change.
    pub differences: Differences,
    /// The limits that make it so.
    pub other_limits: Vec<OtherLimit>,
    /// The findings that would be raised.
    pub raised: Vec<NewFinding>,
    /// The standing findings that would be withdrawn.
    pub withdrawn: Vec<Finding>,
}

impl Again {
    /// Findings that would stand again in other words, old and new: the finding is the same, its
    /// sentence names another limit or value.
    #[must_use]
    pub fn reworded(&self) -> Vec<(&Finding, &NewFinding)> {
        let pair = |new| Some((self.withdrawn.iter().find(|old| is_reworded(old, new))?, new));
        self.raised.iter().filter_map(pair).collect()
    }

    /// Findings that would be new.
    #[must_use]
    pub fn new_findings(&self) -> Vec<&NewFinding> {
        let is_new = |new: &&NewFinding| !self.withdrawn.iter().any(|old| is_reworded(old, new));
        self.raised.iter().filter(is_new).collect()
    }

    /// Findings that would no longer stand.
    #[must_use]
    pub fn gone_findings(&self) -> Vec<&Finding> {
        let is_gone = |old: &&Finding| !self.raised.iter().any(|new| is_reworded(old, new));
        self.withdrawn.iter().filter(is_gone).collect()
    }

    /// Whether a verdict would come out otherwise, or a finding would come or go: more than another
    /// limit, value or word.
    #[must_use]
    pub fn is_decided_otherwise(&self) -> bool {
        self.differences.is_judged_otherwise
            || self.differences.verdicts.iter().any(|it| it.outcome_before() != it.outcome_after())
            || !self.new_findings().is_empty()
            || !self.gone_findings().is_empty()
    }

    /// Whether storing it would change anything that a person sees.
    #[must_use]
    pub fn differs(&self) -> bool {
        !self.differences.is_none() || !self.raised.is_empty() || !self.withdrawn.is_empty()
    }
}

fn is_reworded(old: &Finding, new: &NewFinding) -> bool {
    old.raised_by == new.raised_by && old.fixed == new.fixed
}

/// What judging the whole history again would change.
#[derive(Clone, Debug, Default)]
pub struct History {
    /// Which limits and priors it was judged by.
    pub standards: String,
    /// Sheets that are in.
    pub looked_at: usize,
    /// Those of which the judgement would be another.
    pub changed: usize,
    /// Those of them in which a verdict would come out otherwise, or a finding come or go.
    pub decided_otherwise: usize,
    /// Those of the changed of which the likeliest cause or a condition would be another.
    pub other_causes: usize,
    /// Those of the changed that were accepted.
    pub accepted: usize,
    /// Those of the accepted whose report has a private link for the customer.
    pub sent: usize,
    /// Findings that would be raised.
    pub raised: usize,
    /// Findings that would be withdrawn.
    pub withdrawn: usize,
    /// Findings that would stand in other words.
    pub reworded: usize,
    /// Verdicts by measure and outcomes.
    pub tally: Tally,
    /// The visits that would change, those decided otherwise first, then the newest.
    pub shown: Vec<ChangedVisit>,
}

/// A visit of which the judgement would be another.
#[derive(Clone, Debug)]
pub struct ChangedVisit {
    /// The visit.
    pub visit: Visit,
    /// Whether a verdict would come out otherwise, or a finding come or go.
    pub decided_otherwise: bool,
    /// What would change.
    pub differences: Differences,
    /// Findings that would be raised.
    pub raised: usize,
    /// Findings that would be withdrawn.
    pub withdrawn: usize,
}

/// One chunk of the history as it was stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rejudged {
    /// Judgements that were added.
    pub stored: usize,
    /// After which visit to go on; none at the end.
    pub next: Option<i64>,
}

/// Judges a visit by today's rules and plates beside the judgement that stands; writes nothing.
///
/// # Errors
/// As the store has them.
pub async fn judged_again(tx: &mut Tx, visit: &Visit) -> Result<Again, StoreError> {
    let standards = standards(tx).await?;
    let record = on_record(tx, vec![visit.clone()]).await?.pop().ok_or(StoreError::NotFound)?;
    Ok(consider(record, &standards))
}

/// Reads everything that some visits are judged from, by as many statements as for one. The
/// visits come in the order of their numbers.
async fn on_record(tx: &mut Tx, visits: Vec<Visit>) -> Result<Vec<OnRecord>, StoreError> {
    let (Some(first), Some(last)) = (visits.first(), visits.last()) else { return Ok(Vec::new()) };
    let numbers = (first.number, last.number);
    // One that can't be read is treated as none: an old shape must not stop the new one.
    let outputs = tx.outputs_between(numbers).await?.into_iter();
    let mut outputs: HashMap<i64, Option<Assessment>> =
        outputs.map(|it| (it.0, serde_json::from_str(it.1.get()).ok())).collect();
    let findings = tx.findings_between(numbers).await?;
    let mut findings = by_key(findings.into_iter().map(|it| (it.visit_id, it)).collect());
    let records = sheets(tx, visits).await?.into_iter().map(|sheet| OnRecord {
        standing: findings.remove(&sheet.visit.id).unwrap_or_default(),
        before: outputs.remove(&sheet.visit.number).flatten(),
        sheet,
    });
    Ok(records.collect())
}

/// The next sheets of the history after a visit's number, judged again; none at the end.
async fn chunk(tx: &mut Tx, after: i64, standards: &Standards) -> Result<Vec<Again>, StoreError> {
    let visits = tx.visits_in(after, CHUNK_VISITS_MAX).await?;
    let records = on_record(tx, visits).await?;
    Ok(records.into_iter().map(|record| consider(record, standards)).collect())
}

/// What judging the whole history again would change; writes nothing. A sheet that is not in yet
/// is judged live anyway and is no part of it.
///
/// # Errors
/// As the store has them.
pub async fn history_again(tx: &mut Tx) -> Result<History, StoreError> {
    let standards = standards(tx).await?;
    let mut history = History { standards: standards.version(), ..History::default() };
    let mut after = 0;
    loop {
        let chunk = chunk(tx, after, &standards).await?;
        let Some(last) = chunk.last() else { return Ok(history) };
        let numbers = (after + 1, last.visit.number);
        after = last.visit.number;
        let linked = tx.linked_between(numbers).await?;
        for again in chunk {
            history.looked_at += 1;
            if again.differs() {
                history.add(again, &linked);
            }
        }
        history
            .shown
            .sort_by_key(|it| Reverse((it.decided_otherwise, it.visit.day, it.visit.number)));
        history.shown.truncate(CHANGED_SHOWN_MAX);
    }
}

impl History {
    fn add(&mut self, again: Again, linked: &[Uuid]) {
        let is_accepted = again.visit.state == VisitState::Accepted;
        let (raised, withdrawn) = (again.new_findings().len(), again.gone_findings().len());
        let decided_otherwise = again.is_decided_otherwise();
        self.changed += 1;
        self.decided_otherwise += usize::from(decided_otherwise);
        self.other_causes += usize::from(!again.differences.causes.is_empty());
        self.accepted += usize::from(is_accepted);
        self.sent += usize::from(is_accepted && linked.contains(&again.visit.id));
        self.raised += raised;
        self.withdrawn += withdrawn;
        self.reworded += again.reworded().len();
        self.tally.add(&again.differences);
        let Again { visit, differences, .. } = again;
        self.shown.push(ChangedVisit { visit, decided_otherwise, differences, raised, withdrawn });
    }
}

/// Judges a visit again by today's rules and today's plates, and says whether that changed
/// anything; where it doesn't, nothing is written. `seen` names the limits and priors that were
/// looked at, if they were.
///
/// # Errors
/// `WrongState` if the sheet is not in; `StandardsChanged`.
pub async fn judge_again(
    tx: &mut Tx,
    visit: &Visit,
    seen: Option<&str>,
    by: By,
) -> Result<bool, ActionError> {
    // Held before it is read, so that a correction or a sending back beside it is seen.
    tx.hold_visit(visit.id).await?;
    let visit = tx.visit(Scope::EVERYTHING, visit.id).await?;
    if !visit.state.is_in() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    if let Some(seen) = seen {
        standards(tx).await?.are(seen)?;
    }
    let again = judged_again(tx, &visit).await?;
    if !again.differs() {
        return Ok(false);
    }
    keep(tx, &again, by).await?;
    let event = Event { verb: "judge_again", noun: "visit", noun_id: visit.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(true)
}

/// Judges the next sheets of the history again, those after a visit's number, and stores what
/// differs; the others are left untouched. The whole history is many of these, each its own
/// transaction, so that nobody waits for all of it; cut short, it is simply gone on with.
///
/// # Errors
/// `StandardsChanged` if the limits and priors are no longer those that were looked at.
pub async fn judge_history_again(
    tx: &mut Tx,
    after: i64,
    seen: &str,
    by: By,
) -> Result<Rejudged, ActionError> {
    let standards = standards(tx).await?;
    standards.are(seen)?;
    let chunk = chunk(tx, after, &standards).await?;
    let mut stored = 0;
    for again in chunk.iter().filter(|it| it.differs()) {
        match judge_again(tx, &again.visit, None, by).await {
            // Sent back a moment ago: it will be judged when it comes in.
            Err(ActionError::Refused(Refusal::WrongState(_))) => {}
            other => stored += usize::from(other?),
        }
    }
    Ok(Rejudged { stored, next: chunk.last().map(|it| it.visit.number) })
}
