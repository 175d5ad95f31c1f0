//! What thermometers in the air would read: the air over the indoor coil, with as much heat and
//! water taken out of it as the published curves have it. Everything else is judgement, no source.

use super::conditions::{Condition, Weather};
use super::equipment::Equipment;
use super::gauges::Read;
use super::lots::Lots;
use crate::engine::air;
use crate::engine::charts;
use crate::engine::performance::{
    Conditions, Equipment as Kind, capacity_ratio, charge_effect, coil_split,
};
use crate::units::{
    CfmPerTon, CubicFeetPerPound, Fahrenheit, Feet, HumidityRatio, Psia, RelativeHumidity,
};

/// Blower heat of a ton's airflow, Btu/h.
const FAN_HEAT_BTUH: f64 = 480.0;

/// The air of one visit.
pub(super) struct Air {
    pub(super) wet_bulb_f: f64,
    pub(super) barometric: Psia,
    humidity: HumidityRatio,
}

impl Air {
    /// The return air at the site's own barometric pressure.
    pub(super) fn new(equipment: &Equipment, weather: Weather) -> Self {
        let barometric = air::barometric_pressure(Feet(equipment.elevation_ft));
        let barometric = barometric.unwrap_or(Psia(14.696));
        let dry = Fahrenheit(weather.return_f);
        let relative = RelativeHumidity(weather.relative_pct);
        let humidity = air::humidity_ratio_of_relative(dry, relative, barometric);
        let humidity = humidity.unwrap_or(HumidityRatio(0.009));
        let wet_bulb = air::wet_bulb(dry, humidity, barometric);
        let wet_bulb_f = wet_bulb.map_or(weather.return_f - 12.0, Fahrenheit::number);
        Self { wet_bulb_f, barometric, humidity }
    }
}

/// The thermometers of block 10; `split_shift` is how the circuit departs from health, degF.
pub(super) fn read(
    equipment: &Equipment,
    condition: &Condition,
    (weather, split_shift): (Weather, f64),
    lots: &mut Lots,
) -> Read {
    let air = Air::new(equipment, weather);
    let wet = air.wet_bulb_f;
    let target = target_split(equipment, weather, wet);
    // A duct system that chokes the air warms what little there is on its way.
    let choked = (equipment.habits.supply_static - 0.12).max(0.0) * 16.0;
    let split = target + equipment.habits.split_offset_f + split_shift + lots.near(0.0, 0.35);
    let supply = weather.return_f - split;
    let mut all = vec![
        ("outdoor_db_f", weather.outdoor_f),
        ("return_db_f", weather.return_f),
        ("return_wb_f", wet),
        ("return_grille_db_f", weather.return_f - lots.between(0.1, 0.8) - choked * 0.4),
        ("supply_db_f", supply),
        ("supply_wb_f", supply_wet_bulb(equipment, condition, (weather, &air), supply, lots)),
        ("supply_register_db_f", supply + lots.between(0.8, 2.2) + choked),
    ];
    if equipment.index.is_multiple_of(3) {
        all.push(("airflow_cfm", equipment.airflow_cfm() * lots.near(1.0, 0.02)));
    }
    all
}

/// The split of a healthy coil at this system's airflow where the published correlation reaches,
/// else that of the published table for the usual airflow.
fn target_split(equipment: &Equipment, weather: Weather, wet_bulb_f: f64) -> f64 {
    let dry = Fahrenheit(weather.return_f);
    let flow = CfmPerTon(equipment.airflow_cfm() / equipment.tons);
    let wet_bulb = Fahrenheit(wet_bulb_f);
    let conditions = Conditions { outdoor: Fahrenheit(weather.outdoor_f), wet_bulb, airflow: flow };
    coil_split(dry, conditions).map_or_else(
        || charts::target_split(dry, wet_bulb).number(),
        |it| it.number() - FAN_HEAT_BTUH / (1.08 * flow.number()),
    )
}

/// The wet bulb that is left when the unit has taken out what it can today.
fn supply_wet_bulb(
    equipment: &Equipment,
    condition: &Condition,
    (weather, air): (Weather, &Air),
    supply_f: f64,
    lots: &mut Lots,
) -> f64 {
    let per_ton = equipment.airflow_cfm() / equipment.tons;
    let conditions = Conditions {
        outdoor: Fahrenheit(weather.outdoor_f.clamp(75.0, 115.0)),
        wet_bulb: Fahrenheit(air.wet_bulb_f.clamp(57.0, 72.0)),
        airflow: CfmPerTon(per_ton.clamp(200.0, 480.0)),
    };
    let share = capacity_ratio(Kind::AirConditioner, conditions).unwrap_or(1.0);
    let (indoor, outdoor) = (Fahrenheit(weather.return_f), Fahrenheit(weather.outdoor_f));
    let short = condition.charge_short.min(0.3);
    let left = charge_effect(-short, indoor, outdoor).map_or(1.0, |it| it.capacity);
    let net = (12_000.0 + FAN_HEAT_BTUH) * share * left * lots.near(1.0, 0.02) - FAN_HEAT_BTUH;
    let volume = air::specific_volume(indoor, air.humidity, air.barometric);
    let mass = 60.0 * per_ton / volume.map_or(13.7, CubicFeetPerPound::number);
    let enthalpy = air::enthalpy(indoor, air.humidity).number() - net / mass;
    // The humidity ratio at which air of this temperature has that enthalpy; equation 30 of
    // ASHRAE Fundamentals 2017, chapter 1, turned round.
    let ratio = (enthalpy - 0.240 * supply_f) / (1061.0 + 0.444 * supply_f);
    let most = air::saturation_humidity_ratio(Fahrenheit(supply_f), air.barometric);
    let most = most.map_or(0.01, HumidityRatio::number) * 0.97;
    let ratio = HumidityRatio(ratio.clamp(0.003, most.min(air.humidity.number())));
    air::wet_bulb(Fahrenheit(supply_f), ratio, air.barometric)
        .map_or(supply_f - 1.5, Fahrenheit::number)
}
