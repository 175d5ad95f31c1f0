//! What a sheet needs before it comes in: what the company asks of every yearly sheet, and what the
//! plan that was sold asks beside it. What is missing has a reason, or the sheet stays out.

use super::sheet::{self, BLOCKS, Block, Field};
use super::visit::{Stage, VisitKind};
use crate::engine::points;

/// How long a reason is (judgement, no source): a word says nothing, a page is no reason.
pub const REASON_LETTERS: (usize, usize) = (3, 500);

/// Something that a sheet needs.
#[derive(Clone, Copy, Debug)]
pub struct Required {
    /// The field.
    pub field: Field,
    /// Where it stands.
    pub block: &'static Block,
    /// Who asks for it.
    pub by: AskedBy,
}

/// Who asks for a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AskedBy {
    /// The company, of every yearly sheet.
    Company,
    /// The plan that was sold.
    Plan,
}

impl AskedBy {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Company => "the company asks for it",
            Self::Plan => "the customer’s plan promises it",
        }
    }
}

/// Something that a sheet needs and doesn't have.
#[derive(Clone, Debug)]
pub struct Missing {
    /// What.
    pub required: Required,
    /// Why it is missing; empty where nobody said.
    pub reason: String,
}

/// Whether a list may ask for a field: readings, observations and work. What stops the work, what
/// spoils readings and free words can't be asked for: nobody should make them up.
#[must_use]
pub fn may_be_required(field: Field) -> bool {
    matches!(field, Field::Reading(..) | Field::Observation(..) | Field::Work(..))
}

/// The fields that a list may ask for, by block in the order of the sheet.
#[must_use]
pub fn choices() -> Vec<(&'static Block, Vec<Field>)> {
    let of = |block: &'static Block| {
        (block, block.fields.iter().copied().filter(|it| may_be_required(*it)).collect())
    };
    BLOCKS.iter().map(of).collect()
}

/// The field of that name, if a list may ask for it.
#[must_use]
pub fn field_of(name: &str) -> Option<(&'static Block, Field)> {
    choices().into_iter().find_map(|(block, fields)| {
        fields.into_iter().find(|it| it.name() == name).map(|field| (block, field))
    })
}

/// A field in words, as left named so: `Return wet bulb, as left`.
#[must_use]
pub fn words(field: Field) -> String {
    let key = field.key();
    let words = match field {
        Field::Reading(point, _) => points::point(point).map_or(point, |it| it.label),
        _ => sheet::words_of(&key).unwrap_or(&key),
    };
    if field.stage() == Stage::AsLeft { format!("{words}, as left") } else { words.to_owned() }
}

/// Names that a list may have, each once, in the order of the sheet.
#[must_use]
pub fn in_order<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let wanted: Vec<&str> = names.into_iter().collect();
    let all = choices().into_iter().flat_map(|it| it.1).map(Field::name);
    all.filter(|name| wanted.contains(&name.as_str())).collect()
}

/// Whether lists hold for visits of a kind: for the yearly one. A charge check, a repair and a
/// callback are there for one thing.
#[must_use]
pub fn hold_for(kind: VisitKind) -> bool {
    kind == VisitKind::CoolingMaintenance
}

/// What a visit's sheet needs by both lists, in the order of the sheet. What the system doesn't
/// have (`fits` says so) is not asked for, nor is what the program's sheet no longer has.
#[must_use]
pub fn union(company: &[String], plan: &[String], fits: impl Fn(Field) -> bool) -> Vec<Required> {
    let mut all = Vec::new();
    for (block, fields) in choices() {
        for field in fields {
            let name = field.name();
            let by = if company.contains(&name) {
                AskedBy::Company
            } else if plan.contains(&name) {
                AskedBy::Plan
            } else {
                continue;
            };
            if fits(field) {
                all.push(Required { field, block, by });
            }
        }
    }
    all
}

/// What of it is missing, with the reason where somebody gave one.
#[must_use]
pub fn missing(
    required: &[Required],
    has: impl Fn(Field) -> bool,
    reason: impl Fn(&str) -> String,
) -> Vec<Missing> {
    let lacking = required.iter().filter(|it| !has(it.field));
    lacking
        .map(|it| Missing { required: *it, reason: reason(&missing_key(&it.field.name())) })
        .collect()
}

/// The key in the log of why a field is missing: `missing.as_found.return_wb_f`.
#[must_use]
pub fn missing_key(name: &str) -> String {
    format!("missing.{name}")
}

/// What is wrong with a reason; nothing if it says why. An empty one takes it back.
#[must_use]
pub fn fault_of_reason(text: &str) -> Option<String> {
    let (least, most) = REASON_LETTERS;
    let letters = text.trim().chars().count();
    if letters == 0 || (least..=most).contains(&letters) {
        return None;
    }
    Some(format!("Why it is missing: {letters} letters given; {least} to {most} are accepted."))
}

/// What keeps a sheet from coming in, in one sentence; nothing if nothing does.
#[must_use]
pub fn refusal(missing: &[Missing]) -> Option<String> {
    let mut silent = missing.iter().filter(|it| it.reason.is_empty());
    let first = silent.next()?;
    let rest = silent.count();
    let what =
        format!("“{}” in block {}", words(first.required.field), first.required.block.number);
    Some(match rest {
        0 => format!("{what} is needed: enter it, or say why it is missing."),
        _ => format!(
            "{what} and {rest} more are needed: enter them, or say why each of them is missing."
        ),
    })
}
