//! How often the causes were right at this company: what was predicted of a visit when somebody
//! first answered it, against what the repair found.

use crate::scoring::confusion::{Confusion, confusion};
use crate::scoring::outcome::Outcome;
use crate::scoring::reliability::{Bin, Reliability, reliability};
use crate::scoring::{NamedCause, Row, Told};
use crate::stats::{Interval, wilson};

/// Answers of which a share can be told: with fewer, one more would turn it over (judgement, no
/// source).
pub const ANSWERS_MIN: u32 = 5;

/// One visit that somebody answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The causes as they were predicted, the likeliest first; none where none was named.
    pub told: Vec<Told>,
    /// What the repair found.
    pub found: NamedCause,
    /// Whether the plate says what the subcooling should be, without which some causes can't be
    /// told apart.
    pub knows_plate_subcooling: bool,
    /// Version of the engine that predicted it; none where nothing could be judged.
    pub engine: Option<String>,
    /// Version of the priors that it went by; empty for judgements of before there were any.
    pub priors: String,
}

/// An engine behind some of the predictions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JudgedBy {
    /// Its version; none for what could not be judged.
    pub engine: Option<String>,
    /// How many visits.
    pub visits: u32,
    /// The versions of the priors that it went by, in the order of the visits.
    pub priors: Vec<String>,
}

/// What came of the answered visits, as counts of one outcome.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutcomeCount {
    /// Right, wrong, missed or silent.
    pub outcome: Outcome,
    /// Visits at which something was wrong.
    pub with_a_fault: u32,
    /// Visits at which nothing was.
    pub without: u32,
}

/// All of it.
#[derive(Clone, Debug, PartialEq)]
pub struct HowOften {
    /// Answered visits.
    pub answered: u32,
    /// Those at which something was wrong.
    pub with_a_fault: u32,
    /// Those of which the first cause was right.
    pub right: u32,
    /// How far that share may be trusted, as if the visits did not hang together.
    pub interval: Option<Interval>,
    /// What came of them, those outcomes that came up.
    pub outcomes: Vec<OutcomeCount>,
    /// Of what was said to be so likely, how much was true.
    pub reliability: Reliability,
    /// What was found against what was predicted.
    pub confusion: Confusion,
    /// What predicted it, in the order of the visits.
    pub judged_by: Vec<JudgedBy>,
}

/// Every outcome in the order of a page: the best first.
const OUTCOMES: [Outcome; 8] = [
    Outcome::Correct,
    Outcome::WithinGroup,
    Outcome::AmongThree,
    Outcome::OneOfTwo,
    Outcome::Misdiagnosis,
    Outcome::Missed,
    Outcome::FalseAlarm,
    Outcome::NoResponse,
];

/// Counts the answers.
#[must_use]
pub fn how_often(answers: &[Answer]) -> HowOften {
    let mut outcomes =
        OUTCOMES.map(|outcome| OutcomeCount { outcome, with_a_fault: 0, without: 0 });
    let mut judged_by: Vec<JudgedBy> = Vec::new();
    for answer in answers {
        let named: Vec<NamedCause> = answer.told.iter().map(|it| it.cause).collect();
        let came = Outcome::of(answer.found, &named, answer.knows_plate_subcooling);
        if let Some(count) = outcomes.iter_mut().find(|it| it.outcome == came) {
            let side =
                if answer.found.is_fault() { &mut count.with_a_fault } else { &mut count.without };
            *side += 1;
        }
        note(&mut judged_by, answer);
    }
    let rows: Vec<Row> =
        answers.iter().map(|it| Row { told: it.told.first().copied(), truth: it.found }).collect();
    let with_a_fault = outcomes.iter().map(|it| it.with_a_fault).sum();
    let answered = outcomes.iter().map(|it| it.without).sum::<u32>() + with_a_fault;
    let right = outcomes.first().map_or(0, |it| it.with_a_fault + it.without);
    HowOften {
        answered,
        with_a_fault,
        right,
        interval: wilson(right, answered),
        outcomes: outcomes.into_iter().filter(|it| it.with_a_fault + it.without > 0).collect(),
        reliability: reliability(&rows),
        confusion: confusion(&rows),
        judged_by,
    }
}

fn note(judged_by: &mut Vec<JudgedBy>, answer: &Answer) {
    let place = judged_by.iter().position(|it| it.engine == answer.engine).unwrap_or_else(|| {
        let engine = answer.engine.clone();
        judged_by.push(JudgedBy { engine, visits: 0, priors: Vec::new() });
        judged_by.len() - 1
    });
    let Some(by) = judged_by.get_mut(place) else { return };
    by.visits += 1;
    if !answer.priors.is_empty() && !by.priors.contains(&answer.priors) {
        by.priors.push(answer.priors.clone());
    }
}

/// The curve without the bins that hold too few answers to tell a share; their counts stay.
#[must_use]
pub fn tellable(curve: &Reliability) -> Reliability {
    let tell = |bin: &Bin| {
        if bin.count < ANSWERS_MIN {
            return Bin { mean_stated: None, share_true: None, interval: None, ..*bin };
        }
        *bin
    };
    Reliability { bins: curve.bins.iter().map(tell).collect(), ..curve.clone() }
}
