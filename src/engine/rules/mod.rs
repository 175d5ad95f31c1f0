//! Which measures are judged, on which systems, against which limits.

use std::sync::LazyLock;

use super::case::SystemKind;
use super::limits::LimitName;
use super::measures::{self, MeasureInfo};
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::validity::Procedure;
use super::{air_side, airflow, capacity, causes, charge, electrical, statics};

mod air_limits;
mod applies;
mod gauge_limits;
mod meter_limits;
mod rule_table;

use rule_table::RULES;

/// One judgement that may be made of a system.
pub(super) struct Rule {
    /// Key of the measure.
    pub(super) measure: &'static str,
    /// Whether the system has such a thing.
    pub(super) applies: fn(&Stage) -> bool,
    /// The procedure whose conditions must hold.
    pub(super) procedure: fn(&Stage) -> Procedure,
    /// What the value is held against.
    pub(super) limits: fn(&Stage) -> Limits,
}

/// What a value is held against.
pub(super) enum Limits {
    /// Numbers of the book or the nameplate.
    Fixed(Band),
    /// The same distance to both sides of a target that is worked out from readings: the place of
    /// that measure in the list.
    Around { target: usize, tolerance: f64, source: String },
    /// A fact is missing, in plain words.
    Unknown(&'static str),
}

/// Two limits, either of which may be absent.
#[derive(Default)]
pub(super) struct Band {
    pub(super) target: Option<f64>,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) source: String,
    pub(super) shown: Option<Shown>,
}

/// How people read a value that the engine keeps in percent: `offset + factor * value`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown {
    pub(super) factor: f64,
    pub(super) offset: f64,
    pub(super) unit: &'static str,
    pub(super) decimals: usize,
}

/// How every measure is worked out, in the order in which they are listed.
fn definitions() -> impl Iterator<Item = &'static Definition> {
    charge::DEFINITIONS
        .iter()
        .chain(air_side::DEFINITIONS)
        .chain(statics::DEFINITIONS)
        .chain(airflow::DEFINITIONS)
        .chain(capacity::DEFINITIONS)
        .chain(electrical::DEFINITIONS)
        .chain(causes::DEFINITIONS)
}

/// A measure with what people read of it.
pub(super) struct Listed {
    pub(super) definition: &'static Definition,
    pub(super) info: Option<&'static MeasureInfo>,
    /// Whether it means anything on a system.
    pub(super) is_measured: fn(&Stage) -> bool,
}

/// Every measure, so that none is looked for by its key a thousand times a visit.
pub(super) static LISTED: LazyLock<Vec<Listed>> = LazyLock::new(|| {
    let listed = |definition: &'static Definition| Listed {
        definition,
        info: measures::measure(definition.key),
        is_measured: meaning_on(definition.key),
    };
    definitions().map(listed).collect()
});

/// Places of the measures that people are shown; behind them stand the residuals that causes are
/// told by.
pub(super) static SHOWN: LazyLock<std::ops::Range<usize>> =
    LazyLock::new(|| 0..LISTED.len() - causes::DEFINITIONS.len());

/// Every rule that has a measure, with its place in the list.
pub(super) static JUDGED: LazyLock<Vec<(usize, &'static Rule)>> = LazyLock::new(|| {
    let place = |rule: &Rule| LISTED.iter().position(|it| it.definition.key == rule.measure);
    RULES.iter().filter_map(|rule| Some((place(rule)?, rule))).collect()
});

/// The rule of one measure, with its place in the list.
pub(super) fn rule(measure: &str) -> Option<(usize, &'static Rule)> {
    JUDGED.iter().copied().find(|(_, it)| it.measure == measure)
}

/// Whether a measure means anything on a system.
fn meaning_on(key: &str) -> fn(&Stage) -> bool {
    match key {
        _ if causes::DEFINITIONS.iter().any(|it| it.key == key) => |stage| stage.names_causes,
        "target_superheat_f" => |stage| !stage.facts().metering.is_expansion_valve(),
        // Metered outdoors: what the line set carries is no liquid under condensing pressure.
        "subcooling_f" | "approach_f" => |stage| stage.facts().kind != SystemKind::Ductless,
        "phase_unbalance_pct" => applies::has_three_phases,
        "coil_drop_inwc" => applies::has_cased_coil,
        "coil_drop_ratio" => applies::has_coil_table,
        "capacitor_compressor_required_deviation_pct" => {
            |it| applies::asks_for_another(it, PointKey::CapacitorCompressorUf)
        }
        "capacitor_fan_required_deviation_pct" => {
            |it| applies::asks_for_another(it, PointKey::CapacitorFanUf)
        }
        "capacitor_blower_required_deviation_pct" => {
            |it| applies::asks_for_another(it, PointKey::CapacitorBlowerUf)
        }
        _ => applies::always,
    }
}

fn at_most(stage: &Stage, name: LimitName) -> Limits {
    let limit = stage.book.limit(name);
    Limits::Fixed(Band { high: Some(limit.value), source: limit.source.clone(), ..Band::default() })
}

fn at_least(stage: &Stage, name: LimitName) -> Limits {
    let limit = stage.book.limit(name);
    Limits::Fixed(Band { low: Some(limit.value), source: limit.source.clone(), ..Band::default() })
}

/// Both limits from the book.
fn between(stage: &Stage, low: LimitName, high: LimitName) -> Limits {
    Limits::Fixed(Band {
        low: Some(stage.book.value(low)),
        high: Some(stage.book.value(high)),
        source: source_of_both(stage, low, high),
        ..Band::default()
    })
}

/// Where two limits come from; the same place is said once.
fn source_of_both(stage: &Stage, low: LimitName, high: LimitName) -> String {
    let (least, most) = (stage.book.source(low), stage.book.source(high));
    if least == most { least.to_owned() } else { format!("low: {least}; high: {most}") }
}

/// The same distance to both sides of a number of the nameplate.
fn near(target: f64, width: f64, source: String) -> Limits {
    Limits::Fixed(Band {
        target: Some(target),
        low: Some(target - width),
        high: Some(target + width),
        source,
        shown: None,
    })
}

fn around(target: &str, tolerance: f64, source: String) -> Limits {
    match LISTED.iter().position(|it| it.definition.key == target) {
        Some(target) => Limits::Around { target, tolerance, source },
        None => Limits::Unknown("the target"),
    }
}
