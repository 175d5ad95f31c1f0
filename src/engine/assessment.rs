//! The output: measures, verdicts, causes, conditions and doubts of each stage.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::limits::LimitName;

/// What the engine says of one visit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Assessment {
    /// The id of the document, given back unchanged.
    pub id: String,
    /// Version of the engine.
    pub engine: String,
    /// Version of the limit book.
    pub rules: String,
    /// Version of the causes' priors.
    #[serde(default)]
    pub priors: String,
    /// The limits of the book that were looked up, by name.
    #[serde(default, deserialize_with = "known_limits")]
    pub limits: BTreeMap<LimitName, f64>,
    /// Before anything was touched.
    pub as_found: StageAssessment,
    /// After cleaning and repair; empty when nothing was read again.
    #[serde(default, serialize_with = "empty_or_whole")]
    pub as_left: StageAssessment,
    /// Measures of both stages.
    pub change: Vec<Change>,
    /// Whether the work did away with the likeliest cause.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repair: Option<Repair>,
}

/// What the engine says of one stage.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct StageAssessment {
    /// What could be worked out.
    pub measures: Vec<Measure>,
    /// What was judged, and what could not be.
    pub verdicts: Vec<Verdict>,
    /// Why no cause is named.
    pub abstained: Option<String>,
    /// Explanations of the verdicts, the likeliest first.
    pub causes: Vec<Cause>,
    /// What a healthy system would show, as causes are weighed against it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub expected: Vec<Expected>,
    /// Earlier visits of this system that narrowed the expectation.
    #[serde(skip_serializing_if = "is_zero")]
    pub history_used: usize,
    /// Why other earlier visits were left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub history_left_out: Vec<String>,
    /// Conditions that hold beside any cause.
    pub conditions: Vec<Condition>,
    /// Complaints that a reading bears out, with what would explain them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub complaints: Vec<Complaint>,
    /// Readings that can't be, or are suspicious.
    pub doubts: Vec<Doubt>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it so")]
fn is_zero(count: &usize) -> bool {
    *count == 0
}

impl StageAssessment {
    /// Whether nothing was read in this stage.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Those that this program still knows: a limit that was dropped since must not make an old
/// judgement unreadable.
fn known_limits<'de, D: Deserializer<'de>>(
    source: D,
) -> Result<BTreeMap<LimitName, f64>, D::Error> {
    let all = BTreeMap::<String, f64>::deserialize(source)?;
    Ok(all.iter().filter_map(|(key, value)| Some((LimitName::of_key(key)?, *value))).collect())
}

fn empty_or_whole<S: Serializer>(
    stage: &StageAssessment,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    if stage.is_empty() {
        return serde_json::Map::new().serialize(serializer);
    }
    stage.serialize(serializer)
}

/// A number worked out from readings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// Key of the measure.
    pub measure: Cow<'static, str>,
    /// Its value.
    pub value: f64,
    /// Its standard uncertainty from the instruments.
    pub u: f64,
}

/// One judgement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// Key of the measure.
    pub measure: Cow<'static, str>,
    /// What came of it.
    pub outcome: Outcome,
    /// The value judged.
    pub value: Option<f64>,
    /// Its standard uncertainty.
    pub u: Option<f64>,
    /// What the value should be, where the limits lie around a target.
    pub target: Option<f64>,
    /// Standard uncertainty of the value against its limits where that is not the value's own:
    /// where the target is worked out from readings too, with what both share counted once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_margin: Option<f64>,
    /// Lower limit.
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// Probability that the true value lies within the limits.
    pub p_within: Option<f64>,
    /// Which limit is near or crossed.
    pub side: Option<Side>,
    /// Where the limit comes from.
    pub source: String,
    /// One plain sentence.
    pub reason: String,
}

/// A measure by which people are hurt: near its limit is already too near.
pub(super) const HURTS_PEOPLE: &str = "ambient_co_ppm";

impl Verdict {
    /// Whether somebody must do something about it: it is outside, or it is about people's lives
    /// and the instrument can't say that it is within.
    #[must_use]
    pub fn is_alarm(&self) -> bool {
        match self.outcome {
            Outcome::Outside => true,
            Outcome::TooClose => self.measure == HURTS_PEOPLE,
            _ => false,
        }
    }
}

