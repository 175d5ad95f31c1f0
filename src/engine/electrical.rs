//! Measures with a meter: capacitors, volts, amps, and the level of the unit.

use super::case::RatedVolts;
use super::needs::Needs;
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::view::View;
use crate::units::{Microfarads, Percent, Volts};

const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure with a meter is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "capacitor_compressor_deviation_pct",
        needs: |stage| capacitor(stage, PointKey::CapacitorCompressorUf),
        formula: |view| section_deviation(view, PointKey::CapacitorCompressorUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_fan_deviation_pct",
        needs: |stage| capacitor(stage, PointKey::CapacitorFanUf),
        formula: |view| section_deviation(view, PointKey::CapacitorFanUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_blower_deviation_pct",
        needs: |stage| capacitor(stage, PointKey::CapacitorBlowerUf),
        formula: |view| section_deviation(view, PointKey::CapacitorBlowerUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_compressor_required_deviation_pct",
        needs: |stage| required(stage, PointKey::CapacitorCompressorUf),
        formula: |view| required_deviation(view, PointKey::CapacitorCompressorUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_fan_required_deviation_pct",
        needs: |stage| required(stage, PointKey::CapacitorFanUf),
        formula: |view| required_deviation(view, PointKey::CapacitorFanUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_blower_required_deviation_pct",
        needs: |stage| required(stage, PointKey::CapacitorBlowerUf),
        formula: |view| required_deviation(view, PointKey::CapacitorBlowerUf),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "capacitor_running_uf",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::StartWindingAmps)
                .point(stage, PointKey::CapacitorRunningVolts)
        },
        formula: running_capacitance,
        unanswered: "no voltage lay over the capacitor; read it with the compressor running",
    },
    Definition {
        key: "volts_outdoor_deviation_pct",
        needs: |stage| {
            let rated = stage.facts().volts_outdoor_rated;
            let keys = outdoor_volts_points(stage).iter();
            keys.fold(Needs::default(), |needs, key| needs.point(stage, *key))
                .fact(rated.is_some(), "the outdoor unit's rated voltage")
        },
        formula: |view| {
            let read = Volts(outdoor_volts(view)?);
            Some(volts_deviation(read, view.stage.facts().volts_outdoor_rated?).number())
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "volts_outdoor_idle_deviation_pct",
        needs: |stage| {
            let rated = stage.facts().volts_outdoor_rated;
            Needs::default()
                .point(stage, PointKey::VoltsOutdoorIdle)
                .fact(rated.is_some(), "the outdoor unit's rated voltage")
        },
        formula: |view| {
            let read = Volts(view.reading(PointKey::VoltsOutdoorIdle)?);
            Some(volts_deviation(read, view.stage.facts().volts_outdoor_rated?).number())
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "volts_indoor_deviation_pct",
        needs: |stage| {
            let rated = stage.facts().volts_indoor_rated;
            Needs::default()
                .point(stage, PointKey::VoltsIndoor)
                .fact(rated.is_some(), "the indoor unit's rated voltage")
        },
        formula: |view| {
            let read = Volts(view.reading(PointKey::VoltsIndoor)?);
            Some(volts_deviation(read, view.stage.facts().volts_indoor_rated?).number())
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "volts_sag_pct",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::VoltsOutdoorIdle)
                .point(stage, PointKey::VoltsOutdoorRunning)
        },
        formula: volts_sag,
        unanswered: "there was no voltage at rest; read it with the disconnect in",
    },
    Definition {
        key: "phase_unbalance_pct",
        needs: |stage| {
            let needs = Needs::default();
            PHASE_VOLTS.into_iter().fold(needs, |needs, key| needs.point(stage, key))
        },
        formula: phase_unbalance,
        unanswered: "there was no voltage; read it with the disconnect in",
    },
    Definition {
        key: "compressor_amps_pct_of_rla",
        needs: |stage| {
            let keys = compressor_amps_points(stage);
            let needs = keys.iter().fold(Needs::default(), |needs, key| needs.point(stage, *key));
            needs.fact(stage.facts().compressor_rla.is_some(), "the compressor's rated amps")
        },
        formula: |view| share(compressor_amps(view)?, view.stage.facts().compressor_rla?),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "condenser_fan_amps_pct_of_fla",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::CondenserFanAmps)
                .fact(stage.facts().condenser_fan_fla.is_some(), "the outdoor fan's rated amps")
        },
        formula: |view| {
            share(view.reading(PointKey::CondenserFanAmps)?, view.stage.facts().condenser_fan_fla?)
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "blower_amps_pct_of_fla",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::BlowerAmps)
                .fact(stage.facts().blower_fla.is_some(), "the blower's rated amps")
        },
        formula: |view| share(view.reading(PointKey::BlowerAmps)?, view.stage.facts().blower_fla?),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "breaker_amps",
        needs: |stage| {
            let is_known = stage.facts().breaker_amps.is_some();
            Needs::default().fact(is_known, "the amps of the breaker or fuse")
        },
        formula: |view| view.stage.facts().breaker_amps,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "strip_heat_amps",
        needs: |stage| Needs::default().point(stage, PointKey::StripHeatAmps),
        formula: |view| view.reading(PointKey::StripHeatAmps),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "contactor_drop_mv",
        needs: |stage| Needs::default().point(stage, PointKey::ContactorDropMv),
        formula: |view| view.reading(PointKey::ContactorDropMv),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "volts_control",
        needs: |stage| Needs::default().point(stage, PointKey::VoltsControl),
        formula: |view| view.reading(PointKey::VoltsControl),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "unit_slope_side_in_per_ft",
        needs: |stage| Needs::default().point(stage, PointKey::UnitSlopeSideInPerFt),
        formula: |view| view.reading(PointKey::UnitSlopeSideInPerFt),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "unit_slope_front_in_per_ft",
        needs: |stage| Needs::default().point(stage, PointKey::UnitSlopeFrontInPerFt),
        formula: |view| view.reading(PointKey::UnitSlopeFrontInPerFt),
        unanswered: NO_ANSWER,
    },
];

