//! The input: facts of the system, readings as found and as left, instruments.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::causes::Priors;
use super::points::PointKey;

mod broken;
mod document;
mod quick;
mod schema;
mod strict;
mod words;

pub use document::{CaseError, Refused, read_case, read_case_text};
pub use words::{
    BlowerKind, Cabinet, CameTo, Circumstance, FilterLocation, LiquidPort, LookedAt, Metering,
    Mode, RatedVolts, RunningStage, SuctionPort, SystemKind,
};

/// Readings of one stage by point key.
pub type Readings = BTreeMap<PointKey, f64>;

/// What one stage's looking around came to.
pub type Observations = BTreeMap<LookedAt, CameTo>;

/// One visit to one system, as the engine sees it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Case {
    /// Any text, given back unchanged.
    pub id: String,
    /// What the system was doing.
    pub mode: Mode,
    /// Facts of the system.
    pub system: SystemFacts,
    /// Facts of the place.
    pub site: Site,
    /// Standard uncertainty of the instrument used, by point key.
    pub instruments: Readings,
    /// Readings before anything was touched.
    pub as_found: Readings,
    /// Readings after cleaning and repair.
    pub as_left: Readings,
    /// Points whose as-found reading still holds, for nothing touched them.
    pub unchanged: BTreeSet<PointKey>,
    /// Minutes since arrival at which each reading was taken.
    pub taken_min: ByStage<Readings>,
    /// Points that are worthless until a known defect is repaired.
    pub read_after_repair: ByStage<BTreeSet<PointKey>>,
    /// What spoils some of the readings.
    pub circumstances: ByStage<BTreeSet<Circumstance>>,
    /// What was looked at, and what it came to.
    pub observations: ByStage<Observations>,
    /// Earlier documents of the same system.
    pub history: Vec<serde_json::Value>,
    /// The company's own probabilities of causes.
    pub priors: Option<Priors>,
    /// What was really the matter, where that is known: for scoring, and in the history. The
    /// engine never looks at that of the document which it judges.
    pub truth: Option<serde_json::Value>,
}

/// One thing for each stage of a visit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ByStage<T: Default> {
    /// Before anything was touched.
    pub as_found: T,
    /// After cleaning and repair.
    pub as_left: T,
}

/// Facts of the place.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Site {
    /// Height over sea level; sea level when nobody wrote it down.
    pub elevation_ft: Option<f64>,
}

/// Facts of the system, mostly from its nameplates.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[expect(missing_docs, reason = "the names are those of the document and say what they are")]
pub struct SystemFacts {
    pub kind: SystemKind,
    pub cabinet: Option<Cabinet>,
    pub filter_location: Option<FilterLocation>,
    pub refrigerant: String,
    pub metering: Metering,
    pub liquid_port: Option<LiquidPort>,
    pub suction_port: Option<SuctionPort>,
    pub compressor_stages: Option<u32>,
    pub running_stage: Option<RunningStage>,
    pub blower_kind: Option<BlowerKind>,
    pub nominal_tons: Option<f64>,
    pub rated_capacity_btuh: Option<f64>,
    pub rated_eer: Option<f64>,
    pub seer: Option<f64>,
    pub seer2: Option<f64>,
    pub target_subcooling_f: Option<f64>,
    pub target_approach_f: Option<f64>,
    pub superheat_chart: Option<SuperheatChart>,
    pub max_external_static_inwc: Option<f64>,
    pub design_airflow_cfm_per_ton: Option<f64>,
    pub airflow_table: Option<Vec<AirflowRow>>,
    pub blower_tap: Option<String>,
    pub coil_reference: Option<CoilReference>,
    pub volts_outdoor_rated: Option<RatedVolts>,
    pub volts_indoor_rated: Option<RatedVolts>,
    pub phases: Option<u32>,
    pub compressor_rla: Option<f64>,
    pub compressor_mcc: Option<f64>,
    pub condenser_fan_fla: Option<f64>,
    pub blower_fla: Option<f64>,
    pub minimum_circuit_amps: Option<f64>,
    pub maximum_overcurrent_amps: Option<f64>,
    pub breaker_amps: Option<f64>,
    pub capacitor_compressor_rated_uf: Option<f64>,
    pub capacitor_fan_rated_uf: Option<f64>,
    pub capacitor_blower_rated_uf: Option<f64>,
    pub capacitor_compressor_required_uf: Option<f64>,
    pub capacitor_fan_required_uf: Option<f64>,
    pub capacitor_blower_required_uf: Option<f64>,
    pub capacitor_tolerance_pct: Option<f64>,
    pub line_set_ft: Option<f64>,
    pub factory_charge_oz: Option<f64>,
}

/// A maker's own target superheat: a grid whose blank cells mean that nothing may be charged.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SuperheatChart {
    /// Rows, rising.
    pub outdoor_db_f: Vec<f64>,
    /// Columns, rising.
    pub return_wb_f: Vec<f64>,
    /// One list a row, one cell a column.
    pub superheat_f: Vec<Vec<Option<f64>>>,
}

/// One row of the maker's airflow table.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirflowRow {
    /// Blower tap or setting.
    pub tap: String,
    /// External static, in. w.c.
    pub static_inwc: f64,
    /// Airflow there.
    pub cfm: f64,
}

/// The maker's pressure drop of the indoor coil at one airflow.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoilReference {
    /// Airflow of the reference.
    pub cfm: f64,
    /// Drop of the wet coil, in. w.c.
    pub drop_wet_inwc: f64,
}

impl Metering {
    /// Whether the device holds a superheat of its own, so that charge shows in the subcooling.
    #[must_use]
    pub const fn is_expansion_valve(self) -> bool {
        matches!(self, Self::ThermostaticExpansion | Self::ElectronicExpansion)
    }
}

impl SystemKind {
    /// Whether both coils stand in one cabinet outdoors.
    #[must_use]
    pub const fn is_packaged(self) -> bool {
        matches!(self, Self::PackagedAirConditioner | Self::PackagedHeatPump)
    }

    /// Whether it heats too.
    #[must_use]
    pub const fn is_heat_pump(self) -> bool {
        matches!(self, Self::SplitHeatPump | Self::PackagedHeatPump)
    }

    /// Whether air goes through ducts.
    #[must_use]
    pub const fn is_ducted(self) -> bool {
        !matches!(self, Self::Ductless)
    }
}
