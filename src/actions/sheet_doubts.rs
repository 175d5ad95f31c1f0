//! The sheets that wait for the owner, each with what there is to doubt; writes nothing.

use std::collections::BTreeMap;

use super::decide::waiting;
use super::last_visit::assessment_of;
use super::requirement::{Needed, missing, required_of};
use crate::domain::finding::Severity;
use crate::domain::requirement::{self, Missing};
use crate::engine::assessment::Assessment;
use crate::review::sheet_doubts::{Doubted, SheetFacts, weigh};
use crate::store::{Entered, Mark, StoreError, Tx, Visit};

/// A sheet as the owner reviews it.
#[derive(Clone, Debug)]
pub struct InReview {
    /// What the engine said; nothing if it could not judge.
    pub assessment: Option<Assessment>,
    /// Everything that was typed, in order.
    pub entries: Vec<Entered>,
    /// What it was held against.
    pub needed: Needed,
    /// What it lacks of that, with the reasons.
    pub missing: Vec<Missing>,
    /// What there is to doubt.
    pub doubted: Doubted,
}

/// The sheets that wait for the owner, the most doubtful first; of two alike the older.
///
/// # Errors
/// As the store has them.
pub async fn sheets_to_review(tx: &mut Tx) -> Result<Vec<(Visit, Doubted)>, StoreError> {
    let mut all = Vec::new();
    for visit in tx.visits_to_review().await? {
        let doubted = in_review(tx, &visit).await?.doubted;
        all.push((visit, doubted));
    }
    all.sort_by_key(|it| it.1.order());
    Ok(all)
}

/// One sheet with all that a review looks at.
///
/// # Errors
/// As the store has them.
pub async fn in_review(tx: &mut Tx, visit: &Visit) -> Result<InReview, StoreError> {
    let assessment = assessment_of(tx, visit.number).await?;
    let assessment = assessment.filter(|_| visit.assessment_number.is_some());
    let entries = tx.entries_of(visit.number).await?;
    let marks = tx.marks_of(visit.number).await?;
    let findings = tx.findings_of_visit(visit.id).await?;
    let needed = required_of(tx, visit).await?;
    let readings = tx.readings_of(visit.number).await?;
    let waiting = waiting(tx.entries_held(visit.number).await?);
    let missing = missing(&needed.required, &readings, &marks);
    let hazards = findings.iter().filter(|it| it.severity == Severity::Hazard);
    let facts = SheetFacts {
        assessment: assessment.as_ref(),
        hazards: hazards.map(|it| it.subject.clone()).collect(),
        impossible: impossible(&entries),
        missing: missing.iter().map(|it| requirement::words(it.required.field)).collect(),
        is_acted_on: marks.iter().any(is_act),
        late: entries.iter().filter(|it| !it.reason.is_empty()).count() + waiting.len(),
    };
    let doubted = weigh(&facts);
    Ok(InReview { assessment, entries, needed, missing, doubted })
}

/// Fields whose newest entry can't be.
fn impossible(entries: &[Entered]) -> usize {
    let mut newest = BTreeMap::new();
    for entry in entries {
        newest.insert((entry.stage, entry.field.as_str()), !entry.refusal.is_empty());
    }
    newest.values().filter(|is_refused| **is_refused).count()
}

/// Whether a mark says that something was repaired, or proposed to the customer.
fn is_act(mark: &Mark) -> bool {
    let has = |start: &str| mark.field.starts_with(start) && !mark.value.is_empty();
    mark.value == "fixed" || has("proposal.") || has("part.") || has("words.parts_used")
}
