//! Refrigerant that was moved, summed by cylinder and by system, and which systems ask for a leak
//! search by what was made up there.

use std::collections::BTreeMap;

use time::{Date, Duration};
use uuid::Uuid;

use crate::domain::closing::Direction;
use crate::domain::person::folded;

/// Days that count as the last twelve months.
const YEAR_DAYS: i64 = 365;
/// Tenths of an ounce made up at one system within twelve months from which a leak search is
/// suggested: one pound (judgement, no source; no legal threshold, which goes by the charge, the
/// kind of equipment and the law of the place).
pub const MUCH_OUNCE_TENTHS: i64 = 160;

/// One movement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovedRow {
    /// The visit.
    pub visit: Uuid,
    /// The system.
    pub system: Uuid,
    /// The day.
    pub day: Date,
    /// Which way.
    pub direction: Direction,
    /// How much, in tenths of an ounce.
    pub ounce_tenths: i64,
    /// What it was; empty where that isn't known.
    pub refrigerant: String,
    /// From or into which cylinder; empty where that isn't known.
    pub cylinder: String,
}

/// What was moved in all, in tenths of an ounce.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sum {
    /// Into systems.
    pub added: i64,
    /// Out of systems.
    pub recovered: i64,
}

impl Sum {
    fn add(&mut self, row: &MovedRow) {
        let side = match row.direction {
            Direction::Added => &mut self.added,
            Direction::Recovered => &mut self.recovered,
        };
        *side = side.saturating_add(row.ounce_tenths);
    }
}

/// What went through one cylinder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfCylinder {
    /// Its name as it was first written.
    pub cylinder: String,
    /// The refrigerant by the systems' plates.
    pub refrigerant: String,
    /// What went in and out.
    pub sum: Sum,
    /// When it was last used.
    pub last: Date,
}

/// What was moved at one system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OfSystem {
    /// The system.
    pub system: Uuid,
    /// What went in and out.
    pub sum: Sum,
    /// What was made up within twelve months: added, less what was recovered on the same visit,
    /// for what came out and went in again was not missing.
    pub made_up_of_year: i64,
    /// The last movement.
    pub last: Date,
}

impl OfSystem {
    /// Whether so much was made up within twelve months that a leak search is suggested.
    #[must_use]
    pub fn deserves_a_search(&self) -> bool {
        MUCH_OUNCE_TENTHS <= self.made_up_of_year
    }
}

/// The sums of each cylinder, by refrigerant and name. One name with two refrigerants stands twice:
/// either a name was given out again, or something was written wrongly.
#[must_use]
pub fn by_cylinder(rows: &[MovedRow]) -> Vec<OfCylinder> {
    let mut all: BTreeMap<(String, String), OfCylinder> = BTreeMap::new();
    for row in rows {
        let key = (row.refrigerant.clone(), folded(&row.cylinder));
        let entry = all.entry(key).or_insert_with(|| OfCylinder {
            cylinder: row.cylinder.clone(),
            refrigerant: row.refrigerant.clone(),
            sum: Sum::default(),
            last: row.day,
        });
        entry.sum.add(row);
        entry.last = entry.last.max(row.day);
    }
    all.into_values().collect()
}

/// The sums of each system: those that deserve a leak search first, then by the last movement.
#[must_use]
pub fn by_system(rows: &[MovedRow], today: Date) -> Vec<OfSystem> {
    let since = today.saturating_sub(Duration::days(YEAR_DAYS));
    let mut all: BTreeMap<Uuid, OfSystem> = BTreeMap::new();
    let mut visits: BTreeMap<(Uuid, Uuid), Sum> = BTreeMap::new();
    for row in rows {
        let system = row.system;
        let none = OfSystem { system, sum: Sum::default(), made_up_of_year: 0, last: row.day };
        let entry = all.entry(system).or_insert(none);
        entry.sum.add(row);
        entry.last = entry.last.max(row.day);
        if since < row.day {
            visits.entry((system, row.visit)).or_default().add(row);
        }
    }
    for ((system, _), sum) in visits {
        if let Some(entry) = all.get_mut(&system) {
            let made_up = sum.added.saturating_sub(sum.recovered).max(0);
            entry.made_up_of_year = entry.made_up_of_year.saturating_add(made_up);
        }
    }
    let mut all: Vec<OfSystem> = all.into_values().collect();
    all.sort_by_key(|it| (!it.deserves_a_search(), std::cmp::Reverse(it.last), it.system));
    all
}
