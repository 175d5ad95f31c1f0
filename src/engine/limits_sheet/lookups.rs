//! The look-ups of a limits sheet: curves by their knots, at the site's own pressure.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::air::{self, FREEZING_F, TRIPLE_POINT_F};
use crate::engine::charts::{self, SPLIT_WET_BULB_F};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::units::{Fahrenheit, Psia};

/// Temperature of the first bubble at a gauge pressure.
pub(super) const BUBBLE: &str = "bubble";
/// Temperature of the last drop at a gauge pressure.
pub(super) const DEW: &str = "dew";
/// What of the published split is a matter of the return wet bulb.
pub(super) const SPLIT: &str = "split";
/// Dry bulb that air of a wet bulb can have at most.
pub(super) const WARMEST: &str = "warmest";

/// The curve of the warmest dry bulb is as good as this, degF (the suite says so).
pub(super) const WARMEST_EDGE_F: f64 = 0.001;

/// A curve: cubic Hermite pieces between knots, and nothing beyond the first and the last.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SheetTable {
    /// Where a gauge pressure is looked up: the barometric pressure, psia. The knots then are in
    /// the natural logarithm of the absolute pressure, and their values one over kelvins.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub psi: Option<f64>,
    /// Standard uncertainty of what is looked up.
    pub u: f64,
    /// Each knot: where it stands, its value, and the slope there.
    pub knots: Vec<[f64; 3]>,
}

/// Every table of the sheet.
pub(super) fn tables(stage: &Stage) -> BTreeMap<&'static str, SheetTable> {
    let mut tables = BTreeMap::from([(SPLIT, split()), (WARMEST, warmest(stage.barometric))]);
    // Without knots everything is beyond them, as it is for the engine.
    let (Some(table), Some(barometric)) = (stage.table, stage.barometric) else {
        tables.extend([(BUBBLE, SheetTable::default()), (DEW, SheetTable::default())]);
        return tables;
    };
    let psi = Some(barometric.number());
    let u = table.uncertainty();
    let bubble = SheetTable { psi, u: u.bubble.number(), knots: table.bubble_knots().collect() };
    let dew = SheetTable { psi, u: u.dew.number(), knots: table.dew_knots().collect() };
    tables.extend([(BUBBLE, bubble), (DEW, dew)]);
    tables
}

/// The published split is a parabola of the wet bulb, which one piece renders as it is.
fn split() -> SheetTable {
    let at = |wet: f64| charts::target_split(Fahrenheit(0.0), Fahrenheit(wet)).number();
    // Of a parabola the difference to both sides is its slope, at any width.
    let knot = |wet: f64| [wet, at(wet), (at(wet + 1.0) - at(wet - 1.0)) / 2.0];
    let knots = [*SPLIT_WET_BULB_F.start(), *SPLIT_WET_BULB_F.end()].map(knot).into();
    SheetTable { psi: None, u: 0.0, knots }
}

/// Width over which a slope is taken, degF.
const SLOPE_WIDTH_F: f64 = 1e-4;
/// Distance of the knots, degF.
const KNOTS_APART_F: f64 = 2.0;

/// Over the wet bulbs of the points, as far as some dry bulb of a point could be too warm.
fn warmest(barometric: Option<Psia>) -> SheetTable {
    let (lowest, highest) = (PointKey::SupplyWbF.point().low, PointKey::SupplyDbF.point().high);
    // Over ice, over water that is colder than its triple point, over water.
    let just_ice = FREEZING_F - 1e-9;
    let pieces = [
        (lowest, just_ice),
        (FREEZING_F, TRIPLE_POINT_F),
        (TRIPLE_POINT_F + 1e-9, PointKey::SupplyWbF.point().high),
    ];
    let at = |wet: f64| Some(air::warmest_dry_bulb(Fahrenheit(wet), barometric?)?.number());
    let knot = |wet: f64, (low, high): (f64, f64)| {
        let (below, above) = ((wet - SLOPE_WIDTH_F).max(low), (wet + SLOPE_WIDTH_F).min(high));
        Some([wet, at(wet)?, (at(above)? - at(below)?) / (above - below)])
    };
    let mut knots: Vec<[f64; 3]> = Vec::new();
    for (low, high) in pieces {
        let apart = std::iter::successors(Some(low), |it| Some(it + KNOTS_APART_F));
        let places = apart.take_while(|it| *it < high).chain([high]);
        knots.extend(places.filter_map(|it| knot(it, (low, high))));
    }
    let needed = knots.iter().position(|it| highest < it[1]).map_or(knots.len(), |it| it + 1);
    knots.truncate(needed);
    SheetTable { psi: None, u: 0.0, knots }
}
