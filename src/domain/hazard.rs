//! Hazards: what to do at once, and what the customer is told, in the words of every page.
//!
//! What to do is common practice, no source; it defers to the fire service, the gas supplier and
//! the maker.

/// The point whose reading alone can be a hazard.
pub const MEASURED_CO: &str = "ambient_co_ppm";

/// One kind of hazard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hazard {
    /// Its key, as in the field `hazard.gas_smell`; a measuring point has its own.
    pub key: &'static str,
    /// A few words for the office.
    pub short: &'static str,
    /// What to do at once, on site.
    pub act: &'static str,
    /// What to tell the customer.
    pub tell: &'static str,
    /// Both, and that the office wants to know.
    whole: &'static str,
}

macro_rules! hazard {
    ($key:literal, $short:literal, $act:literal, $tell:literal) => {
        Hazard {
            key: $key,
            short: $short,
            act: $act,
            tell: $tell,
            whole: concat!($act, " ", $tell, " Then call the office."),
        }
    };
}

/// Every kind.
pub const HAZARDS: &[Hazard] = &[
    hazard!(
        "carbon_monoxide",
        "carbon monoxide",
        "Everybody out, doors open, appliances off. Call the fire service if anybody feels unwell.",
        "Tell the customer not to run fuel-burning appliances until a qualified person has found \
         the source."
    ),
    hazard!(
        "ambient_co_ppm",
        "carbon monoxide measured in the room air",
        "Everybody out, doors open, appliances off. Call the fire service if anybody feels unwell.",
        "Tell the customer not to run fuel-burning appliances until a qualified person has found \
         the source."
    ),
    hazard!(
        "gas_smell",
        "smell of gas",
        "No switch, no flame, no phone indoors. Everybody out, then call the gas supplier or the \
         fire service from outside.",
        "Tell the customer to stay outside until the gas supplier or the fire service says that \
         it is safe."
    ),
    hazard!(
        "heat_exchanger",
        "cracked heat exchanger suspected",
        "Shut the furnace off, tag it and leave it off.",
        "Tell the customer why, in plain words: it may let carbon monoxide into the rooms. A \
         qualified person decides."
    ),
    hazard!(
        "burnt_wiring_indoors",
        "burnt wiring indoors",
        "Cut the power at the disconnect and the breaker, prove it dead, leave it off and tag it.",
        "Tell the customer not to switch it on."
    ),
    hazard!(
        "burnt_wiring_outdoors",
        "burnt wiring outdoors",
        "Cut the power at the disconnect and the breaker, prove it dead, leave it off and tag it.",
        "Tell the customer not to switch it on."
    ),
];

/// What holds for a hazard that this table doesn't name.
const ANY: Hazard = hazard!(
    "",
    "something that stops the work",
    "Stop the work, shut the equipment off and leave it off.",
    "Tell the customer not to use it."
);

/// The hazard of a key, or of a field such as `hazard.gas_smell`.
#[must_use]
pub fn hazard(key: &str) -> Hazard {
    let key = key.strip_prefix("hazard.").unwrap_or(key);
    HAZARDS.iter().find(|it| it.key == key).copied().unwrap_or(ANY)
}

/// What to do and what to tell the customer, for who stands there.
#[must_use]
pub fn what_to_do(key: &str) -> &'static str {
    hazard(key).whole
}

/// Whether a field of a sheet tells a hazard.
#[must_use]
pub fn is_told_by(field: &str) -> bool {
    let key = field.strip_prefix("hazard.");
    field == MEASURED_CO || key.is_some_and(|it| HAZARDS.iter().any(|known| known.key == it))
}
