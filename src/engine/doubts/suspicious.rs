//! Readings that may be wrong, or may be the fault itself.

use super::{COVERAGE, air, celsius, doubt, plate};
use crate::engine::assessment::Doubt;
use crate::engine::electrical::rated_capacitance;
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::units::Microfarads;

/// Readings that may be wrong, or may be the fault itself.
pub(in crate::engine) fn suspicious(stage: &Stage) -> Vec<Doubt> {
    let celsius = celsius::celsius(stage);
    // The liquid line of a unit typed in the wrong unit is no second slip.
    let cold_line = cold_liquid_line(stage)
        .filter(|it| !celsius.iter().any(|other| it.points.contains(&other.points[0])));
    [swapped_hoses(stage), alike_pressures(stage), warm_supply(stage), cold_line]
        .into_iter()
        .chain([swapped_sections(stage)])
        .flatten()
        .chain(celsius)
        .chain(air::contradictions(stage))
        .chain(plate::misplaced(stage))
        .collect()
}

/// A running compressor never draws from the higher pressure.
fn swapped_hoses(stage: &Stage) -> Option<Doubt> {
    let suction = stage.reading(PointKey::SuctionPressurePsig)?;
    let liquid = stage.reading(PointKey::LiquidPressurePsig)?;
    let gap = stage.book.value(LimitName::SuctionNearLiquid);
    (liquid + gap <= suction).then(|| {
        doubt(
            &[PointKey::SuctionPressurePsig, PointKey::LiquidPressurePsig],
            format!("Suction {suction:.0} psig is above liquid {liquid:.0} psig."),
            "the hoses were swapped, or the two were typed into each other's place",
        )
    })
}

fn alike_pressures(stage: &Stage) -> Option<Doubt> {
    let suction = stage.reading(PointKey::SuctionPressurePsig)?;
    let liquid = stage.reading(PointKey::LiquidPressurePsig)?;
    let gap = stage.book.value(LimitName::SuctionNearLiquid);
    ((liquid - suction).abs() < gap).then(|| {
        doubt(
            &[PointKey::SuctionPressurePsig, PointKey::LiquidPressurePsig],
            format!("Suction {suction:.0} and liquid {liquid:.0} psig are nearly alike."),
            "it was not running, or the compressor does not pump",
        )
    })
}

fn warm_supply(stage: &Stage) -> Option<Doubt> {
    let supply = stage.reading(PointKey::SupplyDbF)?;
    let back = stage.reading(PointKey::ReturnDbF)?;
    let u = stage.u_of_reading(PointKey::SupplyDbF).hypot(stage.u_of_reading(PointKey::ReturnDbF));
    (back + COVERAGE * u < supply).then(|| {
        doubt(
            &[PointKey::SupplyDbF, PointKey::ReturnDbF],
            format!("Supply air {supply:.1} °F is warmer than return air {back:.1} °F."),
            "it was not cooling, the electric heat was on, or the two were swapped",
        )
    })
}

fn cold_liquid_line(stage: &Stage) -> Option<Doubt> {
    let line = stage.reading(PointKey::LiquidLineF)?;
    let outdoor = stage.reading(PointKey::OutdoorDbF)?;
    let u =
        stage.u_of_reading(PointKey::LiquidLineF).hypot(stage.u_of_reading(PointKey::OutdoorDbF));
    let is_outdoors = stage.facts().kind.is_ducted();
    (is_outdoors && line + COVERAGE * u < outdoor).then(|| {
        doubt(
            &[PointKey::LiquidLineF, PointKey::OutdoorDbF],
            format!("The liquid line {line:.1} °F is colder than outdoor air {outdoor:.1} °F."),
            "a restriction before the clamp, outdoor air read in the sun, or the wrong line",
        )
    })
}

/// The two sections of a capacitor.
const SECTIONS: [PointKey; 2] = [PointKey::CapacitorCompressorUf, PointKey::CapacitorFanUf];

/// Whether each section of the capacitor reads what the other is rated for.
pub(in crate::engine) fn are_sections_swapped(stage: &Stage) -> bool {
    let read = SECTIONS.map(|it| stage.reading(it));
    let rated = SECTIONS.map(|it| rated_capacitance(stage, it).map(Microfarads::number));
    let ([Some(compressor), Some(fan)], [Some(rated_compressor), Some(rated_fan)]) = (read, rated)
    else {
        return false;
    };
    let part = stage.book.value(LimitName::SwappedSectionsShare) / 100.0;
    let near = |read: f64, rated: f64| (read - rated).abs() <= part * rated;
    let fits = near(compressor, rated_compressor) && near(fan, rated_fan);
    !fits && near(compressor, rated_fan) && near(fan, rated_compressor)
}

fn swapped_sections(stage: &Stage) -> Option<Doubt> {
    let (compressor, fan) = (stage.reading(SECTIONS[0])?, stage.reading(SECTIONS[1])?);
    are_sections_swapped(stage).then(|| {
        doubt(
            &SECTIONS,
            format!("The sections read {compressor:.1} and {fan:.1} µF, the other way round."),
            "the two sections were swapped on the sheet or at the terminals",
        )
    })
}
