//! What a visit's readings point to, in a customer's words: only what is likely, and calmly.

use super::cause_view::{Length, is_fault, view};
use super::likely::{LikelyView, complaints};
use crate::domain::for_customers;
use crate::engine::assessment::{
    Assessment, Cause, Outcome, Repair, RepairOutcome, StageAssessment,
};
use crate::engine::conditions::ConditionName;
use crate::engine::likely::Likelihood;
use crate::web::display;

/// What the readings point to, as they were found.
#[derive(Clone, Debug, Default)]
pub(in crate::web) struct PointsTo {
    /// That nothing is wrong; empty where that can't be said.
    pub(in crate::web) calm: String,
    /// Why nothing can be said; empty where something can.
    pub(in crate::web) untold: String,
    pub(in crate::web) likely: Vec<Told>,
    /// What is complained of, and what explains it.
    pub(in crate::web) complaints: Vec<(String, String)>,
    /// The same with bar and evidence, for the part of the report that has the readings.
    pub(in crate::web) evidence: Vec<LikelyView>,
    /// Whether a fault is likely that the work is not known to have taken away.
    pub(in crate::web) is_open: bool,
}

/// Something likely.
#[derive(Clone, Debug)]
pub(in crate::web) struct Told {
    pub(in crate::web) how_likely: String,
    pub(in crate::web) what: String,
    pub(in crate::web) means: String,
    /// What the work did about it; empty where that is not known.
    pub(in crate::web) after: &'static str,
}

impl PointsTo {
    /// Whether there is nothing to say.
    pub(in crate::web) fn is_empty(&self) -> bool {
        let has_words = !self.calm.is_empty() || !self.untold.is_empty();
        !has_words && self.likely.is_empty() && self.complaints.is_empty()
    }
}

const ALIKE: &str = "several causes fit them about as well";

/// What the readings of a judged visit point to.
pub(in crate::web) fn points_to(assessment: &Assessment) -> PointsTo {
    let found = &assessment.as_found;
    let is_likely = |probability: f64| Likelihood::of(probability) <= Likelihood::Likely;
    let cause = found.causes.first().filter(|it| is_likely(it.probability));
    let mut points = PointsTo { complaints: complaints(found), ..PointsTo::default() };
    if let Some(cause) = cause {
        tell(&mut points, (found, cause), assessment.repair.as_ref());
    } else if let Some(why) = &found.abstained {
        points.untold = for_customers::could_not_be_told(why);
    } else if !found.causes.is_empty() {
        ALIKE.clone_into(&mut points.untold);
    }
    for it in found.conditions.iter().filter(|it| is_likely(it.probability)) {
        let Some(name) = ConditionName::of_key(&it.condition) else { continue };
        let words = for_customers::condition(name);
        let words = (words.what.to_owned(), words.means.to_owned());
        points.likely.push(told(it.probability, words, ""));
        points.evidence.push(LikelyView { next: None, ..LikelyView::of_condition(it) });
    }
    points
}

fn tell(
    points: &mut PointsTo,
    (found, cause): (&StageAssessment, &Cause),
    repair: Option<&Repair>,
) {
    let Some((what, means)) = for_customers::causes(&cause.cause) else { return };
    points.evidence.push(LikelyView { next: None, ..view(found, cause, Length::Whole) });
    if !is_fault(&cause.cause) {
        points.calm = calm(found, cause, &what);
        return;
    }
    points.is_open = repair.is_none_or(|it| it.outcome != RepairOutcome::Worked);
    points.likely.push(told(cause.probability, (what, means), repair.map_or("", after)));
}

const BUT_OUTSIDE: &str = "Taken together, the readings look more like those of a healthy system than \
    like any fault, though not each lies within its limits.";

/// That nothing is wrong, as surely as that is known; no more than that they look so where one of
/// the readings that it rests on is outside its limits.
fn calm(found: &StageAssessment, cause: &Cause, what: &str) -> String {
    let is_outside = |measure: &str| {
        let mut verdicts = found.verdicts.iter();
        verdicts.any(|it| it.measure == measure && it.outcome == Outcome::Outside)
    };
    if found.expected.iter().any(|it| is_outside(&it.measure)) {
        return BUT_OUTSIDE.to_owned();
    }
    let probably = match Likelihood::of(cause.probability) {
        Likelihood::VeryLikely => "",
        _ => "probably ",
    };
    format!("As far as these readings show, {probably}{what}.")
}

fn told(probability: f64, (what, means): (String, String), after: &'static str) -> Told {
    let how_likely = display::capitalised(Likelihood::of(probability).words());
    Told { how_likely, what, means, after }
}

/// From this share on the readings are said to be back. Words only, no source.
const BACK_FROM: f64 = 0.9;

fn after(repair: &Repair) -> &'static str {
    match repair.outcome {
        RepairOutcome::Worked if BACK_FROM <= repair.share => {
            "After the work the readings moved back as good as all the way."
        }
        RepairOutcome::Worked => "After the work the readings moved back most of the way.",
        RepairOutcome::DidNotWork => {
            "After the work the readings were about as before, so that it needs another look."
        }
        RepairOutcome::Overshot => {
            "After the work the readings went past those of a healthy system, so that it needs another \
             look."
        }
        RepairOutcome::TooClose => "Whether the work put it right can't be told from the readings.",
    }
}
