//! Measures at the gauges: saturation, superheat, subcooling and their targets.

use super::charts;
use super::stage::{Input, Needs, RETURN_AIR, Stage, View};
use super::uncertainty::Definition;

const OFF_TABLE: &str =
    "the pressure is outside the refrigerant's table; check gauge and refrigerant";
const OFF_CHART: &str =
    "the chart is blank here: charge nothing, come back at other temperatures, or weigh it in";
const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure at the gauges is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "saturated_suction_f",
        needs: suction,
        formula: |view| Some(view.dew("suction_pressure_psig")?.number()),
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "saturated_liquid_f",
        needs: liquid,
        formula: |view| Some(view.bubble("liquid_pressure_psig")?.number()),
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "superheat_f",
        needs: |stage| suction(stage).point(stage, "suction_line_f"),
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
        needs: |stage| liquid(stage).point(stage, "liquid_line_f"),
        formula: subcooling,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "approach_f",
        needs: |stage| Needs::default().point(stage, "liquid_line_f").point(stage, "outdoor_db_f"),
        formula: |view| difference(view, "liquid_line_f", "outdoor_db_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "return_minus_saturation_f",
        needs: |stage| suction(stage).point(stage, "return_db_f"),
        formula: |view| {
            Some((view.temperature("return_db_f")? - view.dew("suction_pressure_psig")?).number())
        },
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "condensing_over_ambient_f",
        needs: |stage| liquid(stage).point(stage, "outdoor_db_f"),
        formula: |view| {
            Some(
                (view.bubble("liquid_pressure_psig")? - view.temperature("outdoor_db_f")?).number(),
            )
        },
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "condenser_rise_f",
        needs: |stage| {
            Needs::default().point(stage, "condenser_leaving_f").point(stage, "outdoor_db_f")
        },
        formula: |view| difference(view, "condenser_leaving_f", "outdoor_db_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "compression_ratio",
        needs: |stage| {
            Needs::default()
                .point(stage, "suction_pressure_psig")
                .point(stage, "liquid_pressure_psig")
        },
        formula: compression_ratio,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "discharge_superheat_f",
        needs: |stage| {
            Needs::default()
                .pressure(stage, "liquid_pressure_psig", Input::DewLine)
                .point(stage, "discharge_line_f")
        },
        formula: |view| {
            let saturated = view.dew("liquid_pressure_psig")?;
            Some((view.temperature("discharge_line_f")? - saturated).number())
        },
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "discharge_line_f",
        needs: |stage| Needs::default().point(stage, "discharge_line_f"),
        formula: |view| view.reading("discharge_line_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "standing_over_ambient_f",
        needs: |stage| {
            Needs::default()
                .pressure(stage, "standing_pressure_psig", Input::BubbleLine)
                .point(stage, "outdoor_db_f")
        },
        formula: |view| {
            let saturated = view.bubble("standing_pressure_psig")?;
            Some((saturated - view.temperature("outdoor_db_f")?).number())
        },
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "reversing_valve_rise_f",
        needs: |stage| Needs::default().point(stage, "reversing_valve_rise_f"),
        formula: |view| view.reading("reversing_valve_rise_f"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "drier_drop_f",
        needs: |stage| Needs::default().point(stage, "drier_in_f").point(stage, "drier_out_f"),
        formula: |view| difference(view, "drier_in_f", "drier_out_f"),
        unanswered: NO_ANSWER,
    },
];

fn suction(stage: &Stage) -> Needs {
    Needs::default().pressure(stage, "suction_pressure_psig", Input::DewLine)
}

fn liquid(stage: &Stage) -> Needs {
    Needs::default().pressure(stage, "liquid_pressure_psig", Input::BubbleLine)
}

fn target_superheat_needs(stage: &Stage) -> Needs {
    // The dry bulb shifts no target, but decides whether the procedure holds.
    let needs = Needs::default().air(stage, &RETURN_AIR).point(stage, "outdoor_db_f");
    if needs.missing.is_empty() && is_by_closed_form(stage) {
        return needs.model(Input::ClosedForm);
    }
    needs.model(Input::Chart)
}

/// Whether the target superheat comes from the closed form: off the published chart's grid, where
/// the system has no chart of its own.
pub(super) fn is_by_closed_form(stage: &Stage) -> bool {
    let view = View { stage, moved: None };
    let (Some(outdoor), Some(wet_bulb)) =
        (view.temperature("outdoor_db_f"), view.wet_bulb(&RETURN_AIR))
    else {
        return false;
    };
    stage.facts().superheat_chart.is_none() && !charts::is_on_published_grid(outdoor, wet_bulb)
}

/// One temperature less another.
pub(super) fn difference(view: &View, from: &'static str, less: &'static str) -> Option<f64> {
    Some((view.temperature(from)? - view.temperature(less)?).number())
}

/// Superheat of the suction gas.
///
/// - uses the suction line's temperature, degF, and pressure, psig, at the same place
/// - result: degF over the dew temperature
/// - reference: definition; charge verification procedure RA3.2.2 (2008), printed page 15
/// - known disagreement: charts that print one pressure for a blend's bubble and dew
fn superheat(view: &View) -> Option<f64> {
    Some((view.temperature("suction_line_f")? - view.dew("suction_pressure_psig")?).number())
}

/// Subcooling of the liquid.
///
/// - uses the liquid line's temperature, degF, and pressure, psig, at the same place
/// - result: degF under the bubble temperature
/// - reference: definition (from memory)
fn subcooling(view: &View) -> Option<f64> {
    Some((view.bubble("liquid_pressure_psig")? - view.temperature("liquid_line_f")?).number())
}

/// Ratio of the absolute pressures.
///
/// - uses both pressures, psig, and the local barometric pressure
/// - result: a plain ratio, or nothing where the suction side is at vacuum
/// - reference: definition (from memory)
/// - known disagreement: the liquid port reads a little less than the compressor's discharge
fn compression_ratio(view: &View) -> Option<f64> {
    let suction = view.absolute("suction_pressure_psig")?.number();
    let liquid = view.absolute("liquid_pressure_psig")?.number();
    (suction > 0.0).then(|| liquid / suction)
}

/// Superheat that a system without expansion valve should have at this weather.
///
/// - uses outdoor dry bulb and return wet bulb, degF
/// - result: degF, from the maker's own chart where the system has one, else the published one, and
///   only off its grid by the closed form
fn target_superheat(view: &View) -> Option<f64> {
    let outdoor = view.temperature("outdoor_db_f")?;
    let wet_bulb = view.wet_bulb(&RETURN_AIR)?;
    let target = match &view.stage.facts().superheat_chart {
        Some(chart) => charts::makers_superheat(chart, outdoor, wet_bulb),
        None if is_by_closed_form(view.stage) => charts::closed_form_superheat(outdoor, wet_bulb),
        None => charts::published_superheat(outdoor, wet_bulb),
    }?;
    Some(target.number() + view.shift(Input::Chart) + view.shift(Input::ClosedForm))
}
