//! What a document may hold: every field, whether it must be there, and what it accepts.

use super::words::{
    BlowerKind, Cabinet, CameTo, Circumstance, FilterLocation, LiquidPort, LookedAt, Metering,
    Mode, RatedVolts, RunningStage, SuctionPort, SystemKind,
};

/// What one field accepts.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    /// Any text.
    Text,
    /// One word of a list.
    Choice(&'static [&'static str]),
    /// The designation of a refrigerant that has a table.
    Refrigerant,
    /// A number from a range, with its unit.
    Number(f64, f64, &'static str),
    /// A whole number from a range.
    Whole(u64, u64),
    /// A list of the same thing.
    List(&'static Self),
    /// The same thing, or null for a blank.
    OrBlank(&'static Self),
    /// Numbers by point key, each in its point's range.
    Readings,
    /// Standard uncertainties by point key.
    Uncertainties,
    /// Minutes by point key.
    Minutes,
    /// A point key.
    PointKey,
    /// An object of named fields.
    Object(&'static [Field]),
    /// An object that a later step reads.
    AnyObject,
    /// A word, or an object that a later step reads.
    WordOrObject,
}

/// One field of an object.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field {
    /// Its name.
    pub(super) name: &'static str,
    /// Whether it must be there.
    pub(super) is_required: bool,
    /// What it accepts.
    pub(super) kind: Kind,
}

const fn must(name: &'static str, kind: Kind) -> Field {
    Field { name, is_required: true, kind }
}

const fn may(name: &'static str, kind: Kind) -> Field {
    Field { name, is_required: false, kind }
}

// Ranges of nameplate facts only catch slips of the pen. Common practice, no source.
const AMPS: Kind = Kind::Number(0.05, 600.0, "A");
const MICROFARADS: Kind = Kind::Number(0.5, 200.0, "uF");

/// The whole document.
pub(super) const DOCUMENT: &[Field] = &[
    may("id", Kind::Text),
    may("mode", Kind::Choice(Mode::WORDS)),
    must("system", Kind::Object(SYSTEM)),
    may("site", Kind::Object(&[may("elevation_ft", Kind::Number(-1500.0, 15_000.0, "ft"))])),
    may("instruments", Kind::Uncertainties),
    may("as_found", Kind::Readings),
    may("as_left", Kind::Readings),
    may("unchanged", POINT_KEYS),
    may("taken_min", Kind::Object(&[may(FOUND, Kind::Minutes), may(LEFT, Kind::Minutes)])),
    may("read_after_repair", Kind::Object(&[may(FOUND, POINT_KEYS), may(LEFT, POINT_KEYS)])),
    may("circumstances", Kind::Object(&[may(FOUND, CIRCUMSTANCES), may(LEFT, CIRCUMSTANCES)])),
    may("observations", Kind::Object(&[may(FOUND, OBSERVATIONS), may(LEFT, OBSERVATIONS)])),
    may("history", Kind::List(&Kind::AnyObject)),
    may("priors", Kind::Object(PRIORS)),
    may("truth", Kind::WordOrObject),
];

/// The version and the causes, each by its word.
const PRIORS: &[Field] = &[
    may("version", Kind::Text),
    may("no_fault", PROBABILITY),
    may("low_charge", PROBABILITY),
    may("excess_charge", PROBABILITY),
    may("low_indoor_airflow", PROBABILITY),
    may("low_outdoor_airflow", PROBABILITY),
    may("feed_restriction", PROBABILITY),
    may("overfeeding_metering", PROBABILITY),
    may("non_condensables", PROBABILITY),
    may("compressor_not_pumping", PROBABILITY),
];

const PROBABILITY: Kind = Kind::Number(0.0, 1.0, "as a probability");
const FOUND: &str = "as_found";
const LEFT: &str = "as_left";
const POINT_KEYS: Kind = Kind::List(&Kind::PointKey);
const CIRCUMSTANCES: Kind = Kind::List(&Kind::Choice(Circumstance::WORDS));
const OBSERVATIONS: Kind = Kind::Object(&LOOKED_AT);

/// Every observation by its word, each with what it can come to.
const LOOKED_AT: [Field; LookedAt::WORDS.len()] = {
    let mut fields = [may("", Kind::Choice(CameTo::WORDS)); LookedAt::WORDS.len()];
    let mut index = 0;
    while index < fields.len() {
        fields[index].name = LookedAt::WORDS[index];
        index += 1;
    }
    fields
};

const SYSTEM: &[Field] = &[
    must("kind", Kind::Choice(SystemKind::WORDS)),
    may("cabinet", Kind::Choice(Cabinet::WORDS)),
    may("filter_location", Kind::Choice(FilterLocation::WORDS)),
    must("refrigerant", Kind::Refrigerant),
    must("metering", Kind::Choice(Metering::WORDS)),
    may("liquid_port", Kind::Choice(LiquidPort::WORDS)),
    may("suction_port", Kind::Choice(SuctionPort::WORDS)),
    may("compressor_stages", Kind::Whole(1, 100)),
    may("running_stage", Kind::Choice(RunningStage::WORDS)),
    may("blower_kind", Kind::Choice(BlowerKind::WORDS)),
    may("nominal_tons", Kind::Number(0.25, 50.0, "ton")),
    may("rated_capacity_btuh", Kind::Number(3000.0, 600_000.0, "Btu/h")),
    may("rated_eer", Kind::Number(3.0, 40.0, "Btu/Wh")),
    may("seer", Kind::Number(3.0, 60.0, "Btu/Wh")),
    may("seer2", Kind::Number(3.0, 60.0, "Btu/Wh")),
    may("target_subcooling_f", Kind::Number(0.0, 40.0, "degF")),
    may("target_approach_f", Kind::Number(0.0, 40.0, "degF")),
    may("superheat_chart", Kind::Object(SUPERHEAT_CHART)),
    may("max_external_static_inwc", Kind::Number(0.05, 3.0, "in. w.c.")),
    may("design_airflow_cfm_per_ton", Kind::Number(100.0, 800.0, "ft3/min/ton")),
    may("airflow_table", Kind::List(&Kind::Object(AIRFLOW_ROW))),
    may("blower_tap", Kind::Text),
    may("coil_reference", Kind::Object(COIL_REFERENCE)),
    may("volts_outdoor_rated", Kind::Choice(RatedVolts::WORDS)),
    may("volts_indoor_rated", Kind::Choice(RatedVolts::WORDS)),
    may("phases", Kind::Whole(1, 3)),
    may("compressor_rla", AMPS),
    may("compressor_mcc", AMPS),
    may("condenser_fan_fla", AMPS),
    may("blower_fla", AMPS),
    may("minimum_circuit_amps", AMPS),
    may("maximum_overcurrent_amps", AMPS),
    may("breaker_amps", AMPS),
    may("capacitor_compressor_rated_uf", MICROFARADS),
    may("capacitor_fan_rated_uf", MICROFARADS),
    may("capacitor_blower_rated_uf", MICROFARADS),
    may("capacitor_compressor_required_uf", MICROFARADS),
    may("capacitor_fan_required_uf", MICROFARADS),
    may("capacitor_blower_required_uf", MICROFARADS),
    may("capacitor_tolerance_pct", Kind::Number(1.0, 20.0, "%")),
    may("line_set_ft", Kind::Number(0.0, 500.0, "ft")),
    may("factory_charge_oz", Kind::Number(1.0, 2000.0, "oz")),
];

const SUPERHEAT_CHART: &[Field] = &[
    must("outdoor_db_f", Kind::List(&Kind::Number(-30.0, 130.0, "degF"))),
    must("return_wb_f", Kind::List(&Kind::Number(32.0, 90.0, "degF"))),
    must("superheat_f", Kind::List(&Kind::List(&Kind::OrBlank(&Kind::Number(0.0, 80.0, "degF"))))),
];

const AIRFLOW_ROW: &[Field] = &[
    must("tap", Kind::Text),
    must("static_inwc", Kind::Number(0.0, 3.0, "in. w.c.")),
    must("cfm", Kind::Number(50.0, 20_000.0, "ft3/min")),
];

const COIL_REFERENCE: &[Field] = &[
    must("cfm", Kind::Number(50.0, 20_000.0, "ft3/min")),
    must("drop_wet_inwc", Kind::Number(0.01, 3.0, "in. w.c.")),
];
