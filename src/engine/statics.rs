//! Measures of the duct system: external static, filter and coil drop.

use super::case::{Cabinet, FilterLocation};
use super::needs::Needs;
use super::points::PointKey;
use super::stage::Stage;
use super::uncertainty::Definition;
use super::view::View;
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
                .point(stage, PointKey::StaticReturnInwc)
                .point(stage, PointKey::StaticAfterFilterInwc)
        },
        formula: |view| {
            drop_between(view, PointKey::StaticReturnInwc, PointKey::StaticAfterFilterInwc)
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "return_static_inwc",
        needs: |stage| Needs::default().point(stage, PointKey::StaticReturnInwc),
        // What the return ducts take, counted as a loss.
        formula: |view| Some(-view.reading(PointKey::StaticReturnInwc)?),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "supply_static_inwc",
        needs: |stage| Needs::default().point(stage, PointKey::StaticAfterCoilInwc),
        formula: |view| view.reading(PointKey::StaticAfterCoilInwc),
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "filter_out_gain_inwc",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::StaticFilterOutInwc)
                .point(stage, PointKey::StaticAfterFilterInwc)
        },
        formula: |view| {
            drop_between(view, PointKey::StaticFilterOutInwc, PointKey::StaticAfterFilterInwc)
        },
        unanswered: NO_ANSWER,
    },
    Definition {
        key: "coil_drop_inwc",
        needs: |stage| {
            Needs::default()
                .point(stage, PointKey::StaticBeforeCoilInwc)
                .point(stage, PointKey::StaticAfterCoilInwc)
        },
        formula: coil_drop,
        unanswered: NO_ANSWER,
    },
];

/// The two taps over the cabinet whose external static is rated: supply side, return side.
///
/// Reference: the taps at which each kind of cabinet is rated (from memory); what is part of the
/// rated cabinet, as a filter or a coil inside it, does not count as external.
pub(super) fn taps(stage: &Stage) -> Option<(PointKey, PointKey)> {
    let inside = |location: FilterLocation| location == FilterLocation::InsideCabinet;
    let return_side = |location| {
        if inside(location) { PointKey::StaticReturnInwc } else { PointKey::StaticAfterFilterInwc }
    };
    match stage.facts().cabinet? {
        Cabinet::FurnaceWithCasedCoil => {
            Some((PointKey::StaticBeforeCoilInwc, return_side(stage.facts().filter_location?)))
        }
        Cabinet::AirHandler => {
            Some((PointKey::StaticAfterCoilInwc, return_side(stage.facts().filter_location?)))
        }
        Cabinet::BlowerWithUpstreamCoil => {
            Some((PointKey::StaticAfterCoilInwc, PointKey::StaticBlowerInletInwc))
        }
        Cabinet::Packaged => Some((PointKey::StaticAfterCoilInwc, PointKey::StaticReturnInwc)),
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

/// Fall of pressure over a cased coil.
///
/// - uses the taps before and after the coil, in. w.c.
/// - result: in. w.c.
/// - reference: definition
/// - known disagreement: a wet coil drops 20 to 30 % more than a dry one (from memory)
pub(super) fn coil_drop(view: &View) -> Option<f64> {
    drop_between(view, PointKey::StaticBeforeCoilInwc, PointKey::StaticAfterCoilInwc)
}

fn cabinet_facts(stage: &Stage) -> Needs {
    let facts = stage.facts();
    if facts.cabinet.is_none() {
        return Needs::default().fact(false, "the kind of cabinet");
    }
    Needs::default().fact(facts.filter_location.is_some(), "where the filter sits")
}

fn drop_between(view: &View, from: PointKey, to: PointKey) -> Option<f64> {
    Some((InWc(view.reading(from)?) - InWc(view.reading(to)?)).number())
}
