//! What is wrong with a system: from a verdict or from something seen, on which part, how badly.

use super::nameplate::Part;
use super::sheet;

/// How much it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Somebody can be hurt: stop.
    Hazard,
    /// It needs a repair.
    Repair,
    /// Keep an eye on it.
    Watch,
}

impl Severity {
    /// The word in the store.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Hazard => "hazard",
            Self::Repair => "repair",
            Self::Watch => "watch",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Hazard => "Hazard",
            Self::Repair => "Repair",
            Self::Watch => "Watch",
        }
    }

    /// The severity of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        [Self::Hazard, Self::Repair, Self::Watch].into_iter().find(|it| it.key() == key)
    }
}

/// What a measure outside its limits is called, on which part it counts, and how much it matters.
/// Which part a measure speaks for is common practice, no source.
const OF_MEASURES: &[(&str, &str, Part, Severity)] = &[
    ("superheat_f", "Superheat outside its limits", Part::IndoorCoil, Severity::Repair),
    ("subcooling_f", "Subcooling outside its limits", Part::OutdoorUnit, Severity::Repair),
    ("approach_f", "Approach outside its limits", Part::OutdoorUnit, Severity::Repair),
    (
        "temperature_split_f",
        "Temperature split outside its limits",
        Part::AirMover,
        Severity::Watch,
    ),
    ("external_static_inwc", "External static too high", Part::AirMover, Severity::Repair),
    ("filter_drop_inwc", "Filter drop too high", Part::Filter, Severity::Watch),
    ("coil_drop_inwc", "Coil drop too high", Part::IndoorCoil, Severity::Repair),
    (
        "capacitor_compressor_deviation_pct",
        "Compressor capacitor out of tolerance",
        Part::OutdoorUnit,
        Severity::Repair,
    ),
    (
        "capacitor_fan_deviation_pct",
        "Condenser fan capacitor out of tolerance",
        Part::OutdoorUnit,
        Severity::Repair,
    ),
    (
        "capacitor_blower_deviation_pct",
        "Blower capacitor out of tolerance",
        Part::AirMover,
        Severity::Repair,
    ),
    ("contactor_drop_mv", "Contactor drops too many volts", Part::OutdoorUnit, Severity::Repair),
    (
        "compressor_amps_pct_of_rla",
        "Compressor draws more than its RLA",
        Part::OutdoorUnit,
        Severity::Watch,
    ),
    (
        "condenser_fan_amps_pct_of_fla",
        "Condenser fan draws more than its FLA",
        Part::OutdoorUnit,
        Severity::Watch,
    ),
    ("coil_drop_ratio", "Coil drops more than its table", Part::IndoorCoil, Severity::Repair),
    ("airflow_cfm_per_ton", "Airflow for each ton off its limits", Part::AirMover, Severity::Watch),
    ("capacity_ratio", "Capacity below the expected", Part::OutdoorUnit, Severity::Watch),
    ("blower_w_per_cfm", "Blower takes much power for its air", Part::AirMover, Severity::Watch),
    ("saturated_suction_f", "Indoor coil cold enough to ice up", Part::IndoorCoil, Severity::Watch),
    (
        "return_minus_saturation_f",
        "Coil temperature off the usual",
        Part::IndoorCoil,
        Severity::Watch,
    ),
    (
        "capacitor_compressor_required_deviation_pct",
        "Compressor capacitor is not what the motor asks for",
        Part::OutdoorUnit,
        Severity::Repair,
    ),
    (
        "capacitor_fan_required_deviation_pct",
        "Condenser fan capacitor is not what the motor asks for",
        Part::OutdoorUnit,
        Severity::Repair,
    ),
    (
        "capacitor_blower_required_deviation_pct",
        "Blower capacitor is not what the motor asks for",
        Part::AirMover,
        Severity::Repair,
    ),
    ("breaker_amps", "Breaker or fuse off the plate", Part::OutdoorUnit, Severity::Repair),
    ("strip_heat_amps", "Electric heat runs while cooling", Part::AirMover, Severity::Repair),
    ("reversing_valve_rise_f", "Reversing valve leaks", Part::OutdoorUnit, Severity::Watch),
    ("thermostat_error_f", "Thermostat reads off", Part::Thermostat, Severity::Watch),
    ("blower_amps_pct_of_fla", "Blower draws more than its FLA", Part::AirMover, Severity::Watch),
    ("drier_drop_f", "Filter drier restricted", Part::OutdoorUnit, Severity::Repair),
    ("ambient_co_ppm", "Carbon monoxide in the room air", Part::AirMover, Severity::Hazard),
];

