//! Which readings stand behind a defect, so that they mean nothing until it is repaired.
//!
//! A supply static read with a hole in the trunk says how large the hole is, not how the ducts
//! are. Which readings a defect spoils is judgement, no source.

/// The supply and return pressures, and what leaves the far register.
const DUCT: &[&str] = &[
    "static_return_inwc",
    "static_after_filter_inwc",
    "static_blower_inlet_inwc",
    "static_before_coil_inwc",
    "static_after_coil_inwc",
    "supply_register_db_f",
    "airflow_cfm",
];
const FILTER: &[&str] =
    &["static_return_inwc", "static_after_filter_inwc", "static_filter_out_inwc"];
const AIR: &[&str] = &[
    "static_return_inwc",
    "static_after_filter_inwc",
    "static_blower_inlet_inwc",
    "static_before_coil_inwc",
    "static_after_coil_inwc",
    "airflow_cfm",
    "blower_amps",
    "blower_watts",
];
const OUTDOOR_VOLTS: &[&str] = &[
    "volts_outdoor_idle",
    "volts_outdoor_running",
    "volts_l1_l2",
    "volts_l2_l3",
    "volts_l3_l1",
    "contactor_drop_mv",
];

const BEHIND: &[(&str, &[&str])] = &[
    ("filter_bypass", FILTER),
    ("filter_slot_cover", FILTER),
    ("cabinet_joints", DUCT),
    ("duct_gaps", DUCT),
    ("duct_dampers", DUCT),
    ("coil_face", AIR),
    ("blower_wheel", AIR),
    ("blower_housing", AIR),
    ("airflow_setting", AIR),
    ("indoor_connections", &["volts_indoor", "volts_control"]),
    ("disconnect", OUTDOOR_VOLTS),
    ("contactor_points", OUTDOOR_VOLTS),
    ("outdoor_wiring", OUTDOOR_VOLTS),
    (
        "capacitor_can",
        &[
            "capacitor_compressor_uf",
            "capacitor_fan_uf",
            "capacitor_running_volts",
            "start_winding_amps",
        ],
    ),
    ("fan_blade", &["condenser_fan_amps", "condenser_leaving_f"]),
    ("leak_metering", &["suction_line_f", "suction_pressure_psig"]),
    ("suction_insulation", &["suction_line_f"]),
];

/// The measuring points that mean nothing while an observation is bad; none for most.
#[must_use]
pub fn behind(observation: &str) -> &'static [&'static str] {
    BEHIND.iter().find(|it| it.0 == observation).map_or(&[], |it| it.1)
}
