//! Measures of the air over the indoor coil: split, humidity, enthalpy, ducts.

use super::airflow;
use super::capacity;
use super::charge::difference;
use super::charts;
use super::needs::{Needs, RETURN_AIR, SUPPLY_AIR};
use super::performance::{self, BTUH_PER_WATT, Conditions, SENSIBLE_FACTOR};
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::validity;
use super::view::View;
use crate::units::CfmPerTon;

const NO_AIR: &str = "no air has these temperatures; read dry and wet bulb again";
const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure of the air is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "temperature_split_f",
        needs: |stage| {
            Needs::default().point(stage, PointKey::ReturnDbF).point(stage, PointKey::SupplyDbF)
        },
        formula: |view| difference(view, PointKey::ReturnDbF, PointKey::SupplyDbF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "target_split_f",
        needs: target_split_needs,
        formula: target_split,
        unanswered: "the split table ends here: it covers 50 to 76 °F wet bulb; come back then",
    },
    Definition {
        key: "return_duct_gain_f",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::ReturnDbF)
                .point(stage, PointKey::ReturnGrilleDbF)
        },
        formula: |view| difference(view, PointKey::ReturnDbF, PointKey::ReturnGrilleDbF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "supply_duct_loss_f",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::SupplyRegisterDbF)
                .point(stage, PointKey::SupplyDbF)
        },
        formula: |view| difference(view, PointKey::SupplyRegisterDbF, PointKey::SupplyDbF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "return_wet_bulb_f",
        needs: |stage| Needs::default().wet_bulb(stage, &RETURN_AIR),
        formula: |view| Some(view.return_wet_bulb()?.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "return_humidity_ratio",
        needs: |stage| Needs::default().air(stage, &RETURN_AIR),
        formula: |view| Some(view.return_air()?.ratio.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "return_enthalpy_btu_lb",
        needs: |stage| Needs::default().air(stage, &RETURN_AIR),
        formula: |view| Some(view.return_air()?.enthalpy.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "supply_humidity_ratio",
        needs: |stage| Needs::default().air(stage, &SUPPLY_AIR),
        formula: |view| Some(view.supply_air()?.ratio.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "supply_enthalpy_btu_lb",
        needs: |stage| Needs::default().air(stage, &SUPPLY_AIR),
        formula: |view| Some(view.supply_air()?.enthalpy.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "room_difference_f",
        needs: |stage: &Stage| Needs::default().point(stage, PointKey::RoomDifferenceF),
        formula: |view| view.reading(PointKey::RoomDifferenceF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "thermostat_error_f",
        needs: |stage: &Stage| {
            Needs::default()
                .point(stage, PointKey::ThermostatReadingF)
                .point(stage, PointKey::ThermostatBesideF)
        },
        formula: |view| difference(view, PointKey::ThermostatReadingF, PointKey::ThermostatBesideF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "ambient_co_ppm",
        needs: |stage: &Stage| Needs::default().point(stage, PointKey::AmbientCoPpm),
        formula: |view| view.reading(PointKey::AmbientCoPpm),
        unanswered: NO_ANSWER,
    },
];

fn target_split_needs(stage: &Stage) -> Needs {
    let needs = Needs::default().air(stage, &RETURN_AIR);
    if !is_by_airflow(stage) {
        return needs;
    }
    let needs = needs.point(stage, PointKey::OutdoorDbF).and(airflow::needs(stage));
    if stage.has(PointKey::BlowerWatts) { needs.point(stage, PointKey::BlowerWatts) } else { needs }
}

/// Whether the target split is that of the day's own airflow and weather: where both are known,
/// were read together, and the correlation holds.
pub(super) fn is_by_airflow(stage: &Stage) -> bool {
    *stage.is_split_by_airflow.get_or_init(|| {
        let needs = Needs::default().air(stage, &RETURN_AIR).point(stage, PointKey::SupplyDbF);
        let needs = needs.and(airflow::needs(stage));
        needs.missing.is_empty()
            && validity::worthless_reading(stage, &needs).is_none()
            && validity::read_apart(stage, &needs).is_none()
            && split_by_airflow(&View::unmoved(stage)).is_some()
    })
}

/// Split of a healthy coil at this airflow, after the blower has warmed the air.
///
/// - uses return dry and wet bulb, outdoor dry bulb, airflow, nominal or rated tons, blower watts
/// - result: degF
/// - reference: the published correlation (see the coil's split); the blower's heat, where its power
///   was not read, by the default of rating models
/// - known disagreement: the code's procedure itself takes a table for the usual airflow, 1.6 degF
///   apart at 80 and 67 degF; the tolerance of 3 degF is a procedure's and is there for such spread,
///   so that no error of the correlation is added to it
fn split_by_airflow(view: &View) -> Option<f64> {
    let flow = airflow::standard_cfm(view)?;
    let conditions = Conditions {
        outdoor: view.temperature(PointKey::OutdoorDbF)?,
        wet_bulb: view.return_wet_bulb()?,
        airflow: CfmPerTon(flow / airflow::tons(view.stage)?),
    };
    let coil = performance::coil_split(view.temperature(RETURN_AIR.dry_bulb)?, conditions)?;
    let watts = capacity::fan_watts(view)?;
    Some(coil.number() - BTUH_PER_WATT * watts / (SENSIBLE_FACTOR * flow))
}

/// The target at today's airflow where that is known; else the published one for the usual
/// airflow, and nothing beyond its wet bulbs.
fn target_split(view: &View) -> Option<f64> {
    if is_by_airflow(view.stage) {
        return split_by_airflow(view);
    }
    let wet_bulb = view.return_wet_bulb()?;
    if !charts::SPLIT_WET_BULB_F.contains(&wet_bulb.number()) {
        return None;
    }
    Some(charts::target_split(view.temperature(PointKey::ReturnDbF)?, wet_bulb).number())
}
