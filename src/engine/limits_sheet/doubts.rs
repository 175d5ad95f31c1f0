//! Readings that can't be, and such as contradict the refrigerant on record, as data.

use serde::Serialize;

use super::lookups::{BUBBLE, DEW, WARMEST, WARMEST_EDGE_F};
use super::term::Term;
use crate::engine::doubts::{self, COVERAGE, LOSING, UNDER_PRESSURE, UNDER_SUCTION};
use crate::engine::needs::{AirStream, RETURN_AIR, SUPPLY_AIR};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;

/// Readings that can't be: never judged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetImpossible {
    /// By how much they can't be; nothing where one of them wasn't read.
    pub term: Term,
    /// Above this they can't be, and between this and as much below nothing the table of the term
    /// is too coarse to say: then the measures of these points need the network.
    pub edge: f64,
    /// The points that can't be.
    pub points: Vec<PointKey>,
    /// One plain sentence.
    pub words: String,
}

/// A saturation that contradicts a temperature, so that no measure counts that leans on the
/// refrigerant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetContradiction {
    /// By how much, °F.
    pub term: Term,
    /// It counts above this.
    pub over: f64,
    /// Whether nothing else could explain it; else such measures need the network.
    pub sure: bool,
}

/// What can't be on this system, by its instruments.
pub(super) fn impossible(stage: &Stage) -> Vec<SheetImpossible> {
    let suction = UNDER_PRESSURE.iter().map(|key| {
        let lowest = Term::Number(-COVERAGE * stage.u_of_reading(*key));
        let words = "There is no suction on the supply side of a running blower; read it again.";
        row(lowest.less(Term::Reading(*key)), &[*key], words)
    });
    let pressure = UNDER_SUCTION.iter().map(|key| {
        let highest = Term::Number(COVERAGE * stage.u_of_reading(*key));
        let words = "There is no pressure on the suction side of a running blower; read it again.";
        row(Term::Reading(*key).less(highest), &[*key], words)
    });
    let losing = LOSING.iter().map(|(before, after, part)| {
        let words = ["Air gains no pressure over the ", part, "; read both again."].concat();
        let gained = gained(stage, *before, *after);
        row(gained, &[*before, *after], &words)
    });
    let air = [&RETURN_AIR, &SUPPLY_AIR].into_iter().flat_map(|it| air(stage, it));
    suction.chain(pressure).chain(losing).chain(air).collect()
}

fn row(term: Term, points: &[PointKey], words: &str) -> SheetImpossible {
    SheetImpossible { term, edge: 0.0, points: points.to_vec(), words: words.to_owned() }
}

/// The second less the first, beyond what both instruments may err.
fn gained(stage: &Stage, first: PointKey, second: PointKey) -> Term {
    let u = stage.u_of_reading(first).hypot(stage.u_of_reading(second));
    let most = Term::Reading(first).plus(Term::Number(COVERAGE * u));
    Term::Reading(second).less(most)
}

/// A wet bulb above the dry bulb, which leaves the dry bulb standing within the instruments' errors,
/// and one so far below it that the air would hold less than no water.
fn air(stage: &Stage, of: &AirStream) -> [SheetImpossible; 3] {
    let (dry, wet) = (of.dry_bulb, of.wet_bulb);
    let above = "No wet bulb lies above its dry bulb; read both again.";
    let below = "No air has a wet bulb so far below its dry bulb; read both again.";
    let warmest = Term::Of(WARMEST, vec![Term::Reading(wet)]);
    let too_dry = row(Term::Reading(dry).less(warmest), &[dry, wet], below);
    [
        row(Term::Reading(wet).less(Term::Reading(dry)), &[wet], above),
        row(gained(stage, dry, wet), &[dry], above),
        SheetImpossible { edge: WARMEST_EDGE_F, ..too_dry },
    ]
}

/// The same three that the engine knows, in its order. A line colder than its saturation may be
/// a slip of the scale, which the engine tells by more readings; of the other two neither the return
/// air nor warm outdoor air has such an explanation.
pub(super) fn contradictions(stage: &Stage) -> Vec<SheetContradiction> {
    use PointKey::{LiquidPressurePsig, OutdoorDbF, ReturnDbF, SuctionLineF, SuctionPressurePsig};
    let at = |table, pressure| Term::Of(table, vec![Term::Reading(pressure)]);
    let u = stage.table.map(|it| (it.uncertainty().bubble.number(), it.uncertainty().dew.number()));
    let (bubble, dew) = u.unwrap_or_default();
    let row = |term: Term, key, line, sure| SheetContradiction {
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
