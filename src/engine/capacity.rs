//! Capacity from the air side, what the published curves expect of it, and the water it makes.

use super::airflow;
use super::input::{Input, InputSet};
use super::needs::{Needs, RETURN_AIR, SUPPLY_AIR};
use super::performance::{
    self, BTUH_PER_TON, BTUH_PER_WATT, Conditions, Equipment, FAN_WATTS_PER_CFM,
};
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::view::View;
use crate::units::{CfmPerTon, Fahrenheit};

const NO_ANSWER: &str = "these readings give no answer; read them again";
const OFF_CURVES: &str =
    "off the curves (75 to 115 °F outdoors, 57 to 72 °F wet bulb, ordinary airflow)";

/// Minutes in an hour.
const MINUTES: f64 = 60.0;
/// Pounds in a gallon of water, as the trade's condensate rule has it (from memory).
const POUNDS_PER_GALLON: f64 = 8.34;
/// Conditions at which units are rated, degF outdoors and degF wet bulb indoors: AHRI 210/240,
/// test A (from memory).
const RATED: (Fahrenheit, Fahrenheit) = (Fahrenheit(95.0), Fahrenheit(67.0));

/// How each measure of capacity is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "total_capacity_btuh",
        needs: measured_needs,
        formula: total,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "sensible_capacity_btuh",
        needs: sensible_needs,
        formula: sensible,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "latent_capacity_btuh",
        needs: measured_needs,
        formula: latent,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "sensible_heat_ratio",
        needs: measured_needs,
        formula: sensible_share,
        unanswered: "it takes no heat out of the air, so that no share of it is sensible",
    },
    Definition {
        key: "condensate_lb_h",
        needs: measured_needs,
        formula: condensate,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "condensate_gal_h",
        needs: measured_needs,
        formula: |view| Some(condensate(view)? / POUNDS_PER_GALLON),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "expected_capacity_btuh",
        needs: expected_needs,
        formula: expected,
        unanswered: OFF_CURVES,
    },
    Definition {
        key: "capacity_ratio",
        needs: |stage| measured_needs(stage).and(expected_needs(stage)),
        formula: ratio,
        unanswered: OFF_CURVES,
    },
    Definition {
        key: "expected_power_w",
        needs: |stage| {
            expected_needs(stage)
                .model(Input::PowerCurve)
                .fact(stage.facts().rated_eer.is_some(), "the rated energy efficiency ratio")
        },
        formula: expected_power,
        unanswered: OFF_CURVES,
    },
];

fn sensible_needs(stage: &Stage) -> Needs {
    Needs::default()
        .air(stage, &RETURN_AIR)
        .point(stage, SUPPLY_AIR.dry_bulb)
        .and(airflow::needs(stage))
}

fn measured_needs(stage: &Stage) -> Needs {
    Needs::default().air(stage, &RETURN_AIR).air(stage, &SUPPLY_AIR).and(airflow::needs(stage))
}

fn expected_needs(stage: &Stage) -> Needs {
    let facts = stage.facts();
    let needs = Needs::default()
        .air(stage, &RETURN_AIR)
        .point(stage, PointKey::OutdoorDbF)
        .and(airflow::needs(stage))
        .model(Input::CapacityCurve)
        .fact(facts.rated_capacity_btuh.is_some(), "the rated capacity");
    if stage.has(PointKey::BlowerWatts) { needs.point(stage, PointKey::BlowerWatts) } else { needs }
}

/// Dry air over the coil, lb/h.
///
/// - uses the airflow, cfm, at the density of the return air
/// - reference: definition; at 80 and 67 degF and sea level 60 min over 13.849 ft3/lb is 4.33, the
///   pocket rule's 4.5 is standard air
fn air_mass(view: &View) -> Option<f64> {
    Some(MINUTES * airflow::cfm(view)? / view.return_air()?.volume.number())
}

/// Heat taken out of the air, blower heat inside: net capacity.
///
/// - uses the airflow and the enthalpies before and after, Btu/lb
/// - result: Btu/h
/// - reference: air mass times the fall of enthalpy; the trade prints it as 4.5 cfm times Btu/lb
/// - known disagreement: the heat that leaves with the condensate, under 1 %, is not taken off
fn total(view: &View) -> Option<f64> {
    Some(
        air_mass(view)?
            * (view.return_air()?.enthalpy.number() - view.supply_air()?.enthalpy.number()),
    )
}

/// Heat that lowered the air's temperature.
///
/// - uses the airflow, the return humidity and both dry bulbs, degF
/// - result: Btu/h
/// - reference: air mass times 0.240 + 0.444 W, ASHRAE Fundamentals 2017, chapter 1, equation 30,
///   times the fall; the trade prints it as 1.08 cfm times degF
fn sensible(view: &View) -> Option<f64> {
    let heat = 0.240 + 0.444 * view.return_air()?.ratio.number();
    let fall = view.temperature(RETURN_AIR.dry_bulb)? - view.temperature(SUPPLY_AIR.dry_bulb)?;
    Some(air_mass(view)? * heat * fall.number())
}

/// Heat that took water out of the air.
///
/// - uses what total and sensible use
/// - result: Btu/h; about nothing on a dry day, and as far below as the instruments err
/// - reference: total less sensible; the trade prints it as 0.68 cfm times grains
/// - known disagreement: none beyond that of the two
fn latent(view: &View) -> Option<f64> {
    Some(total(view)? - sensible(view)?)
}

