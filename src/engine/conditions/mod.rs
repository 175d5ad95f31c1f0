//! Conditions: what may hold beside any cause, each weighed by evidence of its own.
//!
//! The odds of a condition are its prior odds times a ratio for each independent quantity that was
//! read or seen. What leans on one quantity counts once, by the piece that says most; where several
//! parts may have the condition, such as three capacitors, it holds unless it holds for none.

use std::sync::LazyLock;

use super::assessment::{Condition, Verdict};
use super::stage::Stage;
use evidence::{Evidence, Part, Quantity, more_telling, odds, probability};
use seen::{Seen, place_of};

mod air;
mod complaint_table;
mod complaints;
mod condition_table;
mod electrical;
mod evidence;
mod next_reading;
mod seen;
mod water;

pub use complaint_table::{COMPLAINTS, ComplaintInfo, ComplaintName, EXPLANATIONS, Explanation};
pub(super) use complaints::complaints;
pub use complaints::explains;
pub use condition_table::{CONDITIONS, ConditionInfo, ConditionName};

/// Probability from which a condition is worth saying: below one in five it would more often send
/// somebody looking in vain than help. A choice, no source.
pub const LISTED_FROM: f64 = 0.2;
/// Ratio from which a piece of evidence is named as speaking for a condition: less hardly moves
/// it. A choice, no source.
const NAMED_FROM: f64 = 1.1;

impl ConditionName {
    /// What is known of it beforehand.
    #[must_use]
    pub fn info(self) -> &'static ConditionInfo {
        // The table stands in the order of the names, which a test keeps.
        &CONDITIONS[self as usize]
    }

    /// Its word in documents.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.info().key
    }

    /// The condition of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        CONDITIONS.iter().find(|it| it.key == key).map(|it| it.name)
    }
}

/// What speaks for each condition.
fn parts(name: ConditionName) -> &'static [Part] {
    match name {
        ConditionName::DirtyFilter => air::DIRTY_FILTER,
        ConditionName::RestrictedCoil => air::RESTRICTED_COIL,
        ConditionName::ClosedOrUndersizedDucts => air::DUCTS,
        ConditionName::DuctLeakage => air::DUCT_LEAKAGE,
        ConditionName::WeakCapacitor => electrical::WEAK_CAPACITOR,
        ConditionName::WrongCapacitor => electrical::WRONG_CAPACITOR,
        ConditionName::WornContactor => electrical::CONTACTOR,
        ConditionName::LowLineVoltage => electrical::LINE_VOLTAGE,
        ConditionName::DraggingMotor => electrical::MOTORS,
        ConditionName::DrainAtRisk => water::DRAIN,
        ConditionName::OversizedBreaker => electrical::BREAKER,
        ConditionName::ReversingValveLeak => electrical::REVERSING_VALVE,
    }
}

/// Whether a system has what may have the condition.
fn applies(name: ConditionName, stage: &Stage) -> bool {
    let kind = stage.facts().kind;
    match name {
        ConditionName::ReversingValveLeak => kind.is_heat_pump(),
        ConditionName::ClosedOrUndersizedDucts | ConditionName::DuctLeakage => kind.is_ducted(),
        _ => true,
    }
}

/// A condition with its evidence at hand.
struct Weighed {
    name: ConditionName,
    prior_odds: f64,
    parts: Vec<Vec<Vec<Piece>>>,
}

/// A piece of evidence with the place of its measure in the list, so that none is looked for by
/// its key; beyond the list where it is something that was looked at.
struct Piece {
    evidence: &'static Evidence,
    place: usize,
}

static WEIGHED: LazyLock<Vec<Weighed>> = LazyLock::new(|| {
    let piece = |evidence: &'static Evidence| Piece { evidence, place: place_of(evidence.key) };
    let quantity = |it: &'static Quantity| it.0.iter().map(piece).collect();
    let part = |it: &'static Part| it.0.iter().map(quantity).collect();
    let weighed = |info: &ConditionInfo| Weighed {
        name: info.name,
        prior_odds: odds(info.prior),
        parts: parts(info.name).iter().map(part).collect(),
    };
    CONDITIONS.iter().map(weighed).collect()
});

/// The conditions of a stage that are worth saying, the likeliest first.
pub(super) fn conditions(stage: &Stage, verdicts: &[Verdict]) -> Vec<Condition> {
    let seen = Seen::new(stage, verdicts);
    let mut found: Vec<Condition> = WEIGHED
        .iter()
        .filter(|it| applies(it.name, stage))
        .filter_map(|weighed| {
            let probability = weighed.probability(&seen).filter(|it| LISTED_FROM <= *it)?;
            // One for which nothing speaks is no more than its prior.
            let evidence_for = Some(weighed.speaking(&seen)).filter(|it| !it.is_empty())?;
            Some(Condition {
                condition: weighed.name.key().to_owned(),
                probability,
                evidence_for,
                tell_apart: next_reading::next_reading(weighed, &seen)
                    .map(|it| it.key().to_owned()),
            })
        })
        .collect();
    // Of equal ones the order of the table stays.
    found.sort_by(|one, other| other.probability.total_cmp(&one.probability));
    found
}

impl Weighed {
    /// How likely it holds for one part or more of those that something was read or seen of;
    /// nothing where there is none.
    fn probability(&self, seen: &Seen) -> Option<f64> {
        let odds = self.parts.iter().filter_map(|it| self.odds_of(it, seen));
        odds.map(|it| 1.0 - probability(it)).reduce(|none, sound| none * sound).map(|it| 1.0 - it)
    }

    /// Odds of one part, nothing where nothing of it was read or seen.
    fn odds_of(&self, part: &[Vec<Piece>], seen: &Seen) -> Option<f64> {
        let ratios = part.iter().filter_map(|it| counted(it, seen));
        ratios.map(|it| it.1).reduce(|all, ratio| all * ratio).map(|it| self.prior_odds * it)
    }

    /// Measures and observations that raised the odds, the most telling first.
    fn speaking(&self, seen: &Seen) -> Vec<String> {
        let counted = self.parts.iter().flatten().filter_map(|it| counted(it, seen));
        let mut speaking: Vec<_> = counted.filter(|it| NAMED_FROM <= it.1).collect();
        speaking.sort_by(|one, other| other.1.total_cmp(&one.1));
        let mut keys: Vec<String> = Vec::with_capacity(speaking.len());
        for (evidence, _) in speaking {
            if !keys.iter().any(|it| it == evidence.key) {
                keys.push(evidence.key.to_owned());
            }
        }
        keys
    }
}

/// Of the pieces on one quantity the one that counts, with its ratio.
fn counted(quantity: &[Piece], seen: &Seen) -> Option<(&'static Evidence, f64)> {
    let pieces = quantity.iter().filter_map(|it| {
        let ratio = it.evidence.ratio(seen, it.place)?;
        Some((it.evidence, ratio))
    });
    pieces.reduce(|one, other| {
        let is_one = more_telling(one.1, other.1).total_cmp(&one.1).is_eq();
        if is_one { one } else { other }
    })
}
