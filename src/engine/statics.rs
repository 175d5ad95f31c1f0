//! Measures of the duct system: external static, filter and coil drop.

use super::case::{Cabinet, FilterLocation};
use super::stage::{Needs, Stage, View};
use super::uncertainty::Definition;
use crate::units::InWc;

const NO_ANSWER: &str = "these readings give no answer; read them again";

/// How each measure of the duct system is worked out.
pub(super) static DEFINITIONS: &[Definition] = &[
    Definition {
        key: "external_static_inwc",
        needs: external_static_needs,
        formula: external_static,
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "filter_drop_inwc",
        needs: |stage| {
            Needs::default()
                .point(stage, "static_return_inwc")
                .point(stage, "static_after_filter_inwc")
        },
        formula: |view| drop_between(view, "static_return_inwc", "static_after_filter_inwc"),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "coil_drop_inwc",
        needs: |stage| {
            Needs::default()
                .point(stage, "static_before_coil_inwc")
                .point(stage, "static_after_coil_inwc")
        },
        formula: coil_drop,
        unanswered: NO_ANSWER,
    },
];

/// The two taps over the cabinet whose external static is rated: supply side, return side.
///
/// Reference: the taps at which each kind of cabinet is rated (from memory); what is part of the
/// rated cabinet, as a filter or a coil inside it, does not count as external.
fn taps(stage: &Stage) -> Option<(&'static str, &'static str)> {
    let inside = |location: FilterLocation| location == FilterLocation::InsideCabinet;
    let return_side = |location| {
        if inside(location) { "static_return_inwc" } else { "static_after_filter_inwc" }
    };
    match stage.facts().cabinet? {
        Cabinet::FurnaceWithCasedCoil => {
            Some(("static_before_coil_inwc", return_side(stage.facts().filter_location?)))
        }
        Cabinet::AirHandler => {
            Some(("static_after_coil_inwc", return_side(stage.facts().filter_location?)))
        }
        Cabinet::BlowerWithUpstreamCoil => {
            Some(("static_after_coil_inwc", "static_blower_inlet_inwc"))
        }
        Cabinet::Packaged => Some(("static_after_coil_inwc", "static_return_inwc")),
    }
}

/// What the external static needs of a stage.
pub(super) fn external_static_needs(stage: &Stage) -> Needs {
    match taps(stage) {
        Some((supply, back)) => Needs::default().point(stage, supply).point(stage, back),
        None => cabinet_facts(stage),
    }
}

/// Static pressure over the rated cabinet.
///
/// - uses the two taps of the kind of cabinet, in. w.c.
/// - result: in. w.c., supply side less return side
/// - reference: definition; the taps as above
pub(super) fn external_static(view: &View) -> Option<f64> {
    let (supply, back) = taps(view.stage)?;
    drop_between(view, supply, back)
}

/// Fall of pressure over a cased coil, in. w.c.; definition.
pub(super) fn coil_drop(view: &View) -> Option<f64> {
    drop_between(view, "static_before_coil_inwc", "static_after_coil_inwc")
}

fn cabinet_facts(stage: &Stage) -> Needs {
    let facts = stage.facts();
    if facts.cabinet.is_none() {
        return Needs::default().fact(false, "the kind of cabinet");
    }
    Needs::default().fact(facts.filter_location.is_some(), "where the filter sits")
}

fn drop_between(view: &View, from: &'static str, to: &'static str) -> Option<f64> {
    Some((InWc(view.reading(from)?) - InWc(view.reading(to)?)).number())
}
