//! How the simple measures are worked out: data, one entry a measure.
//!
//! The only thing that is named a second time beside the engine's formulas, operation by operation
//! as they have it, so that both come to the same last digit; the suite compares every row.

use super::lookups::{BUBBLE, DEW, SPLIT};
use super::term::Term;
use crate::engine::airflow;
use crate::engine::charts;
use crate::engine::electrical::{
    self, MICROFARAD_VOLTS_PER_AMP, PHASE_VOLTS, compressor_amps_points,
};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::statics;
use crate::units::{Fahrenheit, Microfarads, Psia, Volts};

/// How one measure is worked out.
pub(super) struct Row {
    /// Key of the measure.
    pub(super) measure: &'static str,
    /// The ways to it, the first whose points were all read counting; none where it isn't simple.
    pub(super) ways: fn(&Stage) -> Vec<Term>,
}

/// Every measure that is simple on some system.
pub(super) static ROWS: &[Row] = &[
    row("superheat_f", superheat),
    row("subcooling_f", |_| vec![bubble().less(read(PointKey::LiquidLineF))]),
    row("approach_f", |_| difference(PointKey::LiquidLineF, PointKey::OutdoorDbF)),
    row("saturated_suction_f", |_| vec![dew(PointKey::SuctionPressurePsig)]),
    row("return_minus_saturation_f", |_| {
        vec![read(PointKey::ReturnDbF).less(dew(PointKey::SuctionPressurePsig))]
    }),
    row("condensing_over_ambient_f", |_| vec![bubble().less(read(PointKey::OutdoorDbF))]),
    row("compression_ratio", compression_ratio),
    row("discharge_superheat_f", |_| {
        vec![read(PointKey::DischargeLineF).less(dew(PointKey::LiquidPressurePsig))]
    }),
    row("discharge_line_f", |_| vec![read(PointKey::DischargeLineF)]),
    row("standing_over_ambient_f", |_| {
        let saturated = Term::Of(BUBBLE, vec![read(PointKey::StandingPressurePsig)]);
        vec![saturated.less(read(PointKey::OutdoorDbF))]
    }),
    row("reversing_valve_rise_f", |_| vec![read(PointKey::ReversingValveRiseF)]),
    row("drier_drop_f", |_| difference(PointKey::DrierInF, PointKey::DrierOutF)),
    row("temperature_split_f", |_| difference(PointKey::ReturnDbF, PointKey::SupplyDbF)),
    row("airflow_cfm_per_ton", |stage| {
        vec![read(PointKey::AirflowCfm).over(Term::fact(airflow::tons(stage)))]
    }),
    row("blower_w_per_cfm", |_| vec![read(PointKey::BlowerWatts).over(read(PointKey::AirflowCfm))]),
    row("external_static_inwc", external_static),
    row("filter_drop_inwc", |_| {
        difference(PointKey::StaticReturnInwc, PointKey::StaticAfterFilterInwc)
    }),
    row("coil_drop_inwc", |_| {
        difference(PointKey::StaticBeforeCoilInwc, PointKey::StaticAfterCoilInwc)
    }),
    row("room_difference_f", |_| vec![read(PointKey::RoomDifferenceF)]),
    row("thermostat_error_f", |_| {
        difference(PointKey::ThermostatReadingF, PointKey::ThermostatBesideF)
    }),
    row("ambient_co_ppm", |_| vec![read(PointKey::AmbientCoPpm)]),
    row("capacitor_compressor_deviation_pct", |it| rated(it, PointKey::CapacitorCompressorUf)),
    row("capacitor_fan_deviation_pct", |it| rated(it, PointKey::CapacitorFanUf)),
    row("capacitor_blower_deviation_pct", |it| rated(it, PointKey::CapacitorBlowerUf)),
    row("capacitor_compressor_required_deviation_pct", |it| {
        required(it, PointKey::CapacitorCompressorUf)
    }),
    row("capacitor_fan_required_deviation_pct", |it| required(it, PointKey::CapacitorFanUf)),
    row("capacitor_blower_required_deviation_pct", |it| required(it, PointKey::CapacitorBlowerUf)),
    row("capacitor_running_uf", |_| {
        let amps = read(PointKey::StartWindingAmps).times(MICROFARAD_VOLTS_PER_AMP);
        vec![amps.over(read(PointKey::CapacitorRunningVolts))]
    }),
    row("volts_outdoor_deviation_pct", outdoor_volts),
    row("volts_outdoor_idle_deviation_pct", |stage| {
        vec![volts_deviation(outdoor_reference(stage), read(PointKey::VoltsOutdoorIdle))]
    }),
    row("volts_indoor_deviation_pct", |stage| {
        let rated = stage.facts().volts_indoor_rated.map(electrical::rated_reference);
        let reference = rated.map(Volts::number);
        vec![volts_deviation(reference, read(PointKey::VoltsIndoor))]
    }),
    row("volts_sag_pct", |_| {
        let idle = || read(PointKey::VoltsOutdoorIdle);
        vec![idle().less(read(PointKey::VoltsOutdoorRunning)).times(100.0).over(idle())]
    }),
    row("phase_unbalance_pct", |_| {
        vec![Term::Of("far", phases()).times(100.0).over(mean_of_phases())]
    }),
    row("compressor_amps_pct_of_rla", |stage| {
        // Moved down by its uncertainty, a current is nothing at least.
        let legs = compressor_amps_points(stage).iter().copied().map(read);
        let most = Term::Of("max", std::iter::once(Term::Number(0.0)).chain(legs).collect());
        vec![share(most, stage.facts().compressor_rla)]
    }),
    row("condenser_fan_amps_pct_of_fla", |stage| {
        vec![share(read(PointKey::CondenserFanAmps), stage.facts().condenser_fan_fla)]
    }),
    row("blower_amps_pct_of_fla", |stage| {
        vec![share(read(PointKey::BlowerAmps), stage.facts().blower_fla)]
    }),
    row("breaker_amps", |stage| vec![Term::fact(stage.facts().breaker_amps)]),
    row("strip_heat_amps", |_| vec![read(PointKey::StripHeatAmps)]),
    row("contactor_drop_mv", |_| vec![read(PointKey::ContactorDropMv)]),
    row("volts_control", |_| vec![read(PointKey::VoltsControl)]),
    row("unit_slope_side_in_per_ft", |_| vec![read(PointKey::UnitSlopeSideInPerFt)]),
    row("unit_slope_front_in_per_ft", |_| vec![read(PointKey::UnitSlopeFrontInPerFt)]),
];

