//! Every judgement: data, one entry a measure, in the order of the sheet.

use super::air_limits as air;
use super::applies;
use super::gauge_limits as gauges;
use super::meter_limits as meters;
use super::{Limits, Rule, at_least, at_most, between};
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::validity::Procedure;

/// Every judgement, in the order of the sheet.
pub(in crate::engine) static RULES: &[Rule] = &[
    rule("superheat_f", applies::always, gauges::superheat_procedure, gauges::superheat),
    rule("subcooling_f", applies::has_subcooling_target, charge, gauges::subcooling),
    rule("approach_f", applies::has_approach_target, charge, gauges::approach),
    rule("saturated_suction_f", applies::runs_at_one_speed, cycle, |stage| {
        at_least(stage, LimitName::SaturatedSuctionLow)
    }),
    rule(
        "return_minus_saturation_f",
        applies::runs_at_one_speed,
        |_| Procedure::Coil,
        |stage| {
            between(stage, LimitName::EvaporatorDifferenceLow, LimitName::EvaporatorDifferenceHigh)
        },
    ),
    rule(
        "condensing_over_ambient_f",
        applies::runs_at_one_speed,
        cycle,
        gauges::condensing_over_ambient,
    ),
    rule("compression_ratio", applies::runs_at_one_speed, cycle, |stage| {
        between(stage, LimitName::CompressionRatioLow, LimitName::CompressionRatioHigh)
    }),
    rule("discharge_superheat_f", applies::runs_at_one_speed, cycle, |stage| {
        at_least(stage, LimitName::DischargeSuperheatLow)
    }),
    rule("temperature_split_f", applies::runs_at_one_speed, |_| Procedure::Split, air::split),
    rule("airflow_cfm_per_ton", applies::is_ducted, at_full_flow, air::airflow_per_ton),
    rule("capacity_ratio", applies::is_ducted, |_| Procedure::Capacity, air::capacity_ratio),
    rule("external_static_inwc", applies::is_ducted, at_full_flow, air::external_static),
    rule("filter_drop_inwc", applies::is_ducted, at_full_flow, |stage| {
        at_most(stage, LimitName::FilterDropHigh)
    }),
    rule("coil_drop_inwc", applies::has_coil_budget, at_full_flow, |stage| {
        at_most(stage, LimitName::CoilDropHigh)
    }),
    rule("coil_drop_ratio", applies::has_coil_table, at_full_flow, |stage| {
        at_most(stage, LimitName::CoilDropRatioHigh)
    }),
    rule(
        "blower_w_per_cfm",
        |it| it.has(PointKey::BlowerWatts),
        at_full_flow,
        |stage| at_most(stage, LimitName::FanPowerHigh),
    ),
    rule(
        "capacitor_compressor_deviation_pct",
        applies::has_compressor_capacitor,
        anytime,
        |stage| meters::capacitor(stage, PointKey::CapacitorCompressorUf),
    ),
    rule("capacitor_fan_deviation_pct", applies::has_fan_capacitor, anytime, |stage| {
        meters::capacitor(stage, PointKey::CapacitorFanUf)
    }),
    rule("capacitor_blower_deviation_pct", applies::has_blower_capacitor, anytime, |stage| {
        meters::capacitor(stage, PointKey::CapacitorBlowerUf)
    }),
    rule(
        "capacitor_compressor_required_deviation_pct",
        |stage| applies::asks_for_another(stage, PointKey::CapacitorCompressorUf),
        anytime,
        |stage| meters::required_capacitor(stage, PointKey::CapacitorCompressorUf),
    ),
    rule(
        "capacitor_fan_required_deviation_pct",
        |stage| applies::asks_for_another(stage, PointKey::CapacitorFanUf),
        anytime,
        |stage| meters::required_capacitor(stage, PointKey::CapacitorFanUf),
    ),
    rule(
        "capacitor_blower_required_deviation_pct",
        |stage| applies::asks_for_another(stage, PointKey::CapacitorBlowerUf),
        anytime,
        |stage| meters::required_capacitor(stage, PointKey::CapacitorBlowerUf),
    ),
    rule("capacitor_running_uf", applies::read_under_load, anytime, meters::running_capacitor),
    rule("volts_outdoor_deviation_pct", applies::always, anytime, |stage| {
        meters::volts(stage, stage.facts().volts_outdoor_rated)
    }),
    rule("volts_outdoor_idle_deviation_pct", applies::read_at_rest_too, anytime, |stage| {
        meters::volts(stage, stage.facts().volts_outdoor_rated)
    }),
    rule("volts_indoor_deviation_pct", applies::has_indoor_supply, anytime, |stage| {
        meters::volts(stage, stage.facts().volts_indoor_rated)
    }),
    rule("volts_sag_pct", applies::always, anytime, |stage| {
        at_most(stage, LimitName::VoltsSagHigh)
    }),
    rule("phase_unbalance_pct", applies::has_three_phases, anytime, |stage| {
        at_most(stage, LimitName::PhaseUnbalanceHigh)
    }),
    rule("compressor_amps_pct_of_rla", applies::always, compressor_load, meters::amps),
    rule("condenser_fan_amps_pct_of_fla", applies::always, |_| Procedure::OutdoorFan, meters::amps),
    rule("blower_amps_pct_of_fla", applies::always, at_full_flow, meters::amps),
    rule("breaker_amps", applies::has_breaker, anytime, meters::breaker),
    rule("contactor_drop_mv", applies::always, anytime, |stage| {
        at_most(stage, LimitName::ContactorDropHigh)
    }),
    rule("volts_control", applies::always, anytime, meters::control_volts),
    rule(
        "strip_heat_amps",
        |it| it.has(PointKey::StripHeatAmps),
        anytime,
        |stage| at_most(stage, LimitName::StripHeatHigh),
    ),
    rule("discharge_line_f", applies::always, compressor_load, |stage| {
        at_most(stage, LimitName::DischargeLineHigh)
    }),
    rule("drier_drop_f", applies::has_drier_reading, compressor_load, |stage| {
        at_most(stage, LimitName::DrierDropHigh)
    }),
    rule(
        "reversing_valve_rise_f",
        |it| it.has(PointKey::ReversingValveRiseF),
        cycle,
        |stage| at_most(stage, LimitName::ReversingValveRiseHigh),
    ),
    rule(
        "standing_over_ambient_f",
        |it| it.has(PointKey::StandingPressurePsig),
        |_| Procedure::Standing,
        |stage| at_most(stage, LimitName::StandingOverAmbientHigh),
    ),
    rule("room_difference_f", applies::always, anytime, |stage| {
        at_most(stage, LimitName::RoomDifferenceHigh)
    }),
    rule("thermostat_error_f", applies::always, anytime, air::thermostat_error),
    rule("ambient_co_ppm", applies::shares_air_with_furnace, anytime, |stage| {
        at_most(stage, LimitName::AmbientCarbonMonoxideHigh)
    }),
    rule("unit_slope_side_in_per_ft", applies::always, anytime, |stage| {
        at_most(stage, LimitName::SlopeHigh)
    }),
    rule("unit_slope_front_in_per_ft", applies::always, anytime, |stage| {
        at_most(stage, LimitName::SlopeHigh)
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

fn anytime(_: &Stage) -> Procedure {
    Procedure::Anytime
}

fn charge(_: &Stage) -> Procedure {
    Procedure::Charge
}

fn cycle(_: &Stage) -> Procedure {
    Procedure::Cycle
}

fn at_full_flow(_: &Stage) -> Procedure {
    Procedure::Static
}

fn compressor_load(_: &Stage) -> Procedure {
    Procedure::CompressorLoad
}
