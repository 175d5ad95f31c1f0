//! Conditions of filter, coil and ducts: what speaks for them.
//!
//! All shares and spreads here are judgement, no source, unless a line says otherwise: how often
//! the answer is yes where the condition holds, and where it doesn't.

use std::sync::LazyLock;

use serde_json::Value;

use super::evidence::{Alibi, Evidence, Held, Part, Quantity, share_beyond};
use super::seen::{Seen, place_of};
use crate::engine::case::{Cabinet, FilterLocation, LookedAt};
use crate::engine::limits::LimitName;
use crate::engine::needs::Needs;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::uncertainty::Estimate;
use crate::engine::validity::{self, Procedure};

/// By how much clean filters of one size differ, in. w.c.
const FILTER_SPREAD: f64 = 0.04;
/// The same with the filter out: the flow rises, by which the return ducts take up to this much
/// more and hide as much of the filter's drop.
const FILTER_OUT_SPREAD: f64 = 0.05;

/// A filter: its drop, or what is relieved without it. Both lean on the static behind it, so that
/// they are one quantity. A dense new filter drops as much as a dirty one: a share of the false.
pub(super) static DIRTY_FILTER: &[Part] = &[Part(&[
    Quantity(&[
        Evidence::new("filter_drop_inwc", Held::AboveLimit, FILTER_SPREAD, (0.9, 0.06)),
        // The rise of the flow hides some of it: a yes says more, a no less than the drop's own.
        Evidence::new(
            "filter_out_gain_inwc",
            Held::AboveBook(LimitName::FilterDropHigh, Procedure::Static),
            FILTER_OUT_SPREAD,
            (0.75, 0.04),
        ),
    ]),
    Quantity(&[Evidence::seen(LookedAt::FilterCondition, (0.85, 0.1))]),
])];

/// A coil: its drop against its own table, against the budget, or against what it was. All lean on
/// today's drop, so that they are one quantity.
pub(super) static RESTRICTED_COIL: &[Part] = &[Part(&[
    Quantity(&[
        // A table is of a clean coil, and the airflow has its own error inside the ratio's.
        Evidence::new("coil_drop_ratio", Held::AboveLimit, 0.15, (0.85, 0.06)),
        // A budget knows neither the coil nor the airflow.
        Evidence::new("coil_drop_inwc", Held::AboveLimit, 0.06, (0.7, 0.15)),
        Evidence::own("coil_drop_inwc", coil_has_grown, Procedure::Static, (0.85, 0.06)),
    ]),
    // Dust on a face is seen more often than it holds back air.
    Quantity(&[Evidence::seen(LookedAt::CoilFace, (0.75, 0.1))]),
])];

/// That the external static is high hardly speaks for the ducts, for their own share of it was
/// counted already, and not at all where filter or coil explain it. That it is low speaks against
/// them: nothing that the blower feels is closed.
const EXTERNAL: Evidence =
    Evidence::new("external_static_inwc", Held::AboveLimit, 0.03, (0.9, 0.5))
        .unless(filter_or_coil_takes_it);

/// The return side, the supply side, a damper: each may close or narrow the ducts by itself.
pub(super) static DUCTS: &[Part] = &[
    Part(&[
        Quantity(&[Evidence::own(
            "return_static_inwc",
            duct_takes_too_much,
            Procedure::Static,
            (0.85, 0.1),
        )]),
        Quantity(&[EXTERNAL]),
    ]),
    Part(&[
        Quantity(&[Evidence::own(
            "supply_static_inwc",
            duct_takes_too_much,
            Procedure::Static,
            (0.85, 0.1),
        )]),
        Quantity(&[EXTERNAL]),
    ]),
    // A damper that is loose is not always one that is closed.
    Part(&[Quantity(&[Evidence::seen(LookedAt::DuctDampers, (0.4, 0.05))])]),
];

/// Degrees that return air picks up or loses on its way before it was probably mixed with other.
const RETURN_GAIN_F: f64 = 3.0;
/// Degrees that supply air picks up on its way before more than walls of ducts explains it.
const SUPPLY_LOSS_F: f64 = 4.0;
/// By how much sound ducts differ in that, degF: length, insulation, attic.
const DUCT_SPREAD_F: f64 = 1.5;
/// Supply static, in. w.c., that only wide or open ducts have.
const SUPPLY_STATIC_LOW_INWC: f64 = 0.02;

