//! Temperatures that make no sense in Fahrenheit and would in Celsius.

use super::{COVERAGE, doubt};
use crate::engine::assessment::Doubt;
use crate::engine::limits::LimitName;
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::view::View;

/// Whether a temperature at this place makes sense beside the others; nothing where they don't say.
type Sense = fn(&Stage, f64) -> Option<bool>;

/// Places that a value typed in Celsius can reach without being refused, each with its sense.
const PLACES: &[(PointKey, Sense)] = &[
    (PointKey::OutdoorDbF, outdoor),
    (PointKey::SuctionLineF, suction_line),
    (PointKey::LiquidLineF, liquid_line),
    (PointKey::DrierInF, liquid_line),
    (PointKey::DrierOutF, liquid_line),
    (PointKey::SupplyDbF, supply),
    (PointKey::DischargeLineF, discharge_line),
    (PointKey::CondenserLeavingF, condenser_leaving),
];

/// Temperatures that contradict the rest as typed, and fit it when taken for Celsius.
pub(super) fn celsius(stage: &Stage) -> Vec<Doubt> {
    let suspects = PLACES.iter().filter_map(|(key, sense)| {
        let typed = stage.reading(*key)?;
        let converted = 32.0 + 1.8 * typed;
        let is_slip = sense(stage, typed) == Some(false) && sense(stage, converted) == Some(true);
        is_slip.then(|| {
            let label = key.point().label;
            doubt(
                &[*key],
                format!("{label} {typed:.1} °F contradicts the other readings."),
                format!("{typed:.1} °C was typed, which is {converted:.0} °F"),
            )
        })
    });
    suspects.collect()
}

/// Colder or warmer than the instruments could err, and then some.
fn slack(stage: &Stage, key: PointKey) -> f64 {
    COVERAGE * stage.u_of_reading(key) + stage.book.value(LimitName::SaturationContradiction)
}

fn bubble(stage: &Stage) -> Option<f64> {
    Some(View::unmoved(stage).liquid_bubble()?.number())
}

/// Air that condenses the refrigerant is colder than it, by no more than any condenser needs.
fn outdoor(stage: &Stage, value: f64) -> Option<bool> {
    let over = bubble(stage)? - value;
    Some((0.0..=CONDENSING_OVER_AMBIENT_F_MAX).contains(&over))
}

/// Condensing temperature over outdoor air beyond which the outdoor air is not believed, degF:
/// twice the 30 degF of the least efficient class. Judgement, no source.
const CONDENSING_OVER_AMBIENT_F_MAX: f64 = 60.0;

/// Gas that leaves a coil is no colder than what boils in it, and no warmer than the house.
fn suction_line(stage: &Stage, value: f64) -> Option<bool> {
    let coldest = View::unmoved(stage).bubble(PointKey::SuctionPressurePsig)?.number();
    let warmest = stage.reading(PointKey::ReturnDbF).or(stage.reading(PointKey::OutdoorDbF))?;
    let slack = slack(stage, PointKey::SuctionLineF);
    Some(coldest - slack <= value && value <= warmest + slack)
}

/// Liquid is no colder than the air that cooled it, and no warmer than what condensed.
fn liquid_line(stage: &Stage, value: f64) -> Option<bool> {
    let slack = slack(stage, PointKey::LiquidLineF);
    Some(stage.reading(PointKey::OutdoorDbF)? - slack <= value && value <= bubble(stage)? + slack)
}

/// Air that left a coil is no colder than what boils in it, and no warmer than it came.
fn supply(stage: &Stage, value: f64) -> Option<bool> {
    let slack = slack(stage, PointKey::SupplyDbF);
    let coldest = View::unmoved(stage).suction_dew()?.number();
    let warmest = stage.reading(PointKey::ReturnDbF)?;
    Some(coldest - slack <= value && value <= warmest + slack)
}

/// Gas on its way to the condenser is no colder than what condenses there.
fn discharge_line(stage: &Stage, value: f64) -> Option<bool> {
    Some(bubble(stage)? - slack(stage, PointKey::DischargeLineF) <= value)
}

/// Air that took up heat is no colder than before, and no warmer than what gave the heat.
fn condenser_leaving(stage: &Stage, value: f64) -> Option<bool> {
    let slack = slack(stage, PointKey::CondenserLeavingF);
    Some(stage.reading(PointKey::OutdoorDbF)? - slack <= value && value <= bubble(stage)? + slack)
}
