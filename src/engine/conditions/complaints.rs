//! Complaints that a reading bears out, tied to what was found and would explain them.

use super::complaint_table::{COMPLAINTS, ComplaintInfo, ComplaintName, EXPLANATIONS, Explanation};
use crate::engine::assessment::{Cause, Complaint, Condition, Outcome, Verdict};
use crate::engine::likely::Likelihood;
use crate::engine::needs::in_mid_sentence;
use crate::engine::stage::Stage;

/// What would explain a complaint: conditions and causes, by their words.
pub fn explains(complaint: ComplaintName) -> impl Iterator<Item = &'static Explanation> {
    EXPLANATIONS.iter().filter(move |it| it.complaint == complaint)
}

impl ComplaintName {
    /// What is known of it.
    #[must_use]
    pub fn info(self) -> &'static ComplaintInfo {
        // The table stands in the order of the names, which a test keeps.
        &COMPLAINTS[self as usize]
    }

    /// The complaint of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        COMPLAINTS.iter().find(|it| it.key == key).map(|it| it.name)
    }
}

/// The complaints of a stage, each with what was found likely and would explain it.
pub(in crate::engine) fn complaints(
    stage: &Stage,
    verdicts: &[Verdict],
    conditions: &[Condition],
    causes: &[Cause],
) -> Vec<Complaint> {
    let is_borne_out = |info: &&ComplaintInfo| {
        let mut verdicts = verdicts.iter();
        verdicts.any(|it| it.outcome == Outcome::Outside && it.measure == info.measure)
    };
    let borne_out = COMPLAINTS.iter().filter(is_borne_out);
    borne_out
        .map(|info| {
            let found = likely(conditions, causes);
            let told: Vec<_> = found.iter().filter_map(|it| told(info, it)).collect();
            Complaint {
                complaint: info.key.to_owned(),
                explained_by: told.iter().map(|it| (*it.0).to_owned()).collect(),
                reason: sentence(stage, info, &told),
            }
        })
        .collect()
}

/// The words of what was found likely, the likeliest first.
fn likely<'a>(conditions: &'a [Condition], causes: &'a [Cause]) -> Vec<&'a str> {
    let conditions = conditions.iter().map(|it| (it.condition.as_str(), it.probability));
    let causes = causes.iter().map(|it| (it.cause.as_str(), it.probability));
    let is_likely = |it: &(&str, f64)| Likelihood::of(it.1) <= Likelihood::Likely;
    let mut all: Vec<_> = conditions.chain(causes).filter(is_likely).collect();
    all.sort_by(|one, other| other.1.total_cmp(&one.1));
    all.into_iter().map(|it| it.0).collect()
}

/// A word with how it would explain the complaint; of two causes at once either may.
fn told<'a>(info: &ComplaintInfo, word: &&'a str) -> Option<(&'a str, &'static str)> {
    let explanation = explains(info.name).find(|it| word.split('+').any(|part| part == it.by))?;
    Some((*word, explanation.how))
}

fn sentence(stage: &Stage, info: &ComplaintInfo, told: &[(&str, &'static str)]) -> String {
    if !told.is_empty() {
        let how: Vec<&str> = told.iter().map(|it| it.1).collect();
        return ["It would fit that ", &how.join(", and that "), "."].concat();
    }
    let unread = info.readings.iter().find(|it| !stage.has(**it));
    match unread {
        Some(key) => {
            let label = in_mid_sentence(key.point().label);
            format!("Nothing that was found explains it; what would tell most: {label}.")
        }
        None => format!("Nothing that was found explains it; {}.", info.look_at),
    }
}
