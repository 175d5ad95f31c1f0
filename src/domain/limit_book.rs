//! The limit book as people read it: in which group a limit stands, and which limits belong
//! together.

use crate::engine::limits::{LIMITS, LimitBook, LimitName};

/// A group of limits under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// The heading.
    pub title: &'static str,
    /// Its limits, in order.
    pub limits: Vec<LimitName>,
}

/// Where a new entry of the book stands until somebody finds its place; a test says so.
pub const UNPLACED: &str = "Everything else";

/// The book's order for a person: from how a verdict is decided to what is measured where.
const GROUPS: &[(&str, &[LimitName])] = &[
    ("How a verdict is decided", &[LimitName::WithinProbability]),
    (
        "When readings can be judged",
        &[
            LimitName::OutdoorLowest,
            LimitName::SettledShortest,
            LimitName::ReadingsApartLongest,
            LimitName::ReturnLowest,
            LimitName::SplitReturnLowest,
            LimitName::SplitReturnHighest,
        ],
    ),
    (
        "Charge",
        &[
            LimitName::TargetSuperheatTolerance,
            LimitName::TargetSuperheatLowest,
            LimitName::MeteringSuperheatLow,
            LimitName::MeteringSuperheatHigh,
            LimitName::SubcoolingTolerance,
            LimitName::ApproachTolerance,
        ],
    ),
    (
        "Refrigerant cycle",
        &[
            LimitName::EvaporatorDifferenceLow,
            LimitName::EvaporatorDifferenceHigh,
            LimitName::SaturatedSuctionLow,
            LimitName::CondensingTolerance,
            LimitName::CompressionRatioLow,
            LimitName::CompressionRatioHigh,
            LimitName::DischargeLineHigh,
            LimitName::DischargeSuperheatLow,
            LimitName::DrierDropHigh,
            LimitName::StandingOverAmbientHigh,
            LimitName::ReversingValveRiseHigh,
        ],
    ),
    (
        "Air side, capacity and comfort",
        &[
            LimitName::AirflowPerTonLow,
            LimitName::AirflowDesignTolerance,
            LimitName::FanPowerHigh,
            LimitName::FilterDropHigh,
            LimitName::CoilDropHigh,
            LimitName::CoilDropRatioHigh,
            LimitName::SplitTolerance,
            LimitName::CapacityRatioLow,
            LimitName::RoomDifferenceHigh,
            LimitName::ThermostatErrorHigh,
        ],
    ),
    (
        "Electrical",
        &[
            LimitName::CapacitorTolerance,
            LimitName::VoltsTolerance,
            LimitName::DualVoltsLow,
            LimitName::DualVoltsHigh,
            LimitName::VoltsSagHigh,
            LimitName::PhaseUnbalanceHigh,
            LimitName::AmpsHigh,
            LimitName::ContactorDropHigh,
            LimitName::ControlVoltsLow,
            LimitName::ControlVoltsHigh,
            LimitName::StripHeatHigh,
        ],
    ),
    ("How the outdoor unit stands", &[LimitName::SlopeHigh]),
    ("People's safety", &[LimitName::AmbientCarbonMonoxideHigh]),
    (
        "When a reading looks suspicious",
        &[
            LimitName::SuctionNearLiquid,
            LimitName::SaturationContradiction,
            LimitName::SwappedSectionsShare,
        ],
    ),
];

/// Every limit of the book in its group; what has no place yet comes last and is never lost.
#[must_use]
pub fn groups() -> Vec<Group> {
    let mut groups: Vec<Group> =
        GROUPS.iter().map(|(title, limits)| Group { title, limits: limits.to_vec() }).collect();
    let placed = |name: LimitName| GROUPS.iter().any(|group| group.1.contains(&name));
    let rest: Vec<LimitName> =
        LIMITS.iter().map(|it| it.name).filter(|name| !placed(*name)).collect();
    if !rest.is_empty() {
        groups.push(Group { title: UNPLACED, limits: rest });
    }
    groups
}

/// How names say that two limits are the two ends of one band. Read from the names, so that a new
/// pair is one without being written down here.
const ENDS: [(&str, &str); 2] = [("_low", "_high"), ("_lowest", "_highest")];

/// The two ends of the band that a limit is one end of.
#[must_use]
pub fn band_of(name: LimitName) -> Option<(LimitName, LimitName)> {
    let key = name.key();
    ENDS.iter().find_map(|(low, high)| {
        let stem = key.strip_suffix(low).or_else(|| key.strip_suffix(high))?;
        let end = |ending: &str| LimitName::of_key(&format!("{stem}{ending}"));
        Some((end(low)?, end(high)?))
    })
}

/// The band that would have nothing inside, if this limit were changed so.
#[must_use]
pub fn crossed(book: &LimitBook, name: LimitName, value: f64) -> Option<(LimitName, LimitName)> {
    let (low, high) = band_of(name)?;
    let number = |end: LimitName| if end == name { value } else { book.value(end) };
    (number(high) <= number(low)).then_some((low, high))
}

/// Which book is in force: the program's version and the number of the company's newest change.
#[must_use]
pub fn version(program: &str, newest_change: Option<i64>) -> String {
    newest_change.map_or_else(|| program.to_owned(), |number| format!("{program}+{number}"))
}

/// A limit's number with its unit, as it was set: no decimals added, none taken.
#[must_use]
pub fn with_unit(value: f64, unit: &str) -> String {
    let number = value.to_string().replace('-', "−");
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}