pub(super) static PHASE_VOLTS: [PointKey; 3] =
    [PointKey::VoltsL1L2, PointKey::VoltsL2L3, PointKey::VoltsL3L1];

/// Millionths of a farad in amps a volt at 60 Hz: one million over 2 pi 60; computed.
pub(super) const MICROFARAD_VOLTS_PER_AMP: f64 = 1e6 / (2.0 * std::f64::consts::PI * 60.0);

fn capacitor(stage: &Stage, key: PointKey) -> Needs {
    let rated = rated_capacitance(stage, key);
    Needs::default().point(stage, key).fact(rated.is_some(), "the capacitor's rating")
}

/// What the can says of one section.
pub(super) fn rated_capacitance(stage: &Stage, key: PointKey) -> Option<Microfarads> {
    let facts = stage.facts();
    match key {
        PointKey::CapacitorCompressorUf => facts.capacitor_compressor_rated_uf,
        PointKey::CapacitorFanUf => facts.capacitor_fan_rated_uf,
        PointKey::CapacitorBlowerUf => facts.capacitor_blower_rated_uf,
        _ => None,
    }
    .map(Microfarads)
}

/// What the motor's plate asks for at one section.
pub(super) fn required_capacitance(stage: &Stage, key: PointKey) -> Option<Microfarads> {
    let facts = stage.facts();
    match key {
        PointKey::CapacitorCompressorUf => facts.capacitor_compressor_required_uf,
        PointKey::CapacitorFanUf => facts.capacitor_fan_required_uf,
        PointKey::CapacitorBlowerUf => facts.capacitor_blower_required_uf,
        _ => None,
    }
    .map(Microfarads)
}

fn required(stage: &Stage, key: PointKey) -> Needs {
    let required = required_capacitance(stage, key);
    let needs = Needs::default().point(stage, key);
    needs.fact(required.is_some(), "the capacitance that the motor asks for")
}

fn required_deviation(view: &View, key: PointKey) -> Option<f64> {
    let required = required_capacitance(view.stage, key)?;
    Some(capacitor_deviation(Microfarads(view.reading(key)?), required).number())
}

fn section_deviation(view: &View, key: PointKey) -> Option<f64> {
    let rated = rated_capacitance(view.stage, key)?;
    Some(capacitor_deviation(Microfarads(view.reading(key)?), rated).number())
}

/// Deviation of a capacitor from its rating.
///
/// - `read`, `rated`: uF
/// - result: percent of the rating, negative when weak
/// - reference: definition; the tolerance printed on run capacitors is of the rating
#[must_use]
pub fn capacitor_deviation(read: Microfarads, rated: Microfarads) -> Percent {
    Percent(100.0 * (read.number() - rated.number()) / rated.number())
}

/// Capacitance under load.
///
/// - uses the start winding's current, A, and the volts over the capacitor
/// - result: uF at 60 Hz
/// - reference: 1e6 / (2 pi 60) times amps by volts; printed as 2652 by several suppliers
/// - known disagreement: where supply is 50 Hz the factor is 3183
fn running_capacitance(view: &View) -> Option<f64> {
    let volts = view.reading(PointKey::CapacitorRunningVolts)?;
    let amps = view.reading(PointKey::StartWindingAmps)?;
    (volts > 0.0).then(|| MICROFARAD_VOLTS_PER_AMP * amps / volts)
}

