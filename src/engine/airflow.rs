//! Airflow over the indoor coil: measured, from the maker's table, or from the coil's drop.

use super::case::{AirflowRow, CoilReference};
use super::input::{Input, InputSet};
use super::needs::{Needs, RETURN_AIR};
use super::performance::BTUH_PER_TON;
use super::points::PointKey;
use super::stage::Stage;
use super::statics;
use super::uncertainty::Definition;
use super::validity;
use super::view::View;
use crate::units::{Cfm, InWc};

const OFF_TABLE: &str =
    "the airflow table ends before this static; measure the airflow by another method";
const NO_ANSWER: &str = "these readings give no answer; read them again";

/// Pounds of dry air in a cubic foot of standard air; standard air of the trade's heat equations,
/// printed with them by several makers.
const STANDARD_DENSITY_LB_FT3: f64 = 0.075;

/// How each measure of the airflow is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition { key: "airflow_cfm", needs, formula: cfm, unanswered: OFF_TABLE },
    Definition {
        key: "airflow_cfm_per_ton",
        needs: per_ton_needs,
        formula: per_ton,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "standard_airflow_cfm",
        needs: |stage| needs(stage).air(stage, &RETURN_AIR),
        formula: standard_cfm,
        unanswered: OFF_TABLE,
    },
    Definition {
        key: "coil_drop_ratio",
        needs: coil_drop_ratio_needs,
        formula: coil_drop_ratio,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "blower_w_per_cfm",
        needs: |stage| needs(stage).point(stage, PointKey::BlowerWatts),
        formula: watts_per_cfm,
        unanswered: NO_ANSWER,
    },
];

/// The ways in which an airflow becomes known, the surest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Method {
    /// It was measured.
    Measured,
    /// The static lies in the maker's table for the blower's tap.
    Table,
    /// The coil's drop is known at one airflow.
    CoilDrop,
}

/// The surest method that this stage has an answer by; of those without, the first with readings.
fn method(stage: &Stage) -> Option<Method> {
    way(stage).map(|it| it.0)
}

/// The method with everything whose error reaches its airflow.
fn way(stage: &Stage) -> Option<(Method, InputSet)> {
    *stage.airflow_way.get_or_init(|| {
        let method = surest_method(stage)?;
        Some((method, needs_of(stage, method).inputs))
    })
}

/// Everything whose error reaches the airflow.
pub(super) fn inputs(stage: &Stage) -> InputSet {
    way(stage).map_or_else(InputSet::default, |it| it.1)
}

fn surest_method(stage: &Stage) -> Option<Method> {
    let measured = needs_of(stage, Method::Measured);
    if stage.has(PointKey::AirflowCfm) && validity::worthless_reading(stage, &measured).is_none() {
        return Some(Method::Measured);
    }
    let can = |method: &Method| {
        let needs = needs_of(stage, *method);
        needs.missing.is_empty() && validity::worthless_reading(stage, &needs).is_none()
    };
    let methods = [Method::Table, Method::CoilDrop];
    let view = View::unmoved(stage);
    let answering = methods.iter().filter(|it| can(it)).find(|it| cfm_by(&view, **it).is_some());
    answering.or_else(|| methods.iter().find(|it| can(it))).copied()
}

/// Whether the airflow was worked out from the coil's own drop, as which dirt shows too.
pub(super) fn is_by_coil_drop(stage: &Stage) -> bool {
    method(stage) == Some(Method::CoilDrop)
}

/// Whether any method gives an airflow.
pub(super) fn is_known(stage: &Stage) -> bool {
    cfm(&View::unmoved(stage)).is_some()
}

/// Where the airflow came from, in words of a source.
pub(super) fn method_words(stage: &Stage) -> &'static str {
    match method(stage) {
        Some(Method::Table) => "airflow from the maker's table at the measured static",
        Some(Method::CoilDrop) => "airflow from the coil's drop against its reference",
        Some(Method::Measured) | None => "measured airflow",
    }
}

/// What the airflow needs of a stage.
pub(super) fn needs(stage: &Stage) -> Needs {
    let facts = stage.facts();
    let unread = if facts.airflow_table.is_some() {
        Method::Table
    } else if facts.coil_reference.is_some() {
        Method::CoilDrop
    } else {
        Method::Measured
    };
    needs_of(stage, method(stage).unwrap_or(unread))
}

