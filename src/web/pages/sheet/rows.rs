//! The rows of a block: each field as the page shows it, without the answers below it.

use super::on_sheet::Standing;
use crate::actions::LastVisit;
use crate::domain::requirement::{AskedBy, Required};
use crate::domain::sheet::{self, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::points;
use crate::store::Remark;
use crate::web::{display, drawing};

/// What stands beside the fields: what was there last year, what the owner wrote, what is needed.
pub(super) struct Beside {
    pub(super) last: Option<LastVisit>,
    pub(super) remarks: Vec<Remark>,
    pub(super) required: Vec<Required>,
}

/// What stands beside one field.
pub(super) struct Near {
    /// Last year's value and verdict.
    pub(super) last: String,
    /// What the owner wrote when the sheet went back.
    pub(super) remarks: Vec<String>,
    /// Who asks for it; empty if nobody does.
    pub(super) needed: &'static str,
}

impl Beside {
    fn near(&self, name: &str) -> Near {
        let last = self.last.as_ref().and_then(|it| Some((it, it.fields.get(name)?)));
        let remarks = self.remarks.iter().filter(|it| it.field == name);
        let required = self.required.iter().find(|it| it.field.name() == name);
        Near {
            last: last.map_or_else(String::new, |(visit, field)| {
                let verdict = field.outcome.map(drawing::word);
                let verdict =
                    verdict.map_or_else(String::new, |it| format!(", {}", it.to_lowercase()));
                format!("{}: {}{verdict}", visit.day.year(), field.text)
            }),
            remarks: remarks.map(|it| format!("{}: {}", it.person_name, it.text)).collect(),
            needed: required.map_or("", |it| match it.by {
                AskedBy::Company => "needed",
                AskedBy::Plan => "needed by the plan",
            }),
        }
    }
}

/// One field of the block.
pub(super) enum Row {
    Reading(Box<ReadingRow>),
    Observation(Box<ObservationRow>),
    Tick { name: String, words: &'static str, ticked: bool, hazard: &'static str, near: Near },
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
    /// What was read as left before it is read once more.
    pub(super) before: String,
    pub(super) is_faulty: bool,
    /// When it was read, in milliseconds since 1970, and as people read it.
    pub(super) at: Option<(i64, String)>,
    pub(super) near: Near,
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
    /// The readings that stand behind its defect, by their keys.
    pub(super) behind: String,
    pub(super) near: Near,
}

/// The rows of a block, first those as found, then those as left.
pub(super) fn rows(
    block: &Block,
    fields: &[SheetField],
    (standing, beside): (&Standing, &Beside),
) -> (Vec<Row>, Vec<Row>) {
    let (mut found, mut left) = (Vec::new(), Vec::new());
    let mut last: Option<SheetField> = None;
    for field in fields {
        // The thirteenth block is nothing but reading again; the others have it behind them.
        let is_again = block.number != 13 && field.stage() == Stage::AsLeft;
        let rows = if is_again { &mut left } else { &mut found };
        rows.extend(heading(last, *field).map(Row::Heading));
        rows.extend(row(*field, (standing, beside)));
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

fn row(field: SheetField, (standing, beside): (&Standing, &Beside)) -> Option<Row> {
    let (name, key) = (field.name(), field.key());
    let near = beside.near(&name);
    let typed = standing.on_sheet.typed(field.stage(), &key).to_owned();
    let ticked = !typed.is_empty();
    Some(match field {
        SheetField::Reading(point, stage) => reading_row((point, stage), near, standing)?,
        SheetField::Observation(key, words) => observation_row((key, words), near, standing),
        SheetField::Words(_, words) => Row::Words { name, words, typed },
        SheetField::Work(_, words) | SheetField::Circumstance(_, words, _) => {
            Row::Tick { name, words, ticked, hazard: "", near }
        }
        SheetField::Hazard(hazard, words) => Row::Tick { name, words, ticked, hazard, near },
    })
}

fn observation_row(
    (key, words): (&'static str, &'static str),
    near: Near,
    standing: &Standing,
) -> Row {
    let said = |key: &str| standing.on_sheet.typed(Stage::AsFound, key).to_owned();
    let behind = sheet::behind(key);
    let repair = || (!said(&sheet::behind_key(key)).is_empty(), said(&sheet::consent_key(key)));
    Row::Observation(Box::new(ObservationRow {
        name: format!("as_found.observe.{key}"),
        typed: said(&format!("observe.{key}")),
        remark: said(&sheet::remark_key(key)),
        repair: (!behind.is_empty()).then(repair),
        behind: behind.join(" "),
        near,
        key,
        words,
    }))
}

fn reading_row(
    (key, stage): (&'static str, Stage),
    near: Near,
    standing: &Standing,
) -> Option<Row> {
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
        before: if is_left { on_sheet.before(key).to_owned() } else { String::new() },
        found: if is_left { on_sheet.typed(Stage::AsFound, key).to_owned() } else { String::new() },
        at: standing
            .read_at(stage, key)
            .map(|it| (it.unix_timestamp() * 1000, display::time(it, &standing.zone))),
        near,
        is_faulty: !on_sheet.fault(stage, key).is_empty(),
        unchanged: is_left.then(|| {
            let ticked = !on_sheet.typed(Stage::AsLeft, &unchanged).is_empty();
            (format!("as_left.{unchanged}"), ticked)
        }),
    })))
}
