//! What a healthy system of this kind would show on such a day: from published figures alone.
//!
//! Each answers at the design airflow: what another airflow does is a cause, not an expectation.

use crate::engine::air;
use crate::engine::case::{BlowerKind, SystemKind};
use crate::engine::charge;
use crate::engine::charts;
use crate::engine::input::Input;
use crate::engine::performance::{
    self, BTUH_PER_TON, Conditions, Equipment, FAN_WATTS_PER_CFM, SENSIBLE_FACTOR,
};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::view::View;
use crate::units::{CfmPerTon, Fahrenheit, RelativeHumidity};

/// Airflow for each ton where the plate asks for none: common practice, printed in many makers'
/// instructions.
const USUAL_CFM_PER_TON: f64 = 400.0;

/// Airflow that the system is meant to have, cfm a ton.
pub(super) fn design_airflow(stage: &Stage) -> f64 {
    stage.facts().design_airflow_cfm_per_ton.unwrap_or(USUAL_CFM_PER_TON)
}

fn design_share(stage: &Stage) -> f64 {
    design_airflow(stage) / USUAL_CFM_PER_TON
}

/// Humidity of a cooled house where nobody read it, %: common practice, no source.
const USUAL_HUMIDITY_PCT: f64 = 50.0;

/// Whether the humidity of the return air was read in any way.
pub(super) fn knows_humidity(stage: &Stage) -> bool {
    stage.has(PointKey::ReturnWbF) || stage.has(PointKey::ReturnRhPct)
}

/// Wet bulb of the return air; of a usual house where nobody read its humidity, which widens all
/// that leans on it together.
fn return_wet_bulb(view: &View) -> Option<Fahrenheit> {
    if knows_humidity(view.stage) {
        return view.return_wet_bulb();
    }
    let dry = view.temperature(PointKey::ReturnDbF)?;
    let relative = RelativeHumidity(USUAL_HUMIDITY_PCT + view.shift(Input::AssumedHumidity));
    let barometric = view.barometric()?;
    let ratio = air::humidity_ratio_of_relative(dry, relative, barometric)?;
    air::wet_bulb(dry, ratio, barometric)
}

/// Return air over saturated suction.
///
/// - uses outdoor dry bulb, return dry and wet bulb, degF; design airflow, cfm a ton
/// - result: degF
/// - reference: 33 degF at 80 and 67 degF return and 95 degF outdoors, the middle of two: 35 by the
///   trade's rule (from memory), which is older than today's coils, and 31 by an open simulation of
///   a three-ton unit, which has also 0.9 degF of saturation for each degF of wet bulb and 0.12 for
///   each of outdoor air
/// - known disagreement: those two
pub(super) fn return_minus_saturation(view: &View) -> Option<f64> {
    let dry = view.temperature(PointKey::ReturnDbF)?.number();
    let wet = return_wet_bulb(view)?.number();
    let outdoor = view.temperature(PointKey::OutdoorDbF)?.number();
    let saturated = 47.0 + 0.9 * (wet - 67.0) + 0.12 * (outdoor - 95.0);
    // A coil with less air boils colder: the same slope as that of the cause.
    Some(dry - saturated + 7.9 * (1.0 / design_share(view.stage) - 1.0))
}

/// Superheat at the suction port.
///
/// - uses outdoor dry bulb and return wet bulb, degF, where nothing regulates it
/// - result: degF
/// - reference: an expansion valve holds 4 to 14 degF (range of a state energy code's procedure
///   with its lower end, upper end from memory), a degree is picked up to the port; else the target
///   superheat, and the closed form's 5 degF where that ends
/// - known disagreement: a fixed orifice of a single unit may be 9 degF off the chart
pub(super) fn superheat(view: &View) -> Option<f64> {
    if view.stage.facts().metering.is_expansion_valve() {
        return Some(10.0);
    }
    if let Some(target) = charge::target_superheat(view) {
        return Some(target);
    }
    let wet = return_wet_bulb(view)?.number();
    let outdoor = view.temperature(PointKey::OutdoorDbF)?.number();
    Some(f64::midpoint(3.0 * wet - 80.0, -outdoor).max(5.0))
}

/// Condensing temperature over outdoor air.
///
/// - uses the seasonal efficiency of the plate, Btu/Wh
/// - result: degF: 27.5 up to 10, 20 at 13, 15 from 16 on, straight between; where the plate says
///   nothing the middle of what was built with that refrigerant
/// - reference: middles of the trade's ranges by efficiency class (from memory)
/// - known disagreement: the chart that verdicts are held against has steps, up to 5 degF higher
#[expect(clippy::unnecessary_wraps, reason = "one form with the others, which may have no answer")]
pub(super) fn condensing_over_ambient(view: &View) -> Option<f64> {
    let facts = view.stage.facts();
    let seer = facts.seer.or(facts.seer2.map(|it| it * charts::SEER_PER_SEER2));
    let Some(seer) = seer.map(|it| it.clamp(10.0, 16.0)) else {
        let is_newer = NEWER_REFRIGERANTS.contains(&facts.refrigerant.as_str());
        return Some(if is_newer { OF_NEWER_UNITS_F } else { OF_ALL_UNITS_F });
    };
    let of_lower = 27.5 - (seer - 10.0) * 2.5;
    let of_upper = 20.0 - (seer - 13.0) * (5.0 / 3.0);
    Some(if seer < 13.0 { of_lower } else { of_upper })
}

/// Condensing over outdoor air where the class is unknown, degF: between 15 and 27.5 over all classes,
/// and 15 to 20 over those of 13 and more.
const OF_ALL_UNITS_F: f64 = 21.25;
const OF_NEWER_UNITS_F: f64 = 17.5;
/// Refrigerants of units that were built when 13 was the least allowed in most places, from 2006 on
/// (from memory). Others may be drop-ins into older ones.
const NEWER_REFRIGERANTS: [&str; 6] = ["R-410A", "R-32", "R-452B", "R-454A", "R-454B", "R-454C"];