const fn row(measure: &'static str, ways: fn(&Stage) -> Vec<Term>) -> Row {
    Row { measure, ways }
}

/// The split that the published table asks for: straight in the dry bulb, its own curve in the wet.
pub(super) fn table_split() -> Term {
    let at = |dry: f64| charts::target_split(Fahrenheit(dry), Fahrenheit(0.0)).number();
    let of_dry = read(PointKey::ReturnDbF).times(at(1.0) - at(0.0));
    of_dry.plus(Term::Of(SPLIT, vec![read(PointKey::ReturnWbF)]))
}

fn read(key: PointKey) -> Term {
    Term::Reading(key)
}

fn dew(pressure: PointKey) -> Term {
    Term::Of(DEW, vec![read(pressure)])
}

fn bubble() -> Term {
    Term::Of(BUBBLE, vec![read(PointKey::LiquidPressurePsig)])
}

fn difference(from: PointKey, less: PointKey) -> Vec<Term> {
    vec![read(from).less(read(less))]
}

/// An expansion valve's is held against two numbers, any other's against the day's own target.
fn superheat(stage: &Stage) -> Vec<Term> {
    if !stage.facts().metering.is_expansion_valve() {
        return Vec::new();
    }
    vec![read(PointKey::SuctionLineF).less(dew(PointKey::SuctionPressurePsig))]
}

fn compression_ratio(stage: &Stage) -> Vec<Term> {
    let barometric = stage.barometric.map(Psia::number);
    let absolute = |key| read(key).plus(Term::fact(barometric));
    let suction = absolute(PointKey::SuctionPressurePsig);
    vec![absolute(PointKey::LiquidPressurePsig).over(suction)]
}

fn external_static(stage: &Stage) -> Vec<Term> {
    statics::taps(stage).map_or_else(Vec::new, |(supply, back)| difference(supply, back))
}

fn deviation(value: Term, rated: Option<f64>) -> Term {
    value.less(Term::fact(rated)).times(100.0).over(Term::fact(rated))
}

fn rated(stage: &Stage, key: PointKey) -> Vec<Term> {
    let rated = electrical::rated_capacitance(stage, key).map(Microfarads::number);
    vec![deviation(read(key), rated)]
}

fn required(stage: &Stage, key: PointKey) -> Vec<Term> {
    let asked = electrical::required_capacitance(stage, key);
    vec![deviation(read(key), asked.map(Microfarads::number))]
}

fn outdoor_reference(stage: &Stage) -> Option<f64> {
    let rated = stage.facts().volts_outdoor_rated.map(electrical::rated_reference);
    rated.map(Volts::number)
}

fn volts_deviation(reference: Option<f64>, volts: Term) -> Term {
    deviation(volts, reference)
}

/// Running, else the mean of three phases, else at rest.
fn outdoor_volts(stage: &Stage) -> Vec<Term> {
    let volts =
        [read(PointKey::VoltsOutdoorRunning), mean_of_phases(), read(PointKey::VoltsOutdoorIdle)];
    volts.map(|it| volts_deviation(outdoor_reference(stage), it)).into()
}

fn phases() -> Vec<Term> {
    PHASE_VOLTS.into_iter().map(read).collect()
}

fn mean_of_phases() -> Term {
    Term::Of("+", phases()).over(Term::Number(3.0))
}

fn share(amps: Term, plate: Option<f64>) -> Term {
    amps.times(100.0).over(Term::fact(plate))
}
