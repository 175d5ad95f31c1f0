//! What is on a sheet now: the newest entry of each field, and what waits for a decision.

use std::collections::BTreeMap;

use serde_json::Value;
use time::OffsetDateTime;

use crate::actions::{self, Typed};
use crate::domain::sheet::{self, BLOCKS, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::assessment::Assessment;
use crate::store::{Entered, HeldEntry, StoreError, Tx, Visit};
use crate::web::pages::verdicts;
use crate::web::viewer::Viewer;

/// The newest entry of each field, and over it what is being typed.
pub(in crate::web) struct OnSheet {
    entered: BTreeMap<(Stage, String), Entered>,
    drafts: BTreeMap<(Stage, String), String>,
}

impl OnSheet {
    pub(in crate::web) fn new(entries: Vec<Entered>) -> Self {
        let by_field = |it: Entered| ((it.stage, it.field.clone()), it);
        Self { entered: entries.into_iter().map(by_field).collect(), drafts: BTreeMap::new() }
    }

    pub(super) fn entry(&self, stage: Stage, field: &str) -> Option<&Entered> {
        self.entered.get(&(stage, field.to_owned()))
    }

    pub(super) fn typed(&self, stage: Stage, field: &str) -> &str {
        if let Some(draft) = self.drafts.get(&(stage, field.to_owned())) {
            return draft.trim();
        }
        let entry = self.entry(stage, field).filter(|it| self.take_of(stage, field) <= it.take);
        entry.map_or("", |entry| entry.typed.trim())
    }

    /// What was read as left before the block is read once more.
    pub(super) fn before(&self, field: &str) -> &str {
        let entry = self.entry(Stage::AsLeft, field);
        entry
            .filter(|it| it.take < self.take_of(Stage::AsLeft, field))
            .map_or("", |it| it.typed.trim())
    }

    /// Which reading as left a block is at.
    pub(super) fn take(&self, block: usize) -> i64 {
        let key = (Stage::AsLeft, sheet::again_key(block));
        self.entered.get(&key).and_then(|it| it.typed.trim().parse().ok()).unwrap_or(1)
    }

    fn take_of(&self, stage: Stage, field: &str) -> i64 {
        let block = if stage == Stage::AsLeft { sheet::block_left(field) } else { None };
        block.map_or(1, |it| self.take(it.number))
    }

    /// Why what was entered can't be; what is still being typed isn't blamed.
    pub(super) fn fault(&self, stage: Stage, field: &str) -> &str {
        if self.drafts.contains_key(&(stage, field.to_owned())) {
            return "";
        }
        self.entry(stage, field).map_or("", |entry| entry.refusal.as_str())
    }

    pub(super) fn has(&self, field: SheetField) -> bool {
        !self.typed(field.stage(), &field.key()).is_empty()
    }

    /// The names of all fields in which something was entered.
    pub(super) fn names(&self) -> Vec<String> {
        self.entered.keys().map(|(stage, field)| format!("{}.{field}", stage.key())).collect()
    }

    /// What was entered after a place in the order.
    pub(super) fn since(&self, number: i64) -> impl Iterator<Item = &Entered> {
        self.entered.values().filter(move |it| number < it.number)
    }

    /// What is being typed stands there as well as what was entered.
    fn lay_over(&mut self, draft: &Typed) {
        self.drafts.insert((draft.stage, draft.field.clone()), draft.text.clone());
    }
}

/// A visit's sheet with what the engine says of it.
pub(super) struct Standing {
    pub(super) visit: Visit,
    pub(super) on_sheet: OnSheet,
    /// When each reading was taken, as the engine takes it.
    read_at: BTreeMap<(Stage, String), OffsetDateTime>,
    /// What nobody has decided yet.
    pub(super) held: Vec<HeldEntry>,
    /// The `system` part of its document.
    facts: Value,
    pub(super) assessment: Assessment,
    /// Why nothing can be judged, if it can't.
    pub(super) unjudged: String,
    pub(super) zone: String,
    /// The office's.
    pub(super) phone: String,
}

impl Standing {
    /// Reads and judges a visit, with some fields as they are being typed.
    pub(super) async fn of(
        tx: &mut Tx,
        visit: Visit,
        drafts: &[Typed],
        viewer: &Viewer,
    ) -> Result<Self, StoreError> {
        let mut on_sheet = OnSheet::new(tx.entries_of(visit.number).await?);
        for draft in drafts {
            on_sheet.lay_over(draft);
        }
        let held = tx.entries_held(visit.number).await?;
        let read = tx.readings_of(visit.number).await?.into_iter();
        // Of a point that was read once more, the last.
        let read_at = read.map(|it| ((it.stage, it.point), it.taken_at)).collect();
        let (mut input, answer) = actions::judged_as_typed(tx, &visit, drafts, viewer.now).await?;
        let (assessment, unjudged) = match answer {
            Ok(assessment) => (assessment, String::new()),
            Err(fault) => (Assessment::default(), verdicts::sentence(&fault.message)),
        };
        Ok(Self {
            on_sheet,
            read_at,
            held: actions::waiting(held),
            facts: input.get_mut("system").map(Value::take).unwrap_or_default(),
            assessment,
            unjudged,
            zone: viewer.company.time_zone.clone(),
            phone: viewer.company.phone.clone(),
            visit,
        })
    }

    /// When what stands in a reading's field was taken; none of what can't be.
    pub(super) fn read_at(&self, stage: Stage, point: &str) -> Option<OffsetDateTime> {
        let is_there = !self.on_sheet.typed(stage, point).is_empty();
        self.read_at.get(&(stage, point.to_owned())).copied().filter(|_| is_there)
    }

    /// Whether the sheet of this system has a field. What was once entered is always shown.
    pub(super) fn has_place_for(&self, field: SheetField) -> bool {
        sheet::fits(field, &self.facts) || self.on_sheet.has(field)
    }

    /// The blocks of this system with their fields.
    pub(super) fn blocks(&self) -> Vec<(&'static Block, Vec<SheetField>)> {
        let fields = |block: &'static Block| {
            let all = block.fields.iter().copied();
            all.filter(|field| self.has_place_for(*field)).collect::<Vec<_>>()
        };
        let with_fields = BLOCKS.iter().map(|block| (block, fields(block)));
        with_fields.filter(|(_, fields)| !fields.is_empty()).collect()
    }
}
