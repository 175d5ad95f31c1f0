//! How often the causes were right at this company: what was predicted of a visit when somebody
//! first answered it, against what the repair found.

use std::collections::BTreeMap;

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
    /// By which engine and priors it was predicted.
    pub judged_by: String,
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
    /// Engines and priors behind the predictions, with how many visits each.
    pub judged_by: Vec<(String, u32)>,
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
    let mut judged_by: BTreeMap<&str, u32> = BTreeMap::new();
    for answer in answers {
        let named: Vec<NamedCause> = answer.told.iter().map(|it| it.cause).collect();
        let came = Outcome::of(answer.found, &named, answer.knows_plate_subcooling);
        if let Some(count) = outcomes.iter_mut().find(|it| it.outcome == came) {
            let side =
                if answer.found.is_fault() { &mut count.with_a_fault } else { &mut count.without };
            *side += 1;
        }
        *judged_by.entry(&answer.judged_by).or_default() += 1;
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
        judged_by: judged_by.into_iter().map(|(by, count)| (by.to_owned(), count)).collect(),
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
