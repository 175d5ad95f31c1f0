//! Whether a system has the thing that a rule judges.

use crate::engine::airflow;
use crate::engine::case::{BlowerKind, Cabinet, SystemKind};
use crate::engine::electrical;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;

pub(super) fn always(_: &Stage) -> bool {
    true
}

pub(super) fn is_ducted(stage: &Stage) -> bool {
    stage.facts().kind.is_ducted()
}

pub(super) fn has_subcooling_target(stage: &Stage) -> bool {
    stage.facts().kind != SystemKind::Ductless && stage.facts().metering.is_expansion_valve()
}

pub(super) fn has_approach_target(stage: &Stage) -> bool {
    stage.facts().kind != SystemKind::Ductless && stage.facts().target_approach_f.is_some()
}

/// A ductless unit runs as slowly as it may, and its pressures with it.
pub(super) fn runs_at_one_speed(stage: &Stage) -> bool {
    stage.facts().kind != SystemKind::Ductless
}

pub(super) fn has_cased_coil(stage: &Stage) -> bool {
    stage.facts().cabinet == Some(Cabinet::FurnaceWithCasedCoil)
}

/// A cased coil whose own table says more than the budget.
pub(super) fn has_coil_table(stage: &Stage) -> bool {
    has_cased_coil(stage) && airflow::has_own_coil_table(stage)
}

pub(super) fn has_coil_budget(stage: &Stage) -> bool {
    has_cased_coil(stage) && !airflow::has_own_coil_table(stage)
}

/// A three-phase compressor has no run capacitor, nor has one that is driven by an inverter.
pub(super) fn has_compressor_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    let usual = facts.phases != Some(3) && facts.kind != SystemKind::Ductless;
    usual
        || facts.capacitor_compressor_rated_uf.is_some()
        || stage.has(PointKey::CapacitorCompressorUf)
}

pub(super) fn has_fan_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    let usual = facts.kind != SystemKind::Ductless;
    usual || facts.capacitor_fan_rated_uf.is_some() || stage.has(PointKey::CapacitorFanUf)
}

/// Only the permanent split capacitor blower has one.
pub(super) fn has_blower_capacitor(stage: &Stage) -> bool {
    let facts = stage.facts();
    facts.blower_kind == Some(BlowerKind::Psc)
        || facts.capacitor_blower_rated_uf.is_some()
        || stage.has(PointKey::CapacitorBlowerUf)
}

/// Whether the motor's plate asks for another capacitor than the one that is in: where both are
/// alike, holding the reading against the second would only say the same twice.
pub(super) fn asks_for_another(stage: &Stage, point: PointKey) -> bool {
    let Some(required) = electrical::required_capacitance(stage, point) else { return false };
    electrical::rated_capacitance(stage, point).is_none_or(|rated| {
        let apart = electrical::capacitor_deviation(rated, required).number().abs();
        ALIKE_PCT <= apart
    })
}

/// Ratings nearer than this are the same capacitor. Judgement, no source: the nearest sizes that
/// are sold lie 5 % apart or more.
const ALIKE_PCT: f64 = 1.0;

pub(super) fn read_under_load(stage: &Stage) -> bool {
    stage.has(PointKey::StartWindingAmps) || stage.has(PointKey::CapacitorRunningVolts)
}

/// Where only the volts at rest were read they stand for the running ones already.
pub(super) fn read_at_rest_too(stage: &Stage) -> bool {
    stage.has(PointKey::VoltsOutdoorIdle) && stage.has(PointKey::VoltsOutdoorRunning)
}

/// A packaged unit has one supply, unless somebody wrote down a second one.
pub(super) fn has_indoor_supply(stage: &Stage) -> bool {
    let facts = stage.facts();
    !facts.kind.is_packaged()
        || facts.volts_indoor_rated.is_some()
        || stage.has(PointKey::VoltsIndoor)
}

pub(super) fn has_three_phases(stage: &Stage) -> bool {
    stage.facts().phases == Some(3)
}

pub(super) fn has_drier_reading(stage: &Stage) -> bool {
    stage.has(PointKey::DrierInF) || stage.has(PointKey::DrierOutF)
}

pub(super) fn shares_air_with_furnace(stage: &Stage) -> bool {
    has_cased_coil(stage) || stage.has(PointKey::AmbientCoPpm)
}

/// A breaker that somebody looked at, or whose limits the plate has.
pub(super) fn has_breaker(stage: &Stage) -> bool {
    let facts = stage.facts();
    facts.breaker_amps.is_some() || facts.maximum_overcurrent_amps.is_some()
}
