//! Readings that physics forbids.

use super::COVERAGE;
use crate::engine::assessment::{Doubt, DoubtKind};
use crate::engine::needs::{AirStream, RETURN_AIR, SUPPLY_AIR};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::view::View;

/// Readings that physics forbids.
pub(in crate::engine) fn impossible(stage: &Stage) -> Vec<Doubt> {
    let air = [
        impossible_air(stage, &RETURN_AIR, "return"),
        impossible_air(stage, &SUPPLY_AIR, "supply"),
    ];
    air.into_iter().flatten().chain(impossible_statics(stage)).collect()
}

/// Pairs of taps over which air can only lose pressure, in the direction of the air.
pub(in crate::engine) const LOSING: &[(PointKey, PointKey, &str)] = &[
    (PointKey::StaticReturnInwc, PointKey::StaticAfterFilterInwc, "filter"),
    (PointKey::StaticBeforeCoilInwc, PointKey::StaticAfterCoilInwc, "coil"),
];

/// Taps that stand under the blower's suction.
pub(in crate::engine) const UNDER_SUCTION: &[PointKey] =
    &[PointKey::StaticReturnInwc, PointKey::StaticAfterFilterInwc, PointKey::StaticBlowerInletInwc];

/// Taps that stand under the blower's pressure.
pub(in crate::engine) const UNDER_PRESSURE: &[PointKey] =
    &[PointKey::StaticBeforeCoilInwc, PointKey::StaticAfterCoilInwc];

/// Static pressures that no running blower makes: a pressure on its suction side, suction on its
/// pressure side, or a gain over a filter or a coil. Left in, a minus sign that was forgotten or
/// one too many would pass as a small drop.
fn impossible_statics(stage: &Stage) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for key in UNDER_PRESSURE {
        let Some(value) = stage.reading(*key) else { continue };
        if value < -COVERAGE * stage.u_of_reading(*key) {
            let label = key.point().label;
            doubts.push(Doubt {
                kind: DoubtKind::Impossible,
                points: vec![key.key().to_owned()],
                reason: format!("{label}: {value:.2} in. w.c. on the supply side; read it again."),
                perhaps: Some("a minus sign too many, or the hose was on the other port".into()),
            });
        }
    }
    for key in UNDER_SUCTION {
        let Some(value) = stage.reading(*key) else { continue };
        if COVERAGE * stage.u_of_reading(*key) < value {
            let label = key.point().label;
            doubts.push(Doubt {
                kind: DoubtKind::Impossible,
                points: vec![key.key().to_owned()],
                reason: format!(
                    "{label}: +{value:.2} in. w.c. on the suction side; read it again."
                ),
                perhaps: Some(
                    "the minus sign was left out, or the hose was on the other port".into(),
                ),
            });
        }
    }
    for (before, after, part) in LOSING {
        let (Some(first), Some(second)) = (stage.reading(*before), stage.reading(*after)) else {
            continue;
        };
        let u = stage.u_of_reading(*before).hypot(stage.u_of_reading(*after));
        if first + COVERAGE * u < second {
            doubts.push(Doubt {
                kind: DoubtKind::Impossible,
                points: vec![before.key().to_owned(), after.key().to_owned()],
                reason: format!(
                    "Static {first:.2} before and {second:.2} after the {part}: air gains no \
                     pressure there."
                ),
                perhaps: Some("a minus sign was left out, or the two taps were swapped".into()),
            });
        }
    }
    doubts
}

fn impossible_air(stage: &Stage, stream: &AirStream, name: &str) -> Option<Doubt> {
    let dry = stage.reading(stream.dry_bulb)?;
    let wet = stage.reading(stream.wet_bulb)?;
    let mut points = vec![stream.wet_bulb.key().to_owned(), stream.dry_bulb.key().to_owned()];
    if dry < wet {
        // Nearly saturated air: the two instruments' errors alone may cross, so the dry bulb stands.
        let u = stage.u_of_reading(stream.dry_bulb).hypot(stage.u_of_reading(stream.wet_bulb));
        if wet <= dry + COVERAGE * u {
            points.truncate(1);
        }
        return Some(Doubt {
            kind: DoubtKind::Impossible,
            points,
            reason: format!(
                "The {name} wet bulb {wet:.1} °F lies above the dry bulb {dry:.1} °F; read both \
                 again."
            ),
            perhaps: Some("the two were swapped, or one sensor is off".to_owned()),
        });
    }
    let view = View::unmoved(stage);
    if view.humidity_ratio(stream).is_some() {
        return None;
    }
    Some(Doubt {
        kind: DoubtKind::Impossible,
        points,
        reason: format!(
            "No air has a {name} dry bulb of {dry:.1} °F and a wet bulb of {wet:.1} °F; read both \
             again."
        ),
        perhaps: Some("the wet bulb was read wrongly".to_owned()),
    })
}
