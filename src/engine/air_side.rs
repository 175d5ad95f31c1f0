//! Measures of the air over the indoor coil: split, humidity, enthalpy, ducts.

use super::air;
use super::charge::difference;
use super::charts;
use super::stage::{AirStream, Needs, RETURN_AIR, SUPPLY_AIR, Stage, View};
use super::uncertainty::Definition;

const NO_AIR: &str = "no air has these temperatures; read dry and wet bulb again";
const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure of the air is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "temperature_split_f",
        needs: |stage| Needs::default().point(stage, "return_db_f").point(stage, "supply_db_f"),
        formula: |view| difference(view, "return_db_f", "supply_db_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "target_split_f",
        needs: |stage| Needs::default().air(stage, &RETURN_AIR),
        formula: target_split,
        unanswered: "the split table ends here: it covers 50 to 76 °F wet bulb; come back then",
    },
    Definition {
        key: "return_duct_gain_f",
        needs: |stage| {
            Needs::default().point(stage, "return_db_f").point(stage, "return_grille_db_f")
        },
        formula: |view| difference(view, "return_db_f", "return_grille_db_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "supply_duct_loss_f",
        needs: |stage| {
            Needs::default().point(stage, "supply_register_db_f").point(stage, "supply_db_f")
        },
        formula: |view| difference(view, "supply_register_db_f", "supply_db_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "return_humidity_ratio",
        needs: |stage| Needs::default().air(stage, &RETURN_AIR),
        formula: |view| Some(view.humidity_ratio(&RETURN_AIR)?.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "return_enthalpy_btu_lb",
        needs: |stage| Needs::default().air(stage, &RETURN_AIR),
        formula: |view| enthalpy(view, &RETURN_AIR),
        unanswered: NO_AIR,
    },
    Definition {
        key: "supply_humidity_ratio",
        needs: |stage| Needs::default().air(stage, &SUPPLY_AIR),
        formula: |view| Some(view.humidity_ratio(&SUPPLY_AIR)?.number()),
        unanswered: NO_AIR,
    },
    Definition {
        key: "supply_enthalpy_btu_lb",
        needs: |stage| Needs::default().air(stage, &SUPPLY_AIR),
        formula: |view| enthalpy(view, &SUPPLY_AIR),
        unanswered: NO_AIR,
    },
    Definition {
        key: "room_difference_f",
        needs: |stage: &Stage| Needs::default().point(stage, "room_difference_f"),
        formula: |view| view.reading("room_difference_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "ambient_co_ppm",
        needs: |stage: &Stage| Needs::default().point(stage, "ambient_co_ppm"),
        formula: |view| view.reading("ambient_co_ppm"),
        unanswered: NO_ANSWER,
    },
];

fn enthalpy(view: &View, stream: &AirStream) -> Option<f64> {
    let ratio = view.humidity_ratio(stream)?;
    Some(air::enthalpy(view.temperature(stream.dry_bulb)?, ratio).number())
}

/// The published target, and nothing beyond its wet bulbs.
fn target_split(view: &View) -> Option<f64> {
    let wet_bulb = view.wet_bulb(&RETURN_AIR)?;
    if !charts::SPLIT_WET_BULB_F.contains(&wet_bulb.number()) {
        return None;
    }
    Some(charts::target_split(view.temperature("return_db_f")?, wet_bulb).number())
}
