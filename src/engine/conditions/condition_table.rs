//! Every condition that is weighed: data, one entry a condition.

/// A condition that may hold beside any cause and beside any other condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConditionName {
    /// The filter holds back more air than it should.
    DirtyFilter,
    /// The indoor coil holds back more air than it should.
    RestrictedCoil,
    /// The ducts take more pressure than they may.
    ClosedOrUndersizedDucts,
    /// Air gets into or out of the ducts on its way.
    DuctLeakage,
    /// A capacitor has faded below its tolerance.
    WeakCapacitor,
    /// A capacitor is not the one that its motor asks for.
    WrongCapacitor,
    /// The contactor loses too many volts.
    WornContactor,
    /// Too few volts reach a unit.
    LowLineVoltage,
    /// A motor draws more than its load explains.
    DraggingMotor,
    /// Condensate may run where it does harm.
    DrainAtRisk,
    /// The breaker or fuse is larger than the plate allows.
    OversizedBreaker,
    /// The reversing valve lets hot gas into the suction line.
    ReversingValveLeak,
}

/// What is known of a condition beforehand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConditionInfo {
    /// Its name.
    pub name: ConditionName,
    /// Its word in documents.
    pub key: &'static str,
    /// Plain words for people.
    pub label: &'static str,
    /// How likely it is before anything was read; where several parts may have it, such as three
    /// capacitors, of each part.
    pub prior: f64,
    /// Where the prior comes from, as users read it.
    pub source: &'static str,
}

const YEARLY: &str = "judgement, no source: how often a yearly visit meets it";
const SELDOM: &str = "judgement, no source: met now and then";
const DUCTS: &str = "judgement, no source: surveys say that ducts are often leaky and airflow is \
    often low, not how that divides";

/// Every condition, in the order of their names.
pub static CONDITIONS: [ConditionInfo; 12] = [
    ConditionInfo {
        name: ConditionName::DirtyFilter,
        key: "dirty_filter",
        label: "Dirty or too dense filter",
        prior: 0.3,
        source: YEARLY,
    },
    ConditionInfo {
        name: ConditionName::RestrictedCoil,
        key: "restricted_coil",
        label: "Indoor coil restricted by dirt or ice",
        prior: 0.08,
        source: YEARLY,
    },
    ConditionInfo {
        name: ConditionName::ClosedOrUndersizedDucts,
        key: "closed_or_undersized_ducts",
        label: "Ducts closed or too small",
        prior: 0.12,
        source: DUCTS,
    },
    ConditionInfo {
        name: ConditionName::DuctLeakage,
        key: "duct_leakage",
        label: "Leaking ducts",
        prior: 0.2,
        source: DUCTS,
    },
    ConditionInfo {
        name: ConditionName::WeakCapacitor,
        key: "weak_capacitor",
        label: "Weak capacitor",
        prior: 0.1,
        source: YEARLY,
    },
    ConditionInfo {
        name: ConditionName::WrongCapacitor,
        key: "wrong_capacitor",
        label: "Capacitor is not what the motor asks for",
        prior: 0.03,
        source: SELDOM,
    },
    ConditionInfo {
        name: ConditionName::WornContactor,
        key: "worn_contactor",
        label: "Worn contactor",
        prior: 0.08,
        source: YEARLY,
    },
    ConditionInfo {
        name: ConditionName::LowLineVoltage,
        key: "low_line_voltage",
        label: "Low line voltage",
        prior: 0.04,
        source: SELDOM,
    },
    ConditionInfo {
        name: ConditionName::DraggingMotor,
        key: "dragging_motor",
        label: "Motor drags",
        prior: 0.04,
        source: SELDOM,
    },
    ConditionInfo {
        name: ConditionName::DrainAtRisk,
        key: "drain_at_risk",
        label: "Condensate drain at risk",
        prior: 0.05,
        source: YEARLY,
    },
    ConditionInfo {
        name: ConditionName::OversizedBreaker,
        key: "oversized_breaker",
        label: "Breaker or fuse larger than the plate allows",
        prior: 0.04,
        source: SELDOM,
    },
    ConditionInfo {
        name: ConditionName::ReversingValveLeak,
        key: "reversing_valve_leak",
        label: "Reversing valve leaks",
        prior: 0.05,
        source: SELDOM,
    },
];