/// Share of the heat that lowered the air's temperature.
///
/// - uses what total and sensible use
/// - result: a ratio, or nothing where no heat was taken out
/// - reference: definition
/// - known disagreement: with the blower's heat inside it is a little lower than the coil's own
fn sensible_share(view: &View) -> Option<f64> {
    let total = total(view)?;
    (total > 0.0).then_some(sensible(view)? / total)
}

/// Water that leaves the air.
///
/// - uses the airflow and both humidity ratios
/// - result: lb/h; about nothing on a dry day, and as far below as the instruments err
/// - reference: balance of water; the trade prints it as 4.5 cfm times the fall of W
fn condensate(view: &View) -> Option<f64> {
    let fall = view.return_air()?.ratio.number() - view.supply_air()?.ratio.number();
    Some(air_mass(view)? * fall)
}

fn equipment(stage: &Stage) -> Equipment {
    if stage.facts().kind.is_heat_pump() { Equipment::HeatPump } else { Equipment::AirConditioner }
}

/// Rated tons of the capacity on the plate.
fn rated_tons(stage: &Stage) -> Option<f64> {
    stage.facts().rated_capacity_btuh.map(|it| it / BTUH_PER_TON).filter(|it| *it > 0.0)
}

fn conditions(view: &View) -> Option<Conditions> {
    Some(Conditions {
        outdoor: view.temperature(PointKey::OutdoorDbF)?,
        wet_bulb: view.return_wet_bulb()?,
        airflow: CfmPerTon(airflow::standard_cfm(view)? / rated_tons(view.stage)?),
    })
}

/// Power of the blower as rating models have it, W.
fn rated_fan_watts(stage: &Stage) -> Option<f64> {
    let airflow = performance::rated_airflow(equipment(stage)).number() * rated_tons(stage)?;
    Some(FAN_WATTS_PER_CFM * airflow)
}

/// Power of the blower today, W: as read, else by the default of rating models.
pub(super) fn fan_watts(view: &View) -> Option<f64> {
    view.reading(PointKey::BlowerWatts).or_else(|| Some(FAN_WATTS_PER_CFM * airflow::cfm(view)?))
}

/// Capacity and energy input of the curves at the day's conditions, over those at the rated ones.
fn normalised(view: &View) -> Option<(f64, f64)> {
    let inputs = CONDITIONS.union(airflow::inputs(view.stage));
    view.curves(inputs, || {
        let equipment = equipment(view.stage);
        let airflow = performance::rated_airflow(equipment);
        let rated = Conditions { outdoor: RATED.0, wet_bulb: RATED.1, airflow };
        let today = conditions(view)?;
        let over_rated = |curve: fn(Equipment, Conditions) -> Option<f64>| {
            Some(curve(equipment, today)? / curve(equipment, rated)?)
        };
        let capacity = over_rated(performance::capacity_ratio)?;
        Some((capacity, over_rated(performance::energy_input_ratio)?))
    })
}

/// The readings that make the day's conditions, without the airflow.
const CONDITIONS: InputSet = InputSet::of_points(&[
    PointKey::OutdoorDbF,
    PointKey::ReturnDbF,
    PointKey::ReturnWbF,
    PointKey::ReturnRhPct,
]);

/// Net capacity that a healthy unit of this rating gives today, at today's airflow.
///
/// - uses outdoor dry bulb, return wet bulb, airflow, rated capacity
/// - result: Btu/h
/// - reference: Cutler and others 2013 (see the curves): the rated capacity and the blower's heat
///   make the gross one, the curves move it, today's blower heat comes off
/// - known disagreement: a single unit may differ by some percent, taken as 5 %
fn expected(view: &View) -> Option<f64> {
    let rated = view.stage.facts().rated_capacity_btuh?;
    let gross = rated + BTUH_PER_WATT * rated_fan_watts(view.stage)?;
    let (capacity, _) = normalised(view)?;
    let today = gross * capacity;
    let today = today * (1.0 + view.shift(Input::CapacityCurve));
    let net = today - BTUH_PER_WATT * fan_watts(view)?;
    (net > 0.0).then_some(net)
}

/// Capacity as a share of the expected one.
///
/// - uses what both use
/// - result: a ratio
/// - reference: definition
/// - known disagreement: an airflow that is off moves the capacity by as much, the expected one by
///   little, so that the ratio is no surer than the airflow
pub(super) fn ratio(view: &View) -> Option<f64> {
    Some(total(view)? / expected(view)?)
}

/// Power that a healthy unit of this rating draws today, blower and all.
///
/// - uses the same, and the rated energy efficiency ratio, Btu/Wh
/// - result: W, or nothing beyond the curves' ranges
/// - reference: as for the capacity; the blower's power is kept out of the curves
/// - known disagreement: a single unit may differ by some percent, taken as 5 %
fn expected_power(view: &View) -> Option<f64> {
    let facts = view.stage.facts();
    let rated = facts.rated_capacity_btuh? / facts.rated_eer?;
    let outdoors = rated - rated_fan_watts(view.stage)?;
    let (capacity, input) = normalised(view)?;
    let shift = 1.0 + view.shift(Input::PowerCurve);
    let power = outdoors * capacity * input * shift + fan_watts(view)?;
    (outdoors > 0.0 && power > 0.0).then_some(power)
}
