//! The engine: readings and facts in, an assessment out. Pure.
//!
//! It knows no customer, no visit and no database, never fails and never panics: a bad reading is
//! normal input and is answered by an outcome or a doubt.

pub mod air;
pub mod airflow;
pub mod assessment;
pub mod case;
pub mod causes;
pub mod charts;
pub mod conditions;
pub mod electrical;
pub mod fixed;
pub mod likely;
pub mod limits;
pub mod limits_sheet;
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

use assessment::{Assessment, Change, Doubt, Measure, StageAssessment};
use case::Case;
use causes::{DEFAULT_PRIORS, Depth, Explained, History, Priors};
use input::Input;
use limits::LimitBook;
use stage::{Moment, Stage, UsedBook};
use uncertainty::Estimates;

/// Version of the engine, written beside every assessment.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Judges one visit, with every explanation weighed.
#[must_use]
pub fn assess(case: &Case, book: &LimitBook) -> Assessment {
    assess_to(case, book, Depth::Pairs)
}

/// Judges one visit, as deep as asked for.
#[must_use]
pub fn assess_to(case: &Case, book: &LimitBook, depth: Depth) -> Assessment {
    let book = UsedBook::new(book);
    let history =
        if depth == Depth::Measures { History::default() } else { History::of(case, &book) };
    let mut found = Stage::new(case, &book, Moment::AsFound);
    let (as_found, before) = assess_stage(&mut found, &history, depth);
    let (mut as_left, mut change, mut repair) = (StageAssessment::default(), Vec::new(), None);
    if !case.as_left.is_empty() || !case.observations.as_left.is_empty() {
        let mut left = Stage::new(case, &book, Moment::AsLeft);
        as_left = assess_stage(&mut left, &history, depth).0;
        change = changes(&found, &left);
        repair = causes::did_it_work((&found, &before), &left);
    }
    Assessment {
        id: case.id.clone(),
        engine: VERSION.to_owned(),
        rules: book.version().to_owned(),
        priors: case.priors.as_ref().map_or(DEFAULT_PRIORS, Priors::version).to_owned(),
        limits: book.used(),
        as_found,
        as_left,
        change,
        repair,
    }
}

/// Finds what can't be and works every measure out.
pub(in crate::engine) fn prepare(stage: &mut Stage) -> Vec<Doubt> {
    let mut doubts = doubts::impossible(stage);
    stage.impossible = doubts::reasons(&doubts);
    doubts.extend(doubts::suspicious(stage));
    if let Some((doubt, reason)) = doubts::other_refrigerant(stage) {
        stage.other_refrigerant = Some(reason);
        doubts.push(doubt);
    }
    stage.estimates = Estimates::work_out(stage);
    doubts
}

fn assess_stage(
    stage: &mut Stage,
    history: &History,
    depth: Depth,
) -> (StageAssessment, Explained) {
    stage.names_causes = depth != Depth::Measures;
    let doubts = prepare(stage);
    let mut measures = Vec::with_capacity(rules::LISTED.len());
    for (place, listed) in rules::SHOWN.clone().zip(rules::LISTED.iter()) {
        if let Some(found) = stage.estimates.at(place).filter(|_| stage.speaks_of(place)) {
            let measure = listed.definition.key.into();
            measures.push(Measure { measure, value: found.value, u: found.u });
        }
    }
    let mut verdicts = Vec::with_capacity(rules::JUDGED.len());
    for rule in rules::JUDGED.iter().filter(|(place, _)| stage.speaks_of(*place)) {
        verdicts.extend(verdict::judge(stage, *rule));
    }
    let mut explained = match depth {
        Depth::Measures => Explained::left_out(),
        Depth::Singles | Depth::Pairs => causes::explain(stage, history, depth),
    };
    let causes = std::mem::take(&mut explained.causes);
    let (mut conditions, mut complaints) = (Vec::new(), Vec::new());
    if depth != Depth::Measures {
        conditions = conditions::conditions(stage, &verdicts);
        complaints = conditions::complaints(stage, &verdicts, &conditions, &causes);
    }
    let assessment = StageAssessment {
        measures,
        verdicts,
        abstained: explained.abstained.take(),
        causes,
        expected: std::mem::take(&mut explained.expected),
        history_used: history.used(),
        history_left_out: history.left_out.clone(),
        conditions,
        complaints,
        doubts,
    };
    (assessment, explained)
}

/// What the work changed, wherever both stages speak of a value.
fn changes(found: &Stage, left: &Stage) -> Vec<Change> {
    // A table errs alike before and after, and a reading that was carried over is the same one.
    let is_shared = |input: Input| match input {
        Input::Point(key) => left.taken_at(key) == Moment::AsFound,
        _ => true,
    };
    let places = rules::SHOWN.clone().filter(|it| left.speaks_of(*it));
    places
        .filter_map(|place| {
            let (before, after) = (found.estimates.at(place)?, left.estimates.at(place)?);
            Some(Change {
                measure: rules::LISTED.get(place)?.definition.key.into(),
                as_found: before.value,
                as_left: after.value,
                u: left.estimates.u_of_change(&found.estimates, place, is_shared),
            })
        })
        .collect()
}
