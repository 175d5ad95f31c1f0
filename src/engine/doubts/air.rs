//! Airflow, capacity and humidity that contradict themselves.

use super::{COVERAGE, doubt};
use crate::engine::air;
use crate::engine::airflow;
use crate::engine::assessment::Doubt;
use crate::engine::capacity;
use crate::engine::needs::RETURN_AIR;
use crate::engine::performance::SPLIT_AIRFLOW;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::view::View;
use crate::units::{Fahrenheit, RelativeHumidity};

/// A capacity over this share of the expected one is not believed. Judgement, no source: twice what
/// airflow and wet bulbs usually err.
const CAPACITY_RATIO_BELIEVED_MAX: f64 = 1.35;
/// How far a wet bulb and the one worked out from the humidity may lie apart beyond the instruments'
/// errors, degF. Judgement, no source.
const WET_BULBS_APART_F: f64 = 1.0;

/// What is suspicious about the air.
pub(super) fn contradictions(stage: &Stage) -> impl Iterator<Item = Doubt> {
    [airflow_beyond_blowers(stage), capacity_beyond_belief(stage), two_humidities(stage)]
        .into_iter()
        .flatten()
}

/// More air than blowers of this size move; the top is the range of the published correlation.
fn airflow_beyond_blowers(stage: &Stage) -> Option<Doubt> {
    let flow = airflow::cfm(&View::unmoved(stage))?;
    let per_ton = flow / airflow::tons(stage)?;
    (*SPLIT_AIRFLOW.end() < per_ton).then(|| {
        doubt(
            &airflow::needs(stage).points().collect::<Vec<_>>(),
            format!("{flow:.0} cfm would be {per_ton:.0} cfm for each ton, more than is built."),
            "the coil is dirty, another tap is wired, or the tons are another unit's",
        )
    })
}

fn capacity_beyond_belief(stage: &Stage) -> Option<Doubt> {
    let ratio = capacity::ratio(&View::unmoved(stage))?;
    (CAPACITY_RATIO_BELIEVED_MAX < ratio).then(|| {
        doubt(
            &[PointKey::ReturnWbF, PointKey::SupplyWbF],
            format!("A capacity of {ratio:.2} times the expected is more than a unit gives."),
            "the airflow is less than thought, or a wet bulb is off",
        )
    })
}

/// A wet bulb and a humidity of the same air; the wet bulb is the one that counts.
fn two_humidities(stage: &Stage) -> Option<Doubt> {
    let view = View::unmoved(stage);
    let (dry, wet) = (view.temperature(RETURN_AIR.dry_bulb)?, view.reading(RETURN_AIR.wet_bulb)?);
    let relative = view.reading(RETURN_AIR.relative)?;
    let barometric = view.barometric()?;
    let of_humidity = |relative: f64| {
        let ratio = air::humidity_ratio_of_relative(dry, RelativeHumidity(relative), barometric)?;
        air::wet_bulb(dry, ratio, barometric).map(Fahrenheit::number)
    };
    let other = of_humidity(relative)?;
    let u_relative = stage.u_of_reading(RETURN_AIR.relative);
    let moved = of_humidity((relative - u_relative).max(0.0))?;
    let u = (other - moved).hypot(stage.u_of_reading(RETURN_AIR.wet_bulb));
    (WET_BULBS_APART_F + COVERAGE * u < (other - wet).abs()).then(|| {
        doubt(
            &[RETURN_AIR.wet_bulb, RETURN_AIR.relative],
            format!("Wet bulb {wet:.1} °F, but {relative:.0} % humidity makes {other:.1} °F."),
            "one of the two is off, or they were read at different places",
        )
    })
}
