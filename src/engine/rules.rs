//! Which measures are judged, on which systems, against which limits.

use super::case::{BlowerKind, Cabinet, RatedVolts, SystemKind};
use super::charge;
use super::electrical;
use super::limits::LimitName;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::validity::Procedure;
use super::{air_side, airflow};

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
    /// The same distance to both sides of a target that is worked out from readings.
    Around { target: &'static Definition, tolerance: f64, source: String },
    /// A fact is missing, in plain words.
    Unknown(&'static str),
}

/// Two limits, either of which may be absent.
pub(super) struct Band {
    pub(super) target: Option<f64>,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) source: String,
    pub(super) shown: Option<Shown>,
}

/// How people read a value that the engine keeps in percent: `offset + factor * value`.
#[derive(Clone, Copy)]
pub(super) struct Shown {
    pub(super) factor: f64,
    pub(super) offset: f64,
    pub(super) unit: &'static str,
    pub(super) decimals: usize,
}

/// Every judgement, in the order of the sheet.
pub(super) static RULES: &[Rule] = &[
    rule("superheat_f", |_| true, superheat_procedure, superheat_limits),
    rule("subcooling_f", has_subcooling_target, |_| Procedure::Charge, subcooling_limits),
    rule("approach_f", has_approach_target, |_| Procedure::Charge, approach_limits),
    rule("temperature_split_f", |_| true, |_| Procedure::Split, split_limits),
    rule("external_static_inwc", is_ducted, |_| Procedure::Static, external_static_limits),
    rule(
        "filter_drop_inwc",
        is_ducted,
        |_| Procedure::Static,
        |stage| at_most(stage, LimitName::FilterDropHigh),
    ),
    rule(
        "coil_drop_inwc",
        has_cased_coil,
        |_| Procedure::Static,
        |stage| at_most(stage, LimitName::CoilDropHigh),
    ),
    rule("capacitor_compressor_deviation_pct", has_compressor_capacitor, anytime, |stage| {
        capacitor_limits(stage, "capacitor_compressor_uf")
    }),
    rule("capacitor_fan_deviation_pct", has_fan_capacitor, anytime, |stage| {
        capacitor_limits(stage, "capacitor_fan_uf")
    }),
    rule("capacitor_blower_deviation_pct", has_blower_capacitor, anytime, |stage| {
        capacitor_limits(stage, "capacitor_blower_uf")
    }),
    rule("capacitor_running_uf", read_under_load, anytime, running_capacitor_limits),
    rule(
        "volts_outdoor_deviation_pct",
        |_| true,
        anytime,
        |stage| volts_limits(stage, stage.facts().volts_outdoor_rated),
    ),
    rule("volts_indoor_deviation_pct", has_indoor_supply, anytime, |stage| {
        volts_limits(stage, stage.facts().volts_indoor_rated)
    }),
    rule("volts_sag_pct", |_| true, anytime, |stage| at_most(stage, LimitName::VoltsSagHigh)),
    rule(
        "phase_unbalance_pct",
        |stage| stage.facts().phases == Some(3),
        anytime,
        |stage| at_most(stage, LimitName::PhaseUnbalanceHigh),
    ),
    rule("compressor_amps_pct_of_rla", |_| true, |_| Procedure::CompressorLoad, amps_limits),
    rule("condenser_fan_amps_pct_of_fla", |_| true, |_| Procedure::OutdoorFan, amps_limits),
    rule("blower_amps_pct_of_fla", |_| true, |_| Procedure::Static, amps_limits),
    rule(
        "contactor_drop_mv",
        |_| true,
        anytime,
        |stage| at_most(stage, LimitName::ContactorDropHigh),
    ),
    rule("volts_control", |_| true, anytime, control_volts_limits),
    rule(
        "discharge_line_f",
        |_| true,
        |_| Procedure::CompressorLoad,
        |stage| at_most(stage, LimitName::DischargeLineHigh),
    ),
    rule(
        "drier_drop_f",
        has_drier_reading,
        |_| Procedure::CompressorLoad,
        |stage| at_most(stage, LimitName::DrierDropHigh),
    ),
    rule(
        "room_difference_f",
        |_| true,
        anytime,
        |stage| at_most(stage, LimitName::RoomDifferenceHigh),
    ),
    rule("ambient_co_ppm", shares_air_with_furnace, anytime, |stage| {
        at_most(stage, LimitName::AmbientCarbonMonoxideHigh)
    }),
];

