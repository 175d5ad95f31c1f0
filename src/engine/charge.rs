//! Measures at the gauges: saturation, superheat, subcooling and their targets.

use super::charts;
use super::input::Input;
use super::needs::{Needs, RETURN_AIR};
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::view::View;

const OFF_TABLE: &str =
    "the pressure is outside the refrigerant's table; check gauge and refrigerant";
const OFF_CHART: &str =
    "the chart is blank or ends here: charge nothing, come back at other temperatures, or weigh it";
const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure at the gauges is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "saturated_suction_f",
        needs: suction,
        formula: |view| Some(view.suction_dew()?.number()),
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "saturated_liquid_f",
        needs: liquid,
        formula: |view| Some(view.liquid_bubble()?.number()),
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "superheat_f",
        needs: |stage| suction(stage).point(stage, PointKey::SuctionLineF),
        formula: superheat,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "target_superheat_f",
        needs: target_superheat_needs,
        formula: target_superheat,
        unanswered: OFF_CHART,
    },
    Definition {
        key: "subcooling_f",
        needs: |stage| liquid(stage).point(stage, PointKey::LiquidLineF),
        formula: subcooling,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "approach_f",
        needs: |stage| {
            Needs::default().point(stage, PointKey::LiquidLineF).point(stage, PointKey::OutdoorDbF)
        },
        formula: |view| difference(view, PointKey::LiquidLineF, PointKey::OutdoorDbF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "return_minus_saturation_f",
        needs: |stage| suction(stage).point(stage, PointKey::ReturnDbF),
        formula: return_minus_saturation,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "condensing_over_ambient_f",
        needs: |stage| liquid(stage).point(stage, PointKey::OutdoorDbF),
        formula: condensing_over_ambient,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "condenser_rise_f",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::CondenserLeavingF)
                .point(stage, PointKey::OutdoorDbF)
        },
        formula: |view| difference(view, PointKey::CondenserLeavingF, PointKey::OutdoorDbF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "compression_ratio",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::SuctionPressurePsig)
                .point(stage, PointKey::LiquidPressurePsig)
        },
        formula: compression_ratio,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "discharge_superheat_f",
        needs: |stage| {
            Needs::default()
                .pressure(stage, PointKey::LiquidPressurePsig, Input::DewLine)
                .point(stage, PointKey::DischargeLineF)
        },
        formula: discharge_superheat,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "discharge_line_f",
        needs: |stage| Needs::default().point(stage, PointKey::DischargeLineF),
        formula: |view| view.reading(PointKey::DischargeLineF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "standing_over_ambient_f",
        needs: |stage| {
            Needs::default()
                .pressure(stage, PointKey::StandingPressurePsig, Input::BubbleLine)
                .point(stage, PointKey::OutdoorDbF)
        },
        formula: standing_over_ambient,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "reversing_valve_rise_f",
        needs: |stage| Needs::default().point(stage, PointKey::ReversingValveRiseF),
        formula: |view| view.reading(PointKey::ReversingValveRiseF),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "drier_drop_f",
        needs: |stage| {
            Needs::default().point(stage, PointKey::DrierInF).point(stage, PointKey::DrierOutF)
        },
        formula: |view| difference(view, PointKey::DrierInF, PointKey::DrierOutF),
        unanswered: NO_ANSWER,
    },
];

fn suction(stage: &Stage) -> Needs {
    Needs::default().pressure(stage, PointKey::SuctionPressurePsig, Input::DewLine)
}

fn liquid(stage: &Stage) -> Needs {
    Needs::default().pressure(stage, PointKey::LiquidPressurePsig, Input::BubbleLine)
}

fn target_superheat_needs(stage: &Stage) -> Needs {
    // The dry bulb shifts no target, but decides whether the procedure holds.
    let needs = Needs::default().air(stage, &RETURN_AIR).point(stage, PointKey::OutdoorDbF);
    if needs.missing.is_empty() && is_by_closed_form(stage) {
        return needs.model(Input::ClosedForm);
    }
    needs.model(Input::Chart)
}

/// Whether the target superheat comes from the closed form: off the published chart's grid, where
/// the system has no chart of its own.
pub(super) fn is_by_closed_form(stage: &Stage) -> bool {
    *stage.is_by_closed_form.get_or_init(|| {
        let view = View::unmoved(stage);
        let (Some(outdoor), Some(wet_bulb)) =
            (view.temperature(PointKey::OutdoorDbF), view.return_wet_bulb())
        else {
            return false;
        };
        stage.facts().superheat_chart.is_none() && !charts::is_on_published_grid(outdoor, wet_bulb)
    })
}

