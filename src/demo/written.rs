//! A check sheet as a technician writes it: texts by field, given out in the sheet's own order.

use std::collections::{BTreeMap, BTreeSet};

use crate::domain::closing::is_field;
use crate::domain::requirement::missing_key;
use crate::domain::sheet::{BLOCKS, Block, Field, remark_key};
use crate::domain::visit::Stage;
use crate::engine::points;

/// What is written so far.
#[derive(Default)]
pub(super) struct Sheet {
    texts: BTreeMap<String, String>,
}

/// One written field.
pub(super) struct Written {
    pub(super) stage: Stage,
    pub(super) field: String,
    pub(super) text: String,
}

impl Sheet {
    /// Writes readings as the instrument shows them.
    pub(super) fn read(&mut self, stage: Stage, readings: &[(&'static str, f64)]) {
        for (point, value) in readings {
            self.texts.insert(format!("{}.{point}", stage.key()), shown(point, *value));
        }
    }

    /// Ticks a box.
    pub(super) fn tick(&mut self, key: &str) {
        self.texts.insert(format!("as_found.{key}"), "yes".to_owned());
    }

    /// Notes how something looked.
    pub(super) fn observe(&mut self, key: &str, outcome: &str) {
        self.texts.insert(format!("as_found.observe.{key}"), outcome.to_owned());
    }

    /// Notes that something looked bad, and how.
    pub(super) fn remark(&mut self, key: &str, outcome: &str, remark: &str) {
        self.observe(key, outcome);
        self.texts.insert(format!("as_found.{}", remark_key(key)), remark.to_owned());
    }

    /// Writes free text.
    pub(super) fn say(&mut self, key: &str, text: impl Into<String>) {
        self.texts.insert(format!("as_found.words.{key}"), text.into());
    }

    /// Says why something is missing that the company asks for, by the field's name.
    pub(super) fn lack(&mut self, name: &str, reason: &str) {
        self.texts.insert(format!("as_found.{}", missing_key(name)), reason.to_owned());
    }

    /// Writes what closes the sheet.
    pub(super) fn close(&mut self, field: impl AsRef<str>, text: impl Into<String>) {
        self.texts.insert(format!("as_found.{}", field.as_ref()), text.into());
    }

    /// Whether something of that key was seen and left as it is.
    pub(super) fn wants_attention(&self, key: &str) -> bool {
        self.texts.get(&format!("as_found.{key}")).is_some_and(|it| it == "attention")
    }

    /// Whether an item is proposed already.
    pub(super) fn proposes(&self, item: &str) -> bool {
        self.texts.contains_key(&format!("as_found.proposal.{item}"))
    }

    /// What stands in one block, in its order; a remark follows its observation, and what closes the
    /// sheet its last block.
    pub(super) fn block(&self, block: &Block) -> Vec<Written> {
        let mut written = Vec::new();
        for field in block.fields {
            let mut keys = vec![field.key()];
            if let Field::Observation(key, _) = field {
                keys.push(remark_key(key));
            }
            keys.push(missing_key(&field.name()));
            let stage = field.stage();
            written.extend(keys.into_iter().filter_map(|field| {
                let text = self.texts.get(&format!("{}.{field}", stage.key()))?.clone();
                Some(Written { stage, field, text })
            }));
        }
        if block.number == BLOCKS.len() {
            let closing = self.texts.iter().filter_map(|(name, text)| {
                let field = name.strip_prefix("as_found.").filter(|it| is_field(it))?.to_owned();
                Some(Written { stage: Stage::AsFound, field, text: text.clone() })
            });
            written.extend(closing);
        }
        written
    }

    /// A field that was written but has no place on the sheet: it would be lost silently.
    pub(super) fn misplaced(&self) -> Option<String> {
        let placed: BTreeSet<String> = BLOCKS
            .iter()
            .flat_map(|block| self.block(block))
            .map(|it| format!("{}.{}", it.stage.key(), it.field))
            .collect();
        self.texts.keys().find(|key| !placed.contains(*key)).cloned()
    }
}

/// A value with as many figures as the instrument gives.
fn shown(point: &str, value: f64) -> String {
    match points::point(point).map_or("", |it| it.unit) {
        "in. w.c." | "A" | "in/ft" => format!("{value:.2}"),
        "mV" | "min" | "ppm" | "s" => format!("{value:.0}"),
        _ => format!("{value:.1}"),
    }
}
