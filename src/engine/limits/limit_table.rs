//! Every limit of the book: data, one entry a limit.

use serde::{Deserialize, Serialize};

use super::{LimitDefinition, Provenance};

/// The name of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitName {
    /// The probability from which a value is within.
    WithinProbability,
    /// The lowest outdoor temperature for judging the charge.
    OutdoorLowest,
    /// The shortest steady running before the readings.
    SettledShortest,
    /// The longest time between the readings of one measure.
    ReadingsApartLongest,
    /// The lowest return air for judging the charge.
    ReturnLowest,
    /// The superheat on either side of its target.
    TargetSuperheatTolerance,
    /// The lowest target superheat that can be charged to.
    TargetSuperheatLowest,
    /// The lowest superheat at an expansion valve.
    MeteringSuperheatLow,
    /// The highest superheat at an expansion valve.
    MeteringSuperheatHigh,
    /// The subcooling on either side of the plate's target.
    SubcoolingTolerance,
    /// The approach on either side of the maker's target.
    ApproachTolerance,
    /// The temperature split on either side of its target.
    SplitTolerance,
    /// The lowest return air of the split table.
    SplitReturnLowest,
    /// The highest return air of the split table.
    SplitReturnHighest,
    /// The highest pressure drop over the filter.
    FilterDropHigh,
    /// The highest pressure drop over the wet indoor coil.
    CoilDropHigh,
    /// The capacitor tolerance where the can names none.
    CapacitorTolerance,
    /// The line voltage on either side of a single rating.
    VoltsTolerance,
    /// The lowest line voltage of a 208/230 V unit.
    DualVoltsLow,
    /// The highest line voltage of a 208/230 V unit.
    DualVoltsHigh,
    /// The highest fall of line voltage under load.
    VoltsSagHigh,
    /// The highest voltage unbalance of three phases.
    PhaseUnbalanceHigh,
    /// The highest current against the plate's.
    AmpsHigh,
    /// The highest voltage drop over a closed contactor.
    ContactorDropHigh,
    /// The lowest control voltage.
    ControlVoltsLow,
    /// The highest control voltage.
    ControlVoltsHigh,
    /// The highest discharge line temperature.
    DischargeLineHigh,
    /// The highest temperature fall over the drier.
    DrierDropHigh,
    /// The highest difference between rooms.
    RoomDifferenceHigh,
    /// The highest carbon monoxide in room air.
    AmbientCarbonMonoxideHigh,
    /// The gap of suction and liquid pressure under which they are alike.
    SuctionNearLiquid,
    /// The nearness at which a capacitor section looks swapped.
    SwappedSectionsShare,
    /// The lowest airflow for each ton.
    AirflowPerTonLow,
    /// The airflow on either side of its design.
    AirflowDesignTolerance,
    /// The highest blower power for each cfm.
    FanPowerHigh,
    /// The lowest share of the expected capacity.
    CapacityRatioLow,
    /// The lowest return air over saturated suction.
    EvaporatorDifferenceLow,
    /// The highest return air over saturated suction.
    EvaporatorDifferenceHigh,
    /// The lowest saturated suction temperature.
    SaturatedSuctionLow,
    /// The condensing temperature over outdoor air on either side of the usual.
    CondensingTolerance,
    /// The lowest compression ratio.
    CompressionRatioLow,
    /// The highest compression ratio.
    CompressionRatioHigh,
    /// The lowest discharge superheat.
    DischargeSuperheatLow,
    /// The highest saturation of the standing pressure over outdoor air.
    StandingOverAmbientHigh,
    /// The highest rise of the suction gas over the reversing valve.
    ReversingValveRiseHigh,
    /// The highest current of the electric heat in cooling.
    StripHeatHigh,
    /// The thermostat on either side of a thermometer.
    ThermostatErrorHigh,
    /// The steepest slope of the outdoor unit.
    SlopeHigh,
    /// How far beyond the instruments' errors saturations may contradict line and air.
    SaturationContradiction,
    /// The highest drop of the indoor coil against its own table.
    CoilDropRatioHigh,
}

