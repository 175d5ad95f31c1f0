//! Every field of every plate: data, in the order of the forms.

use super::{Part, PlateField, PlateKind};

const fn measured(
    key: &'static str,
    label: &'static str,
    part: Part,
    unit: &'static str,
    bounds: (f64, f64),
) -> PlateField {
    PlateField {
        key,
        label,
        part,
        kind: PlateKind::Number { unit, bounds, whole: false },
        hint: "",
    }
}

const fn whole(
    key: &'static str,
    label: &'static str,
    part: Part,
    unit: &'static str,
    bounds: (f64, f64),
) -> PlateField {
    PlateField { key, label, part, kind: PlateKind::Number { unit, bounds, whole: true }, hint: "" }
}

const fn chosen(
    key: &'static str,
    label: &'static str,
    part: Part,
    choices: &'static [(&'static str, &'static str)],
    hint: &'static str,
) -> PlateField {
    PlateField { key, label, part, kind: PlateKind::Choice(choices), hint }
}

const fn plain(key: &'static str, label: &'static str, part: Part) -> PlateField {
    PlateField { key, label, part, kind: PlateKind::Text, hint: "" }
}

const REFRIGERANTS: &[(&str, &str)] = &[
    ("R-410A", "R-410A"),
    ("R-22", "R-22"),
    ("R-32", "R-32 (flammable, A2L)"),
    ("R-454B", "R-454B (flammable, A2L)"),
    ("R-407C", "R-407C"),
    ("R-134a", "R-134a"),
    ("R-417A", "R-417A"),
    ("R-421A", "R-421A"),
    ("R-422B", "R-422B"),
    ("R-422D", "R-422D"),
    ("R-427A", "R-427A"),
    ("R-452B", "R-452B (flammable, A2L)"),
    ("R-454A", "R-454A (flammable, A2L)"),
    ("R-454C", "R-454C (flammable, A2L)"),
];
const METERING: &[(&str, &str)] = &[
    ("thermostatic_expansion", "Thermostatic expansion valve"),
    ("electronic_expansion", "Electronic expansion valve"),
    ("fixed_orifice", "Fixed orifice"),
    ("capillary", "Capillary"),
];
const CABINETS: &[(&str, &str)] = &[
    ("furnace_with_cased_coil", "Furnace with a cased coil"),
    ("air_handler", "Air handler"),
    ("blower_with_upstream_coil", "Blower with the coil upstream"),
    ("packaged", "Packaged unit"),
];
const FILTER_PLACES: &[(&str, &str)] =
    &[("outside_cabinet", "Outside the cabinet"), ("inside_cabinet", "Inside the cabinet")];
const BLOWERS: &[(&str, &str)] = &[
    ("psc", "Permanent split capacitor"),
    ("constant_torque", "Constant torque"),
    ("constant_airflow", "Constant airflow"),
];
const VOLTS: &[(&str, &str)] = &[
    ("115", "115"),
    ("120", "120"),
    ("208", "208"),
    ("208/230", "208/230"),
    ("230", "230"),
    ("240", "240"),
    ("460", "460"),
];
const LIQUID_PORTS: &[(&str, &str)] =
    &[("liquid", "Liquid line"), ("discharge", "Discharge line only")];
const SUCTION_PORTS: &[(&str, &str)] = &[("vapor", "Vapor line"), ("suction", "True suction")];

use Part::{AirMover, CondensatePath, Filter, IndoorCoil, OutdoorUnit, Thermostat};

