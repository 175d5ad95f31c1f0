//! The nouns of the job, their states and lawful changes. Pure.

pub mod agreement;
pub mod closing;
pub mod confirmed_cause;
pub mod finding;
pub mod for_customers;
pub mod form;
pub mod hazard;
pub mod last_visit;
pub mod limit_book;
pub mod nameplate;
pub mod person;
pub mod photo;
pub mod price_list;
pub mod priors;
pub mod refusal;
pub mod requirement;
pub mod sheet;
pub mod visit;
pub mod visit_document;

/// Lets a store column of text become one of the enums whose words are in `of_key`.
macro_rules! from_its_key {
    ($($kind:ty),+) => {$(
        impl TryFrom<String> for $kind {
            type Error = String;
            fn try_from(key: String) -> Result<Self, String> {
                <$kind>::of_key(&key)
                    .ok_or_else(|| format!("“{key}” is no {}", stringify!($kind)))
            }
        }
    )+};
}
from_its_key!(
    person::Role,
    visit::VisitKind,
    visit::VisitState,
    visit::Stage,
    nameplate::Part,
    finding::Severity,
    priors::PriorWhy,
    closing::Answer,
    closing::Direction
);