/// Running volts where they were read, for the load shows there; else the three phases, else those
/// at rest.
fn outdoor_volts_points(stage: &Stage) -> &'static [PointKey] {
    if stage.has(PointKey::VoltsOutdoorRunning) {
        &[PointKey::VoltsOutdoorRunning]
    } else if PHASE_VOLTS.iter().all(|it| stage.has(*it)) {
        &PHASE_VOLTS
    } else if stage.has(PointKey::VoltsOutdoorIdle) {
        &[PointKey::VoltsOutdoorIdle]
    } else {
        &[PointKey::VoltsOutdoorRunning]
    }
}

/// Line voltage at the outdoor unit, of three phases the mean, V.
fn outdoor_volts(view: &View) -> Option<f64> {
    let keys = outdoor_volts_points(view.stage);
    let sum = keys.iter().try_fold(0.0, |sum, key| Some(sum + view.reading(*key)?))?;
    Some(if keys.len() == PHASE_VOLTS.len() { sum / 3.0 } else { sum })
}

/// Where the compressor's current is read: of three phases at each leg.
pub(super) fn compressor_amps_points(stage: &Stage) -> &'static [PointKey] {
    if stage.facts().phases == Some(3) {
        &[PointKey::CompressorAmpsL1, PointKey::CompressorAmpsL2, PointKey::CompressorAmpsL3]
    } else {
        &[PointKey::CompressorAmps]
    }
}

/// The compressor's current, of three legs the highest, A.
pub(super) fn compressor_amps(view: &View) -> Option<f64> {
    let legs = compressor_amps_points(view.stage).iter();
    legs.map(|it| view.reading(*it)).try_fold(0.0_f64, |most, amps| Some(most.max(amps?)))
}

/// The voltage that a reading is held against: the upper one of a dual rating.
pub(super) fn rated_reference(rated: RatedVolts) -> Volts {
    Volts(match rated {
        RatedVolts::V115 => 115.0,
        RatedVolts::V120 => 120.0,
        RatedVolts::V208 => 208.0,
        RatedVolts::V208Or230 | RatedVolts::V230 => 230.0,
        RatedVolts::V240 => 240.0,
        RatedVolts::V460 => 460.0,
    })
}

/// Deviation of line voltage from the rating.
///
/// - `read`: volts; `rated`: of the plate
/// - result: percent of the rating, of the upper one where the plate has two
/// - reference: definition
#[must_use]
pub fn volts_deviation(read: Volts, rated: RatedVolts) -> Percent {
    let reference = rated_reference(rated).number();
    Percent(100.0 * (read.number() - reference) / reference)
}

/// Range of line voltage to either side of the rating, lower and upper.
///
/// - `rated`: of the plate; `tolerance`: percent
/// - result: volts; a dual rating's own range, 187 to 253 V (from memory), stands in the limit book
/// - reference: 10 % for motors, NEMA MG-1 12.44 (from memory)
#[must_use]
pub fn volts_range(rated: RatedVolts, tolerance: Percent) -> (Volts, Volts) {
    let reference = rated_reference(rated).number();
    let part = tolerance.number() / 100.0;
    (Volts(reference * (1.0 - part)), Volts(reference * (1.0 + part)))
}

/// Fall of line voltage under load.
///
/// - uses volts at rest and running
/// - result: percent of the volts at rest
/// - reference: definition
/// - known disagreement: the code's 5 % counts from the service, not from the unit at rest
fn volts_sag(view: &View) -> Option<f64> {
    let idle = view.reading(PointKey::VoltsOutdoorIdle)?;
    let running = view.reading(PointKey::VoltsOutdoorRunning)?;
    (idle > 0.0).then(|| 100.0 * (idle - running) / idle)
}

/// Unbalance of three phase voltages.
///
/// - uses the three line voltages
/// - result: percent, the farthest from the mean over the mean
/// - reference: a published phase monitor's manual; 203, 210 and 212 V give 2.5 %
fn phase_unbalance(view: &View) -> Option<f64> {
    let volts = PHASE_VOLTS.into_iter().map(|it| view.reading(it)).collect::<Option<Vec<_>>>()?;
    let mean = volts.iter().sum::<f64>() / 3.0;
    let farthest = volts.iter().map(|it| (it - mean).abs()).reduce(f64::max)?;
    (mean > 0.0).then(|| 100.0 * farthest / mean)
}

/// A current in percent of the plate's.
///
/// - `amps`, `plate`: A
/// - result: percent, or nothing without a plate
/// - reference: definition; the plate's amps are a ceiling and no expectation
fn share(amps: f64, plate: f64) -> Option<f64> {
    (plate > 0.0).then(|| 100.0 * amps / plate)
}