/// Ducts: no reading of the refrigerant says anything of them. Temperatures along a duct say
/// little where they agree, for a leak into a room at the same temperature moves nothing.
pub(super) static DUCT_LEAKAGE: &[Part] = &[Part(&[
    Quantity(&[Evidence::new(
        "return_duct_gain_f",
        Held::Apart(RETURN_GAIN_F, Procedure::Capacity),
        DUCT_SPREAD_F,
        (0.4, 0.03),
    )]),
    Quantity(&[Evidence::new(
        "supply_duct_loss_f",
        Held::Above(SUPPLY_LOSS_F, Procedure::Capacity),
        DUCT_SPREAD_F,
        (0.4, 0.08),
    )]),
    // Wide ducts have little static too.
    Quantity(&[Evidence::new(
        "supply_static_inwc",
        Held::Below(SUPPLY_STATIC_LOW_INWC, Procedure::Static),
        0.015,
        (0.25, 0.08),
    )]),
    // Eyes and smoke look at the same joints.
    Quantity(&[
        Evidence::seen(LookedAt::DuctSmokeTest, (0.9, 0.03)),
        Evidence::seen(LookedAt::DuctGaps, (0.75, 0.04)),
        Evidence::seen(LookedAt::CabinetJoints, (0.4, 0.04)),
    ]),
])];

/// External static of a plate that is not on record, in. w.c.: the rating condition of ducted
/// units from 2023, read.
const EXTERNAL_USUAL_INWC: f64 = 0.5;
/// Shares of filter and coil in the external static; the ducts have the rest, half of it on each
/// side. Trade rule of 20, 40, 20 and 20 parts (from memory).
const FILTER_SHARE: f64 = 0.2;
const COIL_SHARE: f64 = 0.4;
/// By how much designs divide it otherwise, as a share of the allowance.
const ALLOWANCE_SPREAD: f64 = 0.3;

/// What one side of the ducts may take.
///
/// - uses the plate's highest external static, in. w.c., and what of filter and coil it is rated
///   without
/// - result: in. w.c., nothing where the kind of cabinet is not on record
/// - reference: the trade rule above; what is inside of the rated cabinet takes no share
fn duct_allowance(stage: &Stage) -> Option<f64> {
    let facts = stage.facts();
    let has_coil_inside = match facts.cabinet? {
        Cabinet::FurnaceWithCasedCoil | Cabinet::BlowerWithUpstreamCoil => false,
        Cabinet::AirHandler | Cabinet::Packaged => true,
    };
    let has_filter_inside = facts.filter_location == Some(FilterLocation::InsideCabinet)
        || facts.cabinet == Some(Cabinet::Packaged);
    let most = facts.max_external_static_inwc.unwrap_or(EXTERNAL_USUAL_INWC);
    let coil = if has_coil_inside { 0.0 } else { COIL_SHARE };
    let filter = if has_filter_inside { 0.0 } else { FILTER_SHARE };
    Some(most * (1.0 - coil - filter) / 2.0).filter(|it| it.is_finite() && 0.0 < *it)
}

fn duct_takes_too_much(seen: &Seen, place: usize) -> Option<f64> {
    let Estimate { value, u } = seen.estimate(place, Procedure::Static)?;
    let allowance = duct_allowance(seen.stage)?;
    Some(share_beyond(value, u, allowance, ALLOWANCE_SPREAD * allowance))
}

/// Places of what else takes external static.
static TAKING: LazyLock<[usize; 3]> =
    LazyLock::new(|| ["filter_drop_inwc", "coil_drop_ratio", "coil_drop_inwc"].map(place_of));

/// By how much a budget of filter or coil is no cliff, in. w.c. or as a ratio.
const TAKEN_SPREAD: f64 = 0.02;

fn filter_or_coil_takes_it(seen: &Seen) -> Alibi {
    let above = |place: &usize| {
        let verdict = seen.judged(*place)?;
        Some(share_beyond(verdict.value?, verdict.u?, verdict.high?, TAKEN_SPREAD))
    };
    let explained = TAKING.iter().filter_map(above).fold(0.0, f64::max);
    Alibi { explained, unread: None }
}

