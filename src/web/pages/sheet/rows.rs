//! The rows of a block: each field as the page shows it, without the answers below it.

use super::on_sheet::Standing;
use crate::domain::sheet::{self, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::points;

/// One field of the block.
pub(super) enum Row {
    Reading(Box<ReadingRow>),
    Observation(Box<ObservationRow>),
    Tick { name: String, words: &'static str, ticked: bool, hazard: &'static str },
    Words { name: String, words: &'static str, typed: String },
    Heading(&'static str),
}

pub(super) struct ReadingRow {
    pub(super) name: String,
    pub(super) label: &'static str,
    pub(super) unit: &'static str,
    /// Whether it may be negative: some phones' number keys have no minus.
    pub(super) is_signed: bool,
    pub(super) how: &'static str,
    pub(super) is_left: bool,
    pub(super) typed: String,
    pub(super) found: String,
    pub(super) is_faulty: bool,
    /// The box that says that nothing touched it, where it is read again.
    pub(super) unchanged: Option<(String, bool)>,
}

pub(super) struct ObservationRow {
    pub(super) name: String,
    pub(super) key: &'static str,
    pub(super) words: &'static str,
    pub(super) typed: String,
    pub(super) remark: String,
    /// Where readings stand behind its defect: whether it will be repaired now, and what the
    /// customer said to that.
    pub(super) repair: Option<(bool, String)>,
}

/// The rows of a block, first those as found, then those as left.
pub(super) fn rows(
    block: &Block,
    fields: &[SheetField],
    standing: &Standing,
) -> (Vec<Row>, Vec<Row>) {
    let (mut found, mut left) = (Vec::new(), Vec::new());
    let mut last: Option<SheetField> = None;
    for field in fields {
        // The thirteenth block is nothing but reading again; the others have it behind them.
        let is_again = block.number != 13 && field.stage() == Stage::AsLeft;
        let rows = if is_again { &mut left } else { &mut found };
        rows.extend(heading(last, *field).map(Row::Heading));
        rows.extend(row(*field, standing));
        last = Some(*field);
    }
    (found, left)
}

/// A heading above ticks of one kind.
fn heading(last: Option<SheetField>, field: SheetField) -> Option<&'static str> {
    match field {
        SheetField::Circumstance(..) if !matches!(last, Some(SheetField::Circumstance(..))) => {
            Some("What spoils readings while it lasts")
        }
        SheetField::Hazard(..) if !matches!(last, Some(SheetField::Hazard(..))) => {
            Some("Stops the work at once")
        }
        _ => None,
    }
}

fn row(field: SheetField, standing: &Standing) -> Option<Row> {
    let (name, key) = (field.name(), field.key());
    let typed = standing.on_sheet.typed(field.stage(), &key).to_owned();
    let ticked = !typed.is_empty();
    Some(match field {
        SheetField::Reading(point, stage) => reading_row(point, stage, standing)?,
        SheetField::Observation(key, words) => observation_row(name, (key, words), typed, standing),
        SheetField::Words(_, words) => Row::Words { name, words, typed },
        SheetField::Work(_, words) | SheetField::Circumstance(_, words, _) => {
            Row::Tick { name, words, ticked, hazard: "" }
        }
        SheetField::Hazard(hazard, words) => Row::Tick { name, words, ticked, hazard },
    })
}

fn observation_row(
    name: String,
    (key, words): (&'static str, &'static str),
    typed: String,
    standing: &Standing,
) -> Row {
    let said = |key: &str| standing.on_sheet.typed(Stage::AsFound, key).to_owned();
    let has_behind = !sheet::behind(key).is_empty();
    let repair = has_behind
        .then(|| (!said(&sheet::behind_key(key)).is_empty(), said(&sheet::consent_key(key))));
    Row::Observation(Box::new(ObservationRow {
        remark: said(&sheet::remark_key(key)),
        name,
        key,
        words,
        typed,
        repair,
    }))
}

fn reading_row(key: &'static str, stage: Stage, standing: &Standing) -> Option<Row> {
    let point = points::point(key)?;
    let on_sheet = &standing.on_sheet;
    let is_left = stage == Stage::AsLeft;
    let unchanged = format!("unchanged.{key}");
    Some(Row::Reading(Box::new(ReadingRow {
        name: format!("{}.{key}", stage.key()),
        label: point.label,
        unit: point.unit_for_people(),
        is_signed: point.low < 0.0,
        how: point.how,
        is_left,
        typed: on_sheet.typed(stage, key).to_owned(),
        found: if is_left { on_sheet.typed(Stage::AsFound, key).to_owned() } else { String::new() },
        is_faulty: !on_sheet.fault(stage, key).is_empty(),
        unchanged: is_left.then(|| {
            let ticked = !on_sheet.typed(Stage::AsLeft, &unchanged).is_empty();
            (format!("as_left.{unchanged}"), ticked)
        }),
    })))
}