fn needs_of(stage: &Stage, method: Method) -> Needs {
    match method {
        Method::Measured => Needs::default().point(stage, PointKey::AirflowCfm),
        Method::Table => statics::external_static_needs(stage)
            .fact(stage.facts().airflow_table.is_some(), "the maker's airflow table")
            .fact(wired_tap(stage).is_some(), "the blower tap that is wired")
            .model(Input::AirflowTable),
        Method::CoilDrop => Needs::default()
            .point(stage, PointKey::StaticBeforeCoilInwc)
            .point(stage, PointKey::StaticAfterCoilInwc)
            .fact(stage.facts().coil_reference.is_some(), "the coil's reference drop")
            .model(Input::CoilReference),
    }
}

/// The taps from which the airflow may become known where it isn't measured: of the maker's table
/// and of the coil's own drop.
pub(super) fn taps(stage: &Stage) -> [Option<Vec<PointKey>>; 2] {
    let facts = stage.facts();
    let has = [facts.airflow_table.is_some(), facts.coil_reference.is_some()];
    let by = |(method, has): (Method, bool)| {
        let taps: Vec<_> = needs_of(stage, method).points().collect();
        (has && !taps.is_empty()).then_some(taps)
    };
    [(Method::Table, has[0]), (Method::CoilDrop, has[1])].map(by)
}

/// Airflow over the indoor coil, cfm at the air's own density, by the stage's method.
pub(super) fn cfm(view: &View) -> Option<f64> {
    let (method, inputs) = way(view.stage)?;
    view.airflow(inputs, || cfm_by(view, method))
}

fn cfm_by(view: &View, method: Method) -> Option<f64> {
    let flow = match method {
        Method::Measured => view.reading(PointKey::AirflowCfm)?,
        Method::Table => {
            let external = InWc(statics::external_static(view)?);
            let tap = wired_tap(view.stage)?;
            let table = view.stage.facts().airflow_table.as_ref()?;
            let rows = table.iter().filter(|it| it.tap.eq_ignore_ascii_case(tap));
            airflow_in_table(rows, external)?.number() * (1.0 + view.shift(Input::AirflowTable))
        }
        Method::CoilDrop => {
            let drop = InWc(statics::coil_drop(view)?);
            let reference = view.stage.facts().coil_reference.as_ref()?;
            airflow_of_drop(reference, drop)?.number() * (1.0 + view.shift(Input::CoilReference))
        }
    };
    (flow > 0.0).then_some(flow)
}

/// The tap that is wired, where the table has it: the one on record, or the only one of the table.
fn wired_tap<'a>(stage: &'a Stage) -> Option<&'a str> {
    let facts = stage.facts();
    let table = facts.airflow_table.as_ref()?;
    if let Some(tap) = &facts.blower_tap {
        return table.iter().any(|it| it.tap.eq_ignore_ascii_case(tap)).then_some(tap);
    }
    let only = &table.first()?.tap;
    table.iter().all(|it| it.tap.eq_ignore_ascii_case(only)).then_some(only)
}

/// Whether the coil's own reference can be held against its drop: where the airflow is known by
/// another way than that very drop, and was read together with it.
pub(super) fn has_own_coil_table(stage: &Stage) -> bool {
    let by_itself = matches!(method(stage), None | Some(Method::CoilDrop));
    stage.facts().coil_reference.is_some()
        && !by_itself
        && validity::read_apart(stage, &coil_drop_ratio_needs(stage)).is_none()
}

fn coil_drop_ratio_needs(stage: &Stage) -> Needs {
    needs(stage)
        .point(stage, PointKey::StaticBeforeCoilInwc)
        .point(stage, PointKey::StaticAfterCoilInwc)
        .fact(stage.facts().coil_reference.is_some(), "the coil's reference drop")
}

/// Drop over the coil as a share of what its own reference has at today's airflow.
///
/// - uses both taps at the coil, in. w.c., and an airflow, cfm, that was not worked out from them
/// - result: a ratio, 1 for the coil of the table, or nothing without a reference
/// - reference: drop rises with the square of the flow (from memory); the maker's one point
/// - known disagreement: a dry coil drops 20 to 30 % less than a wet one (from memory)
fn coil_drop_ratio(view: &View) -> Option<f64> {
    let reference = view.stage.facts().coil_reference.as_ref()?;
    let flow = cfm(view)? / reference.cfm;
    let expected = reference.drop_wet_inwc * flow * flow;
    (has_own_coil_table(view.stage) && expected > 0.0)
        .then_some(statics::coil_drop(view)? / expected)
}