/// The five outcomes of a judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Within its limits, beyond the instrument's error.
    Within,
    /// Nearer to a limit than the instrument can tell.
    TooClose,
    /// Outside its limits, beyond the instrument's error.
    Outside,
    /// The procedure's conditions were not met.
    NotValid,
    /// Something that it needs was not read or is not known.
    NotTaken,
}

/// Which limit a value is near or beyond.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The lower one.
    Low,
    /// The upper one.
    High,
}

/// An explanation of the verdicts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cause {
    /// Its name.
    pub cause: String,
    /// How likely it is among all causes of the stage.
    pub probability: f64,
    /// How bad it is.
    pub severity: Option<Severity>,
    /// Measures that speak for it.
    #[serde(rename = "for")]
    pub evidence_for: Vec<String>,
    /// Measures that speak against it.
    #[serde(rename = "against")]
    pub evidence_against: Vec<String>,
    /// The next reading that would tell it from its rival.
    pub tell_apart: Option<String>,
}

/// What a healthy system would show at the day's conditions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Expected {
    /// Key of the measure, or of the reading where no measure has it.
    pub measure: Cow<'static, str>,
    /// The expected value.
    pub value: f64,
    /// Its standard uncertainty: how far healthy systems lie from it.
    pub u: f64,
}

/// What the work did about the likeliest cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Repair {
    /// The cause, as found.
    pub cause: String,
    /// What came of it.
    pub outcome: RepairOutcome,
    /// Probability that more than half of it is gone.
    pub probability: f64,
    /// Share of it that is gone.
    pub share: f64,
    /// Standard uncertainty of the share.
    pub u: f64,
    /// How far off each was, before and after.
    pub residuals: Vec<ResidualChange>,
}

/// Whether a repair worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RepairOutcome {
    /// Most of the cause is gone.
    Worked,
    /// More was changed than the cause asked for: the opposite may be wrong now.
    Overshot,
    /// Most of it is still there.
    DidNotWork,
    /// The readings can't tell.
    TooClose,
}

/// How far one measure was from a healthy system's, before and after.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ResidualChange {
    /// Key of the measure.
    pub measure: String,
    /// Distance as found, in the measure's unit; a share for amps and airflow.
    pub as_found: f64,
    /// Distance as left.
    pub as_left: f64,
    /// Standard uncertainty of the change.
    pub u: f64,
}

/// How bad a cause is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Severity {
    /// The size.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// Its unit.
    pub unit: String,
}

/// Something that holds beside any cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Condition {
    /// Its name.
    pub condition: String,
    /// How likely it holds.
    pub probability: f64,
    /// Measures and observations that speak for it, by key, the most telling first.
    #[serde(rename = "for")]
    pub evidence_for: Vec<String>,
    /// The next reading that would settle it, by point key.
    pub tell_apart: Option<String>,
}

/// Something that customers complain of and that a reading bears out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Complaint {
    /// Its name.
    pub complaint: String,
    /// Conditions and causes that were found likely and would explain it, the likeliest first.
    pub explained_by: Vec<String>,
    /// One plain sentence: how they would, or what would tell where nothing does.
    pub reason: String,
}

/// Readings that can't be, or are suspicious.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Doubt {
    /// How far the doubt goes.
    pub kind: DoubtKind,
    /// The readings in doubt, by point key.
    pub points: Vec<String>,
    /// One plain sentence.
    pub reason: String,
    /// What may have happened.
    pub perhaps: Option<String>,
}

/// How far a doubt goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DoubtKind {
    /// Physics forbids it: never judged.
    Impossible,
    /// It may be the fault itself: judged, and called suspicious.
    Suspicious,
}

/// One measure of both stages.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// Key of the measure.
    pub measure: Cow<'static, str>,
    /// Its value as found.
    pub as_found: f64,
    /// Its value as left.
    pub as_left: f64,
    /// Standard uncertainty of the difference: errors of tables and of readings that were carried
    /// over are the same before and after; all others count twice.
    pub u: f64,
}
