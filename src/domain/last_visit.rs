//! What a sheet said, field by field, as the next visit and the owner look back on it.

use std::collections::BTreeMap;

use super::sheet::{self, BLOCKS, Field};
use super::visit::Stage;
use crate::engine::assessment::{Assessment, Outcome, StageAssessment, Verdict};
use crate::engine::{measures, points};

/// One entry of a sheet, as it was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TypedField<'a> {
    /// As found or as left.
    pub stage: Stage,
    /// The field's key.
    pub field: &'a str,
    /// The text as typed; empty takes back what was there.
    pub typed: &'a str,
    /// Whether it can't be.
    pub is_refused: bool,
}

/// What stood in a field.
#[derive(Clone, Debug, PartialEq)]
pub struct LastField {
    /// In words: `44.1 µF`, `Needs attention`, `ticked`.
    pub text: String,
    /// What came of the measure that is shown at that reading, the worst where it is several.
    pub outcome: Option<Outcome>,
}

/// What stands in each field of a sheet, by the field's name (`as_found.return_wb_f`,
/// `as_found.observe.coil_face`): the newest entry of each, as long as it can be. The entries come
/// in their order.
#[must_use]
pub fn fields_of<'a>(
    entries: impl IntoIterator<Item = TypedField<'a>>,
    assessment: Option<&Assessment>,
) -> BTreeMap<String, LastField> {
    let mut newest: BTreeMap<String, TypedField<'_>> = BTreeMap::new();
    for entry in entries {
        newest.insert(name(entry.stage, entry.field), entry);
    }
    newest.retain(|_, entry| !entry.is_refused && !entry.typed.trim().is_empty());
    let is_read = |stage: Stage, point: &str| newest.contains_key(&name(stage, point));
    let shown = assessment.map(|it| shown_at(it, is_read)).unwrap_or_default();
    let field = |(name, entry): (&String, &TypedField<'_>)| {
        let verdicts = shown.get(name).map_or(&[][..], Vec::as_slice);
        let outcome = verdicts.iter().map(|it| it.outcome).min_by_key(|it| badness(*it));
        (name.clone(), LastField { text: text(entry), outcome })
    };
    newest.iter().map(field).collect()
}

/// The verdicts that are shown at each reading, by the field's name: a measure stands at the last
/// of its readings in the order of the sheet, for there it can be judged.
#[must_use]
pub fn shown_at(
    assessment: &Assessment,
    is_read: impl Fn(Stage, &str) -> bool,
) -> BTreeMap<String, Vec<&Verdict>> {
    let mut shown: BTreeMap<String, Vec<&Verdict>> = BTreeMap::new();
    for (stage, judged) in stages(assessment) {
        for verdict in judged.verdicts.iter().filter(|it| it.outcome != Outcome::NotTaken) {
            let Some(info) = measures::measure(&verdict.measure) else { continue };
            let fields = BLOCKS.iter().flat_map(|block| block.fields).rev();
            let mut readings = fields.filter_map(|field| match field {
                Field::Reading(point, at) if *at == stage => Some(*point),
                _ => None,
            });
            let last = readings.find(|it| info.points.contains(it) && is_read(stage, it));
            if let Some(point) = last {
                shown.entry(name(stage, point)).or_default().push(verdict);
            }
        }
    }
    shown
}

fn stages(assessment: &Assessment) -> [(Stage, &StageAssessment); 2] {
    [(Stage::AsFound, &assessment.as_found), (Stage::AsLeft, &assessment.as_left)]
}

fn name(stage: Stage, field: &str) -> String {
    format!("{}.{field}", stage.key())
}

/// The worst first: what needs a person most.
fn badness(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Outside => 0,
        Outcome::TooClose => 1,
        Outcome::NotValid => 2,
        Outcome::Within => 3,
        Outcome::NotTaken => 4,
    }
}

/// What was typed, for people.
fn text(entry: &TypedField<'_>) -> String {
    let typed = entry.typed.trim();
    if let Some(point) = points::point(entry.field) {
        return format!("{typed} {}", point.unit_for_people()).trim_end().to_owned();
    }
    if entry.field.starts_with("observe.") {
        let outcome = sheet::OUTCOMES.iter().find(|it| it.0 == typed);
        return outcome.map_or(typed, |it| it.1).to_owned();
    }
    let is_text = entry.field.starts_with("words.") || entry.field.starts_with("remark.");
    if typed == "yes" && !is_text { "ticked".to_owned() } else { typed.to_owned() }
}
