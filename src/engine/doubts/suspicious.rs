//! Readings that may be wrong, or may be the fault itself.

use super::{COVERAGE, celsius, doubt, plate};
use crate::engine::assessment::Doubt;
use crate::engine::electrical::rated_capacitance;
use crate::engine::limits::LimitName;
use crate::engine::stage::Stage;

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
        .chain(plate::misplaced(stage))
        .collect()
}

/// A running compressor never draws from the higher pressure.
fn swapped_hoses(stage: &Stage) -> Option<Doubt> {
    let suction = stage.reading("suction_pressure_psig")?;
    let liquid = stage.reading("liquid_pressure_psig")?;
    let gap = stage.book.value(LimitName::SuctionNearLiquid);
    (liquid + gap <= suction).then(|| {
        doubt(
            &["suction_pressure_psig", "liquid_pressure_psig"],
            format!("Suction {suction:.0} psig is above liquid {liquid:.0} psig."),
            "the hoses were swapped, or the two were typed into each other's place",
        )
    })
}

fn alike_pressures(stage: &Stage) -> Option<Doubt> {
    let suction = stage.reading("suction_pressure_psig")?;
    let liquid = stage.reading("liquid_pressure_psig")?;
    let gap = stage.book.value(LimitName::SuctionNearLiquid);
    ((liquid - suction).abs() < gap).then(|| {
        doubt(
            &["suction_pressure_psig", "liquid_pressure_psig"],
            format!("Suction {suction:.0} and liquid {liquid:.0} psig are nearly alike."),
            "it was not running, or the compressor does not pump",
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