/// Growth of a coil's resistance by which it counts as restricted: as against its table.
const GROWTH_LIMIT: f64 = 1.3;
/// By how much a clean coil's resistance differs from visit to visit: wet or dry, other taps.
const GROWTH_SPREAD: f64 = 0.2;
/// Earlier visits that are looked at: the newest, for these come first.
const HISTORY_MAX: usize = 30;

/// What told how much air there was.
#[derive(Clone, Copy, PartialEq, Eq)]
enum FlowBy {
    /// It was measured: drop goes with its square.
    Measured,
    /// Static that the supply ducts take, which goes with the square of the flow as well.
    SupplyStatic,
}

/// Probability that the coil resists the air more than its limit over what it once did.
///
/// - uses today's coil drop, in. w.c., and airflow, cfm, or the supply static; the same of earlier
///   documents, of which the least resistance counts: a coil is never cleaner than it can be
/// - result: 0 to 1, nothing without an earlier visit that tells its flow in the same way
/// - reference: drop rises with the square of the flow (from memory)
/// - known disagreement: dampers that were moved since change the supply static at the same flow
fn coil_has_grown(seen: &Seen, place: usize) -> Option<f64> {
    if seen.stage.case.history.is_empty() {
        return None;
    }
    let Estimate { value: drop, u } = seen.estimate(place, Procedure::Static)?;
    let by = [FlowBy::Measured, FlowBy::SupplyStatic];
    by.into_iter().find_map(|by| {
        let (squared, u_share) = flow_squared_today(seen, by)?;
        let history = seen.stage.case.history.iter().take(HISTORY_MAX);
        let least = history.filter_map(|it| resistance_then(it, by)).reduce(f64::min)?;
        let now = drop / squared;
        let growth = now / least;
        // The error of a drop counts twice, of today and of then; most of that of a flow is the
        // same on both days.
        let shares = 2.0 * (u / drop.max(u)).powi(2) + u_share.powi(2);
        let u_growth = shares.sqrt() * growth;
        let is_sound = growth.is_finite() && u_growth.is_finite();
        is_sound.then(|| share_beyond(growth, u_growth, GROWTH_LIMIT, GROWTH_SPREAD))
    })
}

/// Square of today's flow, or what stands for it, with its standard uncertainty as a share.
fn flow_squared_today(seen: &Seen, by: FlowBy) -> Option<(f64, f64)> {
    let stage = seen.stage;
    let (squared, u) = match by {
        FlowBy::Measured => {
            let together = Needs::default()
                .point(stage, PointKey::AirflowCfm)
                .point(stage, PointKey::StaticBeforeCoilInwc);
            let is_together = validity::read_apart(stage, &together).is_none();
            let flow = seen.usable(PointKey::AirflowCfm).filter(|_| is_together)?;
            (flow * flow, 2.0 * flow * stage.u_of_reading(PointKey::AirflowCfm))
        }
        FlowBy::SupplyStatic => {
            let key = PointKey::StaticAfterCoilInwc;
            (seen.usable(key)?, stage.u_of_reading(key))
        }
    };
    (squared > 0.0).then_some((squared, u / squared))
}

/// Coil drop over the square of the flow, or over what stands for it, on an earlier visit: as it
/// was left, else as it was found.
fn resistance_then(document: &Value, by: FlowBy) -> Option<f64> {
    ["as_left", "as_found"].into_iter().find_map(|stage| {
        let reading = |key: PointKey| {
            let waits = document.get("read_after_repair").and_then(|it| it.get(stage));
            let is_waiting = waits
                .and_then(Value::as_array)
                .is_some_and(|it| it.iter().any(|it| it.as_str() == Some(key.key())));
            let value = document.get(stage)?.get(key.key())?.as_f64()?;
            (!is_waiting && key.point().accepts(value)).then_some(value)
        };
        let after = reading(PointKey::StaticAfterCoilInwc)?;
        let drop = reading(PointKey::StaticBeforeCoilInwc)? - after;
        let squared = match by {
            FlowBy::Measured => reading(PointKey::AirflowCfm)?.powi(2),
            FlowBy::SupplyStatic => after,
        };
        let resistance = drop / squared;
        (drop > 0.0 && squared > 0.0 && resistance.is_finite()).then_some(resistance)
    })
}
