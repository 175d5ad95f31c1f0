//! The limit book: every number that a verdict leans on, with its default, unit and source.

use std::collections::BTreeMap;

use serde::de::IntoDeserializer;
use serde::{Deserialize, Serialize};

mod limit_table;

pub use limit_table::{LIMITS, LimitName};

/// How a number came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// Seen in a published text.
    Read,
    /// Remembered from a published text that was not at hand.
    FromMemory,
    /// What the trade does; nobody publishes it.
    CommonPractice,
    /// Worked out from other numbers.
    Computed,
    /// Set by the company in place of the default.
    Company,
}

/// What the program knows of a limit before any company changes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitDefinition {
    /// Its name.
    pub name: LimitName,
    /// Plain words for people.
    pub label: &'static str,
    /// The default.
    pub default: f64,
    /// Unit as people write it.
    pub unit: &'static str,
    /// The least that a company may set.
    pub low: f64,
    /// The most that a company may set.
    pub high: f64,
    /// Where the default comes from, as users read it.
    pub source: &'static str,
    /// How the default came to be known.
    pub provenance: Provenance,
}

/// One entry of a company's book.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// The number in force.
    pub value: f64,
    /// Where it comes from, as users read it.
    pub source: String,
    /// How it came to be known.
    pub provenance: Provenance,
}

/// All limits in force, complete: an old visit keeps the book that it was judged by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredLimitBook", into = "StoredLimitBook")]
pub struct LimitBook {
    /// Which book this is, given back with every assessment.
    pub version: String,
    /// One entry a name, in the order of the names.
    limits: Vec<Limit>,
}

/// The same as it was written down, before it is known to be complete.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredLimitBook {
    version: String,
    limits: BTreeMap<LimitName, Limit>,
}

/// Why a limit was not accepted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LimitRefusal {
    /// The number is outside what the program takes.
    #[error("{label} must be {low} to {high} {unit}")]
    OutOfRange {
        /// The limit's plain words.
        label: &'static str,
        /// The least accepted.
        low: f64,
        /// The most accepted.
        high: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// A stored book lacks an entry.
    #[error("the limit book has no entry for {0}")]
    Incomplete(&'static str),
}

/// Version of the book that the program ships; raised whenever a default changes.
pub const DEFAULT_VERSION: &str = "default-2";

impl Default for LimitBook {
    fn default() -> Self {
        let limits = LIMITS.iter().map(LimitDefinition::default_limit).collect();
        Self { version: DEFAULT_VERSION.to_owned(), limits }
    }
}

impl TryFrom<StoredLimitBook> for LimitBook {
    type Error = LimitRefusal;

    fn try_from(stored: StoredLimitBook) -> Result<Self, LimitRefusal> {
        let mut limits = Vec::with_capacity(LIMITS.len());
        for definition in LIMITS {
            let limit = stored.limits.get(&definition.name).cloned();
            let limit = limit.ok_or(LimitRefusal::Incomplete(definition.label))?;
            definition.check(limit.value)?;
            limits.push(limit);
        }
        Ok(Self { version: stored.version, limits })
    }
}

impl From<LimitBook> for StoredLimitBook {
    fn from(book: LimitBook) -> Self {
        let names = LIMITS.iter().map(|it| it.name);
        Self { version: book.version, limits: names.zip(book.limits).collect() }
    }
}

impl LimitName {
    /// The word of a stored book, as in the store and in addresses.
    #[must_use]
    pub fn key(self) -> String {
        let word = serde_json::to_value(self);
        word.ok().and_then(|it| it.as_str().map(str::to_owned)).unwrap_or_default()
    }

    /// The name of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        let word: serde::de::value::StrDeserializer<serde::de::value::Error> =
            key.into_deserializer();
        Self::deserialize(word).ok()
    }
}

impl LimitBook {
    /// The book of a company: the program's defaults with the company's own values in their place.
    /// A value that this program no longer takes leaves its default in force.
    #[must_use]
    pub fn of_company(version: String, values: impl IntoIterator<Item = (LimitName, f64)>) -> Self {
        let mut book = Self { version, ..Self::default() };
        for (name, value) in values {
            if let Ok(changed) = book.changed(name, value, &book.version) {
                book = changed;
            }
        }
        book
    }

    /// The entry of this name.
    #[must_use]
    pub fn limit(&self, name: LimitName) -> &Limit {
        // Every way to make a book fills it in the order of the names.
        &self.limits[name as usize]
    }

    /// The number in force.
    #[must_use]
    pub fn value(&self, name: LimitName) -> f64 {
        self.limit(name).value
    }

    /// Where the number in force comes from.
    #[must_use]
    pub fn source(&self, name: LimitName) -> &str {
        &self.limit(name).source
    }

    /// The same book with one limit set by the company, under a new version.
    ///
    /// # Errors
    /// When the number is outside of what the program takes.
    pub fn changed(
        &self,
        name: LimitName,
        value: f64,
        version: &str,
    ) -> Result<Self, LimitRefusal> {
        name.definition().check(value)?;
        let mut book = self.clone();
        version.clone_into(&mut book.version);
        let source = format!("the company's own limit: {}", name.definition().label);
        book.limits[name as usize] = Limit { value, source, provenance: Provenance::Company };
        Ok(book)
    }
}

impl LimitDefinition {
    fn default_limit(&self) -> Limit {
        Limit { value: self.default, source: self.source.to_owned(), provenance: self.provenance }
    }

    fn check(&self, value: f64) -> Result<(), LimitRefusal> {
        if (self.low..=self.high).contains(&value) {
            return Ok(());
        }
        Err(LimitRefusal::OutOfRange {
            label: self.label,
            low: self.low,
            high: self.high,
            unit: self.unit,
        })
    }
}
