//! What the readings at the gauges and of the cycle are held against.

use super::{Band, Limits, around, near, source_of_both};
use crate::engine::case::LiquidPort;
use crate::engine::charge;
use crate::engine::charts;
use crate::engine::limits::LimitName;
use crate::engine::stage::Stage;
use crate::engine::validity::Procedure;

pub(super) fn superheat_procedure(stage: &Stage) -> Procedure {
    if stage.facts().metering.is_expansion_valve() {
        Procedure::Charge
    } else {
        Procedure::ChargeBySuperheat
    }
}

pub(super) fn superheat(stage: &Stage) -> Limits {
    let book = stage.book;
    let note = stage.elevation_note();
    if stage.facts().metering.is_expansion_valve() {
        let (low, high) = (LimitName::MeteringSuperheatLow, LimitName::MeteringSuperheatHigh);
        return Limits::Fixed(Band {
            low: Some(book.value(low)),
            high: Some(book.value(high)),
            source: source_of_both(stage, low, high) + note,
            ..Band::default()
        });
    }
    let chart = match stage.facts().superheat_chart {
        Some(_) => "the maker's own chart of this system",
        None if charge::is_by_closed_form(stage) => {
            "off the grid of the published chart: closed form (3 wet bulb − 80 − outdoor) / 2 \
             (from memory)"
        }
        None => "published charging chart for fixed orifices",
    };
    let tolerance = LimitName::TargetSuperheatTolerance;
    let source = [chart, "; ", book.source(tolerance), note].concat();
    around("target_superheat_f", book.value(tolerance), source)
}

pub(super) fn subcooling(stage: &Stage) -> Limits {
    let Some(target) = stage.facts().target_subcooling_f else {
        return Limits::Unknown("the plate's target subcooling");
    };
    near_plate(stage, target, LimitName::SubcoolingTolerance, stage.elevation_note())
}

pub(super) fn approach(stage: &Stage) -> Limits {
    let Some(target) = stage.facts().target_approach_f else {
        return Limits::Unknown("the maker's target approach");
    };
    near_plate(stage, target, LimitName::ApproachTolerance, "")
}

fn near_plate(stage: &Stage, target: f64, tolerance: LimitName, note: &str) -> Limits {
    let width = stage.book.value(tolerance);
    near(target, width, ["nameplate target; ", stage.book.source(tolerance), note].concat())
}

/// The pressure before the condenser is a little higher than that of the liquid behind it.
fn port_note(stage: &Stage) -> &'static str {
    match stage.facts().liquid_port {
        Some(LiquidPort::Discharge) => "; read at the discharge port, some °F too high",
        _ => "",
    }
}

/// Around what the efficiency class usually has.
pub(super) fn condensing_over_ambient(stage: &Stage) -> Limits {
    let facts = stage.facts();
    let Some(seer) = facts.seer.or(facts.seer2.map(|it| it * charts::SEER_PER_SEER2)) else {
        return Limits::Unknown("the seasonal efficiency on the plate");
    };
    let name = LimitName::CondensingTolerance;
    let usual = charts::usual_condensing_over_ambient(seer).number();
    let source = [
        "usual for this efficiency class, trade rule (from memory); ",
        stage.book.source(name),
        port_note(stage),
        stage.elevation_note(),
    ]
    .concat();
    near(usual, stage.book.value(name), source)
}
