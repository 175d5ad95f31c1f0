//! What customers complain of, as far as a reading shows it, and what would explain it: data.

use crate::engine::points::PointKey;

/// A complaint that a reading bears out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ComplaintName {
    /// One room is warmer than another.
    WarmRoom,
    /// The house is not at the temperature that the thermostat shows.
    ThermostatOff,
}

/// What is known of a complaint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ComplaintInfo {
    /// Its name.
    pub name: ComplaintName,
    /// Its word in documents.
    pub key: &'static str,
    /// Plain words for people.
    pub label: &'static str,
    /// The measure that bears it out when it is outside its limits.
    pub measure: &'static str,
    /// The readings that would tell most, the best first, where nothing found explains it.
    pub readings: &'static [PointKey],
    /// What to look at where all of them were taken.
    pub look_at: &'static str,
}

/// Something that would explain a complaint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The complaint.
    pub complaint: ComplaintName,
    /// Word of the condition or cause.
    pub by: &'static str,
    /// How, as it stands within a sentence.
    pub how: &'static str,
}

/// Every complaint, in the order of their names.
pub static COMPLAINTS: [ComplaintInfo; 2] = [
    ComplaintInfo {
        name: ComplaintName::WarmRoom,
        key: "warm_room",
        label: "A room is too warm",
        measure: "room_difference_f",
        readings: &[
            PointKey::StaticAfterCoilInwc,
            PointKey::SupplyRegisterDbF,
            PointKey::StaticReturnInwc,
            PointKey::AirflowCfm,
        ],
        look_at: "look for closed registers, sun and open windows in that room",
    },
    ComplaintInfo {
        name: ComplaintName::ThermostatOff,
        key: "thermostat_off",
        label: "The thermostat reads off",
        measure: "thermostat_error_f",
        readings: &[],
        look_at: "look for a draft out of the wall, sun or a lamp at the thermostat",
    },
];

/// Every explanation. Common practice, no source.
pub static EXPLANATIONS: &[Explanation] = &[
    because(
        ComplaintName::WarmRoom,
        "closed_or_undersized_ducts",
        "too little air gets through the ducts to some rooms",
    ),
    because(
        ComplaintName::WarmRoom,
        "duct_leakage",
        "cooled air is lost from the ducts before it reaches the room",
    ),
    because(
        ComplaintName::WarmRoom,
        "dirty_filter",
        "the filter holds air back, and the farthest rooms go short first",
    ),
    because(
        ComplaintName::WarmRoom,
        "restricted_coil",
        "the indoor coil holds air back, and the farthest rooms go short first",
    ),
    because(
        ComplaintName::WarmRoom,
        "low_indoor_airflow",
        "too little air is moved, and the farthest rooms go short first",
    ),
    because(
        ComplaintName::WarmRoom,
        "low_charge",
        "too little refrigerant cools too little, and the warmest room shows it first",
    ),
    because(
        ComplaintName::WarmRoom,
        "low_outdoor_airflow",
        "the outdoor coil sheds too little heat, and the warmest room shows it first",
    ),
    because(
        ComplaintName::WarmRoom,
        "feed_restriction",
        "the indoor coil gets too little refrigerant, and the warmest room shows it first",
    ),
    because(
        ComplaintName::WarmRoom,
        "compressor_not_pumping",
        "the compressor moves too little, and the warmest room shows it first",
    ),
    because(
        ComplaintName::ThermostatOff,
        "duct_leakage",
        "air from a leaking duct may blow through the wall behind the thermostat",
    ),
];

const fn because(complaint: ComplaintName, by: &'static str, how: &'static str) -> Explanation {
    Explanation { complaint, by, how }
}