const fn rule(
    measure: &'static str,
    applies: fn(&Stage) -> bool,
    procedure: fn(&Stage) -> Procedure,
    limits: fn(&Stage) -> Limits,
) -> Rule {
    Rule { measure, applies, procedure, limits }
}

/// How every measure is worked out, in the order in which they are listed.
pub(super) fn definitions() -> impl Iterator<Item = &'static Definition> {
    charge::DEFINITIONS
        .iter()
        .chain(air_side::DEFINITIONS)
        .chain(airflow::DEFINITIONS)
        .chain(electrical::DEFINITIONS)
}

/// How one measure is worked out.
pub(super) fn definition(key: &str) -> Option<&'static Definition> {
    definitions().find(|it| it.key == key)
}

/// Whether a measure means anything on this system.
pub(super) fn is_measured(stage: &Stage, key: &str) -> bool {
    let facts = stage.facts();
    match key {
        "target_superheat_f" => !facts.metering.is_expansion_valve(),
        // Metered outdoors: what the line set carries is no liquid under condensing pressure.
        "subcooling_f" | "approach_f" => facts.kind != SystemKind::Ductless,
        "phase_unbalance_pct" => facts.phases == Some(3),
        "coil_drop_inwc" => has_cased_coil(stage),
        _ => true,
    }
}

fn anytime(_: &Stage) -> Procedure {
    Procedure::Anytime
}

fn is_ducted(stage: &Stage) -> bool {
    stage.facts().kind.is_ducted()
}

fn has_subcooling_target(stage: &Stage) -> bool {
    stage.facts().kind != SystemKind::Ductless && stage.facts().metering.is_expansion_valve()
}

fn has_approach_target(stage: &Stage) -> bool {
    stage.facts().kind != SystemKind::Ductless && stage.facts().target_approach_f.is_some()
}

fn has_cased_coil(stage: &Stage) -> bool {
    stage.facts().cabinet == Some(Cabinet::FurnaceWithCasedCoil)
}

/// A three-phase compressor has no run capacitor, nor has one that is driven by an inverter.
fn has_compressor_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    let usual = facts.phases != Some(3) && facts.kind != SystemKind::Ductless;
    usual || facts.capacitor_compressor_rated_uf.is_some() || stage.has("capacitor_compressor_uf")
}

fn has_fan_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    let usual = facts.kind != SystemKind::Ductless;
    usual || facts.capacitor_fan_rated_uf.is_some() || stage.has("capacitor_fan_uf")
}

/// Only the permanent split capacitor blower has one.
fn has_blower_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    facts.blower_kind == Some(BlowerKind::Psc)
        || facts.capacitor_blower_rated_uf.is_some()
        || stage.has("capacitor_blower_uf")
}

fn read_under_load(stage: &Stage) -> bool {
    stage.has("start_winding_amps") || stage.has("capacitor_running_volts")
}

/// A packaged unit has one supply, unless somebody wrote down a second one.
fn has_indoor_supply(stage: &Stage) -> bool {
    let facts = stage.facts();
    !facts.kind.is_packaged() || facts.volts_indoor_rated.is_some() || stage.has("volts_indoor")
}

fn has_drier_reading(stage: &Stage) -> bool {
    stage.has("drier_in_f") || stage.has("drier_out_f")
}

fn shares_air_with_furnace(stage: &Stage) -> bool {
    has_cased_coil(stage) || stage.has("ambient_co_ppm")
}

fn superheat_procedure(stage: &Stage) -> Procedure {
    if stage.facts().metering.is_expansion_valve() {
        Procedure::Charge
    } else {
        Procedure::ChargeBySuperheat
    }
}

fn superheat_limits(stage: &Stage) -> Limits {
    let book = stage.book;
    let note = stage.elevation_note();
    if stage.facts().metering.is_expansion_valve() {
        let (low, high) = (LimitName::MeteringSuperheatLow, LimitName::MeteringSuperheatHigh);
        return Limits::Fixed(Band {
            target: None,
            low: Some(book.value(low)),
            high: Some(book.value(high)),
            source: book.source(low) + note,
            shown: None,
        });
    }
    let chart = match stage.facts().superheat_chart {
        Some(_) => "the maker's own chart of this system",
        None => "published charging chart for fixed orifices",
    };
    let tolerance = LimitName::TargetSuperheatTolerance;
    let source = format!("{chart}; {}{note}", book.source(tolerance));
    around("target_superheat_f", book.value(tolerance), source)
}

fn split_limits(stage: &Stage) -> Limits {
    let tolerance = LimitName::SplitTolerance;
    let source = format!(
        "published temperature split table (from memory); {}",
        stage.book.source(tolerance)
    );
    around("target_split_f", stage.book.value(tolerance), source)
}

