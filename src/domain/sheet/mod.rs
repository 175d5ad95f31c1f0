//! The check sheet of a cooling visit: its blocks in the order of the hands.
//!
//! The order is a rule of the trade (common practice, no source): nothing is changed before it
//! was read, and nobody walks back.

mod behind;
mod block_table;
mod fit;

use super::visit::Stage;

pub use behind::behind;
pub use block_table::BLOCKS;
pub use fit::fits;

/// One thing to fill in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// A measuring point, by its key, as found or as left.
    Reading(&'static str, Stage),
    /// Something looked at: key, words, and whether it being bad is a repair or only a watch.
    Observation(&'static str, &'static str),
    /// Work that was done: key, words.
    Work(&'static str, &'static str),
    /// Something that stops the work at once: key, words.
    Hazard(&'static str, &'static str),
    /// Free text: key, words.
    Words(&'static str, &'static str),
    /// What spoils readings while it lasts: key of the assess document, words, stage.
    Circumstance(&'static str, &'static str, Stage),
}

/// One block of the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Block {
    /// Its number on the sheet.
    pub number: usize,
    /// Its heading.
    pub title: &'static str,
    /// What can hurt somebody here, or what makes the readings mean something.
    pub caution: &'static str,
    /// What there is to fill in.
    pub fields: &'static [Field],
}

use Field::{Circumstance, Hazard, Observation, Reading, Words, Work};
use Stage::{AsFound, AsLeft};

/// How the reason of what changed on a sheet that came back begins; the owner's remark follows.
pub const AFTER_SENT_BACK: &str = "After it was sent back: ";

/// What an observation can come to: key, words.
pub const OUTCOMES: &[(&str, &str)] = &[
    ("in_order", "In order"),
    ("fixed", "Found bad and fixed"),
    ("attention", "Needs attention"),
    ("not_accessible", "Not accessible"),
    ("does_not_apply", "Does not apply"),
];

/// A block by its number.
#[must_use]
pub fn block(number: usize) -> Option<&'static Block> {
    BLOCKS.iter().find(|block| block.number == number)
}

/// The block in which a measuring point is read as found.
#[must_use]
pub fn block_of_point(point: &str) -> Option<&'static Block> {
    BLOCKS.iter().find(|block| {
        let mut fields = block.fields.iter();
        fields.any(|field| matches!(field, Reading(key, AsFound) if *key == point))
    })
}

impl Field {
    /// The field's key in the log of entries; with the stage it is the name in the form.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Reading(point, _) => point.to_owned(),
            Observation(key, _) => format!("observe.{key}"),
            Work(key, _) => format!("work.{key}"),
            Hazard(key, _) => format!("hazard.{key}"),
            Words(key, _) => format!("words.{key}"),
            Circumstance(key, ..) => format!("circumstance.{key}"),
        }
    }

    /// The stage that it belongs to.
    #[must_use]
    pub fn stage(self) -> Stage {
        match self {
            Reading(_, stage) | Circumstance(_, _, stage) => stage,
            _ => AsFound,
        }
    }

    /// The name in the form and in refusals: `as_found.return_wb_f`.
    #[must_use]
    pub fn name(self) -> String {
        format!("{}.{}", self.stage().key(), self.key())
    }

    /// Whether it is a box to tick rather than a text.
    #[must_use]
    pub fn is_tick(self) -> bool {
        matches!(self, Work(..) | Hazard(..) | Circumstance(..))
    }
}

/// The remark beside an observation.
#[must_use]
pub fn remark_key(observation: &str) -> String {
    format!("remark.{observation}")
}

/// Whether an observation's defect will be repaired now, and what stands behind it read after.
#[must_use]
pub fn behind_key(observation: &str) -> String {
    format!("behind.{observation}")
}

/// What the customer said to that repair.
#[must_use]
pub fn consent_key(observation: &str) -> String {
    format!("consent.{observation}")
}

/// Which reading as left a block is at: 2 where its readings are taken a second time, and so on.
#[must_use]
pub fn again_key(block: usize) -> String {
    format!("again.{block}")
}

/// The most often that a block is read as left (judgement, no source).
pub const TAKES_MAX: i64 = 9;

/// The block of such a key, if it has readings as left.
#[must_use]
pub fn block_of_again(key: &str) -> Option<&'static Block> {
    let block = block(key.strip_prefix("again.")?.parse().ok()?)?;
    let is_left = |it: &Field| matches!(it, Reading(_, AsLeft));
    block.fields.iter().any(is_left).then_some(block)
}

/// The block in which a measuring point is read as left.
#[must_use]
pub fn block_left(point: &str) -> Option<&'static Block> {
    BLOCKS.iter().find(|block| {
        let mut fields = block.fields.iter();
        fields.any(|it| matches!(it, Reading(key, AsLeft) if *key == point))
    })
}

/// What a customer may have said to a repair on the spot: key, words.
pub const CONSENTS: &[(&str, &str)] = &[("agreed", "Agreed"), ("declined", "Declined")];

/// The words of an observation, of a hazard or of work, by key.
#[must_use]
pub fn words_of(key: &str) -> Option<&'static str> {
    BLOCKS.iter().flat_map(|block| block.fields).find_map(|field| match field {
        Observation(..) | Work(..) | Hazard(..) | Words(..) if field.key() == key => match field {
            Observation(_, words) | Work(_, words) | Hazard(_, words) | Words(_, words) => {
                Some(*words)
            }
            _ => None,
        },
        _ => None,
    })
}
