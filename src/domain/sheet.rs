//! The check sheet of a cooling visit: its blocks in the order of the hands.
//!
//! The order is a rule of the trade (common practice, no source): nothing is changed before it
//! was read, and nobody walks back.

use super::visit::Stage;

/// One thing to fill in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// A measuring point, by its key, as found or as left.
    Reading(&'static str, Stage),
    /// Something looked at: key, words, and whether it being bad is a repair or only a watch.
    Observation(&'static str, &'static str),
    /// Work that was done: key, words.
    Work(&'static str, &'static str),
    /// Something that stops the work at once: key, words.
    Hazard(&'static str, &'static str),
    /// Free text: key, words.
    Words(&'static str, &'static str),
    /// What spoils readings while it lasts: key of the assess document, words, stage.
    Circumstance(&'static str, &'static str, Stage),
    /// Points that stand behind a known defect and will be read after its repair.
    AfterRepair(&'static str),
}

/// One block of the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Block {
    /// Its number on the sheet.
    pub number: usize,
    /// Its heading.
    pub title: &'static str,
    /// What can hurt somebody here, or what makes the readings mean something.
    pub caution: &'static str,
    /// What there is to fill in.
    pub fields: &'static [Field],
}

use Field::{AfterRepair, Circumstance, Hazard, Observation, Reading, Words, Work};
use Stage::{AsFound, AsLeft};