/// Airflow at a static in a maker's table of one tap.
///
/// - `rows`: static, in. w.c., and airflow, cfm, in any order; `external`: in. w.c.
/// - result: cfm in straight lines between rows, or nothing beyond them; never extrapolated
/// - reference: the system's own document
/// - known disagreement: tables are for one motor, dry or wet coil and filter as they say; whether
///   a table is in standard air it seldom says, here it is taken as the blower's own volume flow
#[must_use]
pub fn airflow_in_table<'a>(
    rows: impl Iterator<Item = &'a AirflowRow> + Clone,
    external: InWc,
) -> Option<Cfm> {
    let at = external.number();
    let below = rows.clone().filter(|it| it.static_inwc <= at);
    let below = below.max_by(|one, two| one.static_inwc.total_cmp(&two.static_inwc))?;
    let above = rows.filter(|it| at <= it.static_inwc);
    let above = above.min_by(|one, two| one.static_inwc.total_cmp(&two.static_inwc))?;
    let width = above.static_inwc - below.static_inwc;
    let along = if width > 0.0 { (at - below.static_inwc) / width } else { 0.0 };
    Some(Cfm(below.cfm + along * (above.cfm - below.cfm)))
}

/// Airflow from the drop over a coil whose drop is known at one airflow.
///
/// - `reference`: airflow, cfm, and wet drop, in. w.c., of the maker; `drop`: in. w.c.
/// - result: cfm, or nothing without a drop
/// - reference: drop rises with the square of the flow (from memory); the maker's one point
/// - known disagreement: a wet coil drops 20 to 30 % more than a dry one (from memory); dirt reads
///   as airflow that is not there
#[must_use]
pub fn airflow_of_drop(reference: &CoilReference, drop: InWc) -> Option<Cfm> {
    let ratio = drop.number() / reference.drop_wet_inwc;
    let flow = reference.cfm * ratio.sqrt();
    (ratio > 0.0 && flow.is_finite()).then_some(Cfm(flow))
}

/// Airflow for each ton.
///
/// - uses the airflow, cfm, and the nominal tons, or those of the rated capacity
/// - result: cfm a ton, at the air's own density
/// - reference: definition
/// - known disagreement: rating models count standard air, some percent less at sea level
pub(super) fn per_ton(view: &View) -> Option<f64> {
    Some(cfm(view)? / tons(view.stage)?)
}

/// Power that the blower takes for its air.
///
/// - uses blower watts and the airflow, cfm
/// - result: W/cfm
/// - reference: definition; fan efficacy of a state energy code
/// - known disagreement: limits have come down with each edition
fn watts_per_cfm(view: &View) -> Option<f64> {
    Some(view.reading(PointKey::BlowerWatts)? / cfm(view)?)
}

/// What the airflow for each ton needs where it is to say whether air is short: a way that dirt on
/// the coil doesn't turn round, as it does that by the coil's own drop.
pub(super) fn independent_needs(stage: &Stage) -> Needs {
    per_ton_needs(stage)
        .fact(!is_by_coil_drop(stage), "an airflow by another way than the coil's drop")
}

/// What the airflow for each ton needs of a stage.
pub(super) fn per_ton_needs(stage: &Stage) -> Needs {
    needs(stage).fact(tons(stage).is_some(), "the nominal tons")
}

/// Tons that the airflow is counted by: of the plate, or of the rated capacity.
pub(super) fn tons(stage: &Stage) -> Option<f64> {
    let facts = stage.facts();
    let rated = facts.rated_capacity_btuh.map(|it| it / BTUH_PER_TON);
    facts.nominal_tons.or(rated).filter(|it| *it > 0.0)
}

/// The same airflow counted in standard air.
///
/// - uses airflow, cfm, and the density of the return air, taken for that at the place of measuring
/// - result: standard cfm
/// - reference: definition, 0.075 lb of dry air in a cubic foot
pub(super) fn standard_cfm(view: &View) -> Option<f64> {
    let volume = view.return_air()?.volume.number();
    Some(cfm(view)? / (volume * STANDARD_DENSITY_LB_FT3))
}
