//! Causes and conditions as a customer reads them, who needs no gauge to follow. No sentence says
//! what to do about refrigerant; what it means at home is all.

use crate::engine::causes::{CauseName, causes_of};
use crate::engine::conditions::ConditionName;

/// Something in a customer's words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ForCustomers {
    /// What is the matter, as it stands behind a colon.
    pub what: &'static str,
    /// What it means, as sentences.
    pub means: &'static str,
}

/// One cause in a customer's words.
#[must_use]
pub const fn cause(name: CauseName) -> ForCustomers {
    match name {
        CauseName::NoFault => told(
            "nothing is wrong with the cooling circuit and the air over its coils",
            "Taken together, the readings are those of a healthy system.",
        ),
        CauseName::LowCharge => told(
            "there is too little refrigerant in the system",
            "It then cools less and runs longer. Refrigerant is not used up, so that there may be \
             a leak somewhere.",
        ),
        CauseName::ExcessCharge => told(
            "there is too much refrigerant in the system",
            "It then works against more pressure than it should, which uses energy.",
        ),
        CauseName::LowIndoorAirflow => told(
            "too little air passes the indoor coil",
            "Rooms then cool slowly, and the coil may ice up. A filter, closed registers, the \
             ducts or the blower may hold the air back.",
        ),
        CauseName::LowOutdoorAirflow => told(
            "too little air passes the outdoor unit",
            "It then gets rid of its heat with more effort. Dirt, plants or a weak fan may be in \
             the way.",
        ),
        CauseName::FeedRestriction => told(
            "something holds the refrigerant back on its way indoors",
            "The indoor coil then gets less than it needs, and rooms cool slowly.",
        ),
        CauseName::OverfeedingMetering => told(
            "the part that meters the refrigerant lets too much through",
            "The system then cools less well, and over time it may wear the compressor.",
        ),
        CauseName::NonCondensables => told(
            "there is air or another gas among the refrigerant",
            "The system then works against more pressure than it should, which uses energy.",
        ),
        CauseName::CompressorNotPumping => told(
            "the compressor moves less refrigerant than it should",
            "The system then cools less and runs longer.",
        ),
    }
}

/// One condition in a customer's words.
#[must_use]
pub const fn condition(name: ConditionName) -> ForCustomers {
    match name {
        ConditionName::DirtyFilter => told(
            "the air filter holds air back",
            "Less air then reaches the rooms, and the blower works harder.",
        ),
        ConditionName::RestrictedCoil => told(
            "dirt or ice at the indoor coil holds air back",
            "Less air then reaches the rooms.",
        ),
        ConditionName::ClosedOrUndersizedDucts => told(
            "the ducts let too little air through",
            "Registers or dampers may be closed, or the ducts too small; some rooms then stay \
             warm.",
        ),
        ConditionName::DuctLeakage => told(
            "air leaks on its way through the ducts",
            "Part of the cooled air is then lost before it reaches the rooms.",
        ),
        ConditionName::WeakCapacitor => told(
            "a capacitor has grown weak, the part that helps a motor to start and run",
            "The motor may one day not start.",
        ),
        ConditionName::WrongCapacitor => told(
            "a capacitor is another one than its motor asks for",
            "The motor then runs warmer than it should.",
        ),
        ConditionName::WornContactor => {
            told("the switch of the outdoor unit is worn", "It may stick, or one day not close.")
        }
        ConditionName::LowLineVoltage => told(
            "too little voltage reaches the equipment",
            "Motors then run warmer than they should.",
        ),
        ConditionName::DraggingMotor => told(
            "a motor turns harder than it should",
            "It then uses more energy and may wear out early.",
        ),
        ConditionName::DrainAtRisk => told(
            "the water that comes with cooling may not drain as it should",
            "It could run where it does harm.",
        ),
        ConditionName::OversizedBreaker => told(
            "the breaker or fuse is larger than the equipment's plate allows",
            "It then protects the wires less than it should.",
        ),
        ConditionName::ReversingValveLeak => told(
            "the valve that turns cooling into heating leaks inside",
            "The system then cools less than it should.",
        ),
    }
}

const fn told(what: &'static str, means: &'static str) -> ForCustomers {
    ForCustomers { what, means }
}

/// A cause's word, or that of two at once, in a customer's words: what, and what it means. Nothing
/// for a word of a later program.
#[must_use]
pub fn causes(word: &str) -> Option<(String, String)> {
    let (first, second) = causes_of(word)?;
    let first = cause(first);
    let Some(second) = second.map(cause) else {
        return Some((first.what.to_owned(), first.means.to_owned()));
    };
    let means = format!("{} {}", first.means, second.means);
    Some((format!("{}, and {}", first.what, second.what), means))
}

/// Why no cause is named, in a customer's words: the reason alone, without what a technician would
/// read next.
#[must_use]
pub fn could_not_be_told(abstained: &str) -> String {
    let why = abstained.strip_prefix("Can't tell: ").unwrap_or(abstained);
    why.split("; ").next().unwrap_or(why).trim_end_matches('.').to_owned()
}