/// The fourteen blocks.
pub const BLOCKS: &[Block] = &[
    Block {
        number: 1,
        title: "Arrive",
        caution: "Where a furnace shares the air, carry a carbon monoxide alarm from the door on. \
                  If it sounds, everybody leaves first.",
        fields: &[
            Words("complaint", "What the customer says, in their words"),
            Words("rooms", "Rooms that are too warm or too cool, and by how much"),
            Words("noises", "Noises: ducts that thump, rattles, whistling"),
            Reading("room_difference_f", AsFound),
            Reading("thermostat_setting_f", AsFound),
            Reading("thermostat_reading_f", AsFound),
            Reading("thermostat_beside_f", AsFound),
            Reading("ambient_co_ppm", AsFound),
            Hazard("carbon_monoxide", "Carbon monoxide alarm, or signs of it"),
            Hazard("gas_smell", "Smell of gas"),
            Words("site_cautions", "What to watch for at this site: dog, ladder, roof, wet floor"),
        ],
    },
    Block {
        number: 2,
        title: "Filter and cabinet, as found",
        caution: "Look, don't replace yet: the old filter is read first.",
        fields: &[
            Observation("filter_size_fit", "Filter of the right size, arrow with the air"),
            Observation("filter_condition", "Filter condition"),
            Observation("filter_bypass", "No air past the filter"),
            Observation("filter_slot_cover", "Cover of the filter slot"),
            Observation("cabinet_joints", "Duct joints at the cabinet"),
            Hazard("heat_exchanger", "Cracked heat exchanger suspected"),
        ],
    },
    Block {
        number: 3,
        title: "Ducts",
        caution: "Attics and crawl spaces: boards under the feet, light, somebody who knows you \
                  are there.",
        fields: &[
            Observation("duct_gaps", "Gaps and loose fittings"),
            Observation("duct_dampers", "Dampers where they should be, locked"),
            Observation("duct_insulation", "Insulation"),
            Observation("duct_smoke_test", "Smoke test at the joints"),
            Words("duct_places", "Where, for each defect"),
            AfterRepair("static_return_inwc"),
            AfterRepair("static_after_filter_inwc"),
            AfterRepair("static_blower_inlet_inwc"),
            AfterRepair("static_before_coil_inwc"),
            AfterRepair("static_after_coil_inwc"),
            AfterRepair("supply_register_db_f"),
        ],
    },
    Block {
        number: 4,
        title: "Static pressure",
        caution: "Before any hole is drilled: know what is behind the metal (coil, wiring, drain, \
                  heat exchanger). Plug each hole again.",
        fields: &[
            Reading("static_return_inwc", AsFound),
            Reading("static_after_filter_inwc", AsFound),
            Reading("static_filter_out_inwc", AsFound),
            Reading("static_blower_inlet_inwc", AsFound),
            Reading("static_before_coil_inwc", AsFound),
            Reading("static_after_coil_inwc", AsFound),
            Observation("test_holes_plugged", "Test holes plugged"),
            Work("filter_replaced", "Filter replaced"),
            Reading("static_return_inwc", AsLeft),
            Reading("static_after_filter_inwc", AsLeft),
            Reading("static_before_coil_inwc", AsLeft),
            Reading("static_after_coil_inwc", AsLeft),
        ],
    },
    Block {
        number: 5,
        title: "Condensate",
        caution: "System off. Keep water from controls and the blower. Pan treatment only as its \
                  label says.",
        fields: &[
            Observation("pan_sound", "Pan holds water in a fill test"),
            Work("drain_cleared", "Drain blown and flushed"),
            Observation("drain_runs", "Drain runs, with slope"),
            Observation("drain_trap", "Trap"),
            Observation("drain_clean_out", "Clean-out within reach"),
            Observation("drain_secondary", "Secondary drain or pan"),
            Observation("condensate_pump", "Condensate pump cycles"),
            Reading("pump_fill_s", AsFound),
            Observation("float_switch", "Float switch stops the system"),
            Work("pan_treated", "Pan treated"),
            Observation("water_tracks", "No water tracks on controls, blower, heat exchanger"),
        ],
    },
    Block {
        number: 6,
        title: "Indoor coil and blower",
        caution: "Power off and proven off before a hand goes near the wheel. Growth: gloves, \
                  mask, don't spread it.",
        fields: &[
            Observation("coil_face", "Coil face"),
            Observation("coil_case", "Case walls: growth, rust"),
            Observation("blower_wheel", "Blower wheel"),
            Observation("blower_housing", "Blower housing and mounts"),
            Work("indoor_coil_cleaned", "Indoor coil cleaned"),
            Work("blower_cleaned", "Blower cleaned"),
        ],
    },
    Block {
        number: 7,
        title: "Indoor electrical",
        caution: "Live circuits: rated meter, volts range first. A capacitor holds its charge with \
                  the power off: discharge it before touching it.",
        fields: &[
            Reading("volts_indoor", AsFound),
            Reading("volts_control", AsFound),
            Reading("blower_amps", AsFound),
            Reading("blower_watts", AsFound),
            Reading("capacitor_blower_uf", AsFound),
            Reading("strip_heat_amps", AsFound),
            Observation("indoor_connections", "Connections tight, no heat marks"),
            Observation("airflow_setting", "Airflow setting fits the size"),
            Hazard("burnt_wiring_indoors", "Burnt wiring"),
        ],
    },
    Block {
        number: 8,
        title: "Indoor leak search",
        caution: "Refrigerant under pressure. Flammable (A2L) refrigerants: air the room, no flame \
                  or spark. Work by certified people only.",
        fields: &[
            Observation("leak_joints_indoors", "Joints"),
            Observation("leak_metering", "Metering device; bulb strapped and wrapped"),
            Observation("leak_coil_indoors", "Coil: oil, rust, detector"),
            Words("leak_indoors_method", "Method and place"),
        ],
    },
    Block {
        number: 9,
        title: "Outdoor electrical",
        caution: "Live work: rated meter, volts range first. Capacitors discharged and isolated \
                  before they are measured.",
        fields: &[
            Observation("disconnect", "Disconnect"),
            Observation("breaker_size", "Breaker or fuse as the plate asks"),
            Reading("volts_outdoor_idle", AsFound),
            Reading("volts_outdoor_running", AsFound),
            Reading("volts_l1_l2", AsFound),
            Reading("volts_l2_l3", AsFound),
            Reading("volts_l3_l1", AsFound),
            Reading("compressor_amps", AsFound),
            Reading("compressor_amps_l1", AsFound),
            Reading("compressor_amps_l2", AsFound),
            Reading("compressor_amps_l3", AsFound),
            Reading("condenser_fan_amps", AsFound),
            Reading("start_winding_amps", AsFound),
            Reading("capacitor_running_volts", AsFound),
            Reading("capacitor_compressor_uf", AsFound),
            Reading("capacitor_fan_uf", AsFound),
            Reading("contactor_drop_mv", AsFound),
            Reading("crankcase_heater_amps", AsFound),
            Observation("contactor_points", "Contactor points"),
            Observation("outdoor_wiring", "Wires not chafed"),
            Observation("capacitor_can", "Capacitor can not bulged"),
            Observation("start_kit", "Start kit"),
            Observation("fan_blade", "Fan blade and bearing"),
            Hazard("burnt_wiring_outdoors", "Burnt wiring"),
        ],
    },
    Block {
        number: 10,
        title: "Settle, then read together",
        caution: "Panels on, full stage, coils dry, at least 15 minutes running. Below 55 °F \
                  outdoors: a short run only, no adjustment. Refrigerant under pressure: gloves \
                  and glasses, certified handling; follow the maker's instructions and local code.",
        fields: &[
            Reading("settled_min", AsFound),
            Circumstance("condenser_coil_wet", "Outdoor coil still wet", AsFound),
            Circumstance("indoor_coil_wet_from_washing", "Indoor coil wet from washing", AsFound),
            Circumstance("panels_off", "Panels off", AsFound),
            Circumstance("stage_low", "Runs in low stage", AsFound),
            Circumstance("charge_just_changed", "Charge changed just now", AsFound),
            Circumstance("strip_heat_on", "Electric heat on", AsFound),
            Circumstance("defrost", "Defrosting", AsFound),
            Reading("outdoor_db_f", AsFound),
            Reading("return_db_f", AsFound),
            Reading("return_wb_f", AsFound),
            Reading("return_rh_pct", AsFound),
            Reading("return_grille_db_f", AsFound),
            Reading("supply_db_f", AsFound),
            Reading("supply_wb_f", AsFound),
            Reading("supply_rh_pct", AsFound),
            Reading("supply_register_db_f", AsFound),
            Reading("suction_pressure_psig", AsFound),
            Reading("suction_line_f", AsFound),
            Reading("liquid_pressure_psig", AsFound),
            Reading("liquid_line_f", AsFound),
            Reading("drier_in_f", AsFound),
            Reading("drier_out_f", AsFound),
            Reading("discharge_line_f", AsFound),
            Reading("condenser_leaving_f", AsFound),
            Reading("airflow_cfm", AsFound),
            Reading("reversing_valve_rise_f", AsFound),
            Reading("standing_pressure_psig", AsFound),
        ],
    },
    Block {
        number: 11,
        title: "Outdoor leak search",
        caution: "Refrigerant under pressure. Cores are looked at after the hoses are off. \
                  Flammable (A2L) refrigerants: no flame or spark.",
        fields: &[
            Observation("service_valves", "Service valves and caps"),
            Observation("pressure_switches", "Pressure switches"),
            Observation("leak_coil_outdoors", "Outdoor coil and joints"),
            Observation("valve_cores", "Valve cores, hoses off"),
            Words("leak_outdoors_method", "Method and place"),
        ],
    },
    Block {
        number: 12,
        title: "Outdoor cleaning",
        caution: "Disconnect pulled and proven dead. Water only, from inside out; chemicals only \
                  as their label says, with glasses and gloves.",
        fields: &[
            Observation("outdoor_coil", "Outdoor coil"),
            Work("outdoor_coil_washed", "Coil washed from inside out with water"),
            Observation("base_drains", "Base drains open, debris out"),
            Reading("unit_slope_side_in_per_ft", AsFound),
            Reading("unit_slope_front_in_per_ft", AsFound),
            Observation("suction_insulation", "Suction line insulation"),
            Observation("clearances", "Clearances"),
        ],
    },
    Block {
        number: 13,
        title: "Read again",
        caution: "Only what cleaning and repair should have changed, when everything is dry and \
                  settled again.",
        fields: &[
            Reading("settled_min", AsLeft),
            Circumstance("condenser_coil_wet", "Outdoor coil still wet", AsLeft),
            Circumstance("indoor_coil_wet_from_washing", "Indoor coil wet from washing", AsLeft),
            Circumstance("panels_off", "Panels off", AsLeft),
            Circumstance("stage_low", "Runs in low stage", AsLeft),
            Circumstance("charge_just_changed", "Charge changed just now", AsLeft),
            Circumstance("strip_heat_on", "Electric heat on", AsLeft),
            Circumstance("defrost", "Defrosting", AsLeft),
            Reading("outdoor_db_f", AsLeft),
            Reading("return_db_f", AsLeft),
            Reading("return_wb_f", AsLeft),
            Reading("return_rh_pct", AsLeft),
            Reading("return_grille_db_f", AsLeft),
            Reading("supply_db_f", AsLeft),
            Reading("supply_wb_f", AsLeft),
            Reading("supply_rh_pct", AsLeft),
            Reading("supply_register_db_f", AsLeft),
            Reading("suction_pressure_psig", AsLeft),
            Reading("suction_line_f", AsLeft),
            Reading("liquid_pressure_psig", AsLeft),
            Reading("liquid_line_f", AsLeft),
            Reading("drier_in_f", AsLeft),
            Reading("drier_out_f", AsLeft),
            Reading("discharge_line_f", AsLeft),
            Reading("condenser_leaving_f", AsLeft),
            Reading("airflow_cfm", AsLeft),
            Reading("reversing_valve_rise_f", AsLeft),
            Reading("standing_pressure_psig", AsLeft),
            Reading("static_filter_out_inwc", AsLeft),
            Reading("static_blower_inlet_inwc", AsLeft),
            Reading("volts_indoor", AsLeft),
            Reading("volts_control", AsLeft),
            Reading("blower_amps", AsLeft),
            Reading("blower_watts", AsLeft),
            Reading("capacitor_blower_uf", AsLeft),
            Reading("strip_heat_amps", AsLeft),
            Reading("volts_outdoor_idle", AsLeft),
            Reading("volts_outdoor_running", AsLeft),
            Reading("volts_l1_l2", AsLeft),
            Reading("volts_l2_l3", AsLeft),
            Reading("volts_l3_l1", AsLeft),
            Reading("compressor_amps", AsLeft),
            Reading("compressor_amps_l1", AsLeft),
            Reading("compressor_amps_l2", AsLeft),
            Reading("compressor_amps_l3", AsLeft),
            Reading("condenser_fan_amps", AsLeft),
            Reading("start_winding_amps", AsLeft),
            Reading("capacitor_running_volts", AsLeft),
            Reading("capacitor_compressor_uf", AsLeft),
            Reading("capacitor_fan_uf", AsLeft),
            Reading("contactor_drop_mv", AsLeft),
            Reading("crankcase_heater_amps", AsLeft),
            Reading("pump_fill_s", AsLeft),
            Reading("room_difference_f", AsLeft),
            Reading("thermostat_setting_f", AsLeft),
            Reading("thermostat_reading_f", AsLeft),
            Reading("thermostat_beside_f", AsLeft),
            Reading("ambient_co_ppm", AsLeft),
            Reading("unit_slope_side_in_per_ft", AsLeft),
            Reading("unit_slope_front_in_per_ft", AsLeft),
        ],
    },
    Block {
        number: 14,
        title: "Close",
        caution: "Filter in, panels on, disconnect in, before anybody leaves.",
        fields: &[
            Observation("close_filter", "Filter in"),
            Observation("close_panels", "Panels on"),
            Observation("close_disconnect", "Disconnect in"),
            Observation("close_thermostat", "Thermostat as it was"),
            Observation("close_running", "System left running"),
            Words("parts_used", "Parts used"),
            Words("customer_told", "What the customer was told"),
        ],
    },
];

