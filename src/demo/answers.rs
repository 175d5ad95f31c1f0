//! What the technicians say afterwards was the matter, where the story knows it: a coil that leaked,
//! an outdoor coil that was matted, now and then that nothing was wrong.

use time::OffsetDateTime;
use uuid::Uuid;

use super::DemoError;
use super::conditions::Condition;
use super::lots::Lots;
use crate::actions::{self, Confirmation};
use crate::store::{By, Scope, Tx};

/// Shares of visits that are answered, by what was the matter: people write down what they found
/// rather than that they found nothing.
const FAULTS_ANSWERED: f64 = 0.7;
const HEALTHY_ANSWERED: f64 = 0.12;
/// Missing charge and blocked air from which nobody doubts, and below which nothing is the matter.
const CHARGE_SHORT: (f64, f64) = (0.10, 0.02);
const OUTDOOR_DIRT: (f64, f64) = (0.10, 0.01);

/// What was really the matter at a visit, for those who look behind the readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Truth {
    pub(super) cause: &'static str,
    /// What raised the finding that the repair answers; empty if nothing did.
    raised_by: &'static str,
    remark: &'static str,
}

/// A leaking coil as its replacement showed it.
pub(super) const LEAKED: Truth = Truth {
    cause: "low_charge",
    raised_by: "observe.leak_coil_indoors",
    remark: "The old coil leaked at its lower bends; under nitrogen one could hear it.",
};

/// What is the matter with a system as it is met; nothing where it is neither clearly ill nor
/// clearly well.
pub(super) fn truth(condition: &Condition) -> Option<Truth> {
    let is_short = CHARGE_SHORT.0 <= condition.charge_short;
    let is_matted = OUTDOOR_DIRT.0 < condition.outdoor_dirt;
    let is_well = condition.charge_short <= CHARGE_SHORT.1
        && condition.outdoor_dirt <= OUTDOOR_DIRT.1
        && condition.filter_load < 1.8;
    let (cause, raised_by, remark) = match (is_short, is_matted) {
        (true, true) => (
            "low_charge+low_outdoor_airflow",
            "observe.outdoor_coil",
            "Matted outside, and low by weight once the coil was clean.",
        ),
        (true, false) => {
            ("low_charge", "observe.leak_coil_indoors", "Low by weight when it was recovered.")
        }
        (false, true) => (
            "low_outdoor_airflow",
            "observe.outdoor_coil",
            "Matted with seed fluff; everything fell into place after the wash.",
        ),
        (false, false) if is_well => ("no_fault", "", "Looked through from end to end: all well."),
        (false, false) => return None,
    };
    Some(Truth { cause, raised_by, remark })
}

/// An answer that will be given.
struct Coming {
    at: OffsetDateTime,
    person: Uuid,
    visit: Uuid,
    truth: Truth,
}

/// The answers that are still to come, so that nothing is known before its day.
#[derive(Default)]
pub(super) struct Answers(Vec<Coming>);

impl Answers {
    /// Perhaps somebody will say what was the matter; which visits those are is drawn from lots of
    /// their own, so that nothing else of the story depends on them.
    pub(super) fn perhaps(
        &mut self,
        visit: Uuid,
        truth: Option<Truth>,
        by: (Uuid, OffsetDateTime),
        lots: &mut Lots,
    ) {
        let Some(truth) = truth else { return };
        let share = if truth.cause == "no_fault" { HEALTHY_ANSWERED } else { FAULTS_ANSWERED };
        if lots.happens(share) {
            self.surely(visit, truth, by);
        }
    }

    /// Somebody will say what was the matter, unless they will already.
    pub(super) fn surely(&mut self, visit: Uuid, truth: Truth, by: (Uuid, OffsetDateTime)) {
        if !self.0.iter().any(|it| it.visit == visit) {
            self.0.push(Coming { at: by.1, person: by.0, visit, truth });
        }
    }

    /// Gives the answers that are due before an instant.
    pub(super) async fn give_before(
        &mut self,
        tx: &mut Tx,
        until: OffsetDateTime,
        lots: &mut Lots,
    ) -> Result<(), DemoError> {
        let (mut due, later): (Vec<Coming>, Vec<Coming>) =
            std::mem::take(&mut self.0).into_iter().partition(|it| it.at < until);
        self.0 = later;
        due.sort_by_key(|it| it.at);
        for it in due {
            let visit = tx.visit(Scope::EVERYTHING, it.visit).await?;
            let findings = tx.findings_of_visit(it.visit).await?;
            let finding = findings.iter().find(|found| found.raised_by == it.truth.raised_by);
            let confirmation = Confirmation {
                id: lots.id(it.at),
                cause: it.truth.cause.to_owned(),
                finding: finding.map(|found| found.id),
                remark: it.truth.remark.to_owned(),
                seen: 0,
            };
            let by = By { person: Some(it.person), at: it.at };
            actions::confirm_cause(tx, &visit, &confirmation, by).await?;
        }
        Ok(())
    }
}
