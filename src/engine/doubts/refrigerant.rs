//! Saturations that contradict the air: another refrigerant than the one on record.

use super::{COVERAGE, celsius, doubt};
use crate::engine::assessment::Doubt;
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::refrigerant::{self, SaturationTable};
use crate::engine::stage::Stage;
use crate::engine::view::View;
use crate::units::{Fahrenheit, Psia};

/// Other refrigerants that are named at most, so that the sentence stays one.
const NAMED_MAX: usize = 2;

/// A way in which saturations contradict temperatures, and how to say it.
struct Contradiction {
    points: [PointKey; 2],
    reason: String,
}

/// The doubt, and why no charge is judged meanwhile.
///
/// Heat flows from the return air into what boils and from what condenses into the outdoor air, and
/// gas is never colder than it boils at its pressure. Where the table on record says otherwise by
/// more than instruments err, it is the wrong table, or a gauge or a clamp reads nothing.
pub(in crate::engine) fn other_refrigerant(stage: &Stage) -> Option<(Doubt, String)> {
    let suction = View::unmoved(stage).absolute(PointKey::SuctionPressurePsig)?;
    let liquid = View::unmoved(stage).absolute(PointKey::LiquidPressurePsig)?;
    // Alike or swapped pressures are explained by themselves.
    let gap = liquid.number() - suction.number();
    if gap < stage.book.value(LimitName::SuctionNearLiquid) {
        return None;
    }
    let contradiction = contradiction(stage, stage.table?, (suction, liquid))?;
    // A temperature typed in Celsius is the nearer explanation.
    let slips = celsius::celsius(stage);
    let is_slip =
        |key: &PointKey| slips.iter().any(|it| it.points.iter().any(|of| of == key.key()));
    if contradiction.points.iter().any(is_slip) {
        return None;
    }
    let others: Vec<&str> = refrigerant::designations()
        .filter(|it| *it != stage.facts().refrigerant)
        .filter(|it| {
            let table = refrigerant::table(it);
            table.is_some_and(|it| fits(stage, it, (suction, liquid)))
        })
        .take(NAMED_MAX)
        .collect();
    let perhaps = match others.as_slice() {
        [] => "another refrigerant is inside, or a gauge or clamp reads wrong".to_owned(),
        names => format!(
            "another refrigerant is inside ({} would fit), or a gauge or clamp reads wrong",
            names.join(" or ")
        ),
    };
    let why = format!("{} Make sure which refrigerant is inside.", contradiction.reason);
    Some((doubt(&contradiction.points, contradiction.reason, perhaps), why))
}

/// How far a temperature may contradict a saturation line before it is believed.
pub(in crate::engine) fn slack(stage: &Stage, key: PointKey, line: f64) -> f64 {
    let u = stage.u_of_reading(key).hypot(line);
    COVERAGE * u + stage.book.value(LimitName::SaturationContradiction)
}

/// The first contradiction between a table's saturations and the temperatures, if any.
fn contradiction(
    stage: &Stage,
    table: &SaturationTable,
    (suction, liquid): (Psia, Psia),
) -> Option<Contradiction> {
    let u = table.uncertainty();
    // Wet vapour of a blend lies anywhere between bubble and dew, and a flooded line is a fault of
    // its own: only below the bubble is a line colder than anything that boils.
    let coldest = table.bubble(suction).map(Fahrenheit::number);
    if let (Some(coldest), Some(line)) = (coldest, stage.reading(PointKey::SuctionLineF))
        && line < coldest - slack(stage, PointKey::SuctionLineF, u.bubble.number())
    {
        return Some(Contradiction {
            points: [PointKey::SuctionLineF, PointKey::SuctionPressurePsig],
            reason: format!(
                "The suction line {line:.1} °F is colder than its saturation {coldest:.1} °F."
            ),
        });
    }
    if let (Some(bubble), Some(air)) = (table.bubble(liquid), stage.reading(PointKey::OutdoorDbF)) {
        let bubble = bubble.number();
        if bubble < air - slack(stage, PointKey::OutdoorDbF, u.bubble.number()) {
            return Some(Contradiction {
                points: [PointKey::LiquidPressurePsig, PointKey::OutdoorDbF],
                reason: format!(
                    "It would condense at {bubble:.1} °F, colder than outdoor air at {air:.1} °F."
                ),
            });
        }
    }
    if let (Some(dew), Some(air)) = (table.dew(suction), stage.reading(PointKey::ReturnDbF)) {
        let dew = dew.number();
        if air + slack(stage, PointKey::ReturnDbF, u.dew.number()) < dew {
            return Some(Contradiction {
                points: [PointKey::SuctionPressurePsig, PointKey::ReturnDbF],
                reason: format!(
                    "It would boil at {dew:.1} °F, warmer than return air at {air:.1} °F."
                ),
            });
        }
    }
    None
}

/// Whether another refrigerant would make an ordinary system of these readings.
fn fits(stage: &Stage, table: &SaturationTable, pressures: (Psia, Psia)) -> bool {
    let (Some(dew), Some(bubble)) = (table.dew(pressures.0), table.bubble(pressures.1)) else {
        return false;
    };
    let under_return = stage.reading(PointKey::ReturnDbF).map(|it| it - dew.number());
    let over_outdoor = stage.reading(PointKey::OutdoorDbF).map(|it| bubble.number() - it);
    contradiction(stage, table, pressures).is_none()
        && under_return.is_none_or(|it| ORDINARY_UNDER_RETURN_F.contains(&it))
        && over_outdoor.is_none_or(|it| ORDINARY_OVER_OUTDOOR_F.contains(&it))
}

/// Return air over saturated suction in ordinary systems, degF; 35 is usual. Judgement, no source.
const ORDINARY_UNDER_RETURN_F: std::ops::RangeInclusive<f64> = 20.0..=50.0;
/// Condensing over outdoor air in ordinary systems, degF; 15 to 30 is usual. Judgement, no source.
const ORDINARY_OVER_OUTDOOR_F: std::ops::RangeInclusive<f64> = 8.0..=40.0;
