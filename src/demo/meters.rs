//! What manometers and electrical meters would read.

use super::conditions::{Condition, Weather};
use super::equipment::Equipment;
use super::gauges::Read;
use super::lots::Lots;

/// Pressures of the duct system with a filter of so many times its clean drop.
pub(super) fn statics(equipment: &Equipment, filter_load: f64, lots: &mut Lots) -> Read {
    let habits = &equipment.habits;
    let mut near = |value: f64| lots.near(value, 0.003);
    let back = near(-habits.return_static);
    let after_filter = back - habits.filter_drop * filter_load;
    let supply = near(habits.supply_static);
    let coil = near(habits.coil_drop);
    let mut all = vec![("static_return_inwc", back)];
    if equipment.line.cabinet != "packaged" {
        all.push(("static_after_filter_inwc", after_filter));
    }
    match equipment.line.cabinet {
        "furnace_with_cased_coil" => all.push(("static_before_coil_inwc", supply + coil)),
        "blower_with_upstream_coil" => all.push(("static_blower_inlet_inwc", after_filter - coil)),
        _ => {}
    }
    all.push(("static_after_coil_inwc", supply));
    all
}

/// The meters indoors; `high` is how much more this technician's meter shows.
pub(super) fn indoors(
    equipment: &Equipment,
    condition: &Condition,
    high: MeterError,
    lots: &mut Lots,
) -> Read {
    let habits = &equipment.habits;
    let mut all = vec![
        ("volts_control", lots.near(25.6, 0.5)),
        ("blower_amps", equipment.blower_fla * habits.blower_share + lots.near(0.0, 0.04)),
    ];
    match equipment.line.cabinet {
        "furnace_with_cased_coil" => {
            all.push(("volts_indoor", (habits.volts / 2.0 + lots.near(0.0, 0.5)) * high.volts));
            all.push(("ambient_co_ppm", lots.between(0.0, 2.4).floor()));
        }
        "packaged" => {}
        _ => all.push(("volts_indoor", (habits.volts + lots.near(0.0, 0.8)) * high.volts)),
    }
    if equipment.line.blower == "psc" {
        let read = capacitance(10.0, condition.blower_capacitor_pct, lots);
        all.push(("capacitor_blower_uf", read * high.capacitance));
    }
    all
}

/// By how many times a technician's meter shows too much.
#[derive(Clone, Copy)]
pub(super) struct MeterError {
    pub(super) capacitance: f64,
    pub(super) volts: f64,
}

impl MeterError {
    /// A meter that shows what is there.
    pub(super) const NONE: Self = Self { capacitance: 1.0, volts: 1.0 };
    /// The one that reads high.
    pub(super) const HIGH: Self = Self { capacitance: 1.055, volts: 1.012 };
}

/// The meters outdoors.
pub(super) fn outdoors(
    equipment: &Equipment,
    condition: &Condition,
    (weather, high): (Weather, MeterError),
    lots: &mut Lots,
) -> Read {
    let habits = &equipment.habits;
    let idle = habits.volts + lots.near(0.0, 0.8);
    let running = idle * (1.0 - lots.between(0.004, 0.018));
    // The hotter it is outdoors, the harder the compressor works.
    let load = habits.load_share + 0.003 * (weather.outdoor_f - 85.0);
    let amps = equipment.compressor_rla * (load + 0.4 * condition.outdoor_dirt * 0.5);
    let mut all = vec![
        ("volts_outdoor_idle", idle * high.volts),
        ("volts_outdoor_running", running * high.volts),
        ("condenser_fan_amps", equipment.fan_fla * habits.fan_share),
        ("contactor_drop_mv", condition.contactor_mv + lots.near(0.0, 4.0)),
    ];
    if equipment.line.phases == 3 {
        all.extend([
            ("volts_l1_l2", running * high.volts),
            ("volts_l2_l3", (running - 1.4) * high.volts),
            ("volts_l3_l1", (running + 0.9) * high.volts),
            ("compressor_amps_l1", amps),
            ("compressor_amps_l2", amps * 1.01),
            ("compressor_amps_l3", amps * 0.99),
        ]);
    } else {
        all.push(("compressor_amps", amps + lots.near(0.0, 0.1)));
        let section =
            capacitance(equipment.compressor_uf, condition.compressor_capacitor_pct, lots);
        all.push(("capacitor_compressor_uf", section * high.capacitance));
    }
    let fan = capacitance(equipment.fan_uf, condition.fan_capacitor_pct, lots);
    all.push(("capacitor_fan_uf", fan * high.capacitance));
    all
}

/// What a capacitor of this rating and deviation shows.
pub(super) fn capacitance(rated_uf: f64, deviation_pct: f64, lots: &mut Lots) -> f64 {
    rated_uf * (1.0 + (deviation_pct + lots.near(0.0, 0.4)) / 100.0)
}