/// How the reason of what changed on a sheet that came back begins; the owner's remark follows.
pub const AFTER_SENT_BACK: &str = "After it was sent back: ";

/// What an observation can come to: key, words.
pub const OUTCOMES: &[(&str, &str)] = &[
    ("in_order", "In order"),
    ("fixed", "Found bad and fixed"),
    ("attention", "Needs attention"),
    ("not_accessible", "Not accessible"),
    ("does_not_apply", "Does not apply"),
];

/// A block by its number.
#[must_use]
pub fn block(number: usize) -> Option<&'static Block> {
    BLOCKS.iter().find(|block| block.number == number)
}

/// The block in which a measuring point is read as found.
#[must_use]
pub fn block_of_point(point: &str) -> Option<&'static Block> {
    BLOCKS.iter().find(|block| {
        let mut fields = block.fields.iter();
        fields.any(|field| matches!(field, Reading(key, AsFound) if *key == point))
    })
}

impl Field {
    /// The field's key in the log of entries; with the stage it is the name in the form.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Reading(point, _) => point.to_owned(),
            Observation(key, _) => format!("observe.{key}"),
            Work(key, _) => format!("work.{key}"),
            Hazard(key, _) => format!("hazard.{key}"),
            Words(key, _) => format!("words.{key}"),
            Circumstance(key, ..) => format!("circumstance.{key}"),
            AfterRepair(point) => format!("after_repair.{point}"),
        }
    }

    /// The stage that it belongs to.
    #[must_use]
    pub fn stage(self) -> Stage {
        match self {
            Reading(_, stage) | Circumstance(_, _, stage) => stage,
            _ => AsFound,
        }
    }

    /// The name in the form and in refusals: `as_found.return_wb_f`.
    #[must_use]
    pub fn name(self) -> String {
        format!("{}.{}", self.stage().key(), self.key())
    }

    /// Whether it is a box to tick rather than a text.
    #[must_use]
    pub fn is_tick(self) -> bool {
        matches!(self, Work(..) | Hazard(..) | Circumstance(..) | AfterRepair(_))
    }
}

/// The remark beside an observation.
#[must_use]
pub fn remark_key(observation: &str) -> String {
    format!("remark.{observation}")
}

/// The words of an observation, of a hazard or of work, by key.
#[must_use]
pub fn words_of(key: &str) -> Option<&'static str> {
    BLOCKS.iter().flat_map(|block| block.fields).find_map(|field| match field {
        Observation(..) | Work(..) | Hazard(..) | Words(..) if field.key() == key => match field {
            Observation(_, words) | Work(_, words) | Hazard(_, words) | Words(_, words) => {
                Some(*words)
            }
            _ => None,
        },
        _ => None,
    })
}