/// Where an observation counts; those not named count on the outdoor unit from block 9 on and on
/// the furnace or air handler before.
const OF_OBSERVATIONS: &[(&str, Part, Severity)] = &[
    ("filter_size_fit", Part::Filter, Severity::Watch),
    ("filter_condition", Part::Filter, Severity::Watch),
    ("filter_bypass", Part::Filter, Severity::Watch),
    ("filter_slot_cover", Part::Filter, Severity::Watch),
    ("pan_sound", Part::CondensatePath, Severity::Repair),
    ("drain_runs", Part::CondensatePath, Severity::Repair),
    ("drain_trap", Part::CondensatePath, Severity::Repair),
    ("drain_clean_out", Part::CondensatePath, Severity::Watch),
    ("drain_secondary", Part::CondensatePath, Severity::Watch),
    ("condensate_pump", Part::CondensatePath, Severity::Repair),
    ("float_switch", Part::CondensatePath, Severity::Repair),
    ("water_tracks", Part::CondensatePath, Severity::Repair),
    ("coil_face", Part::IndoorCoil, Severity::Watch),
    ("coil_case", Part::IndoorCoil, Severity::Watch),
    ("leak_joints_indoors", Part::IndoorCoil, Severity::Repair),
    ("leak_metering", Part::IndoorCoil, Severity::Repair),
    ("leak_coil_indoors", Part::IndoorCoil, Severity::Repair),
    ("close_thermostat", Part::Thermostat, Severity::Watch),
];

/// What something that is wrong amounts to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subject {
    /// In words.
    pub words: String,
    /// The part that it counts on.
    pub part: Part,
    /// How much it matters.
    pub severity: Severity,
}

/// What a measure outside its limits amounts to; its own key where nothing is said about it.
#[must_use]
pub fn of_measure(measure: &str, label: &str) -> Subject {
    OF_MEASURES.iter().find(|row| row.0 == measure).map_or_else(
        || Subject {
            words: format!("{label} outside its limits"),
            part: Part::OutdoorUnit,
            severity: Severity::Watch,
        },
        |row| Subject { words: row.1.to_owned(), part: row.2, severity: row.3 },
    )
}

/// The measures of which something is said, with what they are called outside their limits.
pub fn measures() -> impl Iterator<Item = (&'static str, &'static str)> {
    OF_MEASURES.iter().map(|row| (row.0, row.1))
}

/// What an observation, a hazard or its like amounts to, by the field's key (`observe.coil_face`).
#[must_use]
pub fn of_field(field: &str) -> Option<Subject> {
    let words = sheet::words_of(field)?.to_owned();
    let (kind, key) = field.split_once('.')?;
    if kind == "hazard" {
        return Some(Subject { words, part: Part::AirMover, severity: Severity::Hazard });
    }
    let block = sheet::BLOCKS
        .iter()
        .find(|block| block.fields.iter().any(|it| it.key() == field))
        .map_or(1, |block| block.number);
    let elsewhere = if block >= 9 { Part::OutdoorUnit } else { Part::AirMover };
    let row = OF_OBSERVATIONS.iter().find(|row| row.0 == key);
    let (part, severity) = row.map_or((elsewhere, Severity::Repair), |row| (row.1, row.2));
    Some(Subject { words, part, severity })
}
