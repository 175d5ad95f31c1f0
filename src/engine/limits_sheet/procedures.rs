//! The conditions of each procedure, as data.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::case::{Circumstance, RunningStage};
use crate::engine::stage::Stage;
use crate::engine::validity::{self, Procedure};

/// The conditions of one procedure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetProcedure {
    /// Whether it needs warm outdoor air and steady running, so that outdoor air must be read.
    pub warm: bool,
    /// Whether it leans on the refrigerant on record being the one inside.
    pub refrigerant: bool,
    /// Return air, °F, below which it doesn't hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub return_low_f: Option<f64>,
    /// Return air, °F, above which it doesn't hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub return_high_f: Option<f64>,
    /// Circumstances that spoil it, by their words.
    pub spoiled_by: Vec<&'static str>,
    /// What else there is to do, as it ends a sentence.
    pub instead: &'static str,
}

/// Every procedure by the name that it has on the sheet.
const NAMES: &[(Procedure, &str)] = &[
    (Procedure::Charge, "charge"),
    (Procedure::ChargeBySuperheat, "charge_by_superheat"),
    (Procedure::Cycle, "cycle"),
    (Procedure::Coil, "coil"),
    (Procedure::Standing, "standing"),
    (Procedure::Split, "split"),
    (Procedure::Capacity, "capacity"),
    (Procedure::Static, "static"),
    (Procedure::CompressorLoad, "compressor_load"),
    (Procedure::OutdoorFan, "outdoor_fan"),
    (Procedure::Anytime, "anytime"),
];

/// The name of a procedure.
pub(super) fn name(procedure: Procedure) -> &'static str {
    NAMES.iter().find(|it| it.0 == procedure).map_or("", |it| it.1)
}

/// The conditions of every procedure, by its name.
pub(super) fn procedures(stage: &Stage) -> BTreeMap<&'static str, SheetProcedure> {
    NAMES.iter().map(|(it, name)| (*name, conditions(stage, *it))).collect()
}

fn conditions(stage: &Stage, procedure: Procedure) -> SheetProcedure {
    let range = validity::return_air_range(stage, procedure);
    let spoils = |it: &Circumstance| procedure.is_spoiled_by(*it);
    SheetProcedure {
        warm: procedure.needs_warmth(),
        refrigerant: procedure.needs_the_refrigerant(),
        return_low_f: range.map(|it| it.0),
        return_high_f: range.map(|it| it.1).filter(|it| it.is_finite()),
        spoiled_by: Circumstance::ALL
            .iter()
            .copied()
            .filter(spoils)
            .map(Circumstance::word)
            .collect(),
        instead: procedure.alternative(),
    }
}

/// Circumstances that hold by the system's own facts.
pub(super) fn always(stage: &Stage) -> Vec<&'static str> {
    let is_low = stage.facts().running_stage == Some(RunningStage::Low);
    is_low.then_some(Circumstance::StageLow.word()).into_iter().collect()
}

/// What to do about each circumstance.
pub(super) fn remedies() -> BTreeMap<&'static str, &'static str> {
    Circumstance::ALL.iter().map(|it| (it.word(), validity::remedy(*it))).collect()
}
