//! Every cause that is weighed: data, one entry a cause.

/// A cause that is weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CauseName {
    /// Nothing is wrong with what these readings show.
    NoFault,
    /// Too little refrigerant.
    LowCharge,
    /// Too much refrigerant.
    ExcessCharge,
    /// Too little air over the indoor coil.
    LowIndoorAirflow,
    /// Too little air over the outdoor coil.
    LowOutdoorAirflow,
    /// Something holds the refrigerant back before the indoor coil.
    FeedRestriction,
    /// The metering device lets too much through.
    OverfeedingMetering,
    /// Air or another gas in the circuit.
    NonCondensables,
    /// The compressor moves less than it should.
    CompressorNotPumping,
}

/// What is known of a cause beforehand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CauseInfo {
    /// Its name.
    pub name: CauseName,
    /// Its word in documents.
    pub key: &'static str,
    /// Plain words for people.
    pub label: &'static str,
    /// Unit of its severity; empty where there is none.
    pub unit: &'static str,
    /// How likely it is before anything was read.
    pub prior: f64,
    /// Where the prior comes from, as users read it.
    pub source: &'static str,
}

const JUDGED: &str = "judgement: published surveys say that more than half of the systems in the \
    field are off in charge or airflow, not how that divides among causes";

/// Every cause, in the order of their names.
pub static CAUSES: [CauseInfo; 9] = [
    CauseInfo {
        name: CauseName::NoFault,
        key: "no_fault",
        label: "Nothing wrong that these readings show",
        unit: "",
        prior: 0.40,
        source: "published surveys: more than half of the systems in the field are off in charge \
            or airflow",
    },
    CauseInfo {
        name: CauseName::LowCharge,
        key: "low_charge",
        label: "Too little refrigerant",
        unit: "% of charge",
        prior: 0.16,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::ExcessCharge,
        key: "excess_charge",
        label: "Too much refrigerant",
        unit: "% of charge",
        prior: 0.09,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::LowIndoorAirflow,
        key: "low_indoor_airflow",
        label: "Too little air over the indoor coil",
        unit: "% of airflow",
        prior: 0.13,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::LowOutdoorAirflow,
        key: "low_outdoor_airflow",
        label: "Too little air over the outdoor coil",
        unit: "% of airflow",
        prior: 0.09,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::FeedRestriction,
        key: "feed_restriction",
        label: "Refrigerant held back before the indoor coil",
        unit: "psi",
        prior: 0.05,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::OverfeedingMetering,
        key: "overfeeding_metering",
        label: "Metering device lets too much through",
        unit: "% of opening",
        prior: 0.02,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::NonCondensables,
        key: "non_condensables",
        label: "Air or another gas in the refrigerant circuit",
        unit: "psi",
        prior: 0.03,
        source: JUDGED,
    },
    CauseInfo {
        name: CauseName::CompressorNotPumping,
        key: "compressor_not_pumping",
        label: "Compressor moves less than it should",
        unit: "% of flow",
        prior: 0.03,
        source: JUDGED,
    },
];