/// Every field of every plate, in the order of the forms.
pub const PLATE_FIELDS: &[PlateField] = &[
    chosen("refrigerant", "Refrigerant", OutdoorUnit, REFRIGERANTS, ""),
    PlateField {
        key: "factory_charge_oz",
        label: "Factory charge",
        part: OutdoorUnit,
        kind: PlateKind::Charge,
        hint: "As printed: 86 oz, 5 lb 6 oz, 5.4 lb. A number alone is ounces.",
    },
    measured("line_set_ft", "Line set", OutdoorUnit, "ft", (0.0, 300.0)),
    measured("nominal_tons", "Nominal size", OutdoorUnit, "tons", (0.5, 30.0)),
    measured("rated_capacity_btuh", "Rated capacity", OutdoorUnit, "Btu/h", (5e3, 4e5)),
    measured("rated_eer", "Rated EER", OutdoorUnit, "Btu/Wh", (5.0, 25.0)),
    measured("seer", "SEER", OutdoorUnit, "Btu/Wh", (6.0, 40.0)),
    measured("seer2", "SEER2", OutdoorUnit, "Btu/Wh", (6.0, 40.0)),
    measured("target_subcooling_f", "Target subcooling", OutdoorUnit, "°F", (1.0, 30.0)),
    measured("target_approach_f", "Target approach", OutdoorUnit, "°F", (1.0, 40.0)),
    whole("compressor_stages", "Compressor stages", OutdoorUnit, "", (1.0, 3.0)),
    chosen("liquid_port", "High-side port", OutdoorUnit, LIQUID_PORTS, ""),
    chosen("suction_port", "Low-side port", OutdoorUnit, SUCTION_PORTS, ""),
    chosen("volts_outdoor_rated", "Rated volts, outdoors", OutdoorUnit, VOLTS, ""),
    whole("phases", "Phases", OutdoorUnit, "", (1.0, 3.0)),
    measured("compressor_rla", "Compressor RLA", OutdoorUnit, "A", (0.5, 200.0)),
    measured("compressor_mcc", "Compressor must-trip current", OutdoorUnit, "A", (0.5, 300.0)),
    measured("condenser_fan_fla", "Condenser fan FLA", OutdoorUnit, "A", (0.1, 30.0)),
    measured("minimum_circuit_amps", "Minimum circuit ampacity", OutdoorUnit, "A", (1.0, 300.0)),
    measured(
        "maximum_overcurrent_amps",
        "Maximum overcurrent protection",
        OutdoorUnit,
        "A",
        (5.0, 400.0),
    ),
    measured("breaker_amps", "Breaker or fuse installed", OutdoorUnit, "A", (5.0, 400.0)),
    measured(
        "capacitor_compressor_rated_uf",
        "Capacitor in place, compressor section",
        OutdoorUnit,
        "µF",
        (1.0, 200.0),
    ),
    measured(
        "capacitor_fan_rated_uf",
        "Capacitor in place, fan section",
        OutdoorUnit,
        "µF",
        (0.5, 60.0),
    ),
    measured("capacitor_tolerance_pct", "Capacitor tolerance", OutdoorUnit, "± %", (1.0, 20.0)),
    measured(
        "capacitor_compressor_required_uf",
        "The compressor's plate asks for",
        OutdoorUnit,
        "µF",
        (1.0, 200.0),
    ),
    measured(
        "capacitor_fan_required_uf",
        "The fan motor's plate asks for",
        OutdoorUnit,
        "µF",
        (0.5, 60.0),
    ),
    chosen("metering", "Metering device", IndoorCoil, METERING, ""),
    measured("coil_reference_cfm", "Coil table: airflow", IndoorCoil, "cfm", (100.0, 6_000.0)),
    measured(
        "coil_reference_drop_wet_inwc",
        "Coil table: wet drop at that airflow",
        IndoorCoil,
        "in. w.c.",
        (0.01, 2.0),
    ),
    PlateField {
        key: "superheat_chart",
        label: "Maker's charging chart",
        part: IndoorCoil,
        kind: PlateKind::SuperheatChart,
        hint: "One row a line: outdoor °F, return wet bulb °F, superheat °F. Only for a fixed \
               orifice or capillary.",
    },
    chosen(
        "cabinet",
        "Cabinet",
        AirMover,
        CABINETS,
        "Decides between which taps the \
        external static is read.",
    ),
    chosen("blower_kind", "Blower motor", AirMover, BLOWERS, ""),
    measured(
        "max_external_static_inwc",
        "Maximum external static",
        AirMover,
        "in. w.c.",
        (0.05, 3.0),
    ),
    measured("design_airflow_cfm_per_ton", "Airflow set for", AirMover, "cfm/ton", (150.0, 600.0)),
    plain("blower_tap", "Airflow setting in use", AirMover),
    PlateField {
        key: "airflow_table",
        label: "Airflow table",
        part: AirMover,
        kind: PlateKind::AirflowTable,
        hint: "One row a line: setting, static in. w.c., cfm. For example: med 0.5 820",
    },
    chosen("volts_indoor_rated", "Rated volts, indoors", AirMover, VOLTS, ""),
    measured("blower_fla", "Blower FLA", AirMover, "A", (0.1, 30.0)),
    measured("capacitor_blower_rated_uf", "Blower capacitor", AirMover, "µF", (0.5, 60.0)),
    chosen("filter_location", "Filter sits", Filter, FILTER_PLACES, ""),
    plain("filter_size", "Size", Filter),
    whole("filter_count", "How many", Filter, "", (1.0, 20.0)),
    plain("filter_class", "Class", Filter),
    plain("thermostat_place", "Room", Thermostat),
    plain("test_holes", "Where the test holes are", CondensatePath),
    plain("drain_clean_out", "Where the clean-out is", CondensatePath),
];
