//! The limits sheet: the simple measures of one system as data, for a phone without network.
//!
//! It is no second engine. Rules, limits, procedures, points and tables are asked for what they say
//! of a system that nobody has read yet, and only how a value is worked out is named here a second
//! time, in one table. The suite holds every verdict of the phone's script against the engine's.

use std::collections::BTreeMap;

use serde::Serialize;

use super::case::Case;
use super::limits::{LimitBook, LimitName};
use super::points::{DefaultUncertainty, PointKey};
use super::stage::{Moment, Stage, UsedBook};

mod doubts;
mod lookups;
mod measures;
mod procedures;
mod term;
mod term_table;

pub use doubts::{SheetContradiction, SheetImpossible};
pub use lookups::SheetTable;
pub use measures::{Network, SheetMeasure, SheetTarget, SheetWay};
pub use procedures::SheetProcedure;
pub use term::Term;

/// What a phone judges by while the engine is out of reach, always provisionally.
///
/// Numbers are in the units of the points and of the measures. What is absent in the JSON is
/// none; a number that isn't known is null, and then nothing is worked out from it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LimitsSheet {
    /// Version of the engine that made it.
    pub engine: &'static str,
    /// Version of the limit book.
    pub rules: String,
    /// Probability from which a value is within; outside is below one less this.
    pub within: f64,
    /// Below this outdoor air, °F, no procedure that needs warmth is valid.
    pub outdoor_lowest_f: f64,
    /// Steady running, min, that such a procedure needs at least.
    pub settled_shortest_min: f64,
    /// Minutes between the readings of one measure at most.
    pub apart_longest_min: f64,
    /// Amps of the electric heat above which it heats: as if `strip_heat_on` were ticked.
    pub heat_amps_high: f64,
    /// Circumstances that hold by the system's own facts, as if they were ticked.
    pub always: Vec<&'static str>,
    /// What to do about each circumstance, by its word, without the full stop.
    pub remedies: BTreeMap<&'static str, &'static str>,
    /// The points that the sheet speaks of, by key.
    pub points: BTreeMap<&'static str, SheetPoint>,
    /// Look-ups by name: `bubble`, `dew`, `split`, `warmest`.
    pub tables: BTreeMap<&'static str, SheetTable>,
    /// The conditions of each procedure, by name.
    pub procedures: BTreeMap<&'static str, SheetProcedure>,
    /// Readings that can't be.
    pub impossible: Vec<SheetImpossible>,
    /// Liquid less suction pressure, psi, from which a contradiction of the refrigerant counts.
    pub pressures_apart_psi: f64,
    /// What then contradicts it; the first that holds counts.
    pub contradictions: Vec<SheetContradiction>,
    /// What is judged, in the order of the sheet.
    pub measures: Vec<SheetMeasure>,
}

/// A measuring point as the phone needs it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetPoint {
    /// Plain words for people.
    pub label: &'static str,
    /// Unit for people.
    pub unit: &'static str,
    /// Below this the value can't be.
    pub low: f64,
    /// Above this the value can't be.
    pub high: f64,
    /// Standard uncertainty of the instrument: the share of the value, and what is added to that.
    pub u: [f64; 2],
}

/// The limits sheet of one system, as found and as left alike. Readings of the case don't count.
#[must_use]
pub fn limits_sheet(case: &Case, book: &LimitBook) -> LimitsSheet {
    let bare = Case {
        system: case.system.clone(),
        site: case.site.clone(),
        instruments: case.instruments.clone(),
        ..Case::default()
    };
    let used = UsedBook::new(book);
    let stage = Stage::new(&bare, &used, Moment::AsFound);
    let measures = measures::measures(&stage);
    let (impossible, contradictions) = (doubts::impossible(&stage), doubts::contradictions(&stage));
    let doubted = impossible.iter().map(|it| &it.term);
    let doubted = doubted.chain(contradictions.iter().map(|it| &it.term));
    LimitsSheet {
        engine: super::VERSION,
        rules: used.version().to_owned(),
        within: used.value(LimitName::WithinProbability),
        outdoor_lowest_f: used.value(LimitName::OutdoorLowest),
        settled_shortest_min: used.value(LimitName::SettledShortest),
        apart_longest_min: used.value(LimitName::ReadingsApartLongest),
        heat_amps_high: used.value(LimitName::StripHeatHigh),
        always: procedures::always(&stage),
        remedies: procedures::remedies(),
        points: points(&stage, &measures, doubted),
        tables: lookups::tables(&stage),
        procedures: procedures::procedures(&stage),
        pressures_apart_psi: used.value(LimitName::SuctionNearLiquid),
        impossible,
        contradictions,
        measures,
    }
}

/// Points that conditions lean on, beside those of measures and doubts.
const CONDITIONS: [PointKey; 4] =
    [PointKey::OutdoorDbF, PointKey::ReturnDbF, PointKey::SettledMin, PointKey::StripHeatAmps];

fn points<'a>(
    stage: &Stage,
    measures: &[SheetMeasure],
    doubted: impl Iterator<Item = &'a Term>,
) -> BTreeMap<&'static str, SheetPoint> {
    let of_measures = measures.iter().flat_map(SheetMeasure::points);
    let of_doubts = doubted.flat_map(Term::points).map(PointKey::key);
    let of_conditions = CONDITIONS.into_iter().map(PointKey::key);
    of_measures
        .chain(of_doubts)
        .chain(of_conditions)
        .filter_map(PointKey::of)
        .map(|key| (key.key(), sheet_point(stage, key)))
        .collect()
}

fn sheet_point(stage: &Stage, key: PointKey) -> SheetPoint {
    let point = key.point();
    SheetPoint {
        label: point.label,
        unit: point.unit_for_people(),
        low: point.low,
        high: point.high,
        u: match stage.u_at(key) {
            DefaultUncertainty::Fixed(u) => [0.0, u],
            DefaultUncertainty::Share { of_value, plus } => [of_value, plus],
        },
    }
}