/// One temperature less another.
pub(super) fn difference(view: &View, from: PointKey, less: PointKey) -> Option<f64> {
    Some((view.temperature(from)? - view.temperature(less)?).number())
}

/// Superheat of the suction gas.
///
/// - uses the suction line's temperature, degF, and pressure, psig, at the same place
/// - result: degF over the dew temperature
/// - reference: definition; charge verification procedure RA3.2.2 (2008), printed page 15
/// - known disagreement: charts that print one pressure for a blend's bubble and dew
pub(super) fn superheat(view: &View) -> Option<f64> {
    Some((view.temperature(PointKey::SuctionLineF)? - view.suction_dew()?).number())
}

/// Subcooling of the liquid.
///
/// - uses the liquid line's temperature, degF, and pressure, psig, at the same place
/// - result: degF under the bubble temperature
/// - reference: definition (from memory)
pub(super) fn subcooling(view: &View) -> Option<f64> {
    Some((view.liquid_bubble()? - view.temperature(PointKey::LiquidLineF)?).number())
}

/// Ratio of the absolute pressures.
///
/// - uses both pressures, psig, and the local barometric pressure
/// - result: a plain ratio, or nothing where the suction side is at vacuum
/// - reference: definition (from memory)
/// - known disagreement: the liquid port reads a little less than the compressor's discharge
fn compression_ratio(view: &View) -> Option<f64> {
    let suction = view.absolute(PointKey::SuctionPressurePsig)?.number();
    let liquid = view.absolute(PointKey::LiquidPressurePsig)?.number();
    (suction > 0.0).then(|| liquid / suction)
}

/// Superheat that a system without expansion valve should have at this weather.
///
/// - uses outdoor dry bulb and return wet bulb, degF
/// - result: degF, from the maker's own chart where the system has one, else the published one, and
///   only off its grid by the closed form; nothing at a blank cell and off a maker's chart
/// - reference: the charts and the closed form, each with its own source
/// - known disagreement: at the edge of the grid the closed form may lie 6 degF from the chart
pub(super) fn target_superheat(view: &View) -> Option<f64> {
    let outdoor = view.temperature(PointKey::OutdoorDbF)?;
    let wet_bulb = view.return_wet_bulb()?;
    let target = match &view.stage.facts().superheat_chart {
        Some(chart) => charts::makers_superheat(chart, outdoor, wet_bulb),
        None if is_by_closed_form(view.stage) => charts::closed_form_superheat(outdoor, wet_bulb),
        None => charts::published_superheat(outdoor, wet_bulb),
    }?;
    Some(target.number() + view.shift(Input::Chart) + view.shift(Input::ClosedForm))
}

/// How much colder the coil boils than the air that comes to it.
///
/// - uses return dry bulb, degF, and suction pressure, psig
/// - result: degF
/// - reference: definition, dew at the suction port; about 35 degF at 400 cfm a ton, read in a
///   training article
/// - known disagreement: pressure lost between coil and port makes it read some degF too much
pub(super) fn return_minus_saturation(view: &View) -> Option<f64> {
    Some((view.temperature(PointKey::ReturnDbF)? - view.suction_dew()?).number())
}

/// How much warmer it condenses than the air that cools it.
///
/// - uses liquid pressure, psig, and outdoor dry bulb, degF
/// - result: degF
/// - reference: definition, bubble at the liquid port
/// - known disagreement: at the discharge port it reads some degF too much
pub(super) fn condensing_over_ambient(view: &View) -> Option<f64> {
    Some((view.liquid_bubble()? - view.temperature(PointKey::OutdoorDbF)?).number())
}

/// Superheat of the gas that leaves the compressor.
///
/// - uses discharge line, degF, and the high side pressure, psig
/// - result: degF over the dew temperature
/// - reference: definition
/// - known disagreement: read at the liquid port, the pressure is a little lower than at the
///   discharge, so that it comes out some degF too high
fn discharge_superheat(view: &View) -> Option<f64> {
    let saturated = view.dew(PointKey::LiquidPressurePsig)?;
    Some((view.temperature(PointKey::DischargeLineF)? - saturated).number())
}

/// Saturation of a resting unit over the air around it.
///
/// - uses standing pressure, psig, and outdoor dry bulb, degF
/// - result: degF; above nothing where gas is inside that doesn't condense
/// - reference: definition; nothing else than refrigerant has the saturation of its surroundings
/// - known disagreement: indoor coil and outdoor air must have settled at one temperature
pub(super) fn standing_over_ambient(view: &View) -> Option<f64> {
    let saturated = view.bubble(PointKey::StandingPressurePsig)?;
    Some((saturated - view.temperature(PointKey::OutdoorDbF)?).number())
}
