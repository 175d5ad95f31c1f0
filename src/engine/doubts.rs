//! Readings that can't be, or are suspicious, and what was probably swapped or broken.

use std::collections::BTreeMap;

use super::assessment::{Doubt, DoubtKind};
use super::electrical::rated_capacitance;
use super::limits::LimitName;
use super::stage::{AirStream, RETURN_AIR, SUPPLY_AIR, Stage, View};

/// Differences within this many standard uncertainties are no reason for suspicion: JCGM
/// 100:2008, 6.3.3, coverage factor 2.
const COVERAGE: f64 = 2.0;

/// Readings that physics forbids.
pub(super) fn impossible(stage: &Stage) -> Vec<Doubt> {
    let air = [
        impossible_air(stage, &RETURN_AIR, "return"),
        impossible_air(stage, &SUPPLY_AIR, "supply"),
    ];
    air.into_iter().flatten().chain(impossible_statics(stage)).collect()
}

/// Pairs of taps over which air can only lose pressure, in the direction of the air.
const LOSING: &[(&str, &str, &str)] = &[
    ("static_return_inwc", "static_after_filter_inwc", "filter"),
    ("static_before_coil_inwc", "static_after_coil_inwc", "coil"),
];

/// Taps that stand under the blower's suction.
const UNDER_SUCTION: &[&str] =
    &["static_return_inwc", "static_after_filter_inwc", "static_blower_inlet_inwc"];

/// Static pressures that no running blower makes: a pressure on its suction side, or a gain over a
/// filter or a coil. Left in, a forgotten minus sign would pass as a small drop.
fn impossible_statics(stage: &Stage) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for key in UNDER_SUCTION {
        let Some(value) = stage.reading(key) else { continue };
        if COVERAGE * stage.u_of_reading(key) < value {
            let label = super::points::point(key).map_or(*key, |it| it.label);
            doubts.push(Doubt {
                kind: DoubtKind::Impossible,
                points: vec![(*key).to_owned()],
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
        let (Some(first), Some(second)) = (stage.reading(before), stage.reading(after)) else {
            continue;
        };
        let u = stage.u_of_reading(before).hypot(stage.u_of_reading(after));
        if first + COVERAGE * u < second {
            doubts.push(Doubt {
                kind: DoubtKind::Impossible,
                points: vec![(*before).to_owned(), (*after).to_owned()],
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

/// The points of impossible readings, each with the reason.
pub(super) fn reasons(doubts: &[Doubt]) -> BTreeMap<&'static str, String> {
    let mut reasons = BTreeMap::new();
    for doubt in doubts.iter().filter(|it| it.kind == DoubtKind::Impossible) {
        for key in &doubt.points {
            if let Some(point) = super::points::point(key) {
                reasons.insert(point.key, doubt.reason.clone());
            }
        }
    }
    reasons
}

fn impossible_air(stage: &Stage, stream: &AirStream, name: &str) -> Option<Doubt> {
    let dry = stage.reading(stream.dry_bulb)?;
    let wet = stage.reading(stream.wet_bulb)?;
    let points = vec![stream.wet_bulb.to_owned(), stream.dry_bulb.to_owned()];
    if dry < wet {
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
    let view = View { stage, moved: None };
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

/// Readings that may be wrong, or may be the fault itself.
pub(super) fn suspicious(stage: &Stage) -> Vec<Doubt> {
    [alike_pressures(stage), warm_supply(stage), cold_liquid_line(stage), swapped_sections(stage)]
        .into_iter()
        .flatten()
        .collect()
}

fn doubt(points: &[&str], reason: String, perhaps: &str) -> Doubt {
    Doubt {
        kind: DoubtKind::Suspicious,
        points: points.iter().map(|it| (*it).to_owned()).collect(),
        reason,
        perhaps: Some(perhaps.to_owned()),
    }
}

fn alike_pressures(stage: &Stage) -> Option<Doubt> {
    let suction = stage.reading("suction_pressure_psig")?;
    let liquid = stage.reading("liquid_pressure_psig")?;
    let gap = stage.book.value(LimitName::SuctionNearLiquid);
    (liquid - suction < gap).then(|| {
        doubt(
            &["suction_pressure_psig", "liquid_pressure_psig"],
            format!("Suction {suction:.0} and liquid {liquid:.0} psig are nearly alike."),
            "it was not running, the compressor does not pump, or the hoses were swapped",
        )
    })
}

fn warm_supply(stage: &Stage) -> Option<Doubt> {
    let supply = stage.reading("supply_db_f")?;
    let back = stage.reading("return_db_f")?;
    let u = stage.u_of_reading("supply_db_f").hypot(stage.u_of_reading("return_db_f"));
    (back + COVERAGE * u < supply).then(|| {
        doubt(
            &["supply_db_f", "return_db_f"],
            format!("Supply air {supply:.1} °F is warmer than return air {back:.1} °F."),
            "it was not cooling, the electric heat was on, or the two were swapped",
        )
    })
}

fn cold_liquid_line(stage: &Stage) -> Option<Doubt> {
    let line = stage.reading("liquid_line_f")?;
    let outdoor = stage.reading("outdoor_db_f")?;
    let u = stage.u_of_reading("liquid_line_f").hypot(stage.u_of_reading("outdoor_db_f"));
    let is_outdoors = stage.facts().kind.is_ducted();
    (is_outdoors && line + COVERAGE * u < outdoor).then(|| {
        doubt(
            &["liquid_line_f", "outdoor_db_f"],
            format!("The liquid line {line:.1} °F is colder than outdoor air {outdoor:.1} °F."),
            "a restriction before the clamp, outdoor air read in the sun, or the wrong line",
        )
    })
}

fn swapped_sections(stage: &Stage) -> Option<Doubt> {
    let (one, two) = ("capacitor_compressor_uf", "capacitor_fan_uf");
    let (compressor, fan) = (stage.reading(one)?, stage.reading(two)?);
    let rated_compressor = rated_capacitance(stage, one)?.number();
    let rated_fan = rated_capacitance(stage, two)?.number();
    let part = stage.book.value(LimitName::SwappedSectionsShare) / 100.0;
    let near = |read: f64, rated: f64| (read - rated).abs() <= part * rated;
    let fits = near(compressor, rated_compressor) && near(fan, rated_fan);
    (!fits && near(compressor, rated_fan) && near(fan, rated_compressor)).then(|| {
        doubt(
            &[one, two],
            format!("The sections read {compressor:.1} and {fan:.1} µF, the other way round."),
            "the two sections were swapped on the sheet or at the terminals",
        )
    })
}
