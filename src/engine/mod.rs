//! The engine: readings and facts in, an assessment out. Pure.
//!
//! It knows no customer, no visit and no database, never fails and never panics: a bad reading is
//! normal input and is answered by an outcome or a doubt.

pub mod air;
pub mod airflow;
pub mod assessment;
pub mod case;
pub mod charts;
pub mod electrical;
pub mod fixed;
pub mod limits;
pub mod measures;
pub mod normal;
pub mod performance;
pub mod points;
pub mod refrigerant;

mod air_side;
mod capacity;
mod charge;
mod doubts;
mod input;
mod meanings;
mod needs;
mod reason;
mod rules;
mod stage;
mod statics;
mod uncertainty;
mod validity;
mod verdict;
mod view;

use assessment::{Assessment, Change, Measure, StageAssessment};
use case::Case;
use limits::LimitBook;
use stage::{Moment, Stage, UsedBook};
use uncertainty::Estimates;

/// Version of the engine, written beside every assessment.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Why no cause is named: this version judges measures and stops there.
pub const NO_CAUSES: &str = "this version of the engine judges each measure and names no causes";

/// Judges one visit.
#[must_use]
pub fn assess(case: &Case, book: &LimitBook) -> Assessment {
    let book = UsedBook::new(book);
    let as_found = assess_stage(case, &book, Moment::AsFound);
    let as_left = if case.as_left.is_empty() {
        StageAssessment::default()
    } else {
        assess_stage(case, &book, Moment::AsLeft)
    };
    let change = changes(&as_found.measures, &as_left.measures);
    Assessment {
        id: case.id.clone(),
        engine: VERSION.to_owned(),
        rules: book.version().to_owned(),
        limits: book.used(),
        as_found,
        as_left,
        change,
    }
}

fn assess_stage(case: &Case, book: &UsedBook, moment: Moment) -> StageAssessment {
    let mut stage = Stage::new(case, book, moment);
    let mut doubts = doubts::impossible(&stage);
    stage.impossible = doubts::reasons(&doubts);
    doubts.extend(doubts::suspicious(&stage));
    if let Some((doubt, reason)) = doubts::other_refrigerant(&stage) {
        stage.other_refrigerant = Some(reason);
        doubts.push(doubt);
    }
    stage.estimates = Estimates::of(&stage);
    let mut measures = Vec::with_capacity(rules::LISTED.len());
    for (place, listed) in rules::LISTED.iter().enumerate() {
        if let Some(found) = stage.estimates.at(place).filter(|_| stage.speaks_of(place)) {
            let measure = listed.definition.key.into();
            measures.push(Measure { measure, value: found.value, u: found.u });
        }
    }
    let mut verdicts = Vec::with_capacity(rules::JUDGED.len());
    for rule in rules::JUDGED.iter().filter(|(place, _)| stage.speaks_of(*place)) {
        verdicts.extend(verdict::judge(&stage, *rule));
    }
    StageAssessment {
        measures,
        verdicts,
        abstained: Some(NO_CAUSES.to_owned()),
        causes: Vec::new(),
        conditions: Vec::new(),
        doubts,
    }
}

/// What the work changed, wherever both stages have a value.
fn changes(as_found: &[Measure], as_left: &[Measure]) -> Vec<Change> {
    as_found
        .iter()
        .filter_map(|found| {
            let left = as_left.iter().find(|it| it.measure == found.measure)?;
            Some(Change {
                measure: found.measure.clone(),
                as_found: found.value,
                as_left: left.value,
                u: found.u.hypot(left.u),
            })
        })
        .collect()
}