fn around(target: &str, tolerance: f64, source: String) -> Limits {
    match definition(target) {
        Some(target) => Limits::Around { target, tolerance, source },
        None => Limits::Unknown("the target"),
    }
}

fn subcooling_limits(stage: &Stage) -> Limits {
    let Some(target) = stage.facts().target_subcooling_f else {
        return Limits::Unknown("the plate's target subcooling");
    };
    near_plate(stage, target, LimitName::SubcoolingTolerance, stage.elevation_note())
}

fn approach_limits(stage: &Stage) -> Limits {
    let Some(target) = stage.facts().target_approach_f else {
        return Limits::Unknown("the maker's target approach");
    };
    near_plate(stage, target, LimitName::ApproachTolerance, "")
}

fn near_plate(stage: &Stage, target: f64, tolerance: LimitName, note: &str) -> Limits {
    let width = stage.book.value(tolerance);
    Limits::Fixed(Band {
        target: Some(target),
        low: Some(target - width),
        high: Some(target + width),
        source: format!("nameplate target; {}{note}", stage.book.source(tolerance)),
        shown: None,
    })
}

fn external_static_limits(stage: &Stage) -> Limits {
    let Some(high) = stage.facts().max_external_static_inwc else {
        return Limits::Unknown("the plate's highest external static");
    };
    let source = "highest external static of the nameplate".to_owned();
    Limits::Fixed(Band { target: None, low: None, high: Some(high), source, shown: None })
}

fn at_most(stage: &Stage, name: LimitName) -> Limits {
    let limit = stage.book.limit(name);
    Limits::Fixed(Band {
        target: None,
        low: None,
        high: Some(limit.value),
        source: limit.source,
        shown: None,
    })
}

/// The plate's amps are a ceiling, never what should flow: no lower limit.
fn amps_limits(stage: &Stage) -> Limits {
    at_most(stage, LimitName::AmpsHigh)
}

fn control_volts_limits(stage: &Stage) -> Limits {
    let (low, high) = (LimitName::ControlVoltsLow, LimitName::ControlVoltsHigh);
    Limits::Fixed(Band {
        target: None,
        low: Some(stage.book.value(low)),
        high: Some(stage.book.value(high)),
        source: stage.book.source(low),
        shown: None,
    })
}

/// The can's own tolerance, or else the book's.
fn capacitor_tolerance(stage: &Stage) -> (f64, String) {
    let name = LimitName::CapacitorTolerance;
    match stage.facts().capacitor_tolerance_pct {
        Some(printed) => (printed, "tolerance printed on the capacitor".to_owned()),
        None => (stage.book.value(name), stage.book.source(name)),
    }
}

fn capacitor_limits(stage: &Stage, key: &str) -> Limits {
    let Some(rated) = electrical::rated_capacitance(stage, key) else {
        return Limits::Unknown("the capacitor's rating");
    };
    let (tolerance, source) = capacitor_tolerance(stage);
    let rated = rated.number();
    Limits::Fixed(Band {
        target: None,
        low: Some(-tolerance),
        high: Some(tolerance),
        source,
        shown: Some(Shown { factor: rated / 100.0, offset: rated, unit: "µF", decimals: 1 }),
    })
}

fn running_capacitor_limits(stage: &Stage) -> Limits {
    let Some(rated) = stage.facts().capacitor_compressor_rated_uf else {
        return Limits::Unknown("the capacitor's rating");
    };
    let (tolerance, source) = capacitor_tolerance(stage);
    Limits::Fixed(Band {
        target: Some(rated),
        low: Some(rated * (1.0 - tolerance / 100.0)),
        high: Some(rated * (1.0 + tolerance / 100.0)),
        source,
        shown: None,
    })
}

fn volts_limits(stage: &Stage, rated: Option<RatedVolts>) -> Limits {
    let Some(rated) = rated else {
        return Limits::Unknown("the rated voltage");
    };
    let (low, high) = electrical::volts_range(rated, stage.book);
    let name = match rated {
        RatedVolts::V208Or230 => LimitName::DualVoltsLow,
        _ => LimitName::VoltsTolerance,
    };
    let reference = electrical::rated_reference(rated).number();
    Limits::Fixed(Band {
        target: None,
        low: Some(electrical::volts_deviation(low, rated).number()),
        high: Some(electrical::volts_deviation(high, rated).number()),
        source: stage.book.source(name),
        shown: Some(Shown { factor: reference / 100.0, offset: reference, unit: "V", decimals: 0 }),
    })
}
