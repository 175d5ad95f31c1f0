//! Invented people, streets, towns and sentences of the demo.

/// First names.
pub(super) const FIRST: &[&str] = &[
    "Alda", "Bram", "Corin", "Delphia", "Edmar", "Fenna", "Gorran", "Hesper", "Isbel", "Jorun",
    "Kester", "Lowenna", "Merrick", "Nolwen", "Osric", "Perpetua", "Quill", "Rufina", "Sunniva",
    "Tamsin", "Ulric", "Verity", "Wilmot", "Xanthe", "Yorick", "Zelda",
];

/// Family names.
pub(super) const LAST: &[&str] = &[
    "Abberquill",
    "Birkenvane",
    "Cottlestone",
    "Dapplemere",
    "Elverwick",
    "Farrowdene",
    "Gorsehollow",
    "Hawtreeve",
    "Inglethorn",
    "Jessamoor",
    "Kettleby-Rowe",
    "Larkenfeld",
    "Mossgrave",
    "Netherquist",
    "Oakenshade",
    "Pellowdrift",
    "Quarrenden",
    "Rushworth-Vane",
    "Sallowfield",
    "Tarnbrook",
    "Umberleigh",
    "Vexholm",
    "Wintergale",
    "Yarrowmond",
    "Zeldenrust",
    "Ashquern",
    "Bellwether-Finn",
    "Cinderfold",
    "Drumlanrick",
    "Ewesdale",
];

/// Firms among the customers.
pub(super) const FIRMS: &[&str] = &[
    "Oatcake Row Bakery",
    "Thrupley Reading Room",
    "Cold Harrow Grange Hall",
    "Lanternfish Dance School",
    "Ossick Seed Library",
    "Wexgate Bell Foundry",
    "Low Brindle Ferry House",
    "Kettlebrook Dental Rooms",
];

/// Streets.
pub(super) const STREETS: &[&str] = &[
    "Pennywhistle Lane",
    "Oatcake Row",
    "Lanternfish Way",
    "Kettlebrook Street",
    "Drover's Bend",
    "Thimble Hill Road",
    "Moth Orchard Lane",
    "Sixpence Steps",
    "Weathercock Avenue",
    "Tinderbox Court",
    "Larder Street",
    "Bellrope Road",
    "Gooseberry Terrace",
    "Old Millrace Way",
];

/// Town, postal code (none that is in use), height in feet, degrees north and east of the
/// valley's mouth.
pub(super) const TOWNS: &[(&str, &str, f64, f64, f64)] = &[
    ("Low Brindle", "00011", 300.0, 0.00, 0.00),
    ("Ossick", "00012", 1_150.0, 0.06, 0.05),
    ("Thrupley", "00013", 2_300.0, 0.12, 0.09),
    ("Wexgate", "00014", 3_400.0, 0.17, 0.16),
    ("Cold Harrow", "00015", 4_600.0, 0.24, 0.21),
    ("Brindlemoor Head", "00016", 5_200.0, 0.29, 0.24),
];

/// What customers say at the door.
pub(super) const COMPLAINTS: &[&str] = &[
    "Runs all afternoon, but keeps up.",
    "A rattle outside when it starts.",
    "The back bedroom is warmer than the rest.",
    "Smelled musty in the first week of the season.",
    "Nothing to complain of.",
    "The bill seems higher than last year.",
];

/// How to get in.
pub(super) const ACCESS: &[&str] = &[
    "",
    "",
    "",
    "Gate on the left sticks; lift it.",
    "Key with the neighbour at number 4.",
    "Two friendly dogs.",
    "Unit on the flat roof; bring the long ladder.",
    "Call ten minutes before.",
];

/// What the office should know of a customer.
pub(super) const NOTES: &[&str] =
    &["", "", "", "", "Prefers mornings.", "Pays by cheque.", "Mail only."];

/// Observations that are ticked on nearly every sheet.
pub(super) const LOOKED_AT: &[&str] = &[
    "filter_size_fit",
    "filter_bypass",
    "cabinet_joints",
    "duct_gaps",
    "duct_insulation",
    "test_holes_plugged",
    "pan_sound",
    "drain_runs",
    "drain_trap",
    "float_switch",
    "water_tracks",
    "coil_face",
    "blower_wheel",
    "indoor_connections",
    "airflow_setting",
    "leak_joints_indoors",
    "leak_coil_indoors",
    "disconnect",
    "breaker_size",
    "contactor_points",
    "outdoor_wiring",
    "capacitor_can",
    "fan_blade",
    "service_valves",
    "leak_coil_outdoors",
    "valve_cores",
    "base_drains",
    "suction_insulation",
    "clearances",
    "close_filter",
    "close_panels",
    "close_disconnect",
    "close_thermostat",
    "close_running",
];

/// Everyday defects: observation, remark, how often, and whether it is put right at once.
pub(super) const DEFECTS: &[(&str, &str, f64, bool)] = &[
    ("filter_bypass", "Daylight at the rack's side; sealed with a strip.", 0.02, true),
    ("cabinet_joints", "Tape let go at the return boot.", 0.03, true),
    ("duct_insulation", "A yard is bare at the first elbow.", 0.02, false),
    ("drain_runs", "Slow; blown out and flushed.", 0.05, true),
    ("drain_trap", "No trap on the primary.", 0.01, false),
    ("float_switch", "Stuck down; freed and tried twice.", 0.015, true),
    ("water_tracks", "Old tracks on the blower deck, dry today.", 0.02, false),
    ("coil_face", "Light dust on the lower third.", 0.04, false),
    ("blower_wheel", "Blades furred; the wheel wants washing.", 0.03, false),
    ("indoor_connections", "One spade was loose; crimped anew.", 0.02, true),
    ("contactor_points", "Pitted on one pole.", 0.03, false),
    ("outdoor_wiring", "Rubbed at the grommet; sleeved.", 0.02, true),
    ("fan_blade", "Bearing hums at the stop.", 0.015, false),
    ("service_valves", "Cap of the liquid valve missing; a new one put on.", 0.02, true),
    ("suction_insulation", "Cracked for two feet at the wall.", 0.05, true),
    ("clearances", "A hedge has grown to six inches.", 0.04, false),
];
