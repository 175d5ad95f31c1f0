//! Readings that can't be, or are suspicious, and what was probably swapped or broken.

use std::collections::BTreeMap;

use super::assessment::{Doubt, DoubtKind};
use super::points::PointKey;

mod air;
mod celsius;
mod impossible;
mod plate;
mod refrigerant;
mod suspicious;

pub(super) use impossible::{LOSING, UNDER_PRESSURE, UNDER_SUCTION, impossible};
pub(super) use refrigerant::{other_refrigerant, slack};
pub(super) use suspicious::{are_sections_swapped, suspicious};

/// Differences within this many standard uncertainties are no reason for suspicion: JCGM
/// 100:2008, 6.3.3, coverage factor 2.
pub(super) const COVERAGE: f64 = 2.0;

/// The points of impossible readings, each with the reason.
pub(super) fn reasons(doubts: &[Doubt]) -> BTreeMap<PointKey, String> {
    let mut reasons = BTreeMap::new();
    for doubt in doubts.iter().filter(|it| it.kind == DoubtKind::Impossible) {
        for key in doubt.points.iter().filter_map(|it| PointKey::of(it)) {
            reasons.insert(key, doubt.reason.clone());
        }
    }
    reasons
}

/// A suspicion of readings.
fn doubt(points: &[PointKey], reason: String, perhaps: impl Into<String>) -> Doubt {
    let points = points.iter().map(|it| it.key().to_owned()).collect();
    Doubt { kind: DoubtKind::Suspicious, points, reason, perhaps: Some(perhaps.into()) }
}
