//! What it was against what was told first: the confusion table.

use std::collections::BTreeMap;

use serde::{Serialize, Serializer};

use super::{NamedCause, Row};
use crate::engine::causes::{CAUSES, CauseName};

/// What was told first, as a column of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// This cause alone.
    One(CauseName),
    /// Two causes at once, whichever.
    TwoAtOnce,
    /// No cause was named.
    NothingNamed,
}

impl Column {
    /// Every column, in the order of the table: each cause alone, two at once, nothing.
    pub fn all() -> impl Iterator<Item = Self> {
        let alone = CAUSES.iter().map(|it| Self::One(it.name));
        alone.chain([Self::TwoAtOnce, Self::NothingNamed])
    }

    /// The column of a row.
    #[must_use]
    pub fn of(row: &Row) -> Self {
        match row.told.map(|it| it.cause.alone()) {
            Some(Some(cause)) => Self::One(cause),
            Some(None) => Self::TwoAtOnce,
            None => Self::NothingNamed,
        }
    }

    /// Its word: that of the cause, `two_at_once` or `nothing_named`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::One(cause) => cause.key(),
            Self::TwoAtOnce => "two_at_once",
            Self::NothingNamed => "nothing_named",
        }
    }

    /// Plain words for people.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::One(cause) => cause.info().label,
            Self::TwoAtOnce => "Two causes at once",
            Self::NothingNamed => "No cause named",
        }
    }
}

impl Serialize for Column {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// All cases of one truth.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ConfusionRow {
    /// What it really was.
    pub truth: NamedCause,
    /// How often each column was told first, in the order of the columns.
    pub counts: Vec<u32>,
    /// How many cases there were.
    pub total: u32,
}

/// The whole table: truths that occurred, each against every column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Confusion {
    /// What each count of a row stands for.
    pub columns: Vec<Column>,
    /// One row a truth, causes alone first.
    pub rows: Vec<ConfusionRow>,
}

/// What gathers case by case, so that nobody needs to hold them all.
#[derive(Clone, Debug, Default)]
pub struct ConfusionTally {
    counts: BTreeMap<(bool, NamedCause), BTreeMap<Column, u32>>,
}

/// The table of some rows.
#[must_use]
pub fn confusion<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Confusion {
    let mut tally = ConfusionTally::default();
    for row in rows {
        tally.add(row);
    }
    tally.table()
}

impl ConfusionTally {
    /// Counts one row.
    pub fn add(&mut self, row: &Row) {
        let of_truth = self.counts.entry((row.truth.is_pair(), row.truth)).or_default();
        *of_truth.entry(Column::of(row)).or_default() += 1;
    }

    /// The table of what was counted.
    #[must_use]
    pub fn table(&self) -> Confusion {
        let columns: Vec<Column> = Column::all().collect();
        let of = |counts: &BTreeMap<Column, u32>| {
            columns.iter().map(|it| counts.get(it).copied().unwrap_or(0)).collect::<Vec<_>>()
        };
        let rows = self.counts.iter().map(|((_, truth), counts)| {
            let counts = of(counts);
            ConfusionRow { truth: *truth, total: counts.iter().sum(), counts }
        });
        let rows = rows.collect();
        Confusion { columns, rows }
    }
}

impl Confusion {
    /// How often this was told first where that was true.
    #[must_use]
    pub fn count(&self, truth: NamedCause, told: Column) -> u32 {
        let row = self.rows.iter().find(|it| it.truth == truth);
        let place = self.columns.iter().position(|it| *it == told);
        row.zip(place).and_then(|(row, place)| row.counts.get(place)).copied().unwrap_or(0)
    }
}
