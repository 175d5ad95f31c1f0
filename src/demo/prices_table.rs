//! The demo company's price list: key, words, price in cents, what it puts right. All invented.

pub(super) const RUN_CAPACITOR: &str = "run_capacitor_put_in";
pub(super) const DUCTS_SEALED: &str = "ducts_sealed_at_trunk_and_branches";
pub(super) const LEAK_SEARCH: &str = "leak_search_with_nitrogen";
pub(super) const INDOOR_COIL: &str = "indoor_coil_put_in";

/// The items in their order.
pub(super) const PRICES: &[(&str, &str, i64, &[&str])] = &[
    (
        RUN_CAPACITOR,
        "Run capacitor, put in",
        18_900,
        &[
            "capacitor_compressor_deviation_pct",
            "capacitor_compressor_required_deviation_pct",
            "capacitor_fan_deviation_pct",
            "capacitor_fan_required_deviation_pct",
            "observe.capacitor_can",
        ],
    ),
    (
        "blower_capacitor_put_in",
        "Blower capacitor, put in",
        14_900,
        &["capacitor_blower_deviation_pct", "capacitor_blower_required_deviation_pct"],
    ),
    (
        "contactor_put_in",
        "Contactor, put in",
        24_500,
        &["contactor_drop_mv", "observe.contactor_points"],
    ),
    (
        LEAK_SEARCH,
        "Leak search with nitrogen",
        29_500,
        &[
            "cause.low_charge",
            "observe.leak_coil_indoors",
            "observe.leak_coil_outdoors",
            "observe.leak_joints_indoors",
            "observe.leak_metering",
            "subcooling_f",
        ],
    ),
    (INDOOR_COIL, "Indoor coil, put in", 245_000, &["observe.leak_coil_indoors"]),
    (
        DUCTS_SEALED,
        "Ducts sealed at trunk and branches",
        98_000,
        &["observe.cabinet_joints", "observe.duct_gaps", "observe.duct_smoke_test"],
    ),
    ("return_duct_made_larger", "Return duct made larger", 135_000, &["external_static_inwc"]),
    ("duct_insulation_renewed", "Duct insulation renewed", 54_000, &["observe.duct_insulation"]),
    (
        "filter_rack_of_the_right_size",
        "Filter rack of the right size",
        42_000,
        &["filter_drop_inwc", "observe.filter_bypass", "observe.filter_size_fit"],
    ),
    (
        "indoor_coil_cleaned_in_place",
        "Indoor coil cleaned in place",
        32_500,
        &["cause.low_indoor_airflow", "coil_drop_inwc", "coil_drop_ratio", "observe.coil_face"],
    ),
    (
        "blower_wheel_taken_out_and_washed",
        "Blower wheel taken out and washed",
        36_000,
        &["observe.blower_housing", "observe.blower_wheel"],
    ),
    (
        "condenser_fan_motor_put_in",
        "Condenser fan motor, put in",
        48_500,
        &["condenser_fan_amps_pct_of_fla", "observe.fan_blade"],
    ),
    (
        "drain_rebuilt_with_trap",
        "Drain rebuilt with trap",
        27_500,
        &["observe.drain_clean_out", "observe.drain_runs", "observe.drain_trap"],
    ),
    (
        "float_switch_put_in",
        "Float switch, put in",
        16_500,
        &["observe.drain_secondary", "observe.float_switch"],
    ),
    ("condensate_pump_put_in", "Condensate pump, put in", 31_000, &["observe.condensate_pump"]),
    (
        "suction_insulation_renewed",
        "Suction insulation renewed",
        12_000,
        &["observe.suction_insulation"],
    ),
    (
        "thermostat_put_in",
        "Thermostat, put in",
        26_000,
        &["observe.close_thermostat", "thermostat_error_f"],
    ),
];