impl LimitName {
    /// What the program knows of this limit.
    #[must_use]
    pub fn definition(self) -> &'static LimitDefinition {
        // The table stands in the order of the names; a test compares the two.
        &LIMITS[self as usize]
    }
}

/// Every limit, in the order of the limit book's page.
pub static LIMITS: &[LimitDefinition] = &[
    LimitDefinition {
        name: LimitName::WithinProbability,
        label: "probability from which a value is within",
        default: 0.9,
        unit: "",
        low: 0.5,
        high: 0.999,
        source: "decision rule by probability of conformity, JCGM 106; the two shares are a choice, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::OutdoorLowest,
        label: "lowest outdoor temperature for judging the charge",
        default: 55.0,
        unit: "°F",
        low: 40.0,
        high: 80.0,
        source: "published charge verification procedure, state energy code appendix RA3.2 (2008, 2013)",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::SettledShortest,
        label: "shortest steady running before the readings",
        default: 15.0,
        unit: "min",
        low: 5.0,
        high: 60.0,
        source: "published charge verification procedure, state energy code appendix RA3.2 (2008)",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::ReadingsApartLongest,
        label: "longest time between the readings of one measure",
        default: 15.0,
        unit: "min",
        low: 5.0,
        high: 60.0,
        source: "judgement, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::ReturnLowest,
        label: "lowest return air for judging the charge",
        default: 70.0,
        unit: "°F",
        low: 60.0,
        high: 80.0,
        source: "charge verification procedure by superheat, 2013 and later (from memory); a maker's charging window begins there too",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::TargetSuperheatTolerance,
        label: "superheat on either side of its target",
        default: 5.0,
        unit: "°F",
        low: 1.0,
        high: 15.0,
        source: "published charge verification procedure, appendix RA3.2.2, installer tolerance; its far side (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::TargetSuperheatLowest,
        label: "lowest target superheat that can be charged to",
        default: 5.0,
        unit: "°F",
        low: 0.0,
        high: 15.0,
        source: "published charge verification procedure, appendix RA3.2.2",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::MeteringSuperheatLow,
        label: "lowest superheat at an expansion valve",
        default: 4.0,
        unit: "°F",
        low: 0.0,
        high: 15.0,
        source: "published charge verification procedure, appendix RA3.2.2, metering device check",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::MeteringSuperheatHigh,
        label: "highest superheat at an expansion valve",
        default: 25.0,
        unit: "°F",
        low: 10.0,
        high: 50.0,
        source: "published charge verification procedure, appendix RA3.2.2, metering device check",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::SubcoolingTolerance,
        label: "subcooling on either side of the plate's target",
        default: 3.0,
        unit: "°F",
        low: 1.0,
        high: 15.0,
        source: "published charge verification procedure, appendix RA3.2.2, installer tolerance; its far side (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::ApproachTolerance,
        label: "approach on either side of the maker's target",
        default: 3.0,
        unit: "°F",
        low: 1.0,
        high: 10.0,
        source: "common practice, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::SplitTolerance,
        label: "temperature split on either side of its target",
        default: 3.0,
        unit: "°F",
        low: 1.0,
        high: 10.0,
        source: "published airflow check by temperature split, appendix RA3.2.2.7, installer tolerance",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::SplitReturnLowest,
        label: "lowest return air of the split table",
        default: 70.0,
        unit: "°F",
        low: 60.0,
        high: 80.0,
        source: "temperature split table RA3.2-3 (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::SplitReturnHighest,
        label: "highest return air of the split table",
        default: 84.0,
        unit: "°F",
        low: 75.0,
        high: 100.0,
        source: "temperature split table RA3.2-3 (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::FilterDropHigh,
        label: "highest pressure drop over the filter",
        default: 0.1,
        unit: "in. w.c.",
        low: 0.02,
        high: 1.0,
        source: "budget of a 0.5 in. w.c. system, trade rule (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::CoilDropHigh,
        label: "highest pressure drop over the wet indoor coil",
        default: 0.25,
        unit: "in. w.c.",
        low: 0.05,
        high: 1.0,
        source: "budget of a 0.5 in. w.c. system, trade rule (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::CapacitorTolerance,
        label: "capacitor tolerance where the can names none",
        default: 6.0,
        unit: "%",
        low: 1.0,
        high: 20.0,
        source: "usual printed tolerance of run capacitors",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::VoltsTolerance,
        label: "line voltage on either side of a single rating",
        default: 10.0,
        unit: "%",
        low: 1.0,
        high: 20.0,
        source: "motor voltage tolerance, NEMA MG-1 12.44 (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::DualVoltsLow,
        label: "lowest line voltage of a 208/230 V unit",
        default: 187.0,
        unit: "V",
        low: 170.0,
        high: 208.0,
        source: "usual range of dual-rated units (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::DualVoltsHigh,
        label: "highest line voltage of a 208/230 V unit",
        default: 253.0,
        unit: "V",
        low: 230.0,
        high: 270.0,
        source: "usual range of dual-rated units (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::VoltsSagHigh,
        label: "highest fall of line voltage under load",
        default: 5.0,
        unit: "%",
        low: 1.0,
        high: 15.0,
        source: "informational notes of the national electrical code, feeder and branch (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::PhaseUnbalanceHigh,
        label: "highest voltage unbalance of three phases",
        default: 2.0,
        unit: "%",
        low: 0.5,
        high: 5.0,
        source: "published by several makers of three-phase units",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::AmpsHigh,
        label: "highest current against the plate's",
        default: 100.0,
        unit: "%",
        low: 80.0,
        high: 150.0,
        source: "the rated current of the nameplate is a ceiling; safety standard (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::ContactorDropHigh,
        label: "highest voltage drop over a closed contactor",
        default: 300.0,
        unit: "mV",
        low: 50.0,
        high: 1000.0,
        source: "good practice 100 to 300 mV (from memory, low confidence)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::ControlVoltsLow,
        label: "lowest control voltage",
        default: 18.0,
        unit: "V",
        low: 15.0,
        high: 24.0,
        source: "usual range of 24 V controls (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::ControlVoltsHigh,
        label: "highest control voltage",
        default: 30.0,
        unit: "V",
        low: 24.0,
        high: 40.0,
        source: "usual range of 24 V controls (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::DischargeLineHigh,
        label: "highest discharge line temperature",
        default: 225.0,
        unit: "°F",
        low: 180.0,
        high: 275.0,
        source: "usual ceiling within 6 in. of the compressor (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::DrierDropHigh,
        label: "highest temperature fall over the drier",
        default: 3.0,
        unit: "°F",
        low: 1.0,
        high: 10.0,
        source: "sign of a restriction (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::RoomDifferenceHigh,
        label: "highest difference between rooms",
        default: 6.0,
        unit: "°F",
        low: 2.0,
        high: 15.0,
        source: "comfort guidance for cooling, room against room (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::AmbientCarbonMonoxideHigh,
        label: "highest carbon monoxide in room air",
        default: 9.0,
        unit: "ppm",
        low: 1.0,
        high: 35.0,
        source: "outdoor air guideline for eight hours; check the current local rules",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::SuctionNearLiquid,
        label: "gap of suction and liquid pressure under which they are alike",
        default: 25.0,
        unit: "psi",
        low: 5.0,
        high: 100.0,
        source: "judgement, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::SwappedSectionsShare,
        label: "nearness at which a capacitor section looks swapped",
        default: 20.0,
        unit: "%",
        low: 5.0,
        high: 40.0,
        source: "judgement, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::AirflowPerTonLow,
        label: "lowest airflow for each ton",
        default: 300.0,
        unit: "cfm per ton",
        low: 150.0,
        high: 450.0,
        source: "published charge verification procedure, appendix RA3.2.2.7: airflow above 300 cfm per ton",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::AirflowDesignTolerance,
        label: "airflow on either side of its design",
        default: 15.0,
        unit: "%",
        low: 5.0,
        high: 30.0,
        source: "quality installation standard ACCA 5, airflow (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::FanPowerHigh,
        label: "highest blower power for each cfm",
        default: 0.58,
        unit: "W/cfm",
        low: 0.2,
        high: 1.0,
        source: "published limit for ducted cooling, state energy code of 2008; later ones are lower",
        provenance: Provenance::Read,
    },
    LimitDefinition {
        name: LimitName::CapacityRatioLow,
        label: "lowest share of the expected capacity",
        default: 0.8,
        unit: "",
        low: 0.5,
        high: 0.95,
        source: "judgement, no source: a generic curve and field instruments tell no less",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::EvaporatorDifferenceLow,
        label: "lowest return air over saturated suction",
        default: 25.0,
        unit: "°F",
        low: 10.0,
        high: 35.0,
        source: "judgement, no source: 10 °F under the usual 35 °F at 400 cfm per ton",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::EvaporatorDifferenceHigh,
        label: "highest return air over saturated suction",
        default: 50.0,
        unit: "°F",
        low: 35.0,
        high: 65.0,
        source: "judgement, no source: 15 °F over the usual 35 °F at 400 cfm per ton, for dry air takes the coil lower",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::SaturatedSuctionLow,
        label: "lowest saturated suction temperature",
        default: 32.0,
        unit: "°F",
        low: 25.0,
        high: 45.0,
        source: "a coil at the freezing point of water may ice up (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::CondensingTolerance,
        label: "condensing over outdoor air on either side of the usual",
        default: 10.0,
        unit: "°F",
        low: 3.0,
        high: 20.0,
        source: "judgement, no source: twice what units of one efficiency class differ by",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::CompressionRatioLow,
        label: "lowest compression ratio",
        default: 1.5,
        unit: "",
        low: 1.0,
        high: 2.5,
        source: "judgement, no source: a pump that makes less hardly pumps",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::CompressionRatioHigh,
        label: "highest compression ratio",
        default: 4.0,
        unit: "",
        low: 3.0,
        high: 8.0,
        source: "usual range of air conditioning (from memory)",
        provenance: Provenance::FromMemory,
    },
    LimitDefinition {
        name: LimitName::DischargeSuperheatLow,
        label: "lowest discharge superheat",
        default: 20.0,
        unit: "°F",
        low: 5.0,
        high: 50.0,
        source: "common practice, no source: less means liquid at the compressor",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::StandingOverAmbientHigh,
        label: "highest standing saturation over outdoor air",
        default: 5.0,
        unit: "°F",
        low: 2.0,
        high: 15.0,
        source: "common practice, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::ReversingValveRiseHigh,
        label: "highest rise over the reversing valve",
        default: 5.0,
        unit: "°F",
        low: 2.0,
        high: 15.0,
        source: "common practice, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::StripHeatHigh,
        label: "highest electric heat current in cooling",
        default: 0.5,
        unit: "A",
        low: 0.1,
        high: 5.0,
        source: "common practice, no source: in cooling there must be none",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::ThermostatErrorHigh,
        label: "thermostat on either side of a thermometer",
        default: 2.0,
        unit: "°F",
        low: 0.5,
        high: 5.0,
        source: "common practice, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::SlopeHigh,
        label: "steepest slope of the outdoor unit",
        default: 0.25,
        unit: "in. per ft",
        low: 0.05,
        high: 1.0,
        source: "common practice, no source; the maker's instructions go first",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::SaturationContradiction,
        label: "how far saturations may contradict line and air temperatures",
        default: 5.0,
        unit: "°F",
        low: 1.0,
        high: 15.0,
        source: "judgement, no source",
        provenance: Provenance::CommonPractice,
    },
    LimitDefinition {
        name: LimitName::CoilDropRatioHigh,
        label: "highest drop of the indoor coil against its own table",
        default: 1.3,
        unit: "",
        low: 1.05,
        high: 2.0,
        source: "judgement, no source: more than a wet coil differs from a dry one",
        provenance: Provenance::CommonPractice,
    },
];