/// Subcooling at the liquid port.
///
/// - uses the plate's target where there is one
/// - result: degF, 10 without a plate: the middle of what is common (from memory)
pub(super) fn subcooling(view: &View) -> Option<f64> {
    let facts = view.stage.facts();
    (facts.kind != SystemKind::Ductless).then(|| facts.target_subcooling_f.unwrap_or(10.0))
}

/// Temperature of the discharge line, by compression from the suction line's state.
///
/// - uses both pressures, psig, and the suction line, degF
/// - result: degF
/// - reference: see the compression
/// - known disagreement: the liquid port reads some 2 % less than the compressor's discharge, and the
///   line a few degF less than the gas
pub(super) fn discharge_line(view: &View) -> Option<f64> {
    let suction = view.temperature(PointKey::SuctionLineF)?;
    let pressures = (
        view.absolute(PointKey::SuctionPressurePsig)?,
        view.absolute(PointKey::LiquidPressurePsig)?,
    );
    let refrigerant = &view.stage.facts().refrigerant;
    performance::compressed(refrigerant, suction, pressures).map(Fahrenheit::number)
}

/// Air rise over the outdoor coil.
///
/// - result: degF
/// - reference: two thirds of the condensing temperature over outdoor air: judgement, from the open
///   simulation's 0.66 to 0.70, which is the effectiveness of a coil with 1.1 transfer units
pub(super) fn condenser_rise(view: &View) -> Option<f64> {
    Some(0.67 * condensing_over_ambient(view)?)
}

/// Fall of the air's temperature from return to supply.
///
/// - uses outdoor dry bulb, return dry and wet bulb, degF; design airflow, cfm a ton
/// - result: degF, or nothing off both methods' ranges
/// - reference: the published correlation less the blower's heat; beyond its range the split table
/// - known disagreement: 1.6 degF between the two at 80 and 67 degF
pub(super) fn split(view: &View) -> Option<f64> {
    let dry = view.temperature(PointKey::ReturnDbF)?;
    let wet_bulb = return_wet_bulb(view)?;
    let outdoor = view.temperature(PointKey::OutdoorDbF)?;
    let airflow = CfmPerTon(design_airflow(view.stage));
    let conditions = Conditions { outdoor, wet_bulb, airflow };
    if let Some(coil) = performance::coil_split(dry, conditions) {
        let blower = blower_btuh_per_ton(view.stage) / (SENSIBLE_FACTOR * airflow.number());
        return Some(coil.number() - blower);
    }
    let holds = charts::SPLIT_WET_BULB_F.contains(&wet_bulb.number())
        && SPLIT_TABLE_DRY_BULB_F.contains(&dry.number());
    holds.then(|| charts::target_split(dry, wet_bulb).number())
}

/// Heat of the blower, Btu/h a ton, as the source of the split correlation has it: 500 of a permanent
/// split capacitor motor, 283 of an electronically commutated one; the middle where nobody noted it.
fn blower_btuh_per_ton(stage: &Stage) -> f64 {
    match stage.facts().blower_kind {
        Some(BlowerKind::Psc) => 500.0,
        Some(BlowerKind::ConstantTorque | BlowerKind::ConstantAirflow) => 283.0,
        None => f64::midpoint(500.0, 283.0),
    }
}

/// Return dry bulbs of the split table, degF; as its verdict keeps them.
const SPLIT_TABLE_DRY_BULB_F: std::ops::RangeInclusive<f64> = 70.0..=84.0;

/// Power factor of a loaded compressor motor with run capacitor: judgement, from memory.
const POWER_FACTOR: f64 = 0.95;
/// Power of the outdoor fan, W a ton: judgement, no source.
const OUTDOOR_FAN_WATTS_PER_TON: f64 = 60.0;

/// Amps of the compressor.
///
/// - uses rated capacity and efficiency, outdoor dry bulb and return wet bulb, volts running
/// - result: A, single phase, or nothing
/// - reference: rated power less both fans', moved by the published curves (Cutler and others 2013)
/// - known disagreement: power factor and fans are judgement, some 10 % together
pub(super) fn compressor_amps(view: &View) -> Option<f64> {
    let facts = view.stage.facts();
    let (rated, efficiency) = (facts.rated_capacity_btuh?, facts.rated_eer?);
    let volts = view.reading(PointKey::VoltsOutdoorRunning)?;
    let is_heat_pump = facts.kind.is_heat_pump();
    let equipment = if is_heat_pump { Equipment::HeatPump } else { Equipment::AirConditioner };
    let airflow = performance::rated_airflow(equipment);
    let power = |outdoor: Fahrenheit, wet_bulb: Fahrenheit| {
        let conditions = Conditions { outdoor, wet_bulb, airflow };
        let capacity = performance::capacity_ratio(equipment, conditions)?;
        Some(capacity * performance::energy_input_ratio(equipment, conditions)?)
    };
    let today = power(view.temperature(PointKey::OutdoorDbF)?, return_wet_bulb(view)?)?;
    let share = today / power(Fahrenheit(95.0), Fahrenheit(67.0))?;
    let tons = rated / BTUH_PER_TON;
    let fans = tons * (OUTDOOR_FAN_WATTS_PER_TON + FAN_WATTS_PER_CFM * airflow.number());
    let watts = rated / efficiency * share - fans;
    let amps = watts / (volts * POWER_FACTOR);
    (facts.phases != Some(3) && amps.is_finite() && 0.0 < amps).then_some(amps)
}
