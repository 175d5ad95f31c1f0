//! The rows of a block: each field as the page shows it, with its answers below.

use super::OnSheet;
use crate::domain::sheet::{self, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::assessment::{Assessment, Outcome};
use crate::engine::measures;
use crate::engine::points;
use crate::web::pages::verdicts::{self, VerdictView};

/// One field of the block.
pub(super) enum Row {
    Reading(Box<ReadingRow>),
    Observation { name: String, key: String, words: String, typed: String, remark: String },
    Tick { name: String, words: String, ticked: bool },
    Words { name: String, words: String, typed: String },
    Heading(&'static str),
}

pub(super) struct ReadingRow {
    pub(super) name: String,
    pub(super) label: &'static str,
    pub(super) unit: &'static str,
    pub(super) keyboard: &'static str,
    pub(super) how: &'static str,
    pub(super) stage: &'static str,
    pub(super) typed: String,
    pub(super) found: String,
    pub(super) fault: String,
    pub(super) doubts: Vec<String>,
    pub(super) answers: Vec<VerdictView>,
    pub(super) unchanged: Option<(String, bool)>,
}

pub(super) fn rows(block: &Block, on_sheet: &OnSheet, assessment: &Assessment) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut answered = Vec::new();
    let mut last: Option<SheetField> = None;
    for field in block.fields {
        if let Some(heading) = heading(last, *field, block.number) {
            rows.push(Row::Heading(heading));
        }
        rows.extend(row(*field, block, on_sheet, (assessment, &mut answered)));
        last = Some(*field);
    }
    rows
}

/// A heading where as left follows as found within one block, and above ticks of one kind.
fn heading(last: Option<SheetField>, field: SheetField, block: usize) -> Option<&'static str> {
    let is_left = |it: SheetField| matches!(it, SheetField::Reading(_, Stage::AsLeft));
    let was_left = last.is_some_and(is_left);
    match field {
        SheetField::Reading(_, Stage::AsLeft) if block != 13 && !was_left => {
            Some("Read again, as left")
        }
        SheetField::AfterRepair(_) if !matches!(last, Some(SheetField::AfterRepair(_))) => {
            Some("Stands behind a defect: will be read after its repair")
        }
        SheetField::Circumstance(..) if !matches!(last, Some(SheetField::Circumstance(..))) => {
            Some("What spoils readings while it lasts")
        }
        SheetField::Hazard(..) if !matches!(last, Some(SheetField::Hazard(..))) => {
            Some("Stops the work at once")
        }
        _ => None,
    }
}

fn row(
    field: SheetField,
    block: &Block,
    on_sheet: &OnSheet,
    judged: (&Assessment, &mut Vec<(Stage, &'static str)>),
) -> Option<Row> {
    let (name, key) = (field.name(), field.key());
    let typed = on_sheet.typed(field.stage(), &key).to_owned();
    Some(match field {
        SheetField::Reading(point, stage) => reading_row(point, stage, block, on_sheet, judged)?,
        SheetField::Observation(key, words) => Row::Observation {
            remark: on_sheet.typed(Stage::AsFound, &sheet::remark_key(key)).to_owned(),
            name,
            key: key.to_owned(),
            words: words.to_owned(),
            typed,
        },
        SheetField::Words(_, words) => Row::Words { name, words: words.to_owned(), typed },
        SheetField::Work(_, words)
        | SheetField::Hazard(_, words)
        | SheetField::Circumstance(_, words, _) => {
            Row::Tick { name, words: words.to_owned(), ticked: !typed.is_empty() }
        }
        SheetField::AfterRepair(point) => {
            let words = points::point(point)?.label.to_owned();
            Row::Tick { name, words, ticked: !typed.is_empty() }
        }
    })
}

fn reading_row(
    key: &'static str,
    stage: Stage,
    block: &Block,
    on_sheet: &OnSheet,
    (assessment, answered): (&Assessment, &mut Vec<(Stage, &'static str)>),
) -> Option<Row> {
    let point = points::point(key)?;
    let judged = match stage {
        Stage::AsFound => &assessment.as_found,
        Stage::AsLeft => &assessment.as_left,
    };
    // A verdict stands below the last of its readings in the block, so that it opens when it can.
    let mut answers = Vec::new();
    for verdict in judged.verdicts.iter().filter(|it| it.outcome != Outcome::NotTaken) {
        let Some(info) = measures::measure(&verdict.measure) else { continue };
        let is_last = block
            .fields
            .iter()
            .rev()
            .find_map(|field| match field {
                SheetField::Reading(point, at) if *at == stage => {
                    let used = info.points.contains(point) && on_sheet.has(*field);
                    used.then_some(*point)
                }
                _ => None,
            })
            .is_some_and(|last| last == key);
        if is_last && !answered.contains(&(stage, info.key)) {
            answered.push((stage, info.key));
            answers.extend(verdicts::view(verdict));
        }
    }
    let found = if stage == Stage::AsLeft { on_sheet.typed(Stage::AsFound, key) } else { "" };
    let unchanged_key = format!("unchanged.{key}");
    let may_be_unchanged = block.number == 13 && !found.is_empty();
    Some(Row::Reading(Box::new(ReadingRow {
        name: format!("{}.{key}", stage.key()),
        label: point.label,
        unit: point.unit_for_people(),
        // Some phones' number keys have no minus.
        keyboard: if point.low < 0.0 { "text" } else { "decimal" },
        how: point.how,
        stage: if stage == Stage::AsLeft { "as left" } else { "" },
        typed: on_sheet.typed(stage, key).to_owned(),
        found: found.to_owned(),
        fault: on_sheet.fault(stage, key).to_owned(),
        doubts: judged
            .doubts
            .iter()
            .filter(|doubt| doubt.points.iter().any(|point| point == key))
            .map(verdicts::doubt)
            .collect(),
        answers,
        unchanged: may_be_unchanged.then(|| {
            let ticked = !on_sheet.typed(Stage::AsLeft, &unchanged_key).is_empty();
            (format!("as_left.{unchanged_key}"), ticked)
        }),
    })))
}
