//! Readings that can't be, and such as contradict the refrigerant on record, as data.

use serde::Serialize;

use super::lookups::{BUBBLE, DEW, WARMEST};
use super::term::Term;
use crate::engine::doubts::{self, COVERAGE, LOSING, UNDER_PRESSURE, UNDER_SUCTION};
use crate::engine::limits::LimitName;
use crate::engine::needs::{AirStream, RETURN_AIR, SUPPLY_AIR};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;

/// Readings that can't be, and such as contradict the refrigerant on record.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetDoubts {
    /// Static pressures that no running blower makes: the point, the lowest and the highest.
    pub statics: Vec<(PointKey, Option<f64>, Option<f64>)>,
    /// Streams of air, whose wet bulb never lies above the dry bulb.
    pub air: Vec<SheetStream>,
    /// Pairs of taps over which air can only lose pressure.
    pub losing: Vec<SheetLoss>,
    /// The two pressures that must lie apart by this much, psi, before any contradiction counts.
    pub pressures_apart: (PointKey, PointKey, f64),
    /// What then contradicts the refrigerant; the first that holds counts.
    pub contradictions: Vec<SheetContradiction>,
}

/// A stream of air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetStream {
    /// Its dry bulb.
    pub dry: PointKey,
    /// Its wet bulb.
    pub wet: PointKey,
    /// A wet bulb above the dry bulb by no more than this, °F, leaves the dry bulb standing.
    pub slack: f64,
    /// The table of the dry bulb that its wet bulb allows at most.
    pub warmest: &'static str,
}

/// Two taps in the direction of the air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetLoss {
    /// The first.
    pub before: PointKey,
    /// The second: more than this much above the first, in. w.c., it can't be.
    pub after: PointKey,
    /// What the instruments may err.
    pub slack: f64,
}

/// A saturation that contradicts a temperature.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetContradiction {
    /// By how much, °F.
    pub term: Term,
    /// Its points.
    pub points: Vec<PointKey>,
    /// It counts above this.
    pub over: f64,
    /// Whether nothing else could explain it; else the engine must say.
    pub sure: bool,
}

impl SheetDoubts {
    /// Every point that a doubt leans on.
    pub(super) fn points(&self) -> impl Iterator<Item = &'static str> {
        let statics = self.statics.iter().map(|it| it.0);
        let air = self.air.iter().flat_map(|it| [it.dry, it.wet]);
        let losing = self.losing.iter().flat_map(|it| [it.before, it.after]);
        let refrigerant = self.contradictions.iter().flat_map(|it| it.points.iter().copied());
        statics.chain(air).chain(losing).chain(refrigerant).map(PointKey::key)
    }
}

/// What can't be and what contradicts on this system, by its instruments.
pub(super) fn doubts(stage: &Stage) -> SheetDoubts {
    let low = |key: &PointKey| (*key, Some(-COVERAGE * stage.u_of_reading(*key)), None);
    let high = |key: &PointKey| (*key, None, Some(COVERAGE * stage.u_of_reading(*key)));
    let losing = LOSING.iter().map(|(before, after, _)| SheetLoss {
        before: *before,
        after: *after,
        slack: both(stage, *before, *after),
    });
    SheetDoubts {
        statics: UNDER_PRESSURE.iter().map(low).chain(UNDER_SUCTION.iter().map(high)).collect(),
        air: vec![stream(stage, &RETURN_AIR), stream(stage, &SUPPLY_AIR)],
        losing: losing.collect(),
        pressures_apart: (
            PointKey::SuctionPressurePsig,
            PointKey::LiquidPressurePsig,
            stage.book.value(LimitName::SuctionNearLiquid),
        ),
        contradictions: contradictions(stage),
    }
}

fn both(stage: &Stage, one: PointKey, other: PointKey) -> f64 {
    COVERAGE * stage.u_of_reading(one).hypot(stage.u_of_reading(other))
}

fn stream(stage: &Stage, of: &AirStream) -> SheetStream {
    let slack = both(stage, of.dry_bulb, of.wet_bulb);
    SheetStream { dry: of.dry_bulb, wet: of.wet_bulb, slack, warmest: WARMEST }
}

/// The same three that the engine knows, in its order. A line colder than its saturation may be
/// a slip of the scale, which the engine tells by more readings; of the other two neither the return
/// air nor warm outdoor air has such an explanation.
fn contradictions(stage: &Stage) -> Vec<SheetContradiction> {
    use PointKey::{LiquidPressurePsig, OutdoorDbF, ReturnDbF, SuctionLineF, SuctionPressurePsig};
    let at = |table, pressure| Term::Of(table, vec![Term::Reading(pressure)]);
    let u = stage.table.map(|it| (it.uncertainty().bubble.number(), it.uncertainty().dew.number()));
    let (bubble, dew) = u.unwrap_or_default();
    let row = |term: Term, key, line, sure| SheetContradiction {
        points: term.points(),
        term,
        over: doubts::slack(stage, key, line),
        sure,
    };
    let line = at(BUBBLE, SuctionPressurePsig).less(Term::Reading(SuctionLineF));
    let outdoor = Term::Reading(OutdoorDbF).less(at(BUBBLE, LiquidPressurePsig));
    let house = at(DEW, SuctionPressurePsig).less(Term::Reading(ReturnDbF));
    vec![
        row(line, SuctionLineF, bubble, false),
        row(outdoor, OutdoorDbF, bubble, true),
        row(house, ReturnDbF, dew, true),
    ]
}
